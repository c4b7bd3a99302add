package report_test

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"io"
	"maps"
	"os/exec"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"
	"unicode"

	"shedbell/line"
	"shedbell/line/linetest"
	"shedbell/line/records"
	"shedbell/line/records/report"
	"shedbell/line/say"
)

// hostile are names that attack a spreadsheet (OWASP, CSV injection: = + - @ tab and
// carriage return), a terminal (ECMA-48 escape sequences, in seven and in eight bits)
// or the reader (Unicode TR 36: controls that turn the direction of writing).
var hostile = []string{
	"=cmd|' /C calc'!A0", "+1+1", "-2+3", "@SUM(A1)", "\t=1", "\r=1", "\n=1", " =1", "\uff1d1", "\ufeff=1", "'=1",
	"\x1b[2J", "\x1b]0;title\a", "\x1bP1;2|x\x1b\\", "\u009b31m", "\u009d0;x\u009c", "\x00", "\x7f\b\b", "a\r\nb,\"c\"",
	"\u202egnp.exe", "\u2066x\u2069", "\u200fx", "x\u200ey", "\u2028x", "\u061cx", "</script>", "\\u001b[31m",
}

// twoDays are rehearsed once for all names.
var twoDays = sync.OnceValue(func() []line.Record { return slices.Collect(linetest.Years(linetest.Morning, 2)) })

// hostileJournal is two days with every name replaced by a hostile one: what an older
// version, another program or a stray hand may have put into a journal.
func hostileJournal(t *testing.T, evil string) []line.Record {
	t.Helper()
	name, err := json.Marshal(evil)
	if err != nil {
		t.Fatal(err)
	}
	var all []line.Record
	for _, r := range twoDays() {
		kind, data, err := line.EncodeEvent(r.Event)
		if err != nil {
			t.Fatal(err)
		}
		for _, plain := range []string{"pea", "Ash", "Alder shed", "tub", "fridge", "spinner", "peroxyacetic acid"} {
			data = bytes.ReplaceAll(data, []byte(`"`+plain+`"`), name)
		}
		if r.Event, err = line.DecodeEvent(kind, data); err != nil {
			t.Fatal(err)
		}
		r.By = evil
		all = append(all, r)
	}
	lot := ""
	for _, r := range all {
		if e, ok := r.Event.(line.StepFinished); ok && e.Lot != "" {
			lot = e.Lot
		}
	}
	last := all[len(all)-1]
	entry := line.Entry{Kind: line.EntryStrength, Made: last.At, Initials: evil, Where: evil, Value: 90, Unit: line.UnitPPM, Use: line.UseWater,
		Product: "peroxyacetic" + evil, ProductLot: evil, Lot: lot, Text: evil}
	fixed := entry
	fixed.Corrects = last.Seq + 1
	for i, e := range []line.Event{line.EntryMade{Entry: entry}, line.EntryMade{Entry: fixed}, line.NoteAdded{Text: evil}, line.MarkAdded{Text: evil},
		line.SeedUsed{Crop: evil, SeedLot: evil, Supplier: evil}, line.TroubleReported{At: line.Nowhere, Where: evil, What: evil, Effect: line.EffectAnnoys},
		line.Sold{Lot: lot, Crop: evil, Customer: evil, Packages: 1, Reference: evil}, line.OrderTaken{Customer: evil, Crop: evil, Packages: 2, Due: evil}} {
		all = append(all, line.Record{Seq: last.Seq + 1 + int64(i), Group: last.Seq + 1 + int64(i), At: last.At, By: evil, Event: e})
	}
	return all
}

// docs are all the reports there are of a book.
func docs(t *testing.T, b *records.Book) []*report.Doc {
	t.Helper()
	out := []*report.Doc{report.Sow(b, line.NewState(b.Site, b.Recipes), b.Last)}
	for _, what := range slices.Sorted(maps.Keys(report.What)) {
		out = append(out, report.What[what](b))
	}
	day, ok := report.Day(b, b.Days[len(b.Days)-1].Date)
	if !ok {
		t.Fatal("no day")
	}
	lots := b.Lots()
	for _, write := range []func(*records.Book, string) (*report.Doc, error){report.Trace, report.Recall} {
		d, err := write(b, lots[len(lots)-1].Code)
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, d)
	}
	return append(out, day)
}

// dangerous is what must not come through to a terminal or turn a line round. Line
// ends are what the format has of its own.
func dangerous(r rune) bool {
	return r != '\n' && (unicode.IsControl(r) || unicode.Is(unicode.Bidi_Control, r) || r == '\ufeff' || r == '\u2028' || r == '\u2029')
}

func TestHostileNamesComeThroughNowhere(t *testing.T) {
	for _, evil := range hostile {
		t.Run(fmt.Sprintf("%q", evil), func(t *testing.T) {
			b := linetest.ReadSlice(hostileJournal(t, evil), records.Filter{})
			check := func(where, out string) {
				t.Helper()
				if i := strings.IndexFunc(out, dangerous); i >= 0 {
					t.Errorf("%s: %q", where, out[max(0, i-20):min(len(out), i+20)])
				}
			}
			for _, d := range docs(t, b) {
				write := func(f func(io.Writer, *report.Doc) error) string {
					var out bytes.Buffer
					if err := f(&out, d); err != nil {
						t.Fatal(err)
					}
					return out.String()
				}
				check(d.Name+" as text", write(report.Plain))
				check(d.Name+" as JSON", write(report.JSON))
				checkJSON(t, d.Name, write(report.JSON))
				for _, s := range d.Tables() {
					text := write(func(w io.Writer, d *report.Doc) error { return report.CSV(w, d, s.Table) })
					check(d.Name+" as CSV", strings.ReplaceAll(text, "\r\n", "\n"))
					checkCSV(t, d.Name, text)
				}
			}
			check("labels", report.LabelText(b, say.English()))
		})
	}
}

// checkJSON holds that nothing dangerous is hidden in an escape of JSON either.
func checkJSON(t *testing.T, name, text string) {
	t.Helper()
	d := json.NewDecoder(strings.NewReader(text))
	for {
		token, err := d.Token()
		if err == io.EOF {
			return
		}
		if err != nil {
			t.Fatal(err)
		}
		if s, ok := token.(string); ok && strings.ContainsFunc(s, dangerous) {
			t.Errorf("%s as JSON: %q", name, s)
		}
	}
}

func checkCSV(t *testing.T, name, text string) {
	t.Helper()
	rows, err := csv.NewReader(strings.NewReader(text)).ReadAll()
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	for _, row := range rows {
		for _, field := range row {
			lead := strings.TrimSpace(field)
			if lead == "" || !strings.ContainsRune("=+-@\uff1d\uff0b\uff0d\uff20", []rune(lead)[0]) {
				continue
			}
			if strings.Trim(lead, "-0123456789.") != "" { // a number may be negative
				t.Errorf("%s: %q begins like a formula", name, field)
			}
		}
	}
}

// The PDF is opened by an independent reader.
func TestHostileNamesInThePDF(t *testing.T) {
	reader := linetest.Tool(t, "pdftotext")
	b := linetest.ReadSlice(hostileJournal(t, strings.Join(hostile, "")), records.Filter{})
	for _, d := range docs(t, b) {
		var out bytes.Buffer
		if err := report.PDF(&out, d); err != nil {
			t.Fatal(err)
		}
		for _, bad := range []string{"/JavaScript", "/OpenAction", "/Launch"} { // nothing that a viewer would run
			if bytes.Contains(out.Bytes(), []byte(bad)) {
				t.Errorf("%s holds %s", d.Name, bad)
			}
		}
		cmd := exec.Command(reader, "-layout", "-", "-")
		cmd.Stdin = &out
		text, err := cmd.Output()
		if err != nil {
			t.Fatal(err)
		}
		if s := strings.ReplaceAll(string(text), "\f", "\n"); strings.ContainsFunc(s, dangerous) {
			t.Errorf("%s: %q", d.Name, s[strings.IndexFunc(s, dangerous):][:20])
		}
	}
}

// The tool shows values beside limits and passes no verdict.
func TestNoReportCallsAnythingCompliant(t *testing.T) {
	b := linetest.ReadSlice(hostileJournal(t, "pea"), records.Filter{})
	var all strings.Builder
	for _, d := range docs(t, b) {
		if err := report.Plain(&all, d); err != nil {
			t.Fatal(err)
		}
	}
	said := strings.ToLower(all.String())
	for _, verdict := range []string{"complian", "passed", "safe to", "approved", "certif"} {
		if i := strings.Index(said, verdict); i >= 0 {
			t.Errorf("a report says %q", said[max(0, i-40):i+40])
		}
	}
	for _, want := range []string{"is for the product's label", "21 cfr 173.315(a)(5)", "raw, harvest-cut greens are outside it"} {
		if !strings.Contains(said, want) {
			t.Errorf("no report says %q", want)
		}
	}
}

// An entry that was corrected after its day was closed stands with both of its values
// and both instants; nothing is overwritten.
func TestClosedDayCorrectedInSight(t *testing.T) {
	all := slices.Collect(linetest.Years(linetest.Morning, 1))
	s := line.NewState(&line.Site{}, linetest.Book())
	for _, r := range all {
		s = line.Apply(s, r)
	}
	first := s.Entries[0]
	next := s.At.Add(26 * time.Hour)
	fix := first.Entry
	fix.Corrects, fix.Value, fix.Made, fix.Initials = first.Seq, 4.5, time.Time{}, "R"
	_, recs, no := line.Do(s, line.MakeEntry{Entry: fix}, next, "Rowan")
	if no != nil {
		t.Fatal(no)
	}
	all = append(all, recs...)
	var out bytes.Buffer
	if err := report.Plain(&out, report.Safety(linetest.ReadSlice(all, records.Filter{}))); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"4.5 C", fmt.Sprintf("corrects entry %d, which said", first.Seq), "3.5 C", "late: recorded " + next.Format("2006-01-02 15:04")} {
		if !strings.Contains(out.String(), want) {
			t.Errorf("the report does not say %q", want)
		}
	}
	if _, _, no := line.Do(s, line.AddTrays{Demand: line.Demand{Crop: "pea", Trays: 2}}, next, "Rowan"); no == nil {
		t.Error("a closed day took trays")
	}
}
