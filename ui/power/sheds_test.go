package powerui_test

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"shedbell/line"
	"shedbell/line/linetest"
	"shedbell/power"
	"shedbell/ui/theme"
	"shedbell/ui/uitest"
)

// A machine that has just started shows its starting current in the bar, on this
// screen and on the board, and how soon the breaker could trip on it.
func TestStartingPart(t *testing.T) {
	d := open(t, 120, 40)
	d.Press("/", "1", "3", "enter") // 7 A, 30 A in its first second
	d.ExpectLine("wet wall", "█▒", "7.0 of 20 A")
	d.ExpectLine("3 spinner", "starting")
	d.Expect("this start can last")
	d.Press("0")
	d.ExpectLine("wet wall", "spinner", "▒", "30.0 A start")
	d.Pass(2 * time.Second)
	d.ExpectNot("▒", "A start")
	d.Press("/", "1")
	d.ExpectNot("starting", "stands this")
}

// More than nine loads come in pages of nine; their numbers have two digits.
func TestPages(t *testing.T) {
	site := linetest.Site()
	for i := range 5 {
		site.Panel.Loads = append(site.Panel.Loads, power.Load{Name: fmt.Sprintf("lamp %d", i), Circuit: 2,
			Settings: []power.Setting{{Name: "on", AmpsA: 0.5}}})
	}
	d := uitest.New(t, uitest.Options{Site: site, W: 120, H: 40})
	d.Press("/", "1")
	d.Expect("loads 1 to 9 of 12")
	d.ExpectLine("8  lamp 0")
	d.ExpectNot("lamp 2")
	d.Press("1", "2", "enter")
	d.Expect("loads 10 to 12 of 12")
	d.ExpectLine("10 lamp 2")
	if !d.State().Power.Loads[11].On {
		t.Errorf("1 2 did not switch the twelfth load:\n%s", d.Screen())
	}
	d.Press("1")
	d.ExpectLine("→ 1  pressure washer")
	d.Press("3") // there is no thirteenth
	d.ExpectLine("→ 3  spinner")
	for range 9 {
		d.Press("down")
	}
	d.ExpectLine("→ 12 lamp 4")
}

// Whatever the size, a load that is not on the screen is counted there, and the arrows
// bring each one up.
func TestLoadsThatAreLeftOutAreCounted(t *testing.T) {
	site := linetest.Site()
	for i := range 5 {
		site.Panel.Loads = append(site.Panel.Loads, power.Load{Name: fmt.Sprintf("lamp %d", i), Circuit: 2,
			Settings: []power.Setting{{Name: "on", AmpsA: 0.5}}})
	}
	row := regexp.MustCompile(`(?m)^.{3,180}\d +([a-z][a-z0-9 -]*?)  +(?:low |)(?:\d+(?:\.\d+)? A|no amps)`)
	hidden := regexp.MustCompile(`(\d+) more (?:above|below)(?:, (\d+) below)?|loads \d+ to \d+ of (\d+)`)
	for _, shed := range []*line.Site{linetest.Site(), site} {
		d := uitest.New(t, uitest.Options{Site: shed, W: 60, H: 20})
		d.Press("/", "1")
		for _, size := range append(uitest.Sizes, [2]int{60, 22}, [2]int{80, 26}, [2]int{100, 18}, [2]int{160, 20}) {
			d.Resize(size[0], size[1])
			for range shed.Panel.Loads {
				d.Press("up")
			}
			for i := range shed.Panel.Loads {
				shown := map[string]bool{}
				for _, m := range row.FindAllStringSubmatch(d.Screen(), -1) {
					shown[m[1]] = true
				}
				left := 0
				if m := hidden.FindStringSubmatch(d.Screen()); m != nil {
					above, _ := strconv.Atoi(m[1])
					below, _ := strconv.Atoi(m[2])
					left = above + below
					if m[3] != "" { // a page of so many
						left = len(shed.Panel.Loads) - len(shown)
					}
				}
				if !shown[strings.ReplaceAll(shed.Panel.Loads[i].Name, "-", " ")] || len(shown)+left != len(shed.Panel.Loads) {
					t.Fatalf("%dx%d, load %d of %d: %d shown, %d counted\n%s", size[0], size[1], i+1, len(shed.Panel.Loads), len(shown), left, d.Screen())
				}
				d.Press("down")
			}
		}
	}
}

// barn has a feeder of 40 A whose legs carry two circuits, a two-pole heater and
// more circuits than a small screen has rows for. Invented values.
func barn() *line.Site {
	site := linetest.Site()
	p := &site.Panel
	p.Feeders = []power.Feeder{{Name: "barn", RatingA: 40}}
	p.Circuits[0].Feeder, p.Circuits[0].Leg = "barn", power.LegA
	p.Circuits[1].Feeder, p.Circuits[1].Leg = "barn", power.LegB
	p.Circuits = append(p.Circuits, power.Circuit{Name: "heater", RatingA: 30, Feeder: "barn", Leg: power.LegBoth})
	p.Loads = append(p.Loads, power.Load{Name: "heater", Circuit: 3, Settings: []power.Setting{{Name: "on", AmpsA: 18}}})
	for i := range 4 {
		p.Circuits = append(p.Circuits, power.Circuit{Name: fmt.Sprintf("spare %d", i), RatingA: 15})
	}
	return site
}

func TestFeedersAndLegs(t *testing.T) {
	d := uitest.New(t, uitest.Options{Site: barn(), W: 200, H: 60})
	d.Press("/", "1", "8", "enter", "2", "enter")
	d.ExpectLine("barn leg A", "23.8 of 40 A", "room 16.2") // heater 18 and blower 5.8
	d.ExpectLine("barn leg B", "24.0 of 40 A", "room 16.0") // heater 18 and the fridge's 6
	d.Resize(60, 20)
	d.ExpectLine("wet wall", "5.8 of 20 A")
	d.Expect("more breakers")
	d.Press("8")
	d.ExpectLine("heater", "18.0 of 30 A")
}

// A feeder's breaker takes every circuit on it along, and brings them back.
func TestFeederTrips(t *testing.T) {
	sheet := linetest.Sheet()
	d := uitest.New(t, uitest.Options{Site: barn(), Sheet: &sheet, W: 120, H: 40})
	intoTub(d)
	d.Press("/", "1", "8", "enter", "2", ".")
	d.Press("3")
	d.Expect(`2 the one of feeder "barn"`)
	d.Press("2", "enter")
	d.Expect(`Breaker of feeder "barn" tripped; what it fed is held; on then: tub blower for 1:00, fridge for`, "heater for 0:00")
	for _, load := range []int{linetest.Blower, linetest.Fridge, 7} {
		if d.State().Power.Loads[load].On {
			t.Errorf("load %d is on behind the feeder", load)
		}
	}
	if !d.State().Power.Loads[linetest.Lights].On || d.State().Power.Open(2) {
		t.Error("the lights, which are not on the feeder, went off")
	}
	step := d.State().StepAt(line.Place{Station: linetest.Tub})
	if step.Progress != line.Held || step.Ran(d.Clock.Now()) != time.Minute {
		t.Errorf("the wash is %+v, want held after 1:00", step)
	}
	e, _ := lastTrip(d)
	if e.Feeder != "barn" || e.Found == nil || len(e.Found.On) != 3 || e.Found.LimitA != 40 || e.Found.AmpsA < 23.8-1e-9 {
		t.Errorf("the journal keeps %+v of %+v", e.Found, e)
	}
	d.Press("enter")
	d.Expect("has tripped. Find out why, then reset it")
	d.Press(".", "3", "2", "enter")
	d.Expect(`Breaker of feeder "barn" reset`)
	if s := d.State().Power; s.Open(0) || s.Open(1) || s.Open(3) || !s.Loads[linetest.Fridge].On || !s.Loads[7].InDoubt {
		t.Errorf("after the reset %+v", s.Loads)
	}
	d.TakeBack() // the reset
	d.TakeBack() // and the trip
	if s := d.State(); s.Power.Open(0) || !s.Power.Loads[7].On || s.StepAt(line.Place{Station: linetest.Tub}).Progress != line.Running {
		t.Error("the trip was not taken back whole")
	}
}

// A wiring that was lowered after trips shows the lower limit.
func TestEffectiveRating(t *testing.T) {
	site := linetest.Site()
	site.Panel.Circuits[0].EffectiveA = 17.5
	d := uitest.New(t, uitest.Options{Site: site})
	d.ExpectLine("wet wall", "0.0 of 17.5 A", "room 17.5")
	d.Press("/", "1")
	d.ExpectLine("wet wall", "0.0 of 17.5 A", "room 17.5")
}

// Mono, ASCII and colour say the same, and the caution is on every size.
func TestNoMeaningByColourAlone(t *testing.T) {
	said := func(o uitest.Options) string {
		sheet := linetest.Sheet()
		o.Sheet, o.W, o.H = &sheet, 120, 40
		d := uitest.New(t, o)
		busy(d)
		d.Press("1", "enter")
		var out []string
		for _, w := range strings.Fields(d.Screen()) {
			if strings.ContainsAny(w, "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789") {
				out = append(out, w)
			}
		}
		return strings.Join(out, " ")
	}
	mono := said(uitest.Options{})
	for _, o := range []uitest.Options{{Theme: theme.Dark}, {Theme: theme.Light}, {Theme: theme.Contrast}, {ASCII: true}} {
		if got := said(o); got != mono {
			t.Errorf("%v differs in words:\n%s\n%s", o.Theme, got, mono)
		}
	}
}

func TestEverySizeHasCautionAndRefusal(t *testing.T) {
	d := open(t, 60, 20)
	busy(d)
	d.Press("1", "enter")
	for _, size := range append(uitest.Sizes, [2]int{100, 30}, [2]int{109, 19}, [2]int{110, 26}, [2]int{300, 90}, [2]int{160, 20}) {
		d.Resize(size[0], size[1])
		d.CheckFrame()
		d.Expect("not protection: local code and a licensed electrician decide",
			"Switch off rack fans, spinner and tub", "pressure washer runs alone", "26.8 of 20 A",
			"6.8 A too much", "1 pressure washer")
	}
}
