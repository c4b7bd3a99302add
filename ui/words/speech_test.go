package words

import (
	"errors"
	"fmt"
	"strings"
	"testing"
	"time"

	"shedbell/line"
	"shedbell/line/journal"
	"shedbell/line/linetest"
	"shedbell/line/live"
	"shedbell/line/plan"
	"shedbell/line/say"
	"shedbell/power"
)

// TestEveryWordOfASentenceIsTranslated asks for the names that stand in sentences.
func TestEveryWordOfASentenceIsTranslated(t *testing.T) {
	spanish, err := New("es", say.Prefs{})
	if err != nil {
		t.Fatal(err)
	}
	words := []say.Sayer{line.EffectAnnoys, line.EffectSlow, line.EffectOut, line.UseWater, line.UseSurface, line.UnitTrays, line.UnitYears, line.UnitCFU}
	for _, k := range line.Kinds() {
		words = append(words, k)
	}
	for _, spec := range line.EntrySpecs() {
		words = append(words, spec.Kind)
	}
	for c := line.WashTrays; c.String() != "unknown"; c++ {
		words = append(words, c)
	}
	for _, w := range words {
		if id := w.Says().ID; !spanish.Has(id) {
			t.Errorf("there is no %s", id)
		}
	}
}

// TestARefusalIsSaidInEveryLanguage asks the interlock and the line, with names that
// stand in for themselves.
func TestARefusalIsSaidInEveryLanguage(t *testing.T) {
	spanish, err := New("es", say.Prefs{})
	if err != nil {
		t.Fatal(err)
	}
	s := line.NewState(linetest.Site(), linetest.Book())
	_, no := line.Decide(s, line.AddTrays{}, linetest.Morning)
	if no == nil || spanish.Refusal(no) != "Ahora no: no hay día abierto." || English().Refusal(no) != no.Error() {
		t.Errorf("the refusal is %v, %q in Spanish", no, spanish.Refusal(no))
	}
	p := &power.Panel{VoltageV: 120,
		Circuits: []power.Circuit{{Name: "pared", RatingA: 15, Breaker: power.UL489}},
		Loads: []power.Load{
			{Name: "bomba", Settings: []power.Setting{{Name: "1", AmpsA: 8}}},
			{Name: "luz", Settings: []power.Setting{{Name: "1", AmpsA: 4}}},
			{Name: "horno", Settings: []power.Setting{{Name: "1", AmpsA: 14}}},
		}}
	st := power.NewState(p)
	for i := range 2 {
		st = st.Switched(p, i, power.Status{On: true, Since: linetest.Morning}, linetest.Morning)
	}
	v := p.Judge(st, power.Ask{Load: 2, For: time.Minute}, linetest.Morning)
	const want = `Ahora no: "pared" llevaría 26.0 de 15 A: 12.0 A ahora más 14.0 A.`
	if got := spanish.Speech(v.Says()); !strings.HasPrefix(got, want) || !strings.Contains(got, "Apague bomba y luz") {
		t.Errorf("the interlock says %q", got)
	}
	if got := English().Speech(v.Says()); got != v.Says().String() {
		t.Errorf("English differs: %q", got)
	}
}

// TestAProblemIsSaid: an error that has its values apart is said with them, also
// where another wraps it; one that has not stays as it is.
func TestAProblemIsSaid(t *testing.T) {
	spanish, err := New("es", say.Prefs{})
	if err != nil {
		t.Fatal(err)
	}
	for want, problem := range map[string]error{
		"este día no se puede hacer: pea no tiene receta; no hay día abierto, así que no hay nada que planear": fmt.Errorf("so: %w",
			&plan.Impossible{Demands: []say.Sentence{say.New("plan-why.no-recipe", "pea"), say.New("plan-why.no-day-open-so")}}),
		"esta pantalla es solo para mirar": live.ErrMayNotAct,
		"no se puede llevar un registro: /x lo escribió una versión más nueva de shedbell (formato 9; esta conoce hasta el 2). No se cambió nada; instale la versión más nueva o indique otra carpeta de datos": say.Error("served.no-log",
			journal.ErrNewer{Path: "/x", Have: 9, Know: 2}),
		"nothing known": errors.New("nothing known"),
	} {
		if got := spanish.Problem(problem); got != want {
			t.Errorf("%v: %q, want %q", problem, got, want)
		}
	}
}
