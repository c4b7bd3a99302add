package journal

import (
	"database/sql"
	"errors"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"time"

	"shedbell/line"
	"shedbell/line/say"
)

// Loss is a range of records that could not be recovered.
type Loss struct {
	First, Last int64
	From, To    time.Time // of the whole records or heartbeats around it; zero where nothing is known
}

// Says says which records are lost and which minutes they were from.
func (l Loss) Says() say.Sentence {
	records := say.New("salvaged.records", l.First, l.Last)
	if l.First == l.Last {
		records = say.New("salvaged.record", l.First)
	}
	switch {
	case l.From.IsZero() && l.To.IsZero():
		return say.New("salvaged.lost", records)
	case l.From.IsZero():
		return say.New("salvaged.lost-before", records, say.DateTime(l.To))
	case l.To.IsZero():
		return say.New("salvaged.lost-after", records, say.DateTime(l.From))
	case l.From.Format(time.DateOnly) == l.To.Format(time.DateOnly):
		return say.New("salvaged.lost-between", records, say.DateTime(l.From), say.Time(l.To))
	}
	return say.New("salvaged.lost-between", records, say.DateTime(l.From), say.DateTime(l.To))
}

// Report is what a salvage did.
type Report struct {
	Recovered int64     // whole records, all in the journal now
	Until     time.Time // instant of the last of them
	Losses    []Loss
	Rebuilt   bool   // false: the journal was whole and nothing was changed
	KeptAs    string // where the damaged file is now; empty when there was none
}

// Says is the report, sentence by sentence.
func (r Report) Says() say.Speech {
	if !r.Rebuilt {
		return say.Speech{say.New("salvaged.whole", r.Recovered)}
	}
	out := say.Speech{say.New("salvaged.none")}
	if r.Recovered > 0 {
		out[0] = say.New("salvaged.recovered", r.Recovered, say.Date(r.Until), say.TimeToSecond(r.Until))
	}
	if r.KeptAs != "" {
		out = append(out, say.New("salvaged.kept-as", filepath.Base(r.KeptAs)))
	}
	for _, l := range r.Losses {
		out = append(out, l.Says())
	}
	if len(r.Losses) == 0 {
		out = append(out, say.New("salvaged.nothing-missing"))
	}
	return out
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
		return Report{}, explain("journal-doing.salvage", path, carveErr)
	}
	if errors.Is(err, ErrForeign) && len(found) == 0 {
		return Report{}, err
	}
	last, err := readBeats(dir)
	if err != nil {
		return Report{}, explain("journal-doing.salvage", path, err)
	}
	report := reportOf(found, last)
	fresh := path + ".salvaged"
	if err := rebuild(fresh, found, report.Losses); err != nil {
		_ = removeDB(fresh)
		return Report{}, explain("journal-doing.salvage", fresh, err)
	}
	report.KeptAs, err = swapIn(fresh, dir, "damaged", stamp(opts.now()))
	if err == nil {
		err = removeBeats(dir)
	}
	return report, explain("journal-doing.salvage", path, err)
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
