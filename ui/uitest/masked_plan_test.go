package uitest_test

import (
	"strings"
	"testing"
	"time"

	"shedbell/line/linetest"
	"shedbell/line/plan"
	"shedbell/ui/uitest"
)

// TestEveryReasonOfAPlanCanBeTranslated goes through the steps of plans made at the
// beginning, in the midst and near the end of a day, each with its reason.
func TestEveryReasonOfAPlanCanBeTranslated(t *testing.T) {
	reasons := map[string]bool{}
	for _, work := range []int{0, 7, 60} {
		o := uitest.Masked()
		o.W, o.H, o.Forecast = 200, 60, uitest.Planned
		d := uitest.New(t, o)
		d.Work(work)
		d.Press("/", "2")
		p := uitest.Planned(d.State(), d.Clock.Now()).Plan
		for i := range p.Steps {
			reasons[plan.WhyNot(p, i).ID] = true
			for _, word := range uitest.Untranslated(d.Screen()) {
				t.Errorf("%q at step %d after %d prompts\n%s", word, i, work, d.Screen())
			}
			d.Press("enter")
		}
	}
	if len(reasons) < 5 {
		t.Errorf("only the reasons %v, so this shows little", reasons)
	}
}

// A day that cannot be done says why on the plan's screen and on the help screen.
func TestAnImpossibleDayCanBeTranslated(t *testing.T) {
	for _, keys := range [][]string{{"/", "2"}, {"?"}} {
		o := uitest.Masked()
		o.W, o.H, o.Forecast = 80, 24, uitest.Planned
		d := uitest.New(t, o)
		trip(d)
		d.Pass(5 * time.Minute) // until the day is planned again
		d.Press(keys...)
		no := uitest.Planned(d.State(), d.Clock.Now()).Stuck
		if no == nil {
			t.Fatal("the day can be done all the same")
		}
		d.Expect(strings.Fields(uitest.MaskedWords().Problem(no))[0])
		for _, word := range uitest.Untranslated(d.Screen()) {
			t.Errorf("%q\n%s", word, d.Screen())
		}
	}
}

// The plan of an English day in Spanish, with the names as they are.
func TestThePlanIsSaidInSpanish(t *testing.T) {
	sheet := linetest.Sheet()
	o := uitest.Options{Sheet: &sheet, Forecast: uitest.Planned, W: 120, H: 40}
	o.Prefs.Language = "es"
	d := uitest.New(t, o)
	d.Press("/", "2")
	d.Expect("Retrasa el fin", "luego", "¿Por qué no antes?", "empieza ahora")
}
