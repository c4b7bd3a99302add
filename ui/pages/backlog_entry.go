package pages

import (
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	tea "github.com/charmbracelet/bubbletea"

	"shedbell/line"
	"shedbell/ui/canvas"
	"shedbell/ui/field"
	"shedbell/ui/screen"
	"shedbell/ui/theme"
	"shedbell/ui/words"
)

// usualTroubles are the troubles that a digit writes down, with what such a trouble usually
// does to its place: common practice, no source.
var usualTroubles = []struct {
	key    string
	effect line.Effect
	slow   int
}{
	{"dead-fan", line.EffectOut, 0},
	{"clogged-drain", line.EffectOut, 0},
	{"slow-drain", line.EffectSlow, 50},
	{"leak", line.EffectAnnoys, 0},
	{"other", line.EffectAnnoys, 0},
}

const otherIndex = 4 // of the one that is typed

func usualTroubleName(w *words.Speaker, i int) string {
	return w.Say("backlog-usual." + usualTroubles[i].key)
}

// effectChoices are the effects that the operator may choose in place of the usual one.
var effectChoices = []struct {
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

// troubleEntry is a trouble being written down: a digit says what it is.
type troubleEntry struct {
	at     line.Place
	effect int // index into choices
	other  *field.Field
}

var (
	keyBacklogWhat   = screen.Bind("1-5", "backlog-does.what", "1", "2", "3", "4", "5")
	keyBacklogPlace  = screen.Bind("+ -", "backlog-does.place", "+", "=", "-")
	keyBacklogEffect = screen.Bind(".", "backlog-does.effect", ".")
	keyBacklogSave   = screen.Bind("Enter", "backlog-does.save", "enter")
	keyBacklogTyped  = screen.Bind("a-z", "backlog-does.type")
	keyBacklogBack   = screen.Bind("esc", "does.back", "esc")
	keyBacklogNo     = screen.Bind("0", "does.back", "0", "esc")
)

func newTroubleEntry(env *screen.Env, at line.Place) *troubleEntry {
	e := &troubleEntry{at: at}
	if at.Station < 0 || at.Station >= len(env.State.Site.Stations) {
		e.at = line.Nowhere
	} else if at.Slot >= env.State.Site.Stations[at.Station].Slots {
		e.at.Slot = 0
	}
	return e
}

func (e *troubleEntry) keys() []screen.Binding {
	if e.other != nil {
		return []screen.Binding{keyBacklogSave, keyBacklogTyped, keyBacklogBack}
	}
	noPlace := ""
	if e.at == line.Nowhere {
		noPlace = "backlog-why.no-slots"
	}
	return []screen.Binding{keyBacklogWhat, keyBacklogPlace.Unless(noPlace), keyBacklogEffect, keyBacklogNo}
}

// key answers a key; done says that nothing is being written down any more.
func (e *troubleEntry) key(env *screen.Env, k tea.KeyMsg) (cmd tea.Cmd, done bool) {
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
		e.effect = (e.effect + 1) % len(effectChoices)
	case name == "?":
		return screen.Open(screen.Help), false
	case len(name) == 1 && name[0] >= '1' && int(name[0]-'0') <= len(usualTroubles):
		i := int(name[0] - '1')
		if i == otherIndex {
			e.other = &field.Field{Kind: field.Words}
			return nil, false
		}
		return screen.Do(e.command(env, i, usualTroubleName(env.Words, i))), false
	}
	return nil, false
}

func (e *troubleEntry) typed(env *screen.Env, k tea.KeyMsg, name string) (tea.Cmd, bool) {
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
func (e *troubleEntry) move(env *screen.Env, by int) {
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
func (e *troubleEntry) command(env *screen.Env, i int, what string) line.ReportTrouble {
	effect, slow := usualTroubles[i].effect, usualTroubles[i].slow
	if e.effect > 0 {
		effect, slow = effectChoices[e.effect].effect, effectChoices[e.effect].slow
	}
	if e.at == line.Nowhere {
		effect, slow = line.EffectAnnoys, 0 // no place that could be slow or out of use
	}
	c := line.ReportTrouble{At: e.at, What: what, Effect: effect, SlowPercent: slow}
	if effect == line.EffectOut && e.runs(env) {
		c.Effect, c.SlowPercent = line.EffectSlow, slowInstead
	}
	return c
}

// runs says whether something runs at the place.
func (e *troubleEntry) runs(env *screen.Env) bool {
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

// slowInstead is what runs counts as, in percent, in place of out of use.
const slowInstead = 50

func (e *troubleEntry) effectName(w *words.Speaker) string {
	c := &effectChoices[e.effect]
	if c.key == "" {
		return w.Say("backlog.slower", c.slow)
	}
	return w.Say("backlog-effect." + c.key)
}

// where is the place's name.
func (e *troubleEntry) where(env *screen.Env) string {
	switch {
	case e.at == line.Nowhere:
		return env.Words.Say("backlog.shed")
	case e.at.Slot == line.WholeStation:
		return env.Words.Say("backlog.all-of", env.State.Site.Stations[e.at.Station].Name)
	}
	return env.State.PlaceName(e.at)
}

func (e *troubleEntry) draw(env *screen.Env, r canvas.Region) {
	y := r.Inset(1, 0).Wrapped(theme.Action, " "+env.Words.Say("backlog.ask", e.where(env))+" ")
	if r.H > 12 {
		y++
	}
	if e.other != nil {
		e.other.Draw(r.Sub(3, y, r.W-4, 1), true, "")
		c := e.command(env, otherIndex, "")
		r.Sub(3, y+2, r.W-4, r.H-y-2).Wrapped(theme.Text,
			env.Words.Say("backlog.enter-puts", capital(env.Words.TroubleAt(e.where(env), c.Effect, c.SlowPercent))))
		return
	}
	step := 1
	if r.H-y > 2*len(usualTroubles)+4 {
		step = 2
	}
	for i := range usualTroubles {
		name := usualTroubleName(env.Words, i)
		c := e.command(env, i, name)
		text := env.Words.TroubleAt(e.where(env), c.Effect, c.SlowPercent)
		if i == otherIndex {
			text = env.Words.Say("backlog.type-what", text)
		}
		row := r.Rows(y, 1)
		row.Put(3, 0, theme.Strong, strconv.Itoa(i+1))
		row.Put(6, 0, theme.Strong, name)
		row.Put(22, 0, theme.Text, text)
		y += step
	}
	y++
	var notes []string
	if e.at != line.Nowhere {
		notes = append(notes, env.Words.Say("backlog.chooses", e.effectName(env.Words)))
		if e.runs(env) {
			notes = append(notes, env.Words.Say("backlog.runs", slowInstead))
		}
		if env.State.Site.Stations[e.at.Station].Slots > 1 {
			notes = append(notes, env.Words.Say("backlog.other-place"))
		}
	}
	r.Sub(3, y, r.W-4, max(r.H-y, 0)).Wrapped(theme.Faint, strings.Join(notes, " "))
}

// capital begins a text with a capital letter.
func capital(text string) string {
	first, size := utf8.DecodeRuneInString(text)
	return string(unicode.ToUpper(first)) + text[size:]
}
