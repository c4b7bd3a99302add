package command

import (
	"bytes"
	"context"
	"database/sql"
	"encoding/csv"
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"shedbell/line"
	"shedbell/line/journal"
	"shedbell/line/linetest"
	"shedbell/line/records"
)

// journalOf saves records in a folder of their own.
func journalOf(t testing.TB, all []line.Record) string {
	t.Helper()
	dir := t.TempDir()
	j, err := journal.Open(dir, journal.Options{})
	if err != nil {
		t.Fatal(err)
	}
	for part := range slices.Chunk(all, 5000) {
		if err := j.Append(context.Background(), part); err != nil {
			t.Fatal(err)
		}
	}
	if err := j.CloseClean(all[len(all)-1].At); err != nil {
		t.Fatal(err)
	}
	return dir
}

// tablesOf are the CSV files of a report, each with one table.
func tablesOf(t testing.TB, dir string, args ...string) (out []string) {
	t.Helper()
	to := t.TempDir()
	if _, errs, code := recorded(t, dir, append(args, "-o", filepath.Join(to, "r.csv"))...); code != 0 {
		t.Fatal(args, errs)
	}
	files, err := filepath.Glob(filepath.Join(to, "r*.csv"))
	if err != nil || len(files) == 0 {
		t.Fatal(args, "wrote nothing", err)
	}
	for _, f := range files {
		data, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, string(data))
	}
	return out
}

// recorded runs shedbell records on a folder.
func recorded(t testing.TB, dir string, args ...string) (stdout, stderr string, code int) {
	t.Helper()
	var out, errs bytes.Buffer
	code = Run(context.Background(), append([]string{"records", "--data", dir}, args...), Env{Stdin: strings.NewReader(""), Stdout: &out, Stderr: &errs,
		Getenv: func(string) string { return "" }, Now: func() time.Time { return linetest.Morning.AddDate(0, 0, 14) }})
	return out.String(), errs.String(), code
}

// busyWeeks is three weeks with everything that is written down beside the work,
// slips and undos among it.
func busyWeeks(t testing.TB) []line.Record {
	t.Helper()
	var out []line.Record
	s := line.NewState(&line.Site{}, linetest.Book())
	do := func(c line.Command) {
		t.Helper()
		next, recs, no := line.Do(s, c, s.At.Add(time.Second), "Ash")
		if no != nil {
			t.Fatalf("%#v: %s", c, no.Error())
		}
		s, out = next, append(out, recs...)
	}
	fridge := line.Entry{Kind: line.EntryFridge, Initials: "A", Value: 42, Unit: line.UnitF, Where: "=fridge, the old one"}
	for r := range linetest.Years(linetest.Morning, 15) {
		r.Seq, r.Group = int64(len(out))+1, r.Group+int64(len(out))+1-r.Seq
		s, out = line.Apply(s, r), append(out, r)
		switch r.Event.(type) {
		case line.DayOpened:
			day := s.Sheet.Date[len(s.Sheet.Date)-2:]
			do(line.UseSeed{Crop: "pea", SeedLot: "P-" + day, Supplier: "Hill seeds"})
			do(line.AddMark{Text: "second basket " + day})
			do(line.Undo{})
			do(line.Undo{})
			do(line.UseSeed{Crop: "pea", SeedLot: "Q-" + day})
			do(line.ReportTrouble{At: line.Place{Station: linetest.Rack, Slot: 0}, What: "fan squeals", Effect: line.EffectAnnoys})
			do(line.Undo{})
			do(line.MakeEntry{Entry: fridge})
		case line.DayClosed:
			seq := s.Entries[len(s.Entries)-2].Seq
			do(line.MakeEntry{Entry: line.Entry{Kind: line.EntryCorrective, Initials: "A", Where: "fridge", About: seq, Text: "door was ajar"}})
			lot := s.Past[len(s.Past)-1].Ran.Lot
			do(line.Sell{Lot: lot, Customer: "Corner kitchen", Packages: 1})
			do(line.Undo{})
			do(line.Sell{Lot: lot, Customer: "Market stall", Packages: 2})
			for i := len(s.Entries) - 1; i > len(s.Entries)-6; i-- {
				if e := s.Entries[max(i, 0)]; e.Entry.Kind == line.EntryFridge && e.Corrected == 0 && e.Entry.Corrects == 0 {
					fixed := fridge
					fixed.Corrects, fixed.Value, fixed.Made = e.Seq, 40, time.Time{}
					do(line.MakeEntry{Entry: fixed})
					break
				}
			}
		}
	}
	return out
}

func TestSomeDaysAreReadAsFromTheWhole(t *testing.T) {
	all := busyWeeks(t)
	dir := journalOf(t, all)
	for _, f := range []records.Filter{{From: "2026-12-08", To: "2026-12-10"}, {From: "2026-12-14"}, {To: "2026-12-04"}, {From: "2026-12-09", To: "2026-12-09", Crop: "pea"}} {
		j, err := journal.OpenReadOnly(dir)
		if err != nil {
			t.Fatal(err)
		}
		b := &bookReader{j: j, ctx: context.Background(), tell: func(float64) {}}
		some, err := b.days(f)
		if err != nil {
			t.Fatal(err)
		}
		whole := linetest.ReadSlice(all, f)
		for _, what := range []string{"time", "charts", "safety", "lots", "labels", "alarms"} {
			c := recordsCmd{What: what}
			var got, want bytes.Buffer
			if err := c.write(&got, &app{}, nil, some, "json"); err != nil {
				t.Fatal(err)
			}
			if err := c.write(&want, &app{}, nil, whole, "json"); err != nil {
				t.Fatal(err)
			}
			if got.String() != want.String() {
				t.Errorf("%s of %+v is not what the whole journal says:\n%s", what, f, difference(got.String(), want.String()))
			}
		}
		_ = j.Close()
	}
}

// difference is the first line that differs.
func difference(a, b string) string {
	x, y := strings.Split(a, "\n"), strings.Split(b, "\n")
	for i := range min(len(x), len(y)) {
		if x[i] != y[i] {
			return x[i] + "\n" + y[i]
		}
	}
	return "one is longer"
}

func TestRecordsInEveryFormat(t *testing.T) {
	dir := journalOf(t, busyWeeks(t))
	text, errs, code := recorded(t, dir, "safety", "--from", "2026-12-08", "--to", "2026-12-08")
	if code != 0 || !strings.Contains(text, "40 F") || !strings.Contains(text, "which said") || !strings.Contains(text, "42 F") ||
		!strings.Contains(text, "FDA Food Code") || strings.Contains(strings.ToLower(text), "compliant") {
		t.Errorf("%d %s\n%s", code, errs, text)
	}
	table, _, _ := recorded(t, dir, "lots", "--format", "csv", "--from", "2026-12-08", "--to", "2026-12-08")
	rows, err := csv.NewReader(strings.NewReader(table)).ReadAll()
	if err != nil || rows[0][0] != "lot" || !strings.HasPrefix(rows[1][0], "2026-12-08-") {
		t.Fatalf("%v %q", err, rows)
	}
	object, _, _ := recorded(t, dir, "recall", rows[1][0], "--format", "json")
	var doc struct {
		Sections []struct{ Rows []map[string]any }
	}
	if err := json.Unmarshal([]byte(object), &doc); err != nil || len(doc.Sections[0].Rows) < 20 || doc.Sections[0].Rows[0]["lot"] != rows[1][0] {
		t.Errorf("%v %.300s", err, object)
	}
	labels, _, _ := recorded(t, dir, "labels", "--lot", rows[1][0])
	if !strings.Contains(labels, "Lot "+rows[1][0]+"\n") || !strings.Contains(labels, "KEEP COLD: 5 C (41 F) or below\n") || !strings.Contains(labels, "125 g (4.4 oz)") {
		t.Errorf("%q", labels)
	}
	for _, args := range [][]string{{"day"}, {"charts"}, {"backlog"}, {"alarms"}, {"sign-offs"}, {"sow"}, {"trace", rows[1][0]}, {"time", "--crop", "pea"}} {
		out, errs, code := recorded(t, dir, args...)
		again, _, _ := recorded(t, dir, args...)
		if code != 0 || len(out) < 100 || out != again {
			t.Errorf("%v: %d %s, %d bytes, the same again: %v", args, code, errs, len(out), out == again)
		}
	}
}

func TestTimeOfOneCropAlone(t *testing.T) {
	dir := journalOf(t, slices.Collect(linetest.Years(linetest.Morning, 2)))
	out, errs, code := recorded(t, dir, "time", "--crop", "pea")
	if code != 0 || !strings.Contains(out, "These batches only") || strings.Contains(out, "BY PERSON") || strings.Contains(out, "radish") {
		t.Errorf("%d %s\n%s", code, errs, out)
	}
	all, _, _ := recorded(t, dir, "time", "--format", "csv", "--table", "by_crop")
	one, _, _ := recorded(t, dir, "time", "--crop", "pea", "--format", "csv", "--table", "by_crop")
	row := func(text string) string {
		lines := strings.Split(text, "\r\n")
		i := slices.IndexFunc(lines, func(l string) bool { return strings.HasPrefix(l, "pea,") })
		return strings.Trim(lines[max(i, 0)], ",")
	}
	if got, want := row(one), row(all); !strings.HasPrefix(want, "pea,") || got != want {
		t.Errorf("the crop's row is %q, and among all %q", got, want)
	}
}

func TestRecordsOnPaper(t *testing.T) {
	dir := journalOf(t, busyWeeks(t))
	pdftotext := linetest.Tool(t, "pdftotext")
	file := filepath.Join(t.TempDir(), "folder.pdf")
	for _, args := range [][]string{{"safety"}, {"charts"}, {"day"}} {
		if _, errs, code := recorded(t, dir, append(args, "-o", file)...); code != 0 {
			t.Fatal(errs)
		}
		first, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		_, _, _ = recorded(t, dir, append(args, "-o", file)...)
		if second, _ := os.ReadFile(file); !bytes.Equal(first, second) || !bytes.HasPrefix(first, []byte("%PDF-")) {
			t.Errorf("%v: the same journal gave another file", args)
		}
		out, err := exec.Command(pdftotext, "-layout", file, "-").Output()
		if err != nil {
			t.Fatal(err)
		}
		want := map[string][]string{"safety": {"Safety records", "40 F", "21 CFR 112.164(a)(1)", "page 1 of"}, "charts": {"Trays an hour", "upper", "NIST"},
			"day": {"Day of 2026-12-23", "Busiest", "page 1 of 1"}}[args[0]]
		for _, w := range want {
			if !strings.Contains(string(out), w) {
				t.Errorf("pdftotext finds no %q in %v:\n%.1500s", w, args, out)
			}
		}
	}
}

// Three readers that know nothing of each other, encoding/csv, Python's csv and
// pdftotext, find the same values in a report that was written for each.
func TestReadersAgree(t *testing.T) {
	python, pdftotext := linetest.Tool(t, "python3"), linetest.Tool(t, "pdftotext")
	dir := journalOf(t, busyWeeks(t))
	for _, what := range []string{"safety", "time", "lots"} {
		pdf, table := filepath.Join(t.TempDir(), "r.pdf"), filepath.Join(t.TempDir(), "r.csv")
		part := map[string]string{"safety": "fridge-temperature", "time": "by_station", "lots": "lots"}[what]
		for _, args := range [][]string{{"-o", pdf}, {"-o", table, "--table", part}} {
			if _, errs, code := recorded(t, dir, append([]string{what}, args...)...); code != 0 {
				t.Fatal(errs)
			}
		}
		data, err := os.ReadFile(table)
		if err != nil {
			t.Fatal(err)
		}
		rows, err := csv.NewReader(bytes.NewReader(data)).ReadAll()
		if err != nil || len(rows) < 10 {
			t.Fatal(len(rows), err)
		}
		out, err := exec.Command(python, "-c", "import csv,json,sys\nprint(json.dumps(list(csv.reader(open(sys.argv[1],newline='',encoding='utf-8'),strict=True))))", table).Output()
		var theirs [][]string
		if err != nil || json.Unmarshal(out, &theirs) != nil || !slices.EqualFunc(rows, theirs, slices.Equal[[]string]) {
			t.Errorf("%s: Python reads other values, %v", what, err)
		}
		paper, err := exec.Command(pdftotext, pdf, "-").Output()
		if err != nil {
			t.Fatal(err)
		}
		// A cell may be wrapped in its column: without spaces it is in one piece, or
		// at least each of its words is.
		words := map[string]bool{}
		for _, w := range strings.Fields(string(paper)) {
			words[w] = true
		}
		for _, row := range rows[1:] {
			for i, cell := range row {
				if strings.HasSuffix(rows[0][i], "_code") {
					continue // for programs alone
				}
				if at, err := time.Parse(time.RFC3339, cell); err == nil {
					cell = at.Format("2006-01-02 15:04 -07:00")
				}
				for _, w := range strings.Fields(strings.TrimPrefix(cell, "'")) {
					if !words[w] {
						t.Errorf("%s: pdftotext finds no %q of %q", what, w, cell)
					}
				}
			}
		}
	}
}

// What is kept beside the events, the index of days and the snapshots, is derived from
// them: without it the same reports come back byte for byte.
func TestReportsDeriveFromTheEventsAlone(t *testing.T) {
	dir := journalOf(t, busyWeeks(t))
	asks := [][]string{{"time"}, {"safety", "--from", "2026-12-08", "--to", "2026-12-10"}, {"lots", "--crop", "pea"}, {"day"}, {"charts", "--to", "2026-12-14"}, {"backlog"}}
	var before [][]string
	for _, format := range recordFormats {
		for _, ask := range asks {
			args := append(slices.Clone(ask), "--format", format)
			if table := map[string]string{"time": "by_day", "safety": "fridge-temperature", "day": "crops"}[ask[0]]; format == "csv" && table != "" {
				args = append(args, "--table", table)
			}
			if format == "csv" && ask[0] == "charts" {
				continue
			}
			out, errs, code := recorded(t, dir, args...)
			if code != 0 || len(out) < 20 {
				t.Fatal(args, code, errs)
			}
			before = append(before, args, []string{out})
		}
	}
	db, err := sql.Open("sqlite", filepath.Join(dir, "shedbell.db"))
	if err != nil {
		t.Fatal(err)
	}
	var days int
	if err := db.QueryRow("SELECT count(*) FROM days").Scan(&days); err != nil || days != 15 {
		t.Fatal(days, err)
	}
	if _, err := db.Exec("DELETE FROM days; DELETE FROM snapshots; PRAGMA wal_checkpoint(TRUNCATE)"); err != nil {
		t.Fatal(err)
	}
	if err := db.Close(); err != nil {
		t.Fatal(err)
	}
	for i := 0; i < len(before); i += 2 {
		if out, errs, _ := recorded(t, dir, before[i]...); out != before[i+1][0] {
			t.Errorf("%v is another report: %s\n%s", before[i], errs, difference(out, before[i+1][0]))
		}
	}
}

func TestProgressAfterASecond(t *testing.T) {
	dir := journalOf(t, slices.Collect(linetest.Years(linetest.Morning, 20)))
	for pace, want := range map[time.Duration]bool{time.Millisecond: false, 2 * time.Second: true} {
		var out, errs bytes.Buffer
		now := linetest.Morning
		Run(context.Background(), []string{"records", "time", "--data", dir}, Env{Stdin: strings.NewReader(""), Stdout: &out, Stderr: &errs,
			Getenv: func(string) string { return "" }, Now: func() time.Time { now = now.Add(pace); return now }})
		if got := strings.Contains(errs.String(), "reading the journal: "); got != want {
			t.Errorf("a clock that goes on by %s: progress %v, %q", pace, got, errs.String())
		}
		if strings.Contains(out.String(), "reading the journal") || out.Len() == 0 {
			t.Error("the progress is in the report")
		}
	}
}

func TestRecordsRefuse(t *testing.T) {
	dir := journalOf(t, slices.Collect(linetest.Years(linetest.Morning, 1)))
	for want, args := range map[string][]string{
		"did you mean \"pea\"?":      {"--crop", "paes"},
		"no lot \"zzz\" was packed":  {"lots", "--lot", "zzz"},
		"is not a date":              {"time", "--from", "yesterday"},
		"Swap them":                  {"time", "--from", "2026-12-04", "--to", "2026-12-03"},
		"say which lot":              {"trace"},
		"takes no lot":               {"lots", "2026-12-03-001"},
		"there's no format":          {"lots", "--format", "xls"},
		"no lot \"nonsense\"":        {"recall", "nonsense"},
		"no such day":                {"day", "--from", "1999-01-01", "--to", "1999-01-02"},
		"journal has no such day":    {"day", "--to", "1999-01-02"},
		"there's no \"gossip\"":      {"gossip"},
		"There's no journal":         nil,
		"is a folder. Give the name": {"lots", "-o", dir},
	} {
		folder := dir
		if args == nil {
			folder = t.TempDir()
		}
		if _, errs, code := recorded(t, folder, args...); code != ExitBadInput || !strings.Contains(strings.ToLower(strings.Join(strings.Fields(errs), " ")), strings.ToLower(want)) {
			t.Errorf("%v: %d, %q, not %q", args, code, errs, want)
		}
	}
}

// Text, PDF and the heads of a CSV file are in the reader's language, each head once;
// JSON is the same in all.
func TestRecordsSpeakTheChosenLanguage(t *testing.T) {
	dir := journalOf(t, busyWeeks(t))
	for _, what := range []string{"day", "time", "charts", "backlog", "safety", "lots", "labels", "alarms", "sign-offs", "next", "sow"} {
		english, _, _ := recorded(t, dir, what, "--format", "json")
		spanish, _, _ := recorded(t, dir, what, "--format", "json", "--language", "es")
		if english != spanish {
			t.Errorf("%s: JSON depends on the language", what)
		}
		for _, table := range tablesOf(t, dir, what, "--language", "es") {
			rows, err := csv.NewReader(strings.NewReader(table)).ReadAll()
			if err != nil {
				t.Fatal(err)
			}
			for i, head := range rows[0] {
				if strings.Contains(head, "_") || slices.Contains(rows[0][:i], head) {
					t.Errorf("%s: column %q of %q", what, head, rows[0])
				}
			}
		}
	}
	for want, what := range map[string]string{"Día 2026-12-23": "day", "POR ESTACIÓN": "time"} {
		if out, _, _ := recorded(t, dir, what, "--language", "es"); !strings.Contains(out, want) {
			t.Errorf("%s does not say %q:\n%s", what, want, out)
		}
	}
	pdf := filepath.Join(t.TempDir(), "dia.pdf")
	if _, errs, code := recorded(t, dir, "day", "--language", "es", "-o", pdf); code != 0 {
		t.Fatal(errs)
	}
	text, err := exec.Command(linetest.Tool(t, "pdftotext"), "-layout", pdf, "-").Output()
	for _, want := range []string{"Día 2026-12-23", "último registro", "página 1 de", "bandejas"} {
		if err != nil || !strings.Contains(string(text), want) {
			t.Errorf("the PDF does not say %q, %v:\n%s", want, err, text)
		}
	}
}

// The page for the folder carries the word that verify finds in the journal.
func TestThePageCarriesTheCheckWord(t *testing.T) {
	pdftotext := linetest.Tool(t, "pdftotext")
	dir := journalOf(t, busyWeeks(t))
	for _, language := range []string{"en", "es"} {
		file := filepath.Join(t.TempDir(), "safety.pdf")
		if _, errs, code := recorded(t, dir, "safety", "--language", language, "-o", file); code != 0 {
			t.Fatal(errs)
		}
		out, err := exec.Command(pdftotext, "-layout", file, "-").Output()
		if err != nil {
			t.Fatal(err)
		}
		if word := lastWord(t, dir); !strings.Contains(string(out), word) {
			t.Errorf("%s: no %s on the page:\n%s", language, word, out)
		}
	}
}

// lastWord is the check word of a folder's journal.
func lastWord(t *testing.T, dir string) (word string) {
	t.Helper()
	j, err := journal.OpenReadOnly(dir)
	if err != nil {
		t.Fatal(err)
	}
	defer j.Close()
	if err := j.Chain(t.Context(), func(l journal.Link) error {
		word = l.Word.String()
		return nil
	}); err != nil {
		t.Fatal(err)
	}
	return word
}

// The sheet has a label for each package, ten on a page, with what a customer needs; in
// Spanish too. pdftotext reads it.
func TestLabelSheet(t *testing.T) {
	dir := journalOf(t, busyWeeks(t))
	pdftotext := linetest.Tool(t, "pdftotext")
	file := filepath.Join(t.TempDir(), "labels.pdf")
	table, _, _ := recorded(t, dir, "lots", "--format", "csv", "--from", "2026-12-08", "--to", "2026-12-08")
	rows, err := csv.NewReader(strings.NewReader(table)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	lot := rows[1][0]
	packages, err := strconv.Atoi(rows[1][slices.Index(rows[0], "packages")])
	if err != nil || packages < 5 {
		t.Fatalf("%d packages, %v", packages, err)
	}
	for language, says := range map[string][]string{"en": {"Lot " + lot, "Packed ", "Net weight", "KEEP COLD: 5 C (41 F) or below"}, "es": {"Lote " + lot, "Empacado el ", "Peso neto", "MANTENER FRÍO: a 5 C (41 F) o menos"}} {
		if _, errs, code := recorded(t, dir, "labels", "--lot", lot, "-o", file, "--language", language); code != 0 {
			t.Fatal(errs)
		}
		out, err := exec.Command(pdftotext, "-layout", file, "-").Output()
		if err != nil {
			t.Fatal(err)
		}
		for _, text := range says {
			if n := strings.Count(string(out), text); n != packages {
				t.Errorf("%s: %q is there %d times, want %d", language, text, n, packages)
			}
		}
		if pages := strings.Count(string(out), "\f"); pages != (packages+9)/10 {
			t.Errorf("%d pages for %d labels", pages, packages)
		}
	}
}
