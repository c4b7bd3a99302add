package backlog

import (
	"fmt"
	"strconv"
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"shedbell/line"
	"shedbell/ui/canvas"
	"shedbell/ui/field"
	"shedbell/ui/screen"
	"shedbell/ui/theme"
)

// usual are the troubles that a digit writes down, with what such a trouble usually
// does to its place: common practice, no source.
var usual = []struct {
	what   string
	effect line.Effect
	slow   int
}{
	{"dead fan", line.EffectOut, 0},
	{"clogged drain", line.EffectOut, 0},
	{"slow drain", line.EffectSlow, 50},
	{"leak", line.EffectAnnoys, 0},
	{"other", line.EffectAnnoys, 0},
}

const otherIndex = 4 // of the one that is typed

// choices are the effects that the operator may choose in place of the usual one.
var choices = []struct {
	words  string
	effect line.Effect
	slow   int
}{
	{"as such troubles usually do", "", 0},
	{"annoys only", line.EffectAnnoys, 0},
	{"25 % slower", line.EffectSlow, 25},
	{"50 % slower", line.EffectSlow, 50},
	{"twice as slow", line.EffectSlow, 100},
	{"out of use", line.EffectOut, 0},
}

// entry is a trouble being written down: a digit says what it is.
type entry struct {
	at     line.Place
	effect int // index into choices
	other  *field.Field
}

var (
	keyWhat   = screen.Bind("1-5", "what it is", "1", "2", "3", "4", "5")
	keyPlace  = screen.Bind("+ -", "place", "+", "=", "-")
	keyEffect = screen.Bind(".", "what it does", ".")
	keySave   = screen.Bind("Enter", "on the backlog", "enter")
	keyTyped  = screen.Bind("a-z", "type what is wrong")
	keyBack   = screen.Bind("esc", "back", "esc")
	keyNo     = screen.Bind("0", "back", "0", "esc")
)

func newEntry(env *screen.Env, at line.Place) *entry {
	e := &entry{at: at}
	if at.Station < 0 || at.Station >= len(env.State.Site.Stations) {
		e.at = line.Nowhere
	} else if at.Slot >= env.State.Site.Stations[at.Station].Slots {
		e.at.Slot = 0
	}
	return e
}

func (e *entry) keys() []screen.Binding {
	if e.other != nil {
		return []screen.Binding{keySave, keyTyped, keyBack}
	}
	noPlace := ""
	if e.at == line.Nowhere {
		noPlace = "the shed as a whole has no slots"
	}
	return []screen.Binding{keyWhat, keyPlace.Unless(noPlace), keyEffect, keyNo}
}

// key answers a key; done says that nothing is being written down any more.
func (e *entry) key(env *screen.Env, k tea.KeyMsg) (cmd tea.Cmd, done bool) {
	name := k.String()
	if e.other != nil {
		return e.typed(env, k, name)
	}
	switch {
	case name == "0" || name == "esc":
		return nil, true
	case name == "+" || name == "=":
		e.move(env, 1)
	case name == "-":
		e.move(env, -1)
	case name == ".":
		e.effect = (e.effect + 1) % len(choices)
	case name == "?":
		return screen.Open(screen.Help), false
	case len(name) == 1 && name[0] >= '1' && int(name[0]-'0') <= len(usual):
		i := int(name[0] - '1')
		if i == otherIndex {
			e.other = &field.Field{Kind: field.Words}
			return nil, false
		}
		return screen.Do(e.command(env, i, usual[i].what)), false
	}
	return nil, false
}

func (e *entry) typed(env *screen.Env, k tea.KeyMsg, name string) (tea.Cmd, bool) {
	switch name {
	case "esc":
		e.other = nil
	case "enter":
		return screen.Do(e.command(env, otherIndex, e.other.Text)), false
	default:
		e.other.Key(k)
	}
	return nil, false
}

// move goes to the next slot of the station; after the last one comes the station
// as a whole.
func (e *entry) move(env *screen.Env, by int) {
	if e.at == line.Nowhere {
		return
	}
	slots := env.State.Site.Stations[e.at.Station].Slots
	if slots < 2 {
		return
	}
	n := e.at.Slot + by // WholeStation is -1, between the last and the first
	switch {
	case n >= slots:
		n = line.WholeStation
	case n < line.WholeStation:
		n = slots - 1
	}
	e.at.Slot = n
}

// command is what a digit does. What runs cannot be taken out of use: it then
// counts as slow, and the screen says so before the digit is pressed.
func (e *entry) command(env *screen.Env, i int, what string) line.ReportTrouble {
	effect, slow := usual[i].effect, usual[i].slow
	if e.effect > 0 {
		effect, slow = choices[e.effect].effect, choices[e.effect].slow
	}
	if e.at == line.Nowhere {
		effect, slow = line.EffectAnnoys, 0 // no place that could be slow or out of use
	}
	c := line.ReportTrouble{At: e.at, What: what, Effect: effect, SlowPercent: slow}
	if effect == line.EffectOut && e.runs(env) {
		c.Effect, c.SlowPercent = line.EffectSlow, 50
	}
	return c
}

// runs says whether something runs at the place.
func (e *entry) runs(env *screen.Env) bool {
	for slot := range env.State.Site.Stations[e.at.Station].Slots {
		if e.at.Slot != line.WholeStation && e.at.Slot != slot {
			continue
		}
		step := env.State.StepAt(line.Place{Station: e.at.Station, Slot: slot})
		if step != nil && step.Progress == line.Running {
			return true
		}
	}
	return false
}

// where is the place's name.
func (e *entry) where(env *screen.Env) string {
	switch {
	case e.at == line.Nowhere:
		return "the shed"
	case e.at.Slot == line.WholeStation:
		return "all of the " + env.State.Site.Stations[e.at.Station].Name
	}
	return env.State.PlaceName(e.at)
}

func (e *entry) draw(env *screen.Env, r canvas.Region) {
	y := r.Inset(1, 0).Wrapped(theme.Action, " What is wrong at "+e.where(env)+"? ")
	if r.H > 12 {
		y++
	}
	if e.other != nil {
		e.other.Draw(r.Sub(3, y, r.W-4, 1), true, "")
		c := e.command(env, otherIndex, "")
		r.Sub(3, y+2, r.W-4, r.H-y-2).Wrapped(theme.Text, capital(env.Words.TroubleAt(e.where(env), c.Effect, c.SlowPercent))+". Enter puts it on the backlog.")
		return
	}
	step := 1
	if r.H-y > 2*len(usual)+4 {
		step = 2
	}
	for i, u := range usual {
		c := e.command(env, i, u.what)
		text := env.Words.TroubleAt(e.where(env), c.Effect, c.SlowPercent)
		if i == otherIndex {
			text += "; type what it is"
		}
		row := r.Rows(y, 1)
		row.Put(3, 0, theme.Strong, strconv.Itoa(i+1))
		row.Put(6, 0, theme.Strong, u.what)
		row.Put(22, 0, theme.Text, text)
		y += step
	}
	y++
	var notes []string
	if e.at != line.Nowhere {
		notes = append(notes, fmt.Sprintf(". chooses what it does: %s.", choices[e.effect].words))
		if e.runs(env) {
			notes = append(notes, "Something runs there, so it cannot be out of use now: hold it first, or it counts as 50 % slower.")
		}
		if env.State.Site.Stations[e.at.Station].Slots > 1 {
			notes = append(notes, "+ and - choose another place of the station, or all of it.")
		}
	}
	r.Sub(3, y, r.W-4, max(r.H-y, 0)).Wrapped(theme.Faint, strings.Join(notes, " "))
}

func capital(s string) string { return strings.ToUpper(s[:1]) + s[1:] }
