package report

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"shedbell/line"
	"shedbell/line/linetest"
	"shedbell/line/say"
	"shedbell/recipes/strictfile/fuzztest"
)

func sample() *Doc {
	t := &Table{Columns: []Column{{Key: "when", Head: "when"}, {Key: "value", Head: "value", Unit: "ppm", Right: true}, {Key: "text", Head: "what was seen"}}}
	for i := range 70 {
		t.Rows = append(t.Rows, []Cell{Text("2026-12-03"), Number(float64(i)*1.25, 2), Text("Łąka, \"two\"; Größe 3 µm, Ω")})
	}
	t.Rows = append(t.Rows, []Cell{Text("=1+1"), Number(-3, 0), Text("+cmd|' /C calc'!A0")})
	return &Doc{Name: "sample", Title: say.Of("Sample of a report"), Lines: []say.Sentence{say.Of("Alder shed")}, Foot: say.Of("Values beside limits."),
		Made: time.Date(2026, 12, 3, 17, 4, 5, 0, time.UTC),
		Sections: []Section{{Name: "one", Title: say.Of("One"), Text: []say.Sentence{say.New("A paragraph.")}, Table: t,
			Charts: []Chart{{Title: say.Of("Hours"), Unit: "h", Labels: []string{"a", "b", "c"}, Values: []float64{1, 3, 2}, Limits: true, Mean: 2, Upper: 4, Lower: 0, Flags: []int{1}, Marks: []ChartMark{{1, "second basket"}}}}}}}
}

func TestCSVIsReadBack(t *testing.T) {
	var b bytes.Buffer
	if err := CSV(&b, sample(), sample().Sections[0].Table); err != nil {
		t.Fatal(err)
	}
	if !strings.HasSuffix(b.String(), "\r\n") || strings.Count(b.String(), "\r\n") != 72 {
		t.Error("lines do not end with CRLF, RFC 4180 section 2.1")
	}
	rows, err := csv.NewReader(&b).ReadAll() // an independent reader; it wants as many fields on every line
	if err != nil {
		t.Fatal(err)
	}
	if len(rows) != 72 || rows[0][1] != "value" || rows[2][1] != "1.25" || rows[1][2] != "Łąka, \"two\"; Größe 3 µm, Ω" {
		t.Errorf("%q", rows[:3])
	}
	if last := rows[71]; last[0] != "'=1+1" || last[1] != "-3" || last[2] != "'+cmd|' /C calc'!A0" {
		t.Errorf("a formula came through: %q", last)
	}
}

func TestPythonReadsTheCSV(t *testing.T) {
	python := linetest.Tool(t, "python3")
	var b bytes.Buffer
	if err := CSV(&b, sample(), sample().Sections[0].Table); err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command(python, "-c", "import csv,sys,io\nr=list(csv.reader(io.StringIO(sys.stdin.buffer.read().decode('utf-8'),newline=''),strict=True))\nprint(len(r),{len(x) for x in r},r[2][1])")
	cmd.Stdin = &b
	out, err := cmd.CombinedOutput()
	if err != nil || strings.TrimSpace(string(out)) != "72 {3} 1.25" {
		t.Errorf("%s, %v", out, err)
	}
}

// One kind of value a column: readings stand under their unit, instants have their zone,
// and a word has its code beside it, in every language.
func TestATableOfValuesIsTidy(t *testing.T) {
	at := time.Date(2026, 12, 3, 17, 4, 5, 0, time.FixedZone("", 3600))
	table := &Table{Columns: []Column{{Key: "at"}, {Key: "value"}, {Key: "known", Head: "weight is"}}, Rows: [][]Cell{
		{Instant(at), reading(&line.Entry{Value: 4.3, Unit: line.UnitC}), Sentence(line.Weighed.Says())},
		{Instant(at), reading(&line.Entry{Value: 14000, Unit: line.UnitPPM}), Sentence(line.Assumed.Says())},
		{Instant(time.Time{}), reading(&line.Entry{}), Sentence(say.Sentence{})}}}
	d := &Doc{Sections: []Section{{Table: table}}}
	var b bytes.Buffer
	if err := CSV(&b, d, table); err != nil {
		t.Fatal(err)
	}
	want := "at,value_c,value_ppm,known_code,known\r\n2026-12-03T17:04:05+01:00,4.3,,weighed,weighed\r\n2026-12-03T17:04:05+01:00,,14000,assumed,assumed\r\n,,,,\r\n"
	if b.String() != want {
		t.Errorf("%q, not %q", b.String(), want)
	}
	b.Reset()
	es, err := say.NewSpeaker("es", say.Prefs{})
	if err != nil {
		t.Fatal(err)
	}
	spanish := d.In(es)
	if err := CSV(&b, spanish, spanish.Sections[0].Table); err != nil {
		t.Fatal(err)
	}
	if got := strings.Split(b.String(), "\r\n")[1]; !strings.HasPrefix(got, "2026-12-03T17:04:05+01:00,4.3,,weighed,") || strings.HasSuffix(got, ",weighed") {
		t.Errorf("in Spanish %q", got)
	}
}

func TestJSONKeepsOrderAndNumbers(t *testing.T) {
	var b bytes.Buffer
	if err := JSON(&b, sample()); err != nil {
		t.Fatal(err)
	}
	var doc struct {
		Report   string
		Sections []struct {
			Rows []struct {
				When  string
				Value float64
			}
		}
	}
	if err := json.Unmarshal(b.Bytes(), &doc); err != nil {
		t.Fatal(err)
	}
	if doc.Report != "sample" || doc.Sections[0].Rows[1].Value != 1.25 || doc.Sections[0].Rows[70].When != "=1+1" {
		t.Errorf("%+v", doc)
	}
}

func TestPDFIsReadBack(t *testing.T) {
	var b bytes.Buffer
	if err := PDF(&b, sample()); err != nil {
		t.Fatal(err)
	}
	var again bytes.Buffer
	if err := PDF(&again, sample()); err != nil || !bytes.Equal(b.Bytes(), again.Bytes()) {
		t.Errorf("the same report gave other bytes: %v", err)
	}
	if dir := os.Getenv("SHEDBELL_KEEP"); dir != "" {
		_ = os.WriteFile(filepath.Join(dir, "sample.pdf"), b.Bytes(), 0o644)
	}
	reader := linetest.Tool(t, "pdftotext")
	cmd := exec.Command(reader, "-layout", "-", "-")
	cmd.Stdin = &b
	out, err := cmd.Output()
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"Sample of a report", "Alder shed", "86.25", "Łąka, \"two\"; Größe 3 µm, Ω", "page 1 of ", "second basket", "2026-12-03 17:04", "Values beside limits."} {
		if !strings.Contains(string(out), want) {
			t.Errorf("pdftotext finds no %q", want)
		}
	}
	if n := strings.Count(string(out), "what was seen"); n < 2 {
		t.Errorf("the heads are there %d times, on more than one page", n)
	}
}

func TestTextReport(t *testing.T) {
	var b bytes.Buffer
	d := sample()
	d.Sections[0].Table.Rows[0][2] = Text("bell\a, esc\x1b[31m and\nlines \u202etxt")
	if err := Plain(&b, d); err != nil {
		t.Fatal(err)
	}
	if s := b.String(); !strings.Contains(s, "bell, esc[31m and lines txt") || strings.ContainsAny(s, "\a\x1b\u202e") {
		t.Errorf("control characters came through: %q", s[:400])
	}
}

func TestBarsHaveTheirNamesAndValues(t *testing.T) {
	var b bytes.Buffer
	d := &Doc{Sections: []Section{{Charts: []Chart{{Title: say.Of("Work"), Unit: "min", Bars: true, Labels: []string{"hands", "wa\x1biting"}, Values: []float64{120, 30}}}}}}
	if err := Plain(&b, d); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"Work, min\n", "  hands    120.0  " + strings.Repeat("#", 40) + "\n", "  waiting   30.0  " + strings.Repeat("#", 10) + "\n"} {
		if !strings.Contains(b.String(), want) {
			t.Errorf("no %q in %q", want, b.String())
		}
	}
}

func FuzzField(f *testing.F) {
	for _, s := range []string{"=1", " =1", "\t=1", "-5", "@x", "a,b", `"`, "'", "\r\n=2", "\uff1d1", "", "\u00a0=1", "\ufeff=1", "\u2003=1"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		defer fuzztest.Bound(t)()
		d := &Doc{Sections: []Section{{Table: &Table{Columns: []Column{{Key: "a"}, {Key: "b"}}, Rows: [][]Cell{{Text(s), Text("end")}}}}}}
		var b bytes.Buffer
		if err := CSV(&b, d, d.Sections[0].Table); err != nil {
			t.Fatal(err)
		}
		rows, err := csv.NewReader(&b).ReadAll()
		if err != nil || len(rows) != 2 || len(rows[1]) != 2 || rows[1][1] != "end" {
			t.Fatalf("%q came back as %q, %v", s, rows, err)
		}
		got := rows[1][0]
		if strings.TrimPrefix(got, "'") != strings.TrimPrefix(Clean(s), "'") {
			t.Errorf("%q came back as %q", s, got)
		}
		// What a spreadsheet may take for the beginning of a formula once it has
		// taken the spaces off.
		if lead := strings.TrimSpace(got); lead != "" && strings.ContainsRune("=+-@\uff1d\uff0b\uff0d\uff20", []rune(lead)[0]) {
			t.Errorf("%q begins like a formula", got)
		}
	})
}
