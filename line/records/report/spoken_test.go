package report_test

import (
	"regexp"
	"strings"
	"testing"
	"unicode"

	"shedbell/line/linetest"
	"shedbell/line/records"
	"shedbell/line/say"
)

// latin are words in Latin letters, longer than a unit.
var latin = regexp.MustCompile(`\p{Latin}{4,}`)

// The reports in a language whose letters are Greek: what is left in Latin ones, but for
// names and sources, did not come from the texts.
func TestEveryReportIsInTheReadersLanguage(t *testing.T) {
	masked := say.English().Map(func(s string) string {
		return strings.Map(func(r rune) rune {
			if unicode.Is(unicode.Latin, r) {
				return 'ω'
			}
			return r
		}, s)
	})
	for _, d := range docs(t, linetest.ReadSlice(hostileJournal(t, "17"), records.Filter{})) {
		d = d.In(masked)
		check := func(where, text string) {
			if left := latin.FindAllString(text, -1); len(left) > 0 {
				t.Errorf("%s, %s: %q in %q", d.Name, where, left, text)
			}
		}
		check("title", d.Title.String())
		check("foot", d.Foot.String())
		check("dates", d.Lines[1].String())
		for _, s := range d.Sections {
			check("part", s.Title.String())
			for _, c := range s.Charts {
				check("chart", c.Title.String()+" "+c.Unit)
			}
			if s.Table == nil {
				continue
			}
			for _, c := range s.Table.Columns {
				check("head", c.Head+" "+c.Unit)
			}
			for _, row := range s.Table.Rows {
				for k, c := range row {
					if key := s.Table.Columns[k].Key; key == "effect" || key == "of" || key == "scope" || key == "use" || key == "bound" || key == "note" {
						check(key, c.Text)
					}
				}
			}
		}
	}
}
