package journal

import (
	"errors"
	"math/rand/v2"
	"os"
	"path/filepath"
	"reflect"
	"strconv"
	"strings"
	"testing"

	"shedbell/line"
	"shedbell/recipes/strictfile/fuzztest"
)

// damageSeed makes the damage the same in each run.
var damageSeed = rand.NewPCG(11, 7)

// faults is how many faults a test puts in: SHEDBELL_FAULTS, or a short form.
func faults(short int) int {
	if n, err := strconv.Atoi(os.Getenv("SHEDBELL_FAULTS")); err == nil {
		return n
	}
	return short
}

// wholeJournal has n records, a beat after the last, and is closed or, with its
// write-ahead log unread, copied from under a running writer.
func wholeJournal(t *testing.T, n int, running bool) string {
	t.Helper()
	j := open(t, t.TempDir())
	records := tale(n)
	for i := 0; i < n; i += 3 {
		must(t, j.Append(ctx, records[i:min(i+3, n)]))
	}
	must(t, j.SaveSnapshot(int64(n/2), make([]byte, 20_000)))
	must(t, j.Beat(records[n-1].At))
	if !running {
		must(t, j.Close())
		return j.dir
	}
	copied := t.TempDir()
	copyJournal(t, j.dir, copied)
	return copied
}

func dirWith(t *testing.T, from string, damage func(dir string)) string {
	t.Helper()
	dir := t.TempDir()
	copyJournal(t, from, dir)
	damage(dir)
	return dir
}

func rewrite(t *testing.T, path string, change func([]byte) []byte) {
	t.Helper()
	data, err := os.ReadFile(path)
	must(t, err)
	must(t, os.WriteFile(path, change(data), 0o644))
}

// readable opens and replays; it reports what came out, and whether damage was
// noticed on the way. A wrong record fails the test.
func readable(t *testing.T, dir string, want []line.Record) (n int, noticed error) {
	t.Helper()
	j, err := Open(dir, Options{})
	if err != nil {
		return 0, err
	}
	defer j.Close()
	err = j.Replay(0, func(r line.Record) error {
		if n >= len(want) || !same(reflect.ValueOf(want[n]), reflect.ValueOf(r)) {
			t.Fatalf("record %d came back wrong: %+v", r.Seq, r)
		}
		n++
		return nil
	})
	return n, err
}

// salvaged salvages and demands that what is there is right, that every record is
// either there or reported lost, and that the line can go on.
func salvaged(t *testing.T, dir string, want []line.Record) Report {
	t.Helper()
	report, err := Salvage(dir, Options{})
	if err != nil {
		t.Fatal(err)
	}
	lost := map[int64]bool{}
	for _, l := range report.Losses {
		for seq := l.First; seq <= l.Last; seq++ {
			lost[seq] = true
		}
	}
	j, err := Open(dir, Options{})
	must(t, err)
	defer j.Close()
	got := replay(t, j, 0)
	if int64(len(got)) != report.Recovered || len(got)+len(lost) != len(want) {
		t.Fatalf("%d records, %d reported recovered and %d lost, of %d", len(got), report.Recovered, len(lost), len(want))
	}
	for _, r := range got {
		if lost[r.Seq] || !same(reflect.ValueOf(want[r.Seq-1]), reflect.ValueOf(r)) {
			t.Fatalf("record %d was recovered wrong", r.Seq)
		}
	}
	next := j.last.Load() + 1
	must(t, j.Append(ctx, []line.Record{{Seq: next, Group: next, At: dawn, Event: line.NoteAdded{Text: report.Says().String()}}}))
	must(t, j.Close())
	if check, err := Check(dir); err != nil || !check.OK() {
		t.Fatalf("after the salvage: %v %v", check.Faults, err)
	}
	return report
}

func TestFlippedBitIsNoticedAndCostsOneRecordAtMost(t *testing.T) {
	const records = 300
	want := tale(records)
	from := wholeJournal(t, records, false)
	info, err := os.Stat(filepath.Join(from, dbName))
	must(t, err)
	random, noticed, cost := rand.New(damageSeed), 0, 0
	flips := faults(60)
	for range flips {
		at, bit := random.IntN(int(info.Size())), byte(1)<<random.IntN(8)
		if random.IntN(10) == 0 {
			at %= 200 // the header, which a file of this size would seldom have hit
		}
		dir := dirWith(t, from, func(dir string) {
			rewrite(t, filepath.Join(dir, dbName), func(b []byte) []byte { b[at] ^= bit; return b })
		})
		n, err := readable(t, dir, want)
		var newer ErrNewer
		if errors.As(err, &newer) {
			continue // the flip made another format number of it
		}
		if err == nil && n < records {
			t.Fatalf("byte %d: %d records, and no error", at, n)
		}
		if err != nil && !errors.Is(err, ErrDamaged) && !errors.Is(err, ErrForeign) {
			t.Fatalf("byte %d: %v, want ErrDamaged", at, err)
		}
		if err == nil {
			continue // in free space or in what is derived
		}
		noticed++
		report := salvaged(t, dir, want)
		if report.KeptAs == "" || !report.Rebuilt {
			t.Fatalf("byte %d: %v, but salvage left it as it was", at, err)
		}
		if lost := records - int(report.Recovered); lost > 1 {
			t.Fatalf("byte %d bit %x: %d records lost:\n%s", at, bit, lost, report.Says())
		} else {
			cost += lost
		}
	}
	if noticed < flips/5 || cost == 0 {
		t.Errorf("only %d flips were noticed and %d records lost: the test damages nothing", noticed, cost)
	}
	t.Logf("%d of %d flips mattered, %d cost a record", noticed, flips, cost)
}

func TestFlippedBitInTheLog(t *testing.T) {
	const records = 60
	want := tale(records)
	from := wholeJournal(t, records, true)
	wal := filepath.Join(from, dbName+"-wal")
	info, err := os.Stat(wal)
	must(t, err)
	if info.Size() < 20*pageSize {
		t.Fatalf("the log has %d bytes only", info.Size())
	}
	random, noticed, cost := rand.New(damageSeed), 0, 0
	flips := faults(40)
	for range flips {
		at, bit := random.IntN(int(info.Size())), byte(1)<<random.IntN(8)
		if random.IntN(5) == 0 {
			at %= 60
		}
		dir := dirWith(t, from, func(dir string) {
			rewrite(t, filepath.Join(dir, dbName+"-wal"), func(b []byte) []byte { b[at] ^= bit; return b })
		})
		n, err := readable(t, dir, want)
		switch {
		case err == nil && n < records:
			t.Fatalf("byte %d: %d records, and no error", at, n)
		case err != nil && !errors.Is(err, ErrDamaged):
			t.Fatalf("byte %d: %v, want ErrDamaged", at, err)
		case err == nil:
			continue
		}
		noticed++
		lost := records - int(salvaged(t, dir, want).Recovered)
		if lost > 3 {
			t.Fatalf("byte %d: %d records lost", at, lost)
		}
		cost = max(cost, lost)
	}
	t.Logf("%d of %d flips mattered and were said, %d records were lost at the most", noticed, flips, cost)
}

func TestTruncatedJournal(t *testing.T) {
	const records = 300
	want := tale(records)
	from := wholeJournal(t, records, false)
	info, err := os.Stat(filepath.Join(from, dbName))
	must(t, err)
	size := int(info.Size())
	random := rand.New(damageSeed)
	for _, keep := range []int{0, 1, 99, 4095, 4096, size - 1, size - 4096, random.IntN(size), random.IntN(size), random.IntN(size)} {
		dir := dirWith(t, from, func(dir string) {
			rewrite(t, filepath.Join(dir, dbName), func(b []byte) []byte { return b[:keep] })
		})
		if n, err := readable(t, dir, want); n < records && !errors.Is(err, ErrDamaged) {
			t.Errorf("cut to %d bytes: %d records and %v, want ErrDamaged", keep, n, err)
		}
		report := salvaged(t, dir, want)
		if report.Rebuilt != (report.KeptAs != "") {
			t.Errorf("cut to %d bytes: %+v", keep, report)
		}
		if lost := records - int(report.Recovered); keep >= size-pageSize && lost > 40 {
			t.Errorf("cut to %d of %d bytes: %d records lost, more than one page holds", keep, size, lost)
		}
	}
}

func TestMissingJournalIsNoticed(t *testing.T) {
	from := wholeJournal(t, 30, false)
	dir := dirWith(t, from, func(dir string) { must(t, os.Remove(filepath.Join(dir, dbName))) })
	if _, err := Open(dir, Options{}); !errors.Is(err, ErrDamaged) {
		t.Errorf("%v, want ErrDamaged", err)
	}
	must(t, removeDB(filepath.Join(dir, dbName)))
	report, err := Salvage(dir, Options{})
	must(t, err)
	if report.Recovered != 0 || len(report.Losses) != 1 || report.Losses[0].Last != 30 {
		t.Errorf("%+v", report)
	}
}

// Whatever the power cut leaves of the write in progress, the ones before are
// there: here it leaves any part of the log's new end, with or without rubbish.
func TestTornWriteLosesNothingAcknowledged(t *testing.T) {
	j := open(t, t.TempDir())
	want := tale(40)
	random, cuts := rand.New(damageSeed), 0
	for i := 1; i < len(want); i++ {
		wal := j.path + "-wal"
		before := 0
		must(t, j.Append(ctx, want[i-1:i]))
		if info, err := os.Stat(wal); err == nil {
			before = int(info.Size())
		}
		main, err := os.ReadFile(j.path)
		must(t, err)
		must(t, j.Append(ctx, want[i:i+1]))
		after, err := os.ReadFile(wal)
		must(t, err)
		i++
		if len(after) <= before {
			continue // a new generation of the log
		}
		for range max(4, faults(0)/20) {
			cuts++
			dir := t.TempDir()
			end := before + random.IntN(len(after)-before)
			torn := append([]byte(nil), after[:end]...)
			for k := before; k < end; k++ {
				if random.IntN(2000) == 0 {
					torn[k] = byte(random.Uint32())
				}
			}
			must(t, os.WriteFile(filepath.Join(dir, dbName), main, 0o644))
			must(t, os.WriteFile(filepath.Join(dir, dbName+"-wal"), torn, 0o644))
			if n, err := readable(t, dir, want); err != nil || n < i-1 {
				t.Fatalf("%d acknowledged, %d there: %v", i-1, n, err)
			}
		}
	}
	t.Logf("%d torn writes, nothing acknowledged was lost", cuts)
}

func TestSalvageLeavesAWholeJournalAlone(t *testing.T) {
	dir := wholeJournal(t, 50, false)
	before, err := os.ReadFile(filepath.Join(dir, dbName))
	must(t, err)
	report, err := Salvage(dir, Options{})
	must(t, err)
	after, err := os.ReadFile(filepath.Join(dir, dbName))
	must(t, err)
	if report.Rebuilt || report.Recovered != 50 || string(before) != string(after) || !strings.Contains(report.Says().String(), "is whole") {
		t.Errorf("%+v: %s", report, report.Says())
	}
}

func TestLossIsSaidInMinutes(t *testing.T) {
	const records = 200
	want := tale(records)
	dir := wholeJournal(t, records, false)
	// Three records in the middle and the last one.
	lose := map[int64]bool{101: true, 102: true, 103: true, 200: true}
	found, err := carve(filepath.Join(dir, dbName))
	must(t, err)
	rewrite(t, filepath.Join(dir, dbName), func(b []byte) []byte {
		whole := string(b)
		for seq := range lose {
			data := string(found[seq].data)
			// The same JSON stands in other rows, too; the checksum's last byte tells them apart.
			for at := 0; ; at++ {
				i := strings.Index(whole[at:], data)
				if i < 0 {
					break
				}
				at += i
				end := at + len(data)
				if sum := found[seq].sum; byte(sum) == whole[end+3] && byte(sum>>8) == whole[end+2] || byte(sum) == whole[end+5] && byte(sum>>8) == whole[end+4] {
					b[end-1] ^= 1
				}
			}
		}
		return b
	})
	report := salvaged(t, dir, want)
	if len(report.Losses) != 2 {
		t.Fatalf("%s", report.Says())
	}
	const minute = "15:04"
	middle := "Records 101 to 103 are lost: from between " + want[99].At.Format("2006-01-02 15:04") + " and " + want[103].At.Format(minute) + "."
	end := "Record 200 is lost: from between " + want[198].At.Format("2006-01-02 15:04")
	if text := report.Says().String(); !strings.Contains(text, middle) || !strings.Contains(text, end) || !strings.Contains(text, "196 records were recovered") {
		t.Errorf("the report says\n%s\nwant it to say\n%s\n%s", text, middle, end)
	}
	if _, err := os.Stat(report.KeptAs); err != nil {
		t.Error(err)
	}
}

// FuzzCarve gives the carver any damage to a page. It must neither panic nor hang,
// nor find a record that was never written.
func FuzzCarve(f *testing.F) {
	data, err := os.ReadFile(filepath.Join("testdata", "format_1.db"))
	if err != nil {
		f.Fatal(err)
	}
	written := carveBytes(data, nil)
	if len(written) != 60 {
		f.Fatalf("%d records in the whole file", len(written))
	}
	for at := 0; at < len(data); at += pageSize {
		f.Add(data[at:at+pageSize], uint16(at/pageSize))
	}
	f.Fuzz(func(t *testing.T, page []byte, n uint16) {
		defer fuzztest.Bound(t)()
		db := append([]byte(nil), data...)
		copy(db[int(n)*pageSize%len(db):], page)
		for seq, w := range carveBytes(db, page) {
			if want, ok := written[seq]; ok && !reflect.DeepEqual(want, w) {
				t.Fatalf("record %d was found as %+v", seq, w)
			}
		}
	})
}
