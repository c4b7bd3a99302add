// Package powerui shows the wiring: what every circuit carries, how warm its
// breaker is and what it carried in the last hour, and switches loads, as far as
// the interlock lets it.
package powerui

import (
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"shedbell/line"
	"shedbell/line/say"
	"shedbell/ui/act"
	"shedbell/ui/canvas"
	"shedbell/ui/form"
	"shedbell/ui/screen"
	"shedbell/ui/theme"
)

// View is the power screen.
type View struct {
	load    int        // the chosen load
	setting int        // the setting chosen for it; -1: the one it runs at, or its first
	ask     *form.Form // a question in place of the panel, for what cannot be taken lightly
	answer  func() tea.Cmd
	typed   int // digit that may be the first of two
	typedAt time.Time
	refusal string // why the chosen load could not be switched, beside what the interlock says
	past    past
}

// New makes the power screen.
func New() *View { return &View{setting: -1} }

// Actions is what can be done with the chosen load and its breaker.
func (v *View) Actions(env *screen.Env) act.Table {
	if v.ask != nil {
		shut := func() tea.Cmd { v.ask = nil; return nil }
		return v.ask.Fill(env, shut, func() tea.Cmd {
			cmd := v.answer() // which reads the form
			v.ask = nil
			return cmd
		})
	}
	v.clamp(env)
	p := &env.State.Site.Panel
	noSetting := ""
	if len(p.Loads[v.load].Settings) < 2 {
		noSetting = env.Words.Say("power-why.one-setting", say.Load(p.Loads[v.load].Name))
	}
	shift := func(by int) func() { return func() { v.refusal = ""; v.shift(env, by) } }
	move := func(by int) func() { return func() { v.choose((v.load + by + len(p.Loads)) % len(p.Loads)) } }
	pick := act.Choose(&env.Context, "power-does.load", len(p.Loads), func(i int) tea.Cmd {
		was := v.load
		if v.pick(env, i+1); v.load == was && noSetting != "" {
			return act.NotHere(&env.Context, noSetting)
		}
		return nil
	})
	all := act.Table{pick, v.switchIt(env), v.tell(env)}
	if limit, ok := screen.LimitKey(env); ok {
		all = append(all, limit)
	}
	return append(all,
		act.Key("+ -", "power-does.setting", "+", "=").Do(shift(1)).Unless(noSetting),
		act.Key("-", "power-does.setting", "-").Do(shift(-1)).Unless(noSetting).Hidden(),
		screen.KeyUndo,
		act.Key("arrows", "power-does.other-load", "down", "j", "tab").Do(move(1)),
		act.Key("up", "power-does.other-load", "up", "k", "shift+tab").Do(move(-1)).Hidden())
}

// Update answers a message.
func (v *View) Update(env *screen.Env, msg tea.Msg) tea.Cmd {
	v.clamp(env)
	switch msg := msg.(type) {
	case screen.OpenMsg:
		v.ask, v.refusal, v.setting = nil, "", -1
	case screen.ResultMsg:
		v.result(env, msg)
	}
	return nil
}

// result keeps a refusal that is not the interlock's, which the panel asks again each
// time.
func (v *View) result(env *screen.Env, msg screen.ResultMsg) {
	switch {
	case msg.Refusal == nil:
		v.setting, v.refusal = -1, ""
	case msg.Refusal.Verdict == nil:
		v.refusal = env.Words.Refusal(msg.Refusal)
	}
}

// pick chooses a load by its number, which may have two digits; choosing it again goes
// through its settings.
func (v *View) pick(env *screen.Env, digit int) {
	loads := env.State.Site.Panel.Loads
	if both := 10*v.typed + digit; v.typed > 0 && both <= len(loads) && env.Now.Sub(v.typedAt) <= env.OnWall(act.MeantFor) {
		v.typed = 0
		v.choose(both - 1)
		return
	}
	v.typed, v.typedAt = digit, env.Now
	if i := digit - 1; i != v.load {
		v.choose(i)
		return
	}
	v.setting = (v.settingOf(env, v.load) + 1) % len(loads[v.load].Settings)
}

func (v *View) choose(load int) { v.load, v.setting, v.refusal = load, -1, "" }

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

// switchIt switches the chosen load on, to its other setting, or off. It asks before
// what is meant to stay on goes off. A start that is refused goes to the line all the
// same, which keeps it for the records.
func (v *View) switchIt(env *screen.Env) act.Action {
	p, s := &env.State.Site.Panel, env.State.Power
	setting := v.settingOf(env, v.load)
	do := func(does string) act.Action { return act.Key("Enter", does, "enter", " ") }
	on := line.SwitchOn{Load: v.load, Setting: setting}
	switch {
	case !s.Drawing(p, v.load, env.Now):
		return do("power-does.switch-on").Send(on)
	case setting != s.Loads[v.load].Setting:
		return do("power-does.change-setting").Send(on)
	}
	off := line.SwitchOff{Load: v.load}
	if l := &p.Loads[v.load]; l.StaysOn {
		return do("power-does.confirm-off").Send(off).First(func() {
			v.ask = form.Confirm(env, env.Words.Say("power.is-off", say.Load(l.Name)), "power.stays-on")
			v.answer = func() tea.Cmd { return screen.Do(off) }
		})
	}
	return do("power-does.confirm-off").Send(off)
}

// Draw draws the circuits, the loads, and what there is to know about the chosen one.
func (v *View) Draw(env *screen.Env, r canvas.Region) {
	v.clamp(env)
	v.past.read(env)
	body := screen.Page(env, r, env.Words.Say("power.title", env.State.Site.Name), "", v.Actions(env))
	p := &env.State.Site.Panel
	if len(p.Loads) == 0 {
		body.Put(1, 0, theme.Faint, env.Words.Say("power.no-loads"))
		return
	}
	caution := env.Words.Say("power.caution")
	loads := len(p.Loads)
	if v.ask != nil {
		loads = 1 // the one that is asked about
	}
	l := Arrange(body.W, body.H, Shape{Circuits: len(p.Circuits), Legs: legCount(p), Loads: loads,
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
