package journal

import (
	"database/sql"
	"errors"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"shedbell/line"
)

// Loss is a range of records that could not be recovered.
type Loss struct {
	First, Last int64
	From, To    time.Time // of the whole records or heartbeats around it; zero where nothing is known
}

// String says which records are lost and which minutes they were from.
func (l Loss) String() string {
	records := fmt.Sprintf("Records %d to %d are", l.First, l.Last)
	if l.First == l.Last {
		records = fmt.Sprintf("Record %d is", l.First)
	}
	const day, minute = "2006-01-02 15:04", "15:04"
	switch {
	case l.From.IsZero() && l.To.IsZero():
		return records + " lost; nothing shows from when."
	case l.From.IsZero():
		return fmt.Sprintf("%s lost: from before %s.", records, l.To.Format(day))
	case l.To.IsZero():
		return fmt.Sprintf("%s lost: from after %s.", records, l.From.Format(day))
	case l.From.Format(time.DateOnly) == l.To.Format(time.DateOnly):
		return fmt.Sprintf("%s lost: from between %s and %s.", records, l.From.Format(day), l.To.Format(minute))
	}
	return fmt.Sprintf("%s lost: from between %s and %s.", records, l.From.Format(day), l.To.Format(day))
}

// Report is what a salvage did.
type Report struct {
	Recovered int64     // whole records, all in the journal now
	Until     time.Time // instant of the last of them
	Losses    []Loss
	Rebuilt   bool   // false: the journal was whole and nothing was changed
	KeptAs    string // where the damaged file is now; empty when there was none
}

// String is the report in sentences, one a line.
func (r Report) String() string {
	if !r.Rebuilt {
		return fmt.Sprintf("The journal is whole: %d records. Nothing was changed.", r.Recovered)
	}
	var b strings.Builder
	fmt.Fprintf(&b, "%d records were recovered", r.Recovered)
	if r.Recovered > 0 {
		fmt.Fprintf(&b, ", the last one of %s", r.Until.Format("2006-01-02 15:04:05"))
	}
	b.WriteString(".\n")
	if r.KeptAs != "" {
		fmt.Fprintf(&b, "The damaged file was kept as %s.\n", filepath.Base(r.KeptAs))
	}
	for _, l := range r.Losses {
		b.WriteString(l.String() + "\n")
	}
	if len(r.Losses) == 0 {
		b.WriteString("No record is known to be missing.\n")
	}
	return strings.TrimSuffix(b.String(), "\n")
}

// Salvage recovers every whole record of a data folder's damaged journal into a
// new file that takes its place; the damaged one is kept. A whole journal is left
// as it is. It needs the writer's lock.
//
// Numbers lost in the middle are never given again. Numbers lost at the end are,
// so the caller should put the report into the journal as a note.
func Salvage(dir string, opts Options) (Report, error) {
	lock, err := takeLock(dir, opts.now())
	if err != nil {
		return Report{}, err
	}
	defer lock.release()
	path := filepath.Join(dir, dbName)
	checked, err := Check(dir)
	if err == nil && checked.OK() {
		return Report{Recovered: checked.Records}, nil
	}
	mayBeOurs := err == nil || errors.Is(err, ErrForeign) || isMissing(path)
	if !mayBeOurs {
		return Report{}, err // a newer file, or a disk that cannot be read
	}
	found, carveErr := carve(path)
	if carveErr != nil {
		return Report{}, explain("salvaging", path, carveErr)
	}
	if errors.Is(err, ErrForeign) && len(found) == 0 {
		return Report{}, err
	}
	last, err := readBeats(dir)
	if err != nil {
		return Report{}, explain("salvaging", path, err)
	}
	report := reportOf(found, last)
	fresh := path + ".salvaged"
	if err := rebuild(fresh, found, report.Losses); err != nil {
		_ = removeDB(fresh)
		return Report{}, explain("salvaging", fresh, err)
	}
	report.KeptAs, err = swapIn(fresh, dir, "damaged", stamp(opts.now()))
	if err == nil {
		err = removeBeats(dir)
	}
	return report, explain("salvaging", path, err)
}

func isMissing(path string) bool {
	_, err := os.Stat(path)
	return os.IsNotExist(err)
}

func reportOf(found map[int64]row, last beat) Report {
	report := Report{Recovered: int64(len(found)), Rebuilt: true}
	want := int64(1)
	for _, seq := range slices.Sorted(maps.Keys(found)) {
		w := found[seq]
		if seq > want {
			report.Losses = append(report.Losses, Loss{First: want, Last: seq - 1, From: report.Until, To: w.at()})
		}
		want, report.Until = seq+1, w.at()
	}
	if last.seq >= want {
		report.Losses = append(report.Losses, Loss{First: want, Last: last.seq, From: report.Until, To: last.at})
	}
	return report
}

// rebuild writes a whole journal from records.
func rebuild(path string, found map[int64]row, losses []Loss) error {
	if err := removeDB(path); err != nil {
		return err
	}
	db, err := openWriter(path)
	if err != nil {
		return err
	}
	defer db.Close()
	if err := migrate(db, 0, migrations); err != nil {
		return err
	}
	j := Journal{w: db}
	seqs := slices.Sorted(maps.Keys(found))
	err = j.inTx(func(tx *sql.Tx) error {
		for _, seq := range seqs {
			if err := insertFound(tx, found[seq]); err != nil {
				return err
			}
		}
		for _, l := range losses {
			if len(seqs) == 0 || l.First > seqs[len(seqs)-1] {
				continue // at the end: these numbers will be given again
			}
			_, err := tx.Exec("INSERT INTO losses (first_seq, last_seq, from_ns, to_ns) VALUES (?, ?, ?, ?)",
				l.First, l.Last, nullable(l.From), nullable(l.To))
			if err != nil {
				return err
			}
		}
		return nil
	})
	if err != nil {
		return err
	}
	if _, err := db.Exec("PRAGMA wal_checkpoint(TRUNCATE)"); err != nil {
		return err
	}
	return syncFile(path)
}

func insertFound(tx *sql.Tx, w row) error {
	_, err := tx.Exec(insertRow, w.seq, w.grp, w.atNS, w.zoneS, w.by, w.undo, w.kind, w.data, w.sum)
	if err != nil {
		return err
	}
	if w.kind != line.EventName(line.DayOpened{}) && w.kind != line.EventName(line.DayClosed{}) {
		return nil
	}
	r, err := w.record()
	if err != nil {
		return err
	}
	return indexDay(tx, w.seq, r.Event)
}

func nullable(t time.Time) any {
	if t.IsZero() {
		return nil
	}
	return t.UnixNano()
}
