package command

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"shedbell/line"
	"shedbell/line/journal"
	"shedbell/line/linetest"
)

// What is exported and taken over into an empty folder comes out the same, byte for byte,
// and taken over once more it is nothing new.
func TestImportGivesTheSameTables(t *testing.T) {
	all := busyWeeks(t)
	s := line.NewState(&line.Site{}, linetest.Book())
	for _, r := range all {
		s = line.Apply(s, r)
	}
	for i, crop := range []string{"pea", "radish", "pea"} {
		next, recs, no := line.Do(s, line.TakeOrder{Customer: "Mill, the \"old\" one", Crop: crop, Packages: 3 + i, Due: s.At.AddDate(0, 0, 9).Format(time.DateOnly)}, s.At.Add(time.Second), "Ash")
		if no != nil {
			t.Fatal(no)
		}
		s, all = next, append(all, recs...)
	}
	run := func(dir string, args ...string) (string, string, int) { return ranAt(all[len(all)-1].At, dir, args...) }
	dir, first, second := journalOf(t, all), t.TempDir(), t.TempDir()
	if _, errs, code := run(dir, "export", first); code != 0 {
		t.Fatal(errs)
	}
	laid := line.Decision{Events: []line.Event{line.FirstRecord(linetest.Site(), linetest.Book())}}
	fresh := journalOf(t, laid.Records(&line.State{}, linetest.Morning, "Ash"))
	for _, name := range []string{"step_times.csv", "open_orders.csv"} {
		file := filepath.Join(first, name)
		want, err := os.ReadFile(file)
		if err != nil || bytes.Count(want, []byte("\n")) < 3 {
			t.Fatalf("%s says too little: %q, %v", name, want, err)
		}
		if out, errs, code := run(fresh, "import", file, "--dry-run"); code != 0 || !strings.Contains(out, "Nothing was written") {
			t.Fatalf("%d %s %s", code, out, errs)
		}
		for round, says := range []string{"0 were there already", " 0 rows taken over"} {
			out, errs, code := run(fresh, "import", file)
			if code != 0 || !strings.Contains(" "+out, says) {
				t.Fatalf("%s, round %d: %d %s %s", name, round, code, out, errs)
			}
		}
		if _, errs, code := run(fresh, "export", second); code != 0 {
			t.Fatal(errs)
		}
		if got, err := os.ReadFile(filepath.Join(second, name)); err != nil || !bytes.Equal(got, want) {
			t.Errorf("%s comes back as\n%s\nand was\n%s%v", name, got, want, err)
		}
	}
}

func lastOf(t *testing.T, dir string) int64 {
	t.Helper()
	j, err := journal.OpenReadOnly(dir)
	if err != nil {
		t.Fatal(err)
	}
	defer j.Close()
	seq, err := j.LastSeq()
	if err != nil {
		t.Fatal(err)
	}
	return seq
}

// Every fault is said at once, with its line and its column, and nothing is taken over.
func TestImportSaysEveryFault(t *testing.T) {
	dir := journalOf(t, busyWeeks(t))
	file := filepath.Join(t.TempDir(), "times.csv")
	text := "\xef\xbb\xbfdate;station;trays;took_min\r\n2026-11-30;packing table;4;3,5\r\n30 Nov;packing table;4;3,5\r\n2026-11-30;nowhere;4;3,5\r\n" +
		"2026-11-30;packing table;four;3,5\r\n2026-11-30;packing table;4;9000\r\n2026-11-30;packing table\r\n"
	if err := os.WriteFile(file, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	before := lastOf(t, dir)
	_, errs, code := ran(dir, "import", file)
	for _, want := range []string{":7:", "2 cells"} {
		if code != ExitBadInput || !strings.Contains(errs, want) {
			t.Errorf("%d, %q is not said:\n%s", code, want, errs)
		}
	}
	if err := os.WriteFile(file, []byte(strings.TrimSuffix(text, "2026-11-30;packing table\r\n")), 0o600); err != nil {
		t.Fatal(err)
	}
	_, errs, code = ran(dir, "import", file)
	for _, want := range []string{":3:", "30 Nov", ":4:", "nowhere", ":5:", "four", ":6:", "twenty times"} {
		if code != ExitBadInput || !strings.Contains(errs, want) {
			t.Errorf("%d, %q is not said:\n%s", code, want, errs)
		}
	}
	if lastOf(t, dir) != before {
		t.Error("something was taken over")
	}
	if err := os.WriteFile(file, []byte("name,colour\nx,y\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	if _, errs, code := ran(dir, "import", file); code != ExitBadInput || !strings.Contains(errs, "took_min") {
		t.Errorf("%d %s", code, errs)
	}
}

// Whatever a file holds, its faults are said or its rows are taken by a line that stands.
func FuzzImportTable(f *testing.F) {
	f.Add([]byte("date,station,crop,person,trays,took_min\n2026-11-30,packing table,pea,Ash,4,6.5\n"))
	f.Add([]byte("customer;crop;packages;net_g;due;due_at\nMill;pea;3;;2026-12-20;\n"))
	s := line.NewState(linetest.Site(), linetest.Book())
	first := line.Decision{Events: []line.Event{line.FirstRecord(linetest.Site(), linetest.Book())}}.Records(s, linetest.Morning, "Ash")
	s = line.Apply(s, first[0])
	f.Fuzz(func(t *testing.T, data []byte) {
		table, faults := readTable("table", data)
		for _, bad := range faults {
			_ = bad.Error()
		}
		if len(faults) > 0 {
			return
		}
		rows, fresh, all, err := table.take(s, nil, linetest.Morning, "Ash")
		if err != nil {
			_ = err.Error()
			return
		}
		if fresh > rows || (fresh > 0) != (len(all) > 0) {
			t.Errorf("%d of %d rows, %d records", fresh, rows, len(all))
		}
	})
}
