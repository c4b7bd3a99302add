// Package powerui shows the wiring: what every circuit carries, how warm its
// breaker is and what it carried in the last hour, and switches loads, as far as
// the interlock lets it.
package powerui

import (
	"strconv"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"

	"shedbell/line"
	"shedbell/ui/act"
	"shedbell/ui/canvas"
	"shedbell/ui/screen"
	"shedbell/ui/theme"
)

// View is the power screen.
type View struct {
	load    int // the chosen load
	setting int // the setting chosen for it; -1: the one it runs at, or its first
	ask     *ask
	refusal string // why the chosen load could not be switched, beside what the interlock says
	past    past
}

// New makes the power screen.
func New() *View { return &View{setting: -1} }

var (
	keyPick    = screen.Bind("1-9", "power-does.load", "1", "2", "3", "4", "5", "6", "7", "8", "9")
	keyDo      = screen.Bind("Enter", "power-does.switch-on", "enter", " ")
	keyMore    = screen.Bind("+", "power-does.setting-up", "+", "=")
	keyLess    = screen.Bind("-", "power-does.setting-down", "-")
	keySetting = screen.Bind("+ -", "power-does.setting", "+", "=", "-")
	keyBreaker = screen.Bind(".", "power-does.tripped", ".", "t", "T")
	keyPage    = screen.Bind("*", "power-does.more-loads", "*", "pgdown", "tab")
	keyDown    = screen.Bind("down", "power-does.next-load", "down", "j")
	keyUp      = screen.Bind("up", "power-does.load-before", "up", "k")
	keyArrows  = screen.Bind("arrows", "power-does.other-load", "up", "down")
	keyUndo    = screen.Bind("u", "does.undo", "u", "U")
	keyExit    = screen.Bind("0", "does.back", "0", "esc")
	keyHelp    = screen.Bind("?", "does.help", "?")
	keyYes     = screen.Bind("Enter", "does.yes", "enter", ".")
	keyOther   = screen.Bind("2", "power-does.feeders", "2")
	keyNo      = screen.Bind("0", "does.no", "0", "esc")
)

// Typing says that a question is open, which takes every key.
func (v *View) Typing() bool { return v.ask != nil }

// Keys lists what can be pressed, with why not where it does nothing.
func (v *View) Keys(env *screen.Env) []screen.Binding {
	if v.ask != nil {
		if v.ask.other != "" {
			return []screen.Binding{keyYes, keyOther, keyNo}
		}
		return []screen.Binding{keyYes, keyNo}
	}
	v.clamp(env)
	s, p := env.State, &env.State.Site.Panel
	do, breaker := keyDo, keyBreaker
	if s.Power.Drawing(p, v.load, env.Now) {
		do = screen.Bind("Enter", "power-does.confirm-off", "enter", " ")
		if v.settingOf(env, v.load) != s.Power.Loads[v.load].Setting {
			do = screen.Bind("Enter", "power-does.change-setting", "enter", " ")
		}
	}
	if s.Power.Open(v.circuit(env)) {
		breaker = screen.Bind(".", "power-does.reset", ".", "t", "T")
	}
	noSetting, noPage := "", ""
	if len(p.Loads[v.load].Settings) < 2 {
		noSetting = env.Words.Say("power-why.one-setting", p.Loads[v.load].Name)
	}
	if len(p.Loads) <= pageLoads {
		noPage = "power-why.all-loads"
	}
	undo := act.Undo(&env.Context, keyUndo.Help().Key, keyUndo.Keys()...)
	return []screen.Binding{keyPick, do.Acting(), breaker.Acting(), keySetting.Unless(noSetting), keyPage.Unless(noPage), undo, keyArrows}
}

// Update answers a message.
func (v *View) Update(env *screen.Env, msg tea.Msg) tea.Cmd {
	v.clamp(env)
	switch msg := msg.(type) {
	case screen.OpenMsg:
		v.ask, v.refusal, v.setting = nil, "", -1
	case screen.ResultMsg:
		v.result(env, msg)
	case tea.KeyMsg:
		v.refusal = ""
		if v.ask != nil {
			return v.answered(env, msg)
		}
		return v.pressed(env, msg)
	}
	return nil
}

// result keeps a refusal that is not the interlock's, which the panel asks anew each
// time.
func (v *View) result(env *screen.Env, msg screen.ResultMsg) {
	switch {
	case msg.Refusal == nil:
		v.setting = -1
	case msg.Refusal.Verdict == nil:
		v.refusal = env.Words.Refusal(msg.Refusal)
	}
}

func (v *View) pressed(env *screen.Env, k tea.KeyMsg) tea.Cmd {
	loads := len(env.State.Site.Panel.Loads)
	switch {
	case key.Matches(k, keyPick.Binding):
		return v.pick(env, k.String())
	case key.Matches(k, keyDo.Binding):
		return v.doIt(env)
	case key.Matches(k, keyMore.Binding):
		v.shift(env, 1)
	case key.Matches(k, keyLess.Binding):
		v.shift(env, -1)
	case key.Matches(k, keyBreaker.Binding):
		v.ask = askBreaker(env, v.circuit(env))
	case key.Matches(k, keyPage.Binding):
		next := (v.load/pageLoads + 1) * pageLoads
		if next >= loads {
			next = 0
		}
		v.choose(next)
	case key.Matches(k, keyDown.Binding):
		v.choose(min(v.load+1, loads-1))
	case key.Matches(k, keyUp.Binding):
		v.choose(max(v.load-1, 0))
	case key.Matches(k, keyUndo.Binding):
		return screen.Do(line.Undo{})
	}
	return nil
}

// pick chooses a load of the page; choosing it again goes through its settings.
func (v *View) pick(env *screen.Env, digit string) tea.Cmd {
	n, _ := strconv.Atoi(digit)
	i := v.load/pageLoads*pageLoads + n - 1
	loads := env.State.Site.Panel.Loads
	if i >= len(loads) {
		return screen.Say(env.Words.Say("power.no-load", digit))
	}
	if i == v.load {
		v.setting = (v.settingOf(env, i) + 1) % len(loads[i].Settings)
		return nil
	}
	v.choose(i)
	return nil
}

func (v *View) choose(load int) { v.load, v.setting = load, -1 }

// shift goes one setting up or down.
func (v *View) shift(env *screen.Env, by int) {
	last := len(env.State.Site.Panel.Loads[v.load].Settings) - 1
	v.setting = min(max(v.settingOf(env, v.load)+by, 0), last)
}

// settingOf is the setting that a load runs at or would be switched on at.
func (v *View) settingOf(env *screen.Env, load int) int {
	last := len(env.State.Site.Panel.Loads[load].Settings) - 1
	if load == v.load && v.setting >= 0 {
		return min(v.setting, last)
	}
	if env.State.Power.Drawing(&env.State.Site.Panel, load, env.Now) {
		return min(max(env.State.Power.Loads[load].Setting, 0), last)
	}
	return 0
}

// circuit is the one that the chosen load hangs on.
func (v *View) circuit(env *screen.Env) int { return env.State.Site.Panel.Loads[v.load].Circuit }

// clamp keeps the choice on a load that there is; the line file may have changed.
func (v *View) clamp(env *screen.Env) {
	if last := len(env.State.Site.Panel.Loads) - 1; v.load > last {
		v.load, v.setting = max(last, 0), -1
	}
}

// doIt switches the chosen load on, to its other setting, or off. It asks before
// what is meant to stay on goes off.
func (v *View) doIt(env *screen.Env) tea.Cmd {
	p, s := &env.State.Site.Panel, env.State.Power
	setting := v.settingOf(env, v.load)
	if !s.Drawing(p, v.load, env.Now) || setting != s.Loads[v.load].Setting {
		return screen.Do(line.SwitchOn{Load: v.load, Setting: setting})
	}
	off := line.SwitchOff{Load: v.load}
	if l := &p.Loads[v.load]; l.StaysOn {
		v.ask = &ask{title: env.Words.Say("power.is-off", l.Name), why: env.Words.Say("power.stays-on"), then: off}
		return nil
	}
	return screen.Do(off)
}

// askBreaker asks whether a breaker has tripped or, where it has, been reset. It may
// have been that of the feeder, too.
func askBreaker(env *screen.Env, circuit int) *ask {
	p, w := &env.State.Site.Panel, env.Words
	name, feeder := p.Circuits[circuit].Name, p.Circuits[circuit].Feeder
	a := &ask{
		title: w.Say("power.has-breaker-tripped", circuit+1, name),
		why:   w.Say("power.then-off"),
		then:  line.MarkTripped{Circuit: circuit}, instead: line.MarkTripped{Feeder: feeder},
	}
	if env.State.Power.Open(circuit) {
		a = &ask{
			title: w.Say("power.is-breaker-reset", circuit+1, name),
			why:   w.Say("power.find-out"),
			then:  line.ResetBreaker{Circuit: circuit}, instead: line.ResetBreaker{Feeder: feeder},
		}
	}
	if feeder != "" {
		a.other = w.Say("power.of-feeder", feeder)
	}
	return a
}

func (v *View) answered(env *screen.Env, k tea.KeyMsg) tea.Cmd {
	switch {
	case key.Matches(k, keyYes.Binding):
		do := v.ask.then
		v.ask = nil
		return screen.Do(do)
	case v.ask.other != "" && key.Matches(k, keyOther.Binding):
		do := v.ask.instead
		v.ask = nil
		return screen.Do(do)
	case key.Matches(k, keyNo.Binding):
		v.ask = nil
		return screen.Say(env.Words.Say("power.left-as-was"))
	}
	return nil
}

// Draw draws the circuits, the loads, and what there is to know about the chosen one.
func (v *View) Draw(env *screen.Env, r canvas.Region) {
	v.clamp(env)
	v.past.read(env)
	last := []screen.Binding{keyExit, keyHelp}
	if v.ask != nil {
		last = nil
	}
	body := screen.Page(env, r, env.Words.Say("power.title", env.State.Site.Name), "", v.Keys(env), last...)
	p := &env.State.Site.Panel
	if len(p.Loads) == 0 {
		body.Put(1, 0, theme.Faint, env.Words.Say("power.no-loads"))
		return
	}
	caution := env.Words.Say("power.caution")
	l := Arrange(body.W, body.H, Shape{Circuits: len(p.Circuits), Legs: legCount(p), Loads: len(p.Loads),
		Caution: len(canvas.Wrap(caution, body.W-2)), Panel: v.panelRows(env, body.W-2)})
	part := func(b Box) canvas.Region { return body.Sub(b.X, b.Y, b.W, b.H) }
	for _, y := range l.Rules {
		body.Rule(y)
	}
	v.drawCircuits(env, part(l.Circuits), l.Rows)
	v.drawLoads(env, part(l.Loads))
	v.drawPanel(env, part(l.Panel))
	part(l.Caution).Inset(1, 0).Wrapped(theme.Faint, caution)
}
