package pages

import (
	"strings"
	"time"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"

	"shedbell/line"
	"shedbell/line/plan"
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

var (
	keyPlanNext  = screen.Bind("Enter", "plan-does.next", "enter", "down", "2")
	keyPlanPrev  = screen.Bind("8", "plan-does.before", "8", "up")
	keyPlanIn    = screen.Bind("+", "plan-does.closer", "+", "=")
	keyPlanOut   = screen.Bind("-", "plan-does.wider", "-")
	keyPlanRight = screen.Bind("6", "plan-does.later", "6", "right")
	keyPlanLeft  = screen.Bind("4", "plan-does.earlier", "4", "left")
	keyPlanNow   = screen.Bind("5", "plan-does.to-now", "5")
	keyPlanExit  = screen.Bind("0", "does.back", "0", "esc")
	keyPlanHelp  = screen.Bind("?", "does.help", "?")
)

// Typing says that no field takes letters and digits here.
func (v *Plan) Typing() bool { return false }

// Keys lists what can be pressed.
func (v *Plan) Keys(env *screen.Env) []screen.Binding {
	none, closest, widest, first := "", "", "", ""
	if env.End.Plan == nil {
		none = "plan-why.none"
	}
	if v.zoom == 0 {
		closest = "plan-why.closest"
	}
	if v.zoom == len(planSpans)-1 {
		widest = "plan-why.widest"
	}
	if v.shift <= 0 {
		first = "plan-why.first"
	}
	return []screen.Binding{keyPlanNext.Unless(none), keyPlanPrev.Unless(none), keyPlanIn.Unless(closest), keyPlanOut.Unless(widest),
		keyPlanRight.Unless(none), keyPlanLeft.Unless(first), keyPlanNow}
}

// Update answers a message.
func (v *Plan) Update(env *screen.Env, msg tea.Msg) tea.Cmd {
	k, ok := msg.(tea.KeyMsg)
	if !ok {
		return nil
	}
	steps := 0
	if env.End.Plan != nil {
		steps = len(env.End.Plan.Steps)
	}
	switch {
	case key.Matches(k, keyPlanNext.Binding) && steps > 0:
		v.marked = (v.marked + 1) % steps
	case key.Matches(k, keyPlanPrev.Binding) && steps > 0:
		v.marked = (v.marked + steps - 1) % steps
	case key.Matches(k, keyPlanIn.Binding):
		v.zoom = max(v.zoom-1, 0)
	case key.Matches(k, keyPlanOut.Binding):
		v.zoom = min(v.zoom+1, len(planSpans)-1)
	case key.Matches(k, keyPlanRight.Binding):
		v.shift = min(v.shift+planSpans[v.zoom]/4, 24*time.Hour)
	case key.Matches(k, keyPlanLeft.Binding):
		v.shift = max(v.shift-planSpans[v.zoom]/4, 0)
	case key.Matches(k, keyPlanNow.Binding):
		v.shift = 0
	default:
		return nil
	}
	if steps > 0 && (key.Matches(k, keyPlanNext.Binding) || key.Matches(k, keyPlanPrev.Binding)) {
		v.follow(env, &env.End.Plan.Steps[v.marked])
	}
	return nil
}

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
	body := screen.Page(env, r, env.Words.Say("plan.title", env.State.Site.Name), right, v.Keys(env), keyPlanExit, keyPlanHelp)
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
	text := env.Words.Say("plan.step", env.Words.Sentence(s.Said()), env.State.PlaceName(s.Place), env.Words.TimeOfDay(s.Start, ""), env.Words.TimeOfDay(s.Off, ""))
	site := env.State.Site
	if load := site.Stations[s.Place.Station].Load; s.Kind == line.Dry && load != line.NoLoad {
		if l := &site.Panel.Loads[load]; len(l.Settings) > 1 {
			text += env.Words.Say("plan.fans", strings.ReplaceAll(l.Name, "-", " "), env.Words.Setting(l.Settings[s.Setting].Name))
		}
	}
	return text
}
