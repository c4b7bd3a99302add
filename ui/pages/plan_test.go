package pages_test

import (
	"context"
	"testing"
	"time"

	"pgregory.net/rapid"

	"shedbell/line"
	"shedbell/line/linetest"
	"shedbell/line/plan"
	"shedbell/ui/uitest"
)

func TestPlanScreens(t *testing.T) {
	sheet := linetest.Sheet()
	uitest.Golden(t, "plan", uitest.Options{Sheet: &sheet, Forecast: uitest.Planned}, func(d *uitest.Driver) { d.Press("/", "2", "enter") })
	uitest.Golden(t, "plan-none", uitest.Options{}, func(d *uitest.Driver) { d.Press("/", "2") })
}

// The mark goes through the steps and brings each into sight with its reason.
func TestWhyNotEarlier(t *testing.T) {
	sheet := linetest.Sheet()
	d := uitest.New(t, uitest.Options{Sheet: &sheet, Forecast: uitest.Planned, W: 120, H: 40})
	d.Press("/", "2")
	d.Expect("Held up by", "Why not earlier?")
	p := uitest.Planned(d.State(), linetest.Morning).Plan
	for i := 1; i < len(p.Steps); i++ {
		d.Press("enter")
		d.Expect(p.Steps[i].Said().String(), plan.WhyNot(p, i).String()[:12])
		if st := &p.Steps[i]; st.Kind == line.Dry {
			d.Expect("rack fans at " + d.State().Site.Panel.Loads[linetest.Fans].Settings[st.Setting].Name)
		}
	}
	d.Press("5", "+", "+", "+", "-", "6", "6", "4", "0")
	d.Expect("Cut")
}

// The plan that is shown is one that the solver stands by: verified steps, none of
// them before now.
func TestShownPlanBeginsNow(t *testing.T) {
	p, err := plan.Solve(context.Background(), linetest.Open(), linetest.Morning, plan.Options{Budget: 50 * time.Millisecond, Workers: 1, Seed: 1})
	if err != nil {
		t.Fatal(err)
	}
	for _, s := range p.Steps {
		if s.Start.Before(linetest.Morning) || s.Off.Before(s.Start) {
			t.Errorf("%s runs from %v to %v", s.Name, s.Start, s.Off)
		}
	}
}

func TestPlanAnyKeyAtAnySize(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		sheet := linetest.Sheet()
		d := uitest.New(t, uitest.Options{Sheet: &sheet, Forecast: uitest.Planned})
		d.Press("/", "2")
		for range rapid.IntRange(1, 12).Draw(t, "keys") {
			d.Resize(rapid.IntRange(1, 220).Draw(t, "w"), rapid.IntRange(1, 70).Draw(t, "h"))
			d.Press(rapid.SampledFrom([]string{"enter", "8", "2", "+", "-", "4", "5", "6"}).Draw(t, "key"))
			d.CheckFrame()
		}
	})
}
