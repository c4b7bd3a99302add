package uitest_test

import (
	"testing"
	"time"

	"shedbell/line/linetest"
	"shedbell/line/say"
	"shedbell/ui/screen"
	"shedbell/ui/uitest"
)

// TestPreferencesReachWhatTheLineSays: the language, the clock and the units that were
// chosen hold for a prompt, for a refusal of the line with its times and machines, and
// for the weights of a recipe; nothing of them is put into words before it is shown.
func TestPreferencesReachWhatTheLineSays(t *testing.T) {
	us := screen.Prefs{Prefs: say.Prefs{TwelveHour: true, US: true}}
	es := us
	es.Language = "es"
	for _, tc := range []struct {
		prefs           screen.Prefs
		prompt, refusal []string
	}{
		{us, []string{"Cut PEA 1, 3 trays"}, []string{"Not now:", "wait until 7:44 am"}},
		{es, []string{"Corte CHÍCHARO 1, 3 bandejas"}, []string{"Ahora no:", "hidrolavadora", "espere hasta las 7:44 am"}},
	} {
		sheet := linetest.Sheet()
		d := uitest.New(t, uitest.Options{W: 120, H: 40, Sheet: &sheet, Prefs: tc.prefs})
		d.Expect(tc.prompt...)
		d.Work(4)
		d.Pass(time.Second)
		d.Press("/", "1", "1", "enter")
		d.Expect(tc.refusal...)
		d.Press("0", "/", "3", "1")
		d.Expect(" oz ")
	}
}
