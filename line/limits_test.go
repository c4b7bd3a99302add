package line

import (
	"strings"
	"testing"
	"time"
)

// Readings beside the limits that come with the program. The values are those of the
// sources that each limit names; the scopes say what those do not cover.
func TestReadingsBesideDefaultLimits(t *testing.T) {
	site := &Site{Stations: []Station{{Kind: Sanitize, Contact: 10 * time.Minute}}}
	for _, tc := range []struct {
		entry Entry
		past  map[string]bool // by a word of the source
	}{
		// FDA Food Code 3-501.16: 5 C, which is 41 F.
		{Entry{Kind: EntryFridge, Value: 41, Unit: UnitF}, map[string]bool{"Food Code": false}},
		{Entry{Kind: EntryFridge, Value: 41.1, Unit: UnitF}, map[string]bool{"Food Code": true}},
		{Entry{Kind: EntryFridge, Value: 5.01, Unit: UnitC}, map[string]bool{"Food Code": true}},
		// 21 CFR 173.315(a)(5): 80 ppm; 40 CFR 180.1196: 100 ppm on raw commodities.
		{Entry{Kind: EntryStrength, Use: UseWater, Product: "Peroxyacetic acid", Value: 90, Unit: UnitPPM}, map[string]bool{"173.315": true, "180.1196": false}},
		{Entry{Kind: EntryStrength, Use: UseWater, Product: "hydrogen peroxide", Value: 0.006, Unit: UnitPercent}, map[string]bool{"173.315": true}},
		// 40 CFR 180.940(a): 200 ppm total available chlorine on surfaces, not in water.
		{Entry{Kind: EntryStrength, Use: UseSurface, Product: "chlorine (hypochlorite)", Value: 201, Unit: UnitPPM}, map[string]bool{"180.940": true}},
		{Entry{Kind: EntrySurface, Use: UseSurface, Product: "chlorine (hypochlorite)", Value: 200, Unit: UnitPPM, Contact: 9 * time.Minute}, map[string]bool{"180.940": false, "line file": true}},
		{Entry{Kind: EntryStrength, Use: UseWater, Product: "chlorine", Value: 201, Unit: UnitPPM}, nil},
		// 21 CFR 112.44(a): no detectable generic E. coli.
		{Entry{Kind: EntryWaterTest, Value: 1, Unit: UnitCFU}, map[string]bool{"112.44": true}},
		{Entry{Kind: EntryHandWash}, nil},
	} {
		got := site.Beside(&tc.entry)
		if len(got) != len(tc.past) {
			t.Errorf("%+v stands beside %d limits, not %d", tc.entry, len(got), len(tc.past))
		}
		for _, b := range got {
			for source, past := range tc.past {
				if strings.Contains(b.Limit.Source, source) && b.Past != past {
					t.Errorf("%+v: past %s is %v", tc.entry, b.Limit.Source, b.Past)
				}
			}
		}
	}
}

// Every limit says where it stands and what it covers. Those that do not cover raw
// greens that are only cut from their root say so: the Food Code's term, as FDA's
// guidance reads it, and 21 CFR 173.315(a)(5).
func TestEveryLimitHasSourceAndScope(t *testing.T) {
	site := &Site{Stations: []Station{{Kind: Sanitize, Contact: time.Minute}}}
	outside := 0
	for _, l := range site.AllLimits() {
		if l.Source == "" || l.Scope == "" {
			t.Errorf("%+v", l)
		}
		if strings.Contains(l.Scope, "outside") {
			outside++
		}
	}
	if outside != 3 {
		t.Errorf("%d limits say that raw, harvest-cut greens are outside them", outside)
	}
}

func TestOwnLimitStandsInPlaceOfTheDefault(t *testing.T) {
	own := Limit{Kind: EntryFridge, Bound: AtMost, Value: 39, Unit: UnitF, Source: "the buyer", Scope: "his greens"}
	site := &Site{Limits: Limits{List: []Limit{own}}}
	got := site.Beside(&Entry{Kind: EntryFridge, Value: 4.5, Unit: UnitC})
	if len(got) != 1 || got[0].Limit.Source != "the buyer" || !got[0].Past {
		t.Errorf("%+v", got)
	}
	own.Bound = AtLeast // another side stands beside it
	site.Limits.List = []Limit{own}
	if got := site.Beside(&Entry{Kind: EntryFridge, Value: 4.5, Unit: UnitC}); len(got) != 2 {
		t.Errorf("%+v", got)
	}
}
