package line_test

import (
	"strconv"
	"testing"
	"time"

	"shedbell/line"
	"shedbell/line/chemical"
	"shedbell/line/linetest"
)

// labelled is a shed with products whose names say nothing of what is in them, in the words
// of other languages.
func labelled() *line.Site {
	site := linetest.Site()
	site.Limits.Sanitizers = []line.Sanitizer{
		{Name: "Espuma Verde", Holds: chemical.Peroxide, StockPPM: 270_000, Uses: []line.Use{line.UseSurface}, LeastPPM: 500, MostPPM: 1000, Contact: 20 * time.Minute, Expires: "2026-12-02"},
		{Name: "Blaue Perle", Holds: chemical.Peracid, Uses: []line.Use{line.UseSurface, line.UseWater}, LeastPPM: 100},
	}
	return site
}

// Whatever a product is called, what is in it decides: the published limits hold (1,100 ppm
// of peroxide and 500 of peroxyacetic acid on food equipment, 65 FR 75174 and 75168), and
// beside them what its own label says, and no other product's.
func TestAProductIsWhatIsInIt(t *testing.T) {
	site := labelled()
	for _, tc := range []struct {
		product string
		use     line.Use
		ppm     float64
		past    map[string]bool // the limits that are past, by bound and value
	}{
		{"Espuma Verde", line.UseSurface, 14_000, map[string]bool{"at most 1100": true, "at most 1000": true, "at least 500": false}},
		{"espuma verde ", line.UseSurface, 1050, map[string]bool{"at most 1100": false, "at most 1000": true, "at least 500": false}},
		{"Espuma Verde", line.UseSurface, 200, map[string]bool{"at most 1100": false, "at most 1000": false, "at least 500": true}},
		{"Blaue Perle", line.UseSurface, 600, map[string]bool{"at most 500": true, "at least 100": false}},
		{"Blaue Perle", line.UseWater, 60, map[string]bool{"at most 80": false, "at least 100": true}},
		{"peroxide", line.UseSurface, 200, map[string]bool{"at most 1100": false}},
	} {
		s := line.NewState(site, linetest.Book())
		next, made, no := line.Do(s, line.MakeEntry{Entry: line.Entry{Kind: line.EntryStrength, Use: tc.use, Where: "surfaces", Product: tc.product,
			Value: tc.ppm, Unit: line.UnitPPM, Initials: "A"}}, linetest.Morning, "Ash")
		if no != nil {
			t.Fatal(no)
		}
		e := made[0].Event.(line.EntryMade).Entry
		got := map[string]bool{}
		for _, b := range next.Site.Beside(&e) {
			if b.Limit.Unit == line.UnitPPM && !b.None {
				got[map[line.Bound]string{line.AtMost: "at most ", line.AtLeast: "at least "}[b.Limit.Bound]+strconv.FormatFloat(b.Limit.Value, 'f', -1, 64)] = b.Past
			}
		}
		if len(got) != len(tc.past) {
			t.Errorf("%s, %s, %g ppm: %v, want %v", tc.product, tc.use, tc.ppm, got, tc.past)
		}
		for limit, past := range tc.past {
			if is, ok := got[limit]; !ok || is != past {
				t.Errorf("%s, %s, %g ppm: %s past %v, want %v", tc.product, tc.use, tc.ppm, limit, is, past)
			}
		}
	}
}

// The contact time is the label's where that is longer than the station's, and cannot be
// made shorter; with another product it is the station's again.
func TestTheLabelsContactTimeCounts(t *testing.T) {
	site := labelled()
	station := site.ContactTime()
	s, now := line.NewState(site, linetest.Book()), linetest.Morning
	if got := s.ContactTime(); got != 20*time.Minute || station >= got {
		t.Fatalf("%s before anything is mixed; the station's is %s", got, station)
	}
	do := func(c line.Command) {
		t.Helper()
		next, _, no := line.Do(s, c, now, "Ash")
		if no != nil {
			t.Fatal(no)
		}
		s = next
	}
	read := func(product string) {
		do(line.MakeEntry{Entry: line.Entry{Kind: line.EntryStrength, Use: line.UseSurface, Where: "surfaces", Product: product, Value: 600, Unit: line.UnitPPM, Initials: "A"}})
	}
	do(line.OpenDay{Sheet: linetest.Sheet()})
	read("Blaue Perle")
	if got := s.ContactTime(); got != station {
		t.Errorf("%s with a product whose label says none, want %s", got, station)
	}
	read("Espuma Verde")
	do(line.StartChore{Kind: line.SanitizeAll, To: line.Anywhere})
	if got := s.Chores[0].Step.Planned; got != 20*time.Minute {
		t.Errorf("the countdown is %s", got)
	}
	if _, _, no := line.Do(s, line.Adjust{At: s.Chores[0].Step.Place, By: -time.Minute}, now, "Ash"); no == nil {
		t.Error("it was made shorter than the label has it")
	}
}
