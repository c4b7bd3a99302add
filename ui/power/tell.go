package powerui

import (
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"shedbell/line"
	"shedbell/line/say"
	"shedbell/ui/act"
	"shedbell/ui/form"
	"shedbell/ui/screen"
)

// What somebody may have seen, in the order of the digits.
const (
	seenOn = iota
	seenOff
	seenBreaker
	seenCircuit
	seenShed
	seenPlug
	seenElsewhere
)

// tell asks what somebody has seen of the chosen load and its circuit, and since when it
// is so. That is entered as it is.
func (v *View) tell(env *screen.Env) act.Action {
	return act.Key(".", "power-does.tell", ".", "t", "T").Acting().Do(func() {
		v.refusal = ""
		load := v.load
		l := &env.State.Site.Panel.Loads[load]
		why := ""
		if s := env.State.Power; s.Open(l.Circuit) && !s.Dark(l.Circuit) {
			why = "power.find-out"
		}
		v.ask = form.New(env, "", why, v.seenRows(env)...)
		v.answer = func() tea.Cmd { return screen.Do(v.seen(env, load)) }
	})
}

// seenRows are the questions. Which of two things a row says follows from what the
// board has so far.
func (v *View) seenRows(env *screen.Env) []form.Row {
	p, s, w := &env.State.Site.Panel, env.State.Power, env.Words
	l, st := &p.Loads[v.load], &s.Loads[v.load]
	c := &p.Circuits[l.Circuit]
	or := func(second bool, a, b string, args ...any) string {
		if second {
			return w.Say(b, args...)
		}
		return w.Say(a, args...)
	}
	name := w.Circuit(c.Name)
	whats := []string{w.Say("power.seen-on"), w.Say("power.seen-off"),
		or(s.Open(l.Circuit) && !s.Dark(l.Circuit), "power.seen-tripped", "power.seen-reset", name),
		or(s.Dark(l.Circuit), "power.seen-no-power", "power.seen-power", name),
		or(allDark(env), "power.seen-outage", "power.seen-end"),
		or(st.DeclaredOff, "power.seen-unplugged", "power.seen-plugged"), w.Say("power.seen-elsewhere")}
	is := func(what int) func(*form.Form) bool {
		return func(f *form.Form) bool { n, ok := f.Choice("what"); return ok && n == what }
	}
	var settings, circuits []string
	for i := range l.Settings {
		settings = append(settings, w.Setting(l.Settings[i].Name))
	}
	for i := range p.Circuits {
		circuits = append(circuits, w.Circuit(p.Circuits[i].Name))
	}
	rows := []form.Row{{Name: "what", Kind: form.Choice, Label: w.Say("power.seen", say.Load(l.Name)), Choices: whats}}
	if len(settings) > 1 {
		rows = append(rows, form.Row{Name: "setting", Kind: form.Choice, Label: "power.seen-setting", Choices: settings,
			Default: form.Num(float64(v.settingOf(env, v.load))), When: is(seenOn)})
	}
	if c.Feeder != "" {
		rows = append(rows, form.Row{Name: "breaker", Kind: form.Choice, Label: "power.which", Default: form.Num(0), When: is(seenBreaker),
			Choices: []string{name, w.Say("power.of-feeder", w.Circuit(c.Feeder))}})
	}
	return append(rows, form.Row{Name: "circuit", Kind: form.Choice, Label: "power.seen-circuit", Choices: circuits, When: is(seenElsewhere)},
		form.Row{Name: "ago", Kind: form.Ago, Label: "power.seen-since", Min: 0, Max: longestAgo(env).Seconds(), Default: form.Num(0)})
}

// allDark says whether no circuit has power.
func allDark(env *screen.Env) bool {
	for c := range env.State.Site.Panel.Circuits {
		if !env.State.Power.Dark(c) {
			return false
		}
	}
	return true
}

// longestAgo is how far back what was seen may lie: in the day, or in a day's time.
func longestAgo(env *screen.Env) time.Duration {
	if env.State.Sheet == nil {
		return 24 * time.Hour
	}
	return max(env.Now.Sub(env.State.Opened).Truncate(time.Minute), time.Minute)
}

// seen is what was answered, as a command.
func (v *View) seen(env *screen.Env, load int) line.Command {
	var asOf time.Time
	if ago, _ := v.ask.Duration("ago"); ago > 0 {
		asOf = env.Now.Add(-ago)
	}
	p, s := &env.State.Site.Panel, env.State.Power
	l := &p.Loads[load]
	what, _ := v.ask.Choice("what")
	setting, _ := v.ask.Choice("setting")
	circuit := l.Circuit
	if n, ok := v.ask.Choice("circuit"); ok {
		circuit = n
	}
	switch what {
	case seenOn:
		return line.MarkOn{Load: load, Setting: max(setting, 0), AsOf: asOf}
	case seenOff:
		return line.MarkOff{Load: load, AsOf: asOf}
	case seenBreaker:
		feeder := ""
		if n, _ := v.ask.Choice("breaker"); n == 1 {
			feeder, circuit = p.Circuits[l.Circuit].Feeder, 0
		}
		if s.Open(l.Circuit) && !s.Dark(l.Circuit) {
			return line.ResetBreaker{Circuit: circuit, Feeder: feeder, AsOf: asOf}
		}
		return line.MarkTripped{Circuit: circuit, Feeder: feeder, AsOf: asOf}
	case seenCircuit, seenShed:
		everywhere := what == seenShed
		if !everywhere && s.Dark(circuit) || everywhere && allDark(env) {
			return line.MarkPowerBack{Circuit: circuit, Everywhere: everywhere, AsOf: asOf}
		}
		return line.MarkPowerLost{Circuit: circuit, Everywhere: everywhere, AsOf: asOf}
	}
	if what == seenPlug && !s.Loads[load].DeclaredOff {
		return line.MarkUnplugged{Load: load, AsOf: asOf}
	}
	return line.MarkPlugged{Load: load, Circuit: circuit, AsOf: asOf}
}
