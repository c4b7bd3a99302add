package journal

import (
	"encoding/binary"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"shedbell/line"
)

func TestAppendRefusesNumbersThatDoNotContinue(t *testing.T) {
	j := open(t, t.TempDir())
	records := tale(10)
	must(t, j.Append(ctx, records[:4]))
	for name, bad := range map[string][]line.Record{
		"again": records[3:5], "gap": records[5:6], "turned": {records[4], records[6], records[5]},
	} {
		if err := j.Append(ctx, bad); !errors.Is(err, ErrSequence) {
			t.Errorf("%s: %v, want ErrSequence", name, err)
		}
	}
	requireSame(t, records[:4], replay(t, j, 0))
	must(t, j.Append(ctx, records[4:]))
	requireSame(t, records, replay(t, j, 0))
}

func TestAppendIsAllOrNothing(t *testing.T) {
	j := open(t, t.TempDir())
	records := tale(6)
	records[5].At = time.Date(3000, 1, 1, 0, 0, 0, 0, time.UTC) // beyond what nanoseconds can hold
	if err := j.Append(ctx, records); err == nil {
		t.Fatal("an instant that cannot be stored was accepted")
	}
	if got := replay(t, j, 0); len(got) != 0 {
		t.Errorf("%d records of a refused Append are there", len(got))
	}
	// The file refuses the second of two rows: the first must go, too.
	_, err := j.w.Exec(`CREATE TRIGGER no_dry BEFORE INSERT ON events WHEN NEW.seq = 4 BEGIN SELECT RAISE(ABORT, 'no'); END`)
	must(t, err)
	records = tale(6)
	must(t, j.Append(ctx, records[:2]))
	if err := j.Append(ctx, records[2:5]); err == nil {
		t.Fatal("the trigger did not abort")
	}
	requireSame(t, records[:2], replay(t, j, 0))
	_, err = j.w.Exec("DROP TRIGGER no_dry")
	must(t, err)
	must(t, j.Append(ctx, records[2:]))
	requireSame(t, records, replay(t, j, 0))
}

func TestRecordsCannotBeChanged(t *testing.T) {
	j := open(t, t.TempDir())
	must(t, j.Append(ctx, tale(5)))
	for _, stmt := range []string{
		"UPDATE events SET data = x'00' WHERE seq = 2",
		"DELETE FROM events WHERE seq = 5",
		"DELETE FROM events",
		`INSERT OR REPLACE INTO events SELECT seq, grp, at_ns, zone_s, "by", undo, type, x'00', sum FROM events WHERE seq = 3`,
		`INSERT INTO events SELECT 0, grp, at_ns, zone_s, "by", undo, type, data, sum FROM events WHERE seq = 3`,
	} {
		if _, err := j.w.Exec(stmt); err == nil || !strings.Contains(err.Error(), "append-only") {
			t.Errorf("%s: %v, want a refusal", stmt, err)
		}
	}
	requireSame(t, tale(5), replay(t, j, 0))
}

func TestReplayFromAndStop(t *testing.T) {
	j := open(t, t.TempDir())
	records := tale(50)
	must(t, j.Append(ctx, records))
	requireSame(t, records[29:], replay(t, j, 30))
	if got := replay(t, j, 51); len(got) != 0 {
		t.Errorf("%d records after the last", len(got))
	}
	n := 0
	must(t, j.Replay(10, func(r line.Record) error {
		if n++; r.Seq == 12 {
			return ErrStop
		}
		return nil
	}))
	mine := errors.New("mine")
	if err := j.Replay(1, func(line.Record) error { return mine }); n != 3 || !errors.Is(err, mine) {
		t.Errorf("%d records until ErrStop, want 3; error %v, want the function's own", n, err)
	}
}

func TestViewerSeesWhatTheWriterSaves(t *testing.T) {
	dir := t.TempDir()
	if _, err := OpenReadOnly(dir); !errors.Is(err, ErrNoFile) {
		t.Errorf("viewer of an empty folder: %v, want ErrNoFile", err)
	}
	j := open(t, dir)
	records := tale(20)
	must(t, j.Append(ctx, records[:10]))
	v, err := OpenReadOnly(dir)
	must(t, err)
	defer v.Close()
	requireSame(t, records[:10], replay(t, v, 0))
	must(t, j.Append(ctx, records[10:]))
	if last, err := v.LastSeq(); err != nil || last != 20 {
		t.Errorf("viewer's last record is %d (%v), want 20", last, err)
	}
	requireSame(t, records[10:], replay(t, v, 11))
	must(t, j.Beat(dawn))
	if at, ok := v.WriterBeat(); !ok || !at.Equal(dawn) {
		t.Errorf("viewer sees the beat %v, want %v", at, dawn)
	}
	for name, err := range map[string]error{"Append": v.Append(ctx, records), "Beat": v.Beat(dawn),
		"SaveSnapshot": v.SaveSnapshot(1, nil), "DropSnapshots": v.DropSnapshots()} {
		if !errors.Is(err, ErrReadOnly) {
			t.Errorf("viewer's %s: %v, want ErrReadOnly", name, err)
		}
	}
}

func TestViewerOfAJournalWithoutAWriter(t *testing.T) {
	j := open(t, t.TempDir())
	must(t, j.Append(ctx, tale(10)))
	must(t, j.CloseClean(dawn))
	v, err := OpenReadOnly(j.Dir())
	must(t, err)
	defer v.Close()
	requireSame(t, tale(10), replay(t, v, 0))
}

func TestHeartbeatTellsAPowerCutFromAQuit(t *testing.T) {
	dir := t.TempDir()
	j := open(t, dir)
	if _, ok := j.LastBeat(); ok || !j.WasClean() {
		t.Error("a new journal claims to have run")
	}
	records := tale(3)
	must(t, j.Append(ctx, records))
	for i := range 5 {
		must(t, j.Beat(dawn.Add(time.Duration(i)*time.Hour)))
	}
	must(t, j.Close()) // as if the power went

	reopened := func(wantAt time.Time, wantClean bool) *Journal {
		t.Helper()
		j := open(t, dir)
		if at, ok := j.LastBeat(); !ok || !at.Equal(wantAt) || j.WasClean() != wantClean {
			t.Errorf("last beat %v, clean %v; want %v, %v", at, j.WasClean(), wantAt, wantClean)
		}
		return j
	}
	j = reopened(dawn.Add(4*time.Hour), false)
	must(t, j.CloseClean(dawn.Add(5*time.Hour)))
	j = reopened(dawn.Add(5*time.Hour), true)
	must(t, j.Close()) // dies before its first beat
	j = reopened(dawn.Add(5*time.Hour), false)
	late := line.Record{Seq: 4, Group: 4, At: dawn.Add(6 * time.Hour), Event: line.NoteAdded{Text: "late"}}
	must(t, j.Append(ctx, []line.Record{late})) // a record later than any beat
	must(t, j.Close())
	reopened(late.At, false)
}

func TestTornHeartbeatLeavesTheOneBefore(t *testing.T) {
	dir := t.TempDir()
	j := open(t, dir)
	must(t, j.Beat(dawn))
	must(t, j.Beat(dawn.Add(time.Second)))
	must(t, j.Close())
	path := filepath.Join(dir, beatName)
	whole, err := os.ReadFile(path)
	must(t, err)
	at := 0 // beat number 2 stands in the first of the two places
	for n := range beatSize {
		torn := append([]byte(nil), whole...)
		for i := n; i < beatSize; i++ {
			torn[at+i] ^= 0xff
		}
		must(t, os.WriteFile(path, torn, 0o644))
		b, err := readBeats(dir)
		must(t, err)
		if !b.at.Equal(dawn) {
			t.Fatalf("torn after %d bytes: %v, want %v", n, b.at, dawn)
		}
	}
}

func TestDaysAreIndexed(t *testing.T) {
	j := open(t, t.TempDir())
	s := story{at: dawn}
	s.tell("", line.LineLaid{Site: shedSite()})
	s.day("radish")
	s.day("pea", "radish")
	s.tell("", line.DayOpened{Sheet: line.Sheet{Date: "2026-05-06"}})
	must(t, j.Append(ctx, s.records))
	days, err := j.Days()
	must(t, err)
	var got []string
	for _, d := range days {
		got = append(got, fmt.Sprintf("%s %d-%d", d.Date, d.First, d.Last))
		if _, ok := s.records[d.First-1].Event.(line.DayOpened); !ok {
			t.Errorf("%s does not begin with its opening", d.Date)
		}
		if d.Last > 0 {
			if _, ok := s.records[d.Last-1].Event.(line.DayClosed); !ok {
				t.Errorf("%s does not end with its closing", d.Date)
			}
		}
	}
	if len(days) != 3 || days[0].Date != "2026-05-04" || days[2].Last != 0 {
		t.Errorf("days %v", got)
	}
}

func TestSnapshots(t *testing.T) {
	j := open(t, t.TempDir())
	if _, _, ok, err := j.LatestSnapshot(); ok || err != nil {
		t.Errorf("a new journal has a snapshot (%v)", err)
	}
	must(t, j.Append(ctx, tale(100)))
	if err := j.SaveSnapshot(101, nil); !errors.Is(err, ErrSequence) {
		t.Errorf("snapshot beyond the end: %v, want ErrSequence", err)
	}
	for seq := int64(10); seq <= 100; seq += 10 {
		must(t, j.SaveSnapshot(seq, fmt.Appendf(nil, "state %d", seq)))
	}
	newest := func(want int64) {
		t.Helper()
		seq, data, ok, err := j.LatestSnapshot()
		if err != nil || !ok || seq != want || string(data) != fmt.Sprintf("state %d", want) {
			t.Errorf("snapshot %d %q %v %v, want that of %d", seq, data, ok, err, want)
		}
	}
	newest(100)
	_, err := j.w.Exec("UPDATE snapshots SET data = x'01' WHERE seq = 100")
	must(t, err)
	newest(90) // the damaged one is passed over
	var n int
	must(t, j.r.QueryRow("SELECT count(*) FROM snapshots").Scan(&n))
	if n != keptSnapshots {
		t.Errorf("%d snapshots kept, want %d", n, keptSnapshots)
	}
	must(t, j.DropSnapshots())
	requireSame(t, tale(100), replay(t, j, 0))
}

func TestNewerJournalIsRefusedUntouched(t *testing.T) {
	j := open(t, t.TempDir())
	must(t, j.Append(ctx, tale(3)))
	_, err := j.w.Exec(fmt.Sprintf("PRAGMA user_version = %d", len(migrations)+1))
	must(t, err)
	// In the write-ahead log only, and then in the file's header.
	for _, where := range []string{"log", "header"} {
		copied := t.TempDir()
		if where == "header" {
			must(t, j.Close())
		}
		copyJournal(t, j.Dir(), copied)
		before, err := os.ReadFile(filepath.Join(copied, dbName))
		must(t, err)
		for name, open := range map[string]func() error{
			"Open":         func() error { _, err := Open(copied, Options{}); return err },
			"OpenReadOnly": func() error { _, err := OpenReadOnly(copied); return err },
			"Salvage":      func() error { _, err := Salvage(copied, Options{}); return err },
			"RestoreFrom": func() error {
				_, err := RestoreFrom(filepath.Join(copied, dbName), t.TempDir(), Options{})
				return err
			},
		} {
			if where == "log" && name != "OpenReadOnly" {
				continue // opening a log for writing folds it in
			}
			var newer ErrNewer
			if err := open(); !errors.As(err, &newer) || newer.Have != newer.Know+1 || !strings.Contains(err.Error(), "newer version") {
				t.Errorf("%s, newer in the %s: %v, want ErrNewer", name, where, err)
			}
		}
		after, err := os.ReadFile(filepath.Join(copied, dbName))
		must(t, err)
		if string(before) != string(after) {
			t.Errorf("newer in the %s: the refused file was changed", where)
		}
	}
}

func copyJournal(t testing.TB, from, to string) {
	t.Helper()
	for _, name := range []string{dbName, dbName + "-wal", beatName} {
		data, err := os.ReadFile(filepath.Join(from, name))
		if os.IsNotExist(err) {
			continue
		}
		must(t, err)
		must(t, os.WriteFile(filepath.Join(to, name), data, 0o644))
	}
}

func TestForeignFileIsRefusedUntouched(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, dbName)
	db, err := openSQL(path, "rwc", nil)
	must(t, err)
	_, err = db.Exec("CREATE TABLE songs (title TEXT)")
	must(t, err)
	must(t, db.Close())
	before, err := os.ReadFile(path)
	must(t, err)
	if _, err := Open(dir, Options{}); !errors.Is(err, ErrForeign) {
		t.Errorf("%v, want ErrForeign", err)
	}
	if _, err := Salvage(dir, Options{}); !errors.Is(err, ErrForeign) {
		t.Errorf("salvage: %v, want ErrForeign", err)
	}
	if after, _ := os.ReadFile(path); string(before) != string(after) {
		t.Error("the foreign file was changed")
	}
}

// A made-up second format: the journal must carry its records over and keep the
// old file.
func TestMigrationKeepsTheOldFile(t *testing.T) {
	j := open(t, t.TempDir())
	must(t, j.Append(ctx, tale(30)))
	steps := append(migrations[:len(migrations):len(migrations)], "CREATE TABLE tags (seq INTEGER PRIMARY KEY, tag TEXT) STRICT")
	must(t, upgrade(j.w, j.dir, len(migrations), steps, dawn))
	if _, v, err := schemaOf(j.r); err != nil || v != len(migrations)+1 {
		t.Errorf("format %d (%v), want %d", v, err, len(migrations)+1)
	}
	requireSame(t, tale(30), replay(t, j, 0))
	old, err := checkFile(filepath.Join(j.dir, "shedbell-older-20260504-073000.db"))
	if err != nil || !old.OK() || old.Records != 30 {
		t.Errorf("the kept file: %+v %v", old, err)
	}
	bad := append(steps[:len(steps):len(steps)], "CREATE TABLE half (n INTEGER); CREATE TABLE nonsense (")
	if err := migrate(j.w, len(steps), bad); err == nil {
		t.Fatal("nonsense was accepted")
	}
	if _, v, _ := schemaOf(j.r); v != len(steps) {
		t.Errorf("a failed migration left format %d", v)
	}
	if _, err := j.w.Exec("SELECT * FROM half"); err == nil {
		t.Error("a failed migration left half of its tables")
	}
}

// testdata has a journal in every format that was ever released, with the first 60
// records of the tale. When one fails here, journals in the field fail.
func TestEveryReleasedFormatIsRead(t *testing.T) {
	for version := 1; version <= len(migrations); version++ {
		data, err := os.ReadFile(filepath.Join("testdata", fmt.Sprintf("format_%d.db", version)))
		must(t, err)
		dir := t.TempDir()
		must(t, os.WriteFile(filepath.Join(dir, dbName), data, 0o644))
		j := open(t, dir)
		requireSame(t, tale(60), replay(t, j, 0))
		must(t, j.Append(ctx, tale(70)[60:]))
		copied := filepath.Join(dir, "copy.db")
		must(t, j.BackupTo(copied))
		must(t, j.Close())
		_, err = RestoreFrom(copied, dir, Options{})
		must(t, err)
		requireSame(t, tale(70), replay(t, open(t, dir), 0))
	}
}

func TestConcurrentUse(t *testing.T) {
	j := open(t, t.TempDir())
	records := tale(300)
	must(t, j.Append(ctx, records[:100]))
	work := []func() error{
		func() error {
			for i := 100; i < 300; i += 4 {
				if err := j.Append(ctx, records[i:i+4]); err != nil {
					return err
				}
			}
			return nil
		},
		func() error { return j.Beat(dawn) },
		func() error { return j.SaveSnapshot(50, []byte("x")) },
		func() error { return j.BackupTo(filepath.Join(j.dir, "copy.db")) },
		func() error {
			n := 0
			err := j.Replay(0, func(line.Record) error { n++; return nil })
			if err == nil && (n-100)%4 != 0 {
				err = fmt.Errorf("%d records: a command was seen in part", n)
			}
			return err
		},
	}
	done := make(chan error)
	for i, fn := range work {
		times := 4
		if i == 0 || i == 3 { // one order of records, one copy under the name
			times = 1
		}
		for range times {
			go func() { done <- fn() }()
		}
	}
	for range 1 + 4 + 4 + 1 + 4 {
		must(t, <-done)
	}
	requireSame(t, records, replay(t, j, 0))
}

func TestHeaderNamesTheApplication(t *testing.T) {
	j := open(t, t.TempDir())
	must(t, j.Close())
	data, err := os.ReadFile(j.path)
	must(t, err)
	// https://sqlite.org/fileformat2.html section 1.3: application ID at offset 68, user
	// version at 60, both big-endian.
	if id, v := binary.BigEndian.Uint32(data[68:]), binary.BigEndian.Uint32(data[60:]); id != applicationID || int(v) != len(migrations) {
		t.Errorf("application %x, version %d", id, v)
	}
}

func TestDurabilitySettings(t *testing.T) {
	j := open(t, t.TempDir())
	// https://sqlite.org/pragma.html: synchronous 2 is FULL.
	for pragma, want := range map[string]string{"journal_mode": "wal", "synchronous": "2", "foreign_keys": "1",
		"busy_timeout": "5000", "page_size": fmt.Sprint(pageSize)} {
		var got string
		must(t, j.w.QueryRow("PRAGMA "+pragma).Scan(&got))
		if got != want {
			t.Errorf("%s is %s, want %s", pragma, got, want)
		}
	}
}
