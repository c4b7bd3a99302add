package powerui

import (
	"fmt"
	"strconv"
	"strings"
	"time"

	"shedbell/line"
	"shedbell/line/meter"
	"shedbell/power"
	"shedbell/ui/canvas"
	"shedbell/ui/screen"
	"shedbell/ui/theme"
	"shedbell/ui/words"
)

// loadState is what a load is doing, in words, and in fewer where there is little
// room.
func loadState(env *screen.Env, i int) (text, short string, role theme.Role) {
	p, s := &env.State.Site.Panel, env.State.Power
	l, st := &p.Loads[i], &s.Loads[i]
	w := env.Words
	same := func(key string) (string, string, theme.Role) { return w.Say(key), w.Say(key), theme.Faint }
	switch {
	case s.Dark(l.Circuit):
		return w.Say("power.dark"), w.Say("power.dark"), theme.Soon
	case s.Open(l.Circuit):
		return w.Say("power.no-power"), w.Say("power.tripped"), theme.Soon
	case st.InDoubt && s.Drawing(p, i, env.Now):
		return w.Say("power.in-doubt"), w.Say("power.perhaps-on"), theme.Soon
	case s.Drawing(p, i, env.Now):
		return onWords(env, l, st)
	case st.On:
		return same("power.self-off")
	case l.Cycles && !st.DeclaredOff:
		return w.Say("power.off-reserved", l.WorstA()), w.Say("power.reserved"), theme.Text
	case st.DeclaredOff:
		return same("power.unplugged")
	}
	return same("power.off")
}

// sourced says of a load's state whether it is measured or told; nothing where the shed
// has no meters. A meter that does not agree with it is shown, and the state is told.
func sourced(env *screen.Env, i int, state, short string) (long, brief string) {
	if env.Measured == nil {
		return state, short
	}
	p := &env.State.Site.Panel
	r, has := env.Measured.Load(p.Loads[i].Name, env.Now)
	agrees, does := meter.Off, "power.off"
	if env.State.Power.Drawing(p, i, env.Now) {
		agrees, does = meter.On, "power.on"
	}
	if canvas.Width(short) > briefState {
		short = env.Words.Say(does)
	}
	w := env.Words
	switch {
	case !has:
		return w.Say("power.told", state), w.Say("power.told", short)
	case !r.Speaks:
		return w.Say("power.told-silent", state), w.Say("power.silent", short)
	case r.Verdict != agrees:
		return w.Say("power.told-amps", state, r.AmpsA), w.Say("power.told-but", short, r.AmpsA)
	case r.Least:
		return w.Say("power.measured-least", state, r.AmpsA), w.Say("power.least", short, r.AmpsA)
	}
	return w.Say("power.measured", state, r.AmpsA), w.Say("power.measured", short, r.AmpsA)
}

// briefState is how long the few words for a state may be beside where they are from.
const briefState = 9

func onWords(env *screen.Env, l *power.Load, st *power.Status) (text, short string, role theme.Role) {
	first := func(at time.Time) time.Time {
		if at.IsZero() {
			return st.Since
		}
		return at
	}
	w := env.Words
	text, role = w.Say("power.on"), theme.Calm
	if since := first(st.OnSince); !since.IsZero() {
		text = w.Say("power.on-since", env.Words.TimeOfDay(since, ""))
	}
	started, left := first(st.Started), st.Until.Sub(env.Now)
	switch {
	case l.StartingA > 0 && !started.IsZero() && env.Now.Sub(started) < l.StartingTime:
		short, role = w.Say("power.starting"), theme.Soon
	case st.Until.IsZero():
		return text, text, role
	case left > 0:
		short = w.Say("power.left", words.Left(left))
	default:
		short, role = w.Say("power.due", words.Clock(-left)), theme.Soon
	}
	return text + ", " + short, short, role
}

// drawLoads lists a page of loads, or the part of it around the chosen one, and says how
// many there are above and below.
func (v *View) drawLoads(env *screen.Env, r canvas.Region) {
	p := &env.State.Site.Panel
	first := v.load / pageLoads * pageLoads
	last := min(first+pageLoads, len(p.Loads))
	n := last - first
	headed := r.H > n
	if headed {
		r.Put(1, 0, theme.Faint, v.pageWords(env.Words, p))
		r = r.Rows(1, r.H-1)
	}
	heights := make([]int, n)
	for i := range heights {
		heights[i] = 1
	}
	from, to := window(heights, v.load-first, r.H)
	if shown := to - from; r.H > 1 && (shown < n || !headed && shown < len(p.Loads)) {
		from, to = window(heights, v.load-first, r.H-1)
		r.Put(3, r.H-1, theme.Faint, hiddenWords(env.Words, first+from, len(p.Loads)-first-to))
	}
	nameW := 0
	for i := first; i < last; i++ {
		nameW = max(nameW, canvas.Width(env.Words.Load(p.Loads[i].Name)))
	}
	nameW = min(nameW, r.W/3)
	for k := from; k < to; k++ {
		v.drawLoad(env, r.Rows(k-from, 1), first+k, nameW)
	}
}

// hiddenWords says how many loads the list leaves out.
func hiddenWords(w *words.Speaker, above, below int) string {
	switch {
	case above == 0:
		return w.Say("power.more-below", below)
	case below == 0:
		return w.Say("power.more-above", above)
	}
	return w.Say("power.more-around", above, below)
}

func (v *View) pageWords(w *words.Speaker, p *power.Panel) string {
	if len(p.Loads) <= pageLoads {
		return w.Say("power.loads")
	}
	first := v.load / pageLoads * pageLoads
	return w.Say("power.loads-page", first+1, min(first+pageLoads, len(p.Loads)), len(p.Loads))
}

func (v *View) drawLoad(env *screen.Env, r canvas.Region, i, nameW int) {
	p := &env.State.Site.Panel
	l := &p.Loads[i]
	role := theme.Text
	if i == v.load {
		role = theme.Chosen
		r.Put(1, 0, theme.Strong, r.Theme().Glyphs.Arrow)
	}
	nameAt := 5
	if len(p.Loads) > pageLoads {
		nameAt++
	}
	r.Put(3, 0, theme.Strong, strconv.Itoa(i+1))
	r.Sub(nameAt, 0, nameW, 1).Put(0, 0, role, env.Words.Load(l.Name))
	state, short, stateRole := loadState(env, i)
	state, short = sourced(env, i, state, short)
	text := settingWords(env.Words, l, v.settingOf(env, i))
	at := nameAt + nameW + 2
	if at+canvas.Width(text)+2+canvas.Width(state) > r.W-1 {
		state = short
	}
	area := r.Sub(at, 0, r.W-1-at, 1) // the name stays, however long the state is
	w := area.PutRight(area.W, 0, stateRole, state)
	room := r.W - 1 - w - 2 - at
	const circuitAt = 16
	if room >= circuitAt+8 {
		r.Sub(at+circuitAt, 0, room-circuitAt, 1).Put(0, 0, theme.Faint, env.Words.Circuit(p.Circuits[l.Circuit].Name))
		room = circuitAt - 1
	}
	r.Sub(at, 0, room, 1).Put(0, 0, theme.Text, text)
}

// settingWords is a load's setting with its amperes.
func settingWords(w *words.Speaker, l *power.Load, setting int) string {
	s := &l.Settings[min(max(setting, 0), len(l.Settings)-1)]
	amps := fmt.Sprintf("%.4g A", s.AmpsA)
	if s.AmpsA == 0 {
		amps = w.Say("power.unknown-amps")
	}
	if len(l.Settings) == 1 {
		return amps
	}
	return s.Name + " " + amps
}

// servedBy names the steps that keep a load on.
func servedBy(env *screen.Env, load int) []string {
	return steps(env, func(step *line.Step) bool {
		return step.Load == load && (step.Progress == line.Running || step.Progress == line.Interrupted)
	})
}

// heldOn names the steps of a circuit that are held, with the time they certainly
// ran.
func heldOn(env *screen.Env, circuit int) []string {
	p := &env.State.Site.Panel
	s := env.State
	on := func(step *line.Step) bool {
		return step.Progress == line.Held && step.Load != line.NoLoad && p.Loads[step.Load].Circuit == circuit
	}
	out := steps(env, on)
	for i, place := range places(s, on) {
		step := s.StepAt(place)
		ran := words.Clock(step.Ran(env.Now))
		if step.Planned > 0 {
			out[i] = env.Words.Say("power.ran-of", out[i], ran, words.Clock(step.Planned))
		} else {
			out[i] = env.Words.Say("power.ran", out[i], ran)
		}
	}
	return out
}

// places lists where steps stand that match.
func places(s *line.State, match func(*line.Step) bool) []line.Place {
	var out []line.Place
	for i := range s.Batches {
		if b := &s.Batches[i]; b.Fate == line.OnLine && match(&b.Step) {
			out = append(out, b.Step.Place)
		}
	}
	for i := range s.Chores {
		if match(&s.Chores[i].Step) {
			out = append(out, s.Chores[i].Step.Place)
		}
	}
	return out
}

func steps(env *screen.Env, match func(*line.Step) bool) []string {
	var out []string
	s := env.State
	for _, place := range places(s, match) {
		if b, _ := s.Occupant(place); b != nil {
			out = append(out, env.Words.Say("power.batch-at", env.Words.Caps(b), env.Words.Place(s, place)))
		} else {
			out = append(out, env.Words.Say("power.place", env.Words.Place(s, place)))
		}
	}
	return out
}

func join(names []string) string { return strings.Join(names, ", ") }
