package files

import (
	"fmt"
	"math"
	"os"
	"reflect"
	"strings"
	"testing"
	"time"

	"shedbell/power"
	"shedbell/power/breaker"
	"shedbell/recipes/strictfile"
)

func splitPhase(t *testing.T) []byte {
	t.Helper()
	data, err := os.ReadFile("../../testdata/split_phase_line.toml")
	if err != nil {
		t.Fatal(err)
	}
	return data
}

func TestReadLineSplitPhase(t *testing.T) {
	site, faults := ReadLine("split.toml", splitPhase(t))
	if len(faults) > 0 {
		t.Fatal(strictfile.Join(faults))
	}
	p := &site.Panel
	if p.Supply != power.Split240 || p.AmbientC != 35 || p.DeratePerK != 0.008 || len(p.Feeders) != 1 || p.Feeders[0].RatingA != 60 {
		t.Errorf("supply %d, %g °C, %g a kelvin, feeders %v", p.Supply, p.AmbientC, p.DeratePerK, p.Feeders)
	}
	want := []power.Circuit{
		{Name: "north wall", RatingA: 20, Feeder: "barn feeder", Leg: power.LegA, ReceptacleA: 20, GFCI: true, EffectiveA: 18},
		{Name: "south wall", RatingA: 20, Feeder: "barn feeder", Leg: power.LegB, Rated100: true},
		{Name: "heater", RatingA: 30, Feeder: "barn feeder", Leg: power.LegBoth},
	}
	if !reflect.DeepEqual(p.Circuits, want) {
		t.Errorf("got  %+v\nwant %+v", p.Circuits, want)
	}
	// Ohm's law: 4500 W taken in at 240 V between the legs is 18.75 A.
	if h := load(t, site, "water heater"); h.WorstA() != 18.75 || !h.HardWired || !h.Continuous {
		t.Errorf("water heater %+v", h)
	}
	spinner := load(t, site, "spinner")
	// NEC Table 430.248 (430-148 of 1999): 1/2 hp at 115 V takes 9.8 A.
	if spinner.WorstA() != 9.8 || spinner.StartingTime != 800*time.Millisecond || !spinner.Wet {
		t.Errorf("spinner %+v", spinner)
	}
	// NEC Table 430.7(B): code L ends at 9.99 kVA per hp, so 4.995 kVA / 115 V.
	if math.Abs(spinner.StartingA-43.43) > 0.01 {
		t.Errorf("spinner starts with %g A, want 43.43", spinner.StartingA)
	}
	if spinner.Cord != (power.Cord{AWG: 12, LengthM: 7.5}) {
		t.Errorf("cord %+v", spinner.Cord)
	}
	again, faults := ReadLine("again.toml", writeLine(site))
	if len(faults) > 0 || !reflect.DeepEqual(again, site) {
		t.Errorf("does not read back: %v", strictfile.Join(faults))
	}
}

func TestReadLineBreakerKinds(t *testing.T) {
	for word, want := range map[string]power.Standard{"UL 489": power.UL489, "IEC B": power.IECB, "IEC C": power.IECC, "IEC D": power.IECD} {
		text := strings.ReplaceAll(string(starterLine), "\nbreaker_a = ", fmt.Sprintf("\nbreaker = %q\nbreaker_a = ", word))
		text = strings.Replace(strings.Replace(text, "voltage = 120 ", "voltage = 230 ", 1), `supply = "120"`, `supply = "230"`, 1)
		site, faults := ReadLine("x.toml", []byte(text))
		if len(faults) > 0 {
			t.Errorf("%s: %v", word, strictfile.Join(faults))
			continue
		}
		if site.Panel.Supply != power.Single230 || site.Panel.Circuits[2].Breaker != want {
			t.Errorf("%s is read as %+v", word, site.Panel.Circuits[2])
		}
	}
}

func TestNameplates(t *testing.T) {
	const plain = "amps = 5.8\nstarting_a = 25\nstarting = \"0.5s\"\n"
	for _, tc := range []struct {
		plate string
		want  float64
	}{
		// NEC Table 430.248 (430-148 of 1999), 115 V column.
		{"hp = 0.25\n", 5.8},
		{"hp = 0.75\nvolts = 115\n", 13.8},
		{"hp = 1\n", 16},
		// P = V I cos φ: 690 W at 120 V with 0.8 is 7.1875 A.
		{"watts = 690\npower_factor = 0.8\n", 7.1875},
		{"watts = 1150\npower_factor = 1\nvolts = 115\n", 10},
	} {
		site, faults := ReadLine("x.toml", change(t, starterLine, plain, tc.plate))
		if len(faults) > 0 {
			t.Errorf("%q: %v", tc.plate, strictfile.Join(faults))
			continue
		}
		if got := load(t, site, "tub-blower").WorstA(); math.Abs(got-tc.want) > 1e-9 {
			t.Errorf("%q takes %g A, want %g", tc.plate, got, tc.want)
		}
	}
}

func TestSupplyAndVoltsGoTogether(t *testing.T) {
	for _, tc := range []struct{ supply, volts, want string }{
		{"120", "120", ""},
		{"120/240", "120", ""},
		{"120/240", "240", "give 110 to 127 volts"},
		{"230", "120", "give 220 to 240 volts"},
		{"240", "120", `write "120" or "230" for two wires, "120/240" for two legs and neutral`},
	} {
		text := change(t, starterLine, `supply = "120"`, fmt.Sprintf("supply = %q", tc.supply))
		_, faults := ReadLine("x.toml", change(t, text, "voltage = 120 ", "voltage = "+tc.volts+" "))
		found := tc.want == "" && len(faults) == 0
		for _, f := range faults {
			found = found || (tc.want != "" && f.Mend.String() == tc.want)
		}
		if !found {
			t.Errorf("%s at %s V: %v", tc.supply, tc.volts, strictfile.Join(faults))
		}
	}
}

func TestMakersCurve(t *testing.T) {
	for pairs, want := range map[string]string{
		"[[1.35, 50], [3, 3], [6, 0.2]]": "",
		"[]":                             "write pairs of times the rating and seconds, like [[2, 12.5], [3, 3]]",
		"[[2, 12.5, 3]]":                 "write pairs of times the rating and seconds, like [[2, 12.5], [3, 3]]",
		"[[0.9, 12.5]]":                  "give more than 1 and at most 50 times the rating",
		"[[2, 12.5], [1.5, 3]]":          "let the times the rating rise and the seconds fall from pair to pair",
		"[[2, 130]]":                     "give 120 s or less",
		"[2, 3]":                         "",
	} {
		text := strings.Replace(string(splitPhase(t)), "leg = \"a\"\n", "leg = \"a\"\ntrips_not_before = "+pairs+"\n", 1)
		text = strings.Replace(text, "breaker_a = 60\n", "breaker_a = 60\ntrips_not_before = [[2, 6]]\n", 1)
		site, faults := ReadLine("x.toml", []byte(text))
		switch {
		case pairs == "[2, 3]":
			if len(faults) == 0 {
				t.Error("a list that is no list of pairs is taken")
			}
		case want != "":
			if len(faults) != 1 || faults[0].Mend.String() != want {
				t.Errorf("%s: %v", pairs, strictfile.Join(faults))
			}
		case len(faults) > 0 || len(site.Panel.Circuits[0].Maker) != 3 || site.Panel.Feeders[0].Maker[0] != (breaker.Point{Multiple: 2, Seconds: 6}):
			t.Errorf("%s: %v", pairs, strictfile.Join(faults))
		default:
			if again, faults := ReadLine("again.toml", writeLine(site)); len(faults) > 0 || !reflect.DeepEqual(again, site) {
				t.Errorf("does not read back: %v", strictfile.Join(faults))
			}
		}
	}
}

// NEC 240.4(D) has 15 A for 14 AWG; method B2 of 2.5 mm2 carries 23 A (IEC 60364-5-52).
func TestWires(t *testing.T) {
	for keys, want := range map[string]string{
		"wire_awg = 12\nwire_m = 20\nground_fault = \"front\"\nneutral_with = \"south wall\"": "",
		"wire_mm2 = 4\nwire_method = \"C\"\nwire_m = 20":                                      "",
		"wire_awg = 14":                       "have an electrician fit a breaker of 15 A or less, or thicker wire; do not use it before",
		"wire_mm2 = 2.5":                      "have an electrician fit a breaker of 15 A or less, or thicker wire; do not use it before",
		"wire_awg = 13":                       "give 14, 12, 10, 8 or 6; the smaller the number, the thicker",
		"wire_mm2 = 1":                        "give 1.5, 2.5, 4, 6 or 10",
		"wire_m = 20":                         "remove it, or add wire_awg",
		"wire_awg = 12\nwire_mm2 = 4":         "keep one",
		"wire_mm2 = 4\nwire_method = \"D\"":   `write one of "A1", "A2", "B1", "B2", "C"`,
		"neutral_with = \"north wall\"":       `did you mean "south wall"?`,
		"wire_awg = 12\nwire_m = 501":         "give 0.1 to 500 metres",
		"wire_awg = 12\nwire_method = \"A1\"": "remove it, or add wire_mm2",
	} {
		text := strings.Replace(string(splitPhase(t)), "leg = \"a\"\n", "leg = \"a\"\n"+keys+"\n", 1)
		text = strings.Replace(text, "cord_awg = 12\n", "cord_mm2 = 2.5\nlight = true\n", 1)
		site, faults := ReadLine("x.toml", []byte(text))
		switch {
		case want != "" && (len(faults) != 1 || faults[0].Mend.String() != want):
			t.Errorf("%s: %v", keys, strictfile.Join(faults))
		case want == "" && len(faults) > 0:
			t.Errorf("%s: %v", keys, strictfile.Join(faults))
		case want == "":
			again, faults := ReadLine("again.toml", writeLine(site))
			if l := load(t, site, "spinner"); len(faults) > 0 || !reflect.DeepEqual(again, site) || l.Cord.MM2 != 2.5 || !l.Light {
				t.Errorf("does not read back: %v", strictfile.Join(faults))
			}
		}
	}
	for keys, want := range map[string]string{
		"cord_awg = 12\ncord_mm2 = 2.5": "keep one",
		"cord_mm2 = 0.5":                "give 0.75, 1, 1.5, 2.5 or 4, as printed on the cord",
		"cord_mm2 = 6":                  "give 0.75, 1, 1.5, 2.5 or 4, as printed on the cord",
	} {
		if _, faults := ReadLine("x.toml", change(t, splitPhase(t), "cord_awg = 12", keys)); len(faults) != 1 || faults[0].Mend.String() != want {
			t.Errorf("%s: %v", keys, strictfile.Join(faults))
		}
	}
}
