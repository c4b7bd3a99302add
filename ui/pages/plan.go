package pages

import (
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"shedbell/line"
	"shedbell/line/plan"
	"shedbell/line/say"
	"shedbell/ui/act"
	"shedbell/ui/canvas"
	"shedbell/ui/screen"
	"shedbell/ui/theme"
)

// planSpans are the zoom levels: how much time the width shows.
var planSpans = []time.Duration{30 * time.Minute, time.Hour, 2 * time.Hour, 3 * time.Hour, 5 * time.Hour, 8 * time.Hour}

// Plan is the screen of the plan: time across, stations and hands down, with what
// holds up the day's end, and the amps under it on the same time axis.
type Plan struct {
	zoom   int           // index into spans
	shift  time.Duration // where the axis begins, after now
	marked int           // index into the plan's steps
}

// NewPlan makes the screen.
func NewPlan() *Plan { return &Plan{zoom: 3} }

// furthest is how far from now the axis may begin.
const furthest = 24 * time.Hour

// Actions goes through the steps and moves the axis.
func (v *Plan) Actions(env *screen.Env) act.Table {
	none := ""
	if env.End.Plan == nil || len(env.End.Plan.Steps) == 0 {
		none = "plan-why.none"
	}
	mark := func(by int) func() {
		return func() {
			steps := env.End.Plan.Steps
			v.marked = (v.marked + by + len(steps)) % len(steps)
			v.follow(env, &steps[v.marked])
		}
	}
	shift := func(label, does, arrow string, to time.Duration) act.Action {
		to = min(max(to, 0), furthest)
		key := act.Key(label, does, label, arrow).Do(func() { v.shift = to })
		switch {
		case to == v.shift && to == 0:
			return key.Unless("plan-why.first")
		case to == v.shift:
			return key.Unless("plan-why.last")
		}
		return key
	}
	zoom := func(key act.Action, to int, no string) act.Action {
		key = key.Unless(none)
		if to < 0 || to >= len(planSpans) {
			return key.Unless(no)
		}
		return key.Do(func() { v.zoom = to })
	}
	quarter := planSpans[v.zoom] / 4
	return act.Table{
		act.Key("Enter", "plan-does.next", "enter", "down", "2").Do(mark(1)).Unless(none),
		act.Key("8", "plan-does.before", "8", "up").Do(mark(-1)).Unless(none),
		zoom(act.Key("+", "plan-does.closer", "+", "="), v.zoom-1, "plan-why.closest"),
		zoom(act.Key("-", "plan-does.wider", "-"), v.zoom+1, "plan-why.widest"),
		shift("6", "plan-does.later", "right", v.shift+quarter).Unless(none),
		shift("4", "plan-does.earlier", "left", v.shift-quarter).Unless(none),
		shift("5", "plan-does.to-now", "5", 0).Unless(none),
	}
}

// Update answers a message: the plan is in what every screen sees.
func (v *Plan) Update(*screen.Env, tea.Msg) tea.Cmd { return nil }

// follow brings the marked step into sight.
func (v *Plan) follow(env *screen.Env, s *plan.Step) {
	from := env.Now.Add(v.shift)
	if s.Start.Before(from) || s.Start.After(from.Add(planSpans[v.zoom]*9/10)) {
		v.shift = max(0, s.Start.Sub(env.Now)-planSpans[v.zoom]/10)
	}
}

// Draw draws the plan.
func (v *Plan) Draw(env *screen.Env, r canvas.Region) {
	p := env.End.Plan
	right := ""
	if p != nil {
		right = endWords(env, p)
	}
	body := screen.Page(env, r, env.Words.Say("plan.title", env.State.Site.Name), right, v.Actions(env))
	if p == nil {
		text := env.Words.Say("plan.being-made")
		if env.State.Sheet == nil {
			text = env.Words.Say("plan.no-day")
		} else if env.End.Stuck != nil {
			text = env.Words.Problem(env.End.Stuck)
		}
		body.Inset(1, 0).Wrapped(theme.Text, text)
		return
	}
	a := planAxis{from: env.Now.Add(v.shift), span: planSpans[v.zoom], nameW: min(15, max(9, r.W/7))}
	about := min(4, max(2, body.H/5))
	v.drawAbout(env, body.Rows(body.H-about, about), p)
	amps := 0
	if body.H >= 16 {
		amps = min(len(env.State.Site.Panel.Circuits), max(1, body.H/8))
	}
	chart := body.Rows(0, body.H-about-amps)
	a.drawTimes(env, chart.Rows(0, 1))
	v.drawRows(env, chart.Rows(1, chart.H-1), p, a)
	a.drawAmps(env, body.Rows(body.H-about-amps, amps), p)
}

// endWords is the plan's end with its proof.
func endWords(env *screen.Env, p *plan.Plan) string {
	if p.Optimal {
		return env.Words.Say("plan.ends-best", env.Words.TimeOfDay(p.Finish, ""))
	}
	return env.Words.Say("plan.ends", env.Words.TimeOfDay(p.Finish, ""), env.Words.TimeOfDay(p.LowerBound, ""))
}

// drawAbout says what holds up the end, and why the marked step does not start
// earlier.
func (v *Plan) drawAbout(env *screen.Env, r canvas.Region, p *plan.Plan) {
	r.Put(1, 0, theme.Strong, env.Words.Say("plan.holds-up", r.Theme().Glyphs.Done, env.Words.Sentence(p.Binding.Words)))
	if v.marked >= len(p.Steps) {
		return
	}
	s := &p.Steps[v.marked]
	r.Put(1, 1, theme.Chosen, stepWords(env, s))
	r.Sub(1, 2, r.W-2, r.H-2).Wrapped(theme.Text, env.Words.Say("plan.why-not", env.Words.Sentence(plan.WhyNot(p, v.marked))))
}

// stepWords is a step with its time and, on a rack, the setting of its fans.
func stepWords(env *screen.Env, s *plan.Step) string {
	text := env.Words.Say("plan.step", env.Words.Sentence(s.Said()), env.Words.Place(env.State, s.Place), env.Words.TimeOfDay(s.Start, ""), env.Words.TimeOfDay(s.Off, ""))
	site := env.State.Site
	if load := site.Stations[s.Place.Station].Load; s.Kind == line.Dry && load != line.NoLoad {
		if l := &site.Panel.Loads[load]; len(l.Settings) > 1 {
			text += env.Words.Say("plan.fans", say.Load(l.Name), env.Words.Setting(l.Settings[s.Setting].Name))
		}
	}
	return text
}
