package command

import (
	"bytes"
	"context"
	"encoding/csv"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"shedbell/line/linetest"
)

// ran runs any command on a folder, with a clock that stands two weeks after the first day.
func ran(dir string, args ...string) (stdout, stderr string, code int) {
	return ranAt(linetest.Morning.AddDate(0, 0, 14), dir, args...)
}

func ranAt(now time.Time, dir string, args ...string) (stdout, stderr string, code int) {
	var out, errs bytes.Buffer
	code = Run(context.Background(), append([]string{"--data", dir}, args...), Env{Stdin: strings.NewReader(""), Stdout: &out, Stderr: &errs,
		Getenv: func(string) string { return "" }, Now: func() time.Time { return now }})
	return out.String(), errs.String(), code
}

// validate is a reader of its own: Python's csv, its numbers and its ISO 8601, against the
// types of the Table Schema (specs.frictionlessdata.io/table-schema).
const validate = `
import csv, datetime, json, os, sys
folder = sys.argv[1]
about = json.load(open(os.path.join(folder, "datapackage.json"), encoding="utf-8"))
def instant(text):
    at = datetime.datetime.fromisoformat(text)
    assert at.tzinfo is not None, text
kinds = {"string": str, "integer": int, "number": float, "date": datetime.date.fromisoformat, "datetime": instant, "boolean": {"true": True, "false": False}.__getitem__}
for r in about["resources"]:
    with open(os.path.join(folder, r["path"]), newline="", encoding=r["encoding"]) as f:
        raw = f.read()
    assert raw.count("\n") == raw.count("\r\n"), "line ends"
    rows = list(csv.reader(raw.splitlines(keepends=True), strict=True))
    fields = r["schema"]["fields"]
    assert rows[0] == [f["name"] for f in fields], r["name"]
    seen = set()
    for row in rows[1:]:
        assert len(row) == len(fields), row
        for cell, field in zip(row, fields):
            if cell != "":
                kinds[field["type"]](cell)
        if "primaryKey" in r["schema"]:
            key = tuple(row[rows[0].index(k)] for k in r["schema"]["primaryKey"])
            assert key not in seen, (r["name"], key)
            seen.add(key)
    print(r["name"], len(rows) - 1)
`

func TestExportIsTidy(t *testing.T) {
	python := linetest.Tool(t, "python3")
	dir, to := journalOf(t, busyWeeks(t)), filepath.Join(t.TempDir(), "new")
	out, errs, code := ran(dir, "export", to)
	if code != 0 || !strings.Contains(out, "15 tables") {
		t.Fatalf("%d %q %q", code, out, errs)
	}
	said, err := exec.Command(python, "-c", validate, to).CombinedOutput()
	if err != nil {
		t.Fatalf("%v: %s", err, said)
	}
	for _, name := range []string{"steps", "step_times", "batches", "loads", "entries", "readings", "sales", "paces"} {
		if !strings.Contains(string(said), name+" ") || strings.Contains(string(said), name+" 0\n") {
			t.Errorf("%s is empty:\n%s", name, said)
		}
	}
	files, err := os.ReadDir(to)
	if err != nil || len(files) != 16 {
		t.Fatalf("%d files, %v", len(files), err)
	}
	again := t.TempDir()
	if _, errs, code := ran(dir, "export", again, "--language", "es"); code != 0 {
		t.Fatal(errs)
	}
	for _, f := range files {
		a, _ := os.ReadFile(filepath.Join(to, f.Name()))
		b, err := os.ReadFile(filepath.Join(again, f.Name()))
		if err != nil || !bytes.Equal(a, b) && f.Name() != "datapackage.json" {
			t.Errorf("%s is another one in Spanish, %v", f.Name(), err)
		}
	}
}

// What the tables say adds up to what the reports say, which are made another way.
func TestExportAgreesWithTheReports(t *testing.T) {
	dir, to := journalOf(t, busyWeeks(t)), t.TempDir()
	if _, errs, code := ran(dir, "export", to); code != 0 {
		t.Fatal(errs)
	}
	data, err := os.ReadFile(filepath.Join(to, "steps.csv"))
	if err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(bytes.NewReader(data)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	column := func(rows [][]string, name string) int { return slices.Index(rows[0], name) }
	trays := map[string]int{}
	for _, r := range rows[1:] {
		start, _ := time.Parse(time.RFC3339, r[column(rows, "started")])
		end, err := time.Parse(time.RFC3339, r[column(rows, "ended")])
		if err != nil || end.Before(start) {
			t.Errorf("a step from %s to %s, %v", r[column(rows, "started")], r[column(rows, "ended")], err)
		}
		if r[column(rows, "step")] != "sanitize" {
			trays[r[column(rows, "station")]] += number(t, r[column(rows, "trays")])
		}
	}
	table, _, _ := recorded(t, dir, "time", "--format", "csv", "--table", "by_station")
	report, err := csv.NewReader(strings.NewReader(table)).ReadAll()
	if err != nil || len(report) < 6 {
		t.Fatal(len(report), err)
	}
	checked := 0
	for _, r := range report[1:] {
		name := r[column(report, "station")]
		if n, ok := trays[name]; ok && !strings.Contains(name, "sanit") {
			checked++
			if want := number(t, r[column(report, "trays")]); n != want {
				t.Errorf("%s: steps of %d trays, the report has %d", name, n, want)
			}
		}
	}
	if checked < 4 {
		t.Errorf("only %d stations are in both", checked)
	}
}

func number(t *testing.T, s string) int {
	t.Helper()
	n := 0
	for _, r := range s {
		if r < '0' || r > '9' {
			t.Fatalf("%q is no count", s)
		}
		n = 10*n + int(r-'0')
	}
	return n
}

// BenchmarkExportYear writes the tables of a year of 260 days.
func BenchmarkExportYear(b *testing.B) {
	dir := journalOf(b, slices.Collect(linetest.Years(linetest.Morning, 260)))
	to := b.TempDir()
	for b.Loop() {
		if _, errs, code := ran(dir, "export", to); code != 0 {
			b.Fatal(errs)
		}
	}
}
