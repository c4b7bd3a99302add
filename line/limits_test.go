package line

import (
	"slices"
	"strings"
	"testing"
	"time"

	"shedbell/line/chemical"
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
		// 21 CFR 173.315(a)(5): 80 ppm. The 100 ppm of 40 CFR 180.1196 on raw commodities
		// fell with 76 FR 11965 (4 March 2011): there the label's number counts.
		{Entry{Kind: EntryStrength, Use: UseWater, Product: "Peroxyacetic acid", Value: 90, Unit: UnitPPM}, map[string]bool{"173.315": true}},
		{Entry{Kind: EntryStrength, Use: UseWater, Product: "hydrogen peroxide", Value: 0.006, Unit: UnitPercent}, map[string]bool{"173.315": true}},
		// 40 CFR 180.940(a): 200 ppm total available chlorine on surfaces, not in water.
		{Entry{Kind: EntryStrength, Use: UseSurface, Product: "chlorine (hypochlorite)", Value: 201, Unit: UnitPPM}, map[string]bool{"180.940": true}},
		{Entry{Kind: EntrySurface, Use: UseSurface, Product: "chlorine (hypochlorite)", Value: 200, Unit: UnitPPM, Contact: 9 * time.Minute}, map[string]bool{"180.940": false, "line file": true}},
		{Entry{Kind: EntryStrength, Use: UseWater, Product: "chlorine", Value: 201, Unit: UnitPPM}, map[string]bool{"": false}}, // 4, 25 and 50-200 ppm all occur: the label's
		// 65 FR 75168 and 65 FR 75174 (1 December 2000): 500 and 1,100 ppm on food equipment.
		{Entry{Kind: EntryStrength, Use: UseSurface, Product: "ácido peracético", Value: 501, Unit: UnitPPM}, map[string]bool{"75168": true}},
		{Entry{Kind: EntrySurface, Use: UseSurface, Product: "agua oxigenada", Value: 1.4, Unit: UnitPercent}, map[string]bool{"75174": true}},
		{Entry{Kind: EntrySurface, Use: UseSurface, Product: "agua oxigenada", Value: 1.4, Unit: UnitPercent, Rinsed: true}, map[string]bool{"75174": false}},
		{Entry{Kind: EntryStrength, Use: UseSurface, Product: "ácido láctico", Value: 3, Unit: UnitPercent}, map[string]bool{"": false}}, // nothing published was read
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

// A limit hangs on what is in the bucket, not on what it is called.
func TestLimitsInEveryLanguage(t *testing.T) {
	site := &Site{}
	for _, c := range chemical.Known {
		for _, use := range []Use{UseSurface, UseWater} {
			plain := site.Beside(&Entry{Kind: EntryStrength, Use: use, Chemical: c.ID, Value: 600, Unit: UnitPPM})
			for _, name := range append([]string{c.CAS}, c.Names...) {
				if name == "" {
					continue
				}
				got := site.Beside(&Entry{Kind: EntryStrength, Use: use, Product: "Name " + strings.ToUpper(name), Value: 600, Unit: UnitPPM})
				if len(got) != 1 || len(plain) != 1 || got[0].Limit.ID != plain[0].Limit.ID || got[0].Past != plain[0].Past || got[0].None != plain[0].None {
					t.Errorf("%s as %q on %s: %+v, else %+v", c.ID, name, use, got, plain)
				}
			}
		}
	}
}

// A line's own limit that is looser than the published one stands beside it.
func TestLooserLimitShowsBoth(t *testing.T) {
	own := Limit{Kind: EntryStrength, Use: UseSurface, Product: "lejía", Bound: AtMost, Value: 300, Unit: UnitPPM, Source: "label"}
	e := Entry{Kind: EntryStrength, Use: UseSurface, Product: "chlorine", Value: 250, Unit: UnitPPM}
	for _, c := range []struct {
		value float64
		past  []bool
	}{{300, []bool{false, true}}, {200, []bool{true}}, {100, []bool{true}}} {
		own.Value = c.value
		var past []bool
		for _, b := range (&Site{Limits: Limits{List: []Limit{own}}}).Beside(&e) {
			past = append(past, b.Past)
		}
		if !slices.Equal(past, c.past) {
			t.Errorf("own limit of %v ppm: %v, want %v", c.value, past, c.past)
		}
	}
}
