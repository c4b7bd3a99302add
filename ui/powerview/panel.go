package powerview

import (
	"fmt"
	"time"

	"shedbell/line"
	"shedbell/power"
	"shedbell/ui/canvas"
	"shedbell/ui/screen"
	"shedbell/ui/theme"
	"shedbell/ui/words"
)

// remark is one thing to know about the chosen load.
type remark struct {
	role theme.Role
	text string
}

// drawPanel tells what Enter does with the chosen load or, as long as it is
// refused, why, and what would make room. What matters most comes first.
func (v *View) drawPanel(env *screen.Env, r canvas.Region) {
	if v.ask != nil {
		v.ask.draw(r)
		return
	}
	y := 0
	for _, m := range v.remarks(env) {
		if y >= r.H {
			return
		}
		y += r.Sub(1, y, r.W-2, r.H-y).Wrapped(m.role, m.text)
	}
}

// panelRows is how many rows the panel needs to say everything.
func (v *View) panelRows(env *screen.Env, width int) int {
	if v.ask != nil {
		return len(canvas.Wrap(v.ask.title, width-2)) + len(canvas.Wrap(v.ask.why, width)) + 1
	}
	n := 0
	for _, m := range v.remarks(env) {
		n += len(canvas.Wrap(m.text, width))
	}
	return n
}

func (v *View) remarks(env *screen.Env) []remark {
	p := &env.State.Site.Panel
	l := &p.Loads[v.load]
	setting := v.settingOf(env, v.load)
	drawing := env.State.Power.Drawing(p, v.load, env.Now)
	var out []remark
	if v.refusal != "" {
		out = append(out, remark{theme.Refuse, v.refusal})
	}
	if drawing && setting == env.State.Power.Loads[v.load].Setting {
		return append(out, v.onRemarks(env, l)...)
	}
	verdict := p.Judge(env.State.Power, power.Ask{Load: v.load, Setting: setting}, env.Now)
	if !verdict.Allowed {
		return append(v.refused(env, l, &verdict), out...)
	}
	verb := fmt.Sprintf("Enter switches %s on", l.Name)
	if drawing {
		verb = fmt.Sprintf("Enter changes %s", l.Name)
	}
	if len(l.Settings) > 1 {
		verb += " to " + l.Settings[setting].Name
	}
	return append(out, remark{theme.Strong, fmt.Sprintf("%s, %.4g A.", verb, l.Settings[setting].AmpsA)}, remark{theme.Text, margins(&verdict)})
}

// onRemarks is about a load that is on.
func (v *View) onRemarks(env *screen.Env, l *power.Load) []remark {
	var out []remark
	if served := servedBy(env.State, v.load); len(served) > 0 {
		out = append(out, remark{theme.Text, fmt.Sprintf("%s serves %s. Finish or hold that first, then it can be switched off.", l.Name, join(served))})
	} else {
		out = append(out, remark{theme.Strong, fmt.Sprintf("Switch %s off at the machine, then confirm it here with Enter.", l.Name)})
	}
	if l.StaysOn {
		out = append(out, remark{theme.Text, "It is meant to stay on."})
	}
	if len(l.Settings) > 1 {
		out = append(out, remark{theme.Faint, "+ and - choose another setting."})
	}
	return out
}

// refused is a refusal with every reason and every way out.
func (v *View) refused(env *screen.Env, l *power.Load, verdict *power.Verdict) []remark {
	head := "Not now: " + l.Name
	if len(l.Settings) > 1 {
		head += " " + l.Settings[v.settingOf(env, v.load)].Name
	}
	out := []remark{{theme.Refuse, head + " is refused. " + env.Words.Speech(verdict.WayOut)}}
	for _, r := range verdict.Reasons {
		out = append(out, remark{theme.Text, env.Words.Speech(r.Says)})
	}
	if wait := verdict.Earliest.Sub(env.Now); !verdict.Earliest.IsZero() && wait > 0 {
		out = append(out, remark{theme.Text, fmt.Sprintf("It fits by itself in %s.", words.Left(wait))})
	}
	if held := heldOn(env, l.Circuit); env.State.Power.Open(l.Circuit) && len(held) > 0 {
		out = append(out, remark{theme.Text, "Held: " + join(held) + "."})
	}
	if len(verdict.WayOut) == 0 {
		return out // amps that nobody knows, or a breaker that is open
	}
	return append(out, remark{theme.Text, "Margin: " + margin(verdict)})
}

// margins is the room that a start would leave, in amperes and in time.
func margins(v *power.Verdict) string {
	return fmt.Sprintf("%s: %.1f A now, %.1f of %.4g A then, %s", v.Where(), v.AmpsNow, v.AmpsAfter, v.LimitA, margin(v))
}

func margin(v *power.Verdict) string {
	text := fmt.Sprintf("room for %.1f A more", max(0, v.MarginA))
	if v.MarginA < -0.05 {
		text = fmt.Sprintf("%.1f A too much", -v.MarginA)
	}
	switch {
	case v.TripIn > 0:
		text += "; it would trip in about " + seconds(v.TripIn)
	case v.Margin == power.Never:
		text += "; no breaker trips on its start"
	case v.Margin > 0:
		text += fmt.Sprintf("; its start could last %s longer", seconds(v.Margin))
	}
	return text + "."
}

// seconds writes a time with no more digits than a breaker deserves.
func seconds(d time.Duration) string {
	switch {
	case d < 10*time.Second:
		return fmt.Sprintf("%.1f s", d.Seconds())
	case d < 100*time.Second:
		return fmt.Sprintf("%.0f s", d.Seconds())
	}
	return fmt.Sprintf("%.0f min", d.Minutes())
}

// ask is a question in place of the panel. It is asked once, for what cannot be
// taken lightly.
type ask struct {
	title   string
	why     string
	then    line.Command
	other   string       // what 2 answers; empty: there is nothing else
	instead line.Command // what it does
}

// answers is the row under the question.
func (a *ask) answers() string {
	if a.other == "" {
		return "Enter: yes   0: no"
	}
	return "Enter: yes   2: " + a.other + "   0: no"
}

func (a *ask) draw(r canvas.Region) {
	y := r.Sub(1, 0, r.W-2, r.H).Wrapped(theme.Action, " "+a.title+" ")
	answer := r.H - 1
	if y < answer {
		y += r.Sub(1, y, r.W-2, answer-y).Wrapped(theme.Text, a.why)
	}
	r.Put(1, min(y, answer), theme.Strong, a.answers())
}
