package powerui

import (
	"slices"
	"strings"
	"time"

	"shedbell/line/say"
	"shedbell/power"
	"shedbell/ui/canvas"
	"shedbell/ui/screen"
	"shedbell/ui/theme"
	"shedbell/ui/words"
)

// remark is one thing to know about the chosen load.
type remark struct {
	role  theme.Role
	text  string
	spare bool // said only where there is room to say it whole
}

// drawPanel tells what Enter does with the chosen load or, as long as it is
// refused, why, and what would make room. What matters most comes first.
func (v *View) drawPanel(env *screen.Env, r canvas.Region) {
	if v.ask != nil {
		v.ask.Draw(env, r)
		return
	}
	y := 0
	for _, m := range v.allRemarks(env) {
		if y >= r.H || m.spare && y+len(canvas.Wrap(m.text, r.W-2)) > r.H {
			return
		}
		y += r.Sub(1, y, r.W-2, r.H-y).Wrapped(m.role, m.text)
	}
}

// askRows is what a question and its answers need.
const askRows = 11

// panelRows is how many rows the panel needs to say everything.
func (v *View) panelRows(env *screen.Env, width int) int {
	if v.ask != nil {
		return askRows
	}
	n := 0
	for _, m := range v.allRemarks(env) {
		if !m.spare {
			n += len(canvas.Wrap(m.text, width))
		}
	}
	return n
}

// allRemarks are the remarks, and what is worth a look about the wiring of the chosen
// load: what is dangerous always, the rest where there is room.
func (v *View) allRemarks(env *screen.Env) []remark {
	p := &env.State.Site.Panel
	out := v.remarks(env)
	for _, f := range p.Findings() {
		if f.Load != v.load && (f.Load >= 0 || f.Circuit != v.circuit(env)) {
			continue
		}
		m := remark{role: theme.Soon, text: env.Words.Sentence(f.Says), spare: true}
		if f.Danger {
			m.role, m.spare = theme.Urgent, false
		}
		out = append(out, m)
	}
	return out
}

func (v *View) remarks(env *screen.Env) []remark {
	p := &env.State.Site.Panel
	l := &p.Loads[v.load]
	setting := v.settingOf(env, v.load)
	drawing := env.State.Power.Drawing(p, v.load, env.Now)
	var out []remark
	if v.refusal != "" {
		out = append(out, remark{role: theme.Refuse, text: v.refusal})
	}
	if drawing && setting == env.State.Power.Loads[v.load].Setting {
		return append(out, v.onRemarks(env, l)...)
	}
	verdict := p.Judge(env.State.Power, power.Ask{Load: v.load, Setting: setting}, env.Now)
	if !verdict.Allowed {
		return append(v.refused(env, l, &verdict), out...)
	}
	return append(out, remark{role: theme.Strong, text: enterDoes(env.Words, l, setting, drawing)}, remark{role: theme.Text, text: margins(env.Words, &verdict)})
}

// enterDoes says what Enter does with a load that may be switched.
func enterDoes(w *words.Speaker, l *power.Load, setting int, drawing bool) string {
	to := &l.Settings[setting]
	switch {
	case drawing:
		return w.Say("power.enter-to", say.Load(l.Name), to.Name, to.AmpsA)
	case len(l.Settings) > 1:
		return w.Say("power.enter-on-to", say.Load(l.Name), to.Name, to.AmpsA)
	}
	return w.Say("power.enter-on", say.Load(l.Name), to.AmpsA)
}

// onRemarks is about a load that is on.
func (v *View) onRemarks(env *screen.Env, l *power.Load) []remark {
	var out []remark
	if served := servedBy(env, v.load); len(served) > 0 {
		out = append(out, remark{role: theme.Text, text: env.Words.Say("power.serves", say.Load(l.Name), join(served))})
	} else {
		out = append(out, remark{role: theme.Strong, text: env.Words.Say("power.switch-off", say.Load(l.Name))})
	}
	if l.StaysOn {
		out = append(out, remark{role: theme.Text, text: env.Words.Say("power.stays-on")})
	}
	if len(l.Settings) > 1 {
		out = append(out, remark{role: theme.Faint, text: env.Words.Say("power.other-setting")})
	}
	return out
}

// refused is a refusal with every reason and every way out.
func (v *View) refused(env *screen.Env, l *power.Load, verdict *power.Verdict) []remark {
	what := env.Words.Load(l.Name)
	if len(l.Settings) > 1 {
		what += " " + env.Words.Setting(l.Settings[v.settingOf(env, v.load)].Name)
	}
	out := []remark{{role: theme.Refuse, text: env.Words.Say("power.refused", what, env.Words.Speech(verdict.WayOut))}}
	for _, r := range verdict.Reasons {
		out = append(out, remark{role: theme.Text, text: env.Words.Speech(r.Says)})
	}
	if wait := verdict.Earliest.Sub(env.Now); !verdict.Earliest.IsZero() && wait > 0 {
		out = append(out, remark{role: theme.Text, text: env.Words.Say("power.fits-in", words.Left(wait))})
	}
	if held := heldOn(env, l.Circuit); env.State.Power.Open(l.Circuit) && len(held) > 0 {
		out = append(out, remark{role: theme.Text, text: env.Words.Say("power.held", join(held))})
	}
	if len(verdict.WayOut) > 0 { // else amps that nobody knows, or a breaker that is open
		out = append(out, remark{role: theme.Text, text: env.Words.Say("power.margin", margin(env.Words, verdict))})
	}
	var sources []string
	for _, r := range verdict.Reasons {
		if text := env.Words.Sentence(r.Source); !slices.Contains(sources, text) {
			sources = append(sources, text)
		}
	}
	return append(out, remark{role: theme.Faint, text: env.Words.Say("power.rests-on", strings.Join(sources, "; ")), spare: true})
}

// margins is the room that a start would leave, in amperes and in time.
func margins(w *words.Speaker, v *power.Verdict) string {
	return w.Say("power.margins", w.Sentence(v.Where()), v.AmpsNow, v.AmpsAfter, v.LimitA, margin(w, v))
}

func margin(w *words.Speaker, v *power.Verdict) string {
	parts := []string{w.Say("power.room-for", max(0, v.MarginA))}
	if v.MarginA < -0.05 {
		parts[0] = w.Say("power.too-much", -v.MarginA)
	}
	switch {
	case v.TripIn > 0:
		parts = append(parts, w.Say("power.would-trip", seconds(w, v.TripIn)))
	case v.Margin == power.Never:
		parts = append(parts, w.Say("power.never-trips"))
	case v.Margin > 0:
		parts = append(parts, w.Say("power.could-last", seconds(w, v.Margin)))
	}
	return strings.Join(parts, "; ")
}

// seconds writes a time with no more digits than a breaker deserves.
func seconds(w *words.Speaker, d time.Duration) string {
	switch {
	case d < 10*time.Second:
		return w.Say("power.seconds-tenths", d.Seconds())
	case d < 100*time.Second:
		return w.Say("power.seconds", d.Seconds())
	}
	return w.Say("power.minutes", d.Minutes())
}
