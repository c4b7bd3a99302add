package pages

import (
	"slices"
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"shedbell/line"
	"shedbell/line/say"
	"shedbell/ui/act"
	"shedbell/ui/canvas"
	"shedbell/ui/form"
	"shedbell/ui/screen"
	"shedbell/ui/words"
)

// usualTroubles are those that a digit writes down, with what such a trouble usually
// does to its place: common practice, no source. Another one is typed.
var usualTroubles = []struct {
	key    string
	effect line.Effect
	slow   int
}{
	{"does-not-run", line.EffectOut, 0},
	{"dead-fan", line.EffectSlow, 100},
	{"clogged-drain", line.EffectSlow, 100},
	{"leak", line.EffectAnnoys, 0},
	{"other", line.EffectAnnoys, 0},
}

const otherTrouble = 4 // of the one that is typed

// effects are those that the operator may choose in place of the usual one.
var effects = []struct {
	key    string // empty: the effect says it
	effect line.Effect
	slow   int
}{
	{"usual", "", 0},
	{"annoys", line.EffectAnnoys, 0},
	{"", line.EffectSlow, 25},
	{"", line.EffectSlow, 50},
	{"slow-100", line.EffectSlow, 100},
	{"out", line.EffectOut, 0},
}

// troubleEntry is a trouble being written down. What it is comes last and is asked
// first, so that one digit is enough.
type troubleEntry struct {
	places []line.Place // to choose among
	first  int          // of them, which Enter takes
	form   *form.Form
}

func newTroubleEntry(env *screen.Env, about line.Place) *troubleEntry {
	e := &troubleEntry{places: []line.Place{line.Nowhere}, form: form.New(env, "", "")}
	if at := about.Station; at >= 0 && at < len(env.State.Site.Stations) {
		e.places = nil
		slots := env.State.Site.Stations[at].Slots
		for slot := range slots {
			e.places = append(e.places, line.Place{Station: at, Slot: slot})
		}
		if slots > 1 {
			e.places = append(e.places, line.Place{Station: at, Slot: line.WholeStation})
		}
		e.first = max(slices.Index(e.places, about), 0)
	}
	e.form.Sends = "backlog-does.save"
	e.form.SetRows(e.rows(env)...)
	e.form.Go("what")
	return e
}

func (e *troubleEntry) rows(env *screen.Env) []form.Row {
	w := env.Words
	var places, does, what []string
	for _, p := range e.places {
		places = append(places, troublePlace(env, p))
	}
	for i := range effects {
		does = append(does, effectName(w, i))
	}
	width := 0
	for _, t := range usualTroubles {
		width = max(width, canvas.Width(w.Say("backlog-usual."+t.key)))
	}
	for i, t := range usualTroubles {
		c := e.command(env, i, "")
		name := w.Say("backlog-usual." + t.key)
		what = append(what, name+strings.Repeat(" ", width+2-canvas.Width(name))+w.TroubleAt(troublePlace(env, c.At), c.Effect, c.SlowPercent))
	}
	note := ""
	if e.runs(env) {
		note = w.Say("backlog.runs")
	}
	return []form.Row{
		{Name: "where", Label: "backlog.row-where", Kind: form.Choice, Choices: places, Default: form.Num(float64(e.first)),
			When: func(*form.Form) bool { return len(e.places) > 1 }},
		{Name: "does", Label: "backlog.row-does", Kind: form.Choice, Choices: does, Default: form.Num(0),
			When: func(*form.Form) bool { return e.places[0] != line.Nowhere }},
		{Name: "what", Label: "backlog.what", Kind: form.Choice, Choices: what[:otherTrouble], Own: what[otherTrouble], Note: note},
	}
}

// actions are the form's. It stays until the line has taken the trouble.
func (e *troubleEntry) actions(env *screen.Env, s *Backlog) act.Table {
	e.form.SetRows(e.rows(env)...)
	return e.form.Fill(env, func() tea.Cmd { return s.left(env) }, func() tea.Cmd {
		i, what := otherTrouble, e.form.Text("what")
		if n, ok := e.form.Choice("what"); ok {
			i, what = n, env.Words.Say("backlog-usual."+usualTroubles[n].key)
		}
		return act.Do(e.command(env, i, what))
	})
}

// at is the place as it is chosen now.
func (e *troubleEntry) at() line.Place {
	if i, ok := e.form.Choice("where"); ok {
		return e.places[i]
	}
	return e.places[e.first]
}

// command is what a digit does.
func (e *troubleEntry) command(env *screen.Env, i int, what string) line.ReportTrouble {
	at, effect, slow := e.at(), usualTroubles[i].effect, usualTroubles[i].slow
	if n, ok := e.form.Choice("does"); ok && n > 0 {
		effect, slow = effects[n].effect, effects[n].slow
	}
	if at == line.Nowhere {
		effect, slow = line.EffectAnnoys, 0 // no place that could be slow or out of use
	}
	return line.ReportTrouble{At: at, What: what, Effect: effect, SlowPercent: slow}
}

// runs says whether something runs at the place.
func (e *troubleEntry) runs(env *screen.Env) bool {
	at := e.at()
	if at == line.Nowhere {
		return false
	}
	for slot := range env.State.Site.Stations[at.Station].Slots {
		if at.Slot != line.WholeStation && at.Slot != slot {
			continue
		}
		step := env.State.StepAt(line.Place{Station: at.Station, Slot: slot})
		if step != nil && step.Progress == line.Running {
			return true
		}
	}
	return false
}

func effectName(w *words.Speaker, i int) string {
	if effects[i].key == "" {
		return w.Say("backlog.slower", effects[i].slow)
	}
	return w.Say("backlog-effect." + effects[i].key)
}

// troublePlace is the place's name.
func troublePlace(env *screen.Env, at line.Place) string {
	switch {
	case at == line.Nowhere:
		return env.Words.Say("backlog.shed")
	case at.Slot == line.WholeStation:
		return env.Words.Say("backlog.all-of", say.Station(env.State.Site.Stations[at.Station].Name))
	}
	return env.Words.Place(env.State, at)
}

func (e *troubleEntry) draw(env *screen.Env, r canvas.Region) {
	e.form.SetRows(e.rows(env)...)
	e.form.Title = env.Words.Say("backlog.ask", troublePlace(env, e.at()))
	e.form.Draw(env, r)
}
