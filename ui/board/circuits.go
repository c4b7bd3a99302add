package board

import (
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"shedbell/line"
	"shedbell/ui/canvas"
	"shedbell/ui/screen"
	"shedbell/ui/theme"
)

// ghost is a start that was refused, as long as the refusal stands at the foot.
type ghost struct {
	at      time.Time
	circuit int
	name    string
	amps    float64 // that it would add
	after   float64
}

// haunt keeps what a refused start would have been.
func (b *Board) haunt(env *screen.Env, msg screen.ResultMsg) {
	b.ghost = nil
	no := msg.Refusal
	if no == nil || no.Verdict == nil {
		return
	}
	load := line.NoLoad
	switch c := msg.Command.(type) {
	case line.SwitchOn:
		load = c.Load
	case line.Start:
		load = loadAt(env.State, c.To, c.Batch)
	case line.Advance:
		load = loadAt(env.State, c.To, c.Batch)
	case line.StartChore:
		load = loadAt(env.State, c.To, 0)
	}
	if load == line.NoLoad {
		return
	}
	l := &env.State.Site.Panel.Loads[load]
	b.ghost = &ghost{at: env.Now, circuit: l.Circuit, name: env.Words.Load(l.Name), amps: no.Verdict.AmpsAfter - no.Verdict.AmpsNow, after: no.Verdict.AmpsAfter}
}

func loadAt(s *line.State, to line.Place, batch int) int {
	if to.Station >= 0 {
		return s.Site.Stations[to.Station].Load
	}
	if b := s.Batch(batch); b != nil {
		if k, ok := s.NextKind(b); ok {
			for i := range s.Site.Stations {
				if s.Site.Stations[i].Kind == k {
					return s.Site.Stations[i].Load
				}
			}
		}
	}
	return line.NoLoad
}

// drawCircuits draws each circuit as a length with the names of its loads in it. With two
// rows each, the second has the breaker's warmth. Those that do not fit are the ones with
// the most room.
func (f *frame) drawCircuits(r canvas.Region) {
	p := &f.s.Site.Panel
	if r.H == 0 {
		return
	}
	rows := 1
	if r.H >= 2*len(p.Circuits) {
		rows = 2
	}
	order := make([]int, len(p.Circuits))
	for i := range order {
		order[i] = i
	}
	if len(order)*rows > r.H {
		slices.SortStableFunc(order, func(a, b int) int { return int(1000 * (f.room(a) - f.room(b))) })
	}
	nameW := 0
	for i := range p.Circuits {
		nameW = max(nameW, canvas.Width(f.t.Circuit(p.Circuits[i].Name)))
	}
	nameW = min(nameW, max(8, r.W/5))
	for i, c := range order {
		y := i * rows
		left := len(order) - i
		if y == r.H-1 && left > 1 && r.H > 1 && r.H != 2 {
			r.Put(1, y, theme.Faint, f.t.Say("board.more-circuits", left))
			return
		}
		if y >= r.H {
			return
		}
		f.drawCircuit(r.Rows(y, rows), c, nameW)
	}
}

// room is what a circuit has left; an open one and one with a refused start come first.
func (f *frame) room(c int) float64 {
	p := &f.s.Site.Panel
	if f.s.Power.Open(c) || f.ghost != nil && f.ghost.circuit == c {
		return -1
	}
	return p.LimitA(c) - p.Amps(f.s.Power, c, f.env.Now)
}

func (f *frame) drawCircuit(r canvas.Region, c, nameW int) {
	p, s, now := &f.s.Site.Panel, f.s.Power, f.env.Now
	r.Sub(1, 0, nameW, 1).Put(0, 0, theme.Text, f.t.Circuit(p.Circuits[c].Name))
	limit := p.LimitA(c)
	amps := p.Running(s, c, now) + p.Reserved(s, c, now)
	start := max(0, p.Starting(s, c, now))
	figures, role := f.t.Say("board.amps", amps, limit), theme.Text
	words, wordsRole := f.t.Say("board.room", max(0, limit-amps)), theme.Faint
	ghost := f.ghost
	if ghost != nil && ghost.circuit != c {
		ghost = nil
	}
	switch {
	case s.Open(c):
		figures, words, role, wordsRole = f.t.Say("board.tripped"), f.t.Say("board.reset"), theme.Urgent, theme.Refuse
	case ghost != nil && ghost.after > limit:
		words, wordsRole = f.t.Say("board.too-much", ghost.after-limit), theme.Refuse
	case start > 0.05:
		words, wordsRole = f.t.Say("board.starting", amps+start), theme.Soon
	case f.alone(c):
		words = f.t.Say("board.alone")
	}
	figW := max(canvas.Width(figures), 14)
	barW := r.W - nameW - figW - max(canvas.Width(words), 12) - 7
	x := nameW + 2
	if barW >= 8 {
		f.drawSegments(r.Sub(x, 0, barW, 1), c, ghost)
		x += barW + 1
	}
	x += r.Sub(x, 0, figW, 1).PutRight(figW, 0, role, figures)
	at := r.W - 1 - max(canvas.Width(words), 12)
	if barW < 8 {
		at = nameW + 2 + figW + 2
	}
	if at+canvas.Width(words) <= r.W {
		r.Put(at, 0, wordsRole, words)
	}
	if r.H > 1 {
		f.drawWarmth(r.Sub(nameW+2, 1, r.W-nameW-2, 1), c, barW)
	}
}

// alone says whether what is on runs alone.
func (f *frame) alone(c int) bool {
	p := &f.s.Site.Panel
	for i := range p.Loads {
		if l := &p.Loads[i]; l.Circuit == c && l.Alone && f.s.Power.Drawing(p, i, f.env.Now) {
			return true
		}
	}
	return false
}

// drawWarmth draws how warm the breaker is, of what makes it trip.
func (f *frame) drawWarmth(r canvas.Region, c, barW int) {
	heat := f.s.Site.Panel.Heat(f.s.Power, c, f.env.Now)
	x := 0
	if warm := f.env.Theme.Glyphs.Warm; warm != "" {
		x = r.Put(0, 0, theme.Edge, strings.Repeat(warm, int(math.Round(min(heat, 1)*float64(max(barW-1, 0))))))
	}
	r.Put(x+1, 0, theme.Faint, f.t.Say("board.warmth", int(math.Round(100*heat))))
}

// drawSegments draws a circuit's loads to scale, what is kept free, what starts, a start
// that was refused, and dots up to the breaker's post. No library draws such bars.
func (f *frame) drawSegments(r canvas.Region, c int, gh *ghost) {
	p, s, now, g := &f.s.Site.Panel, f.s.Power, f.env.Now, f.env.Theme.Glyphs
	post := r.W - 1
	r.Put(post, 0, theme.Strong, g.Post)
	limit := p.LimitA(c)
	if limit <= 0 {
		return
	}
	r.Put(0, 0, theme.Rule, strings.Repeat(g.Dot, post))
	if s.Open(c) {
		r.Sub(1, 0, post-1, 1).Put(0, 0, theme.Refuse, f.openSince(c))
		return
	}
	sum, x := 0.0, 0
	end := func(amps float64) int { // where amps more end; what is on has two cells at least
		sum += amps
		return min(max(int(math.Round(sum/limit*float64(post))), x+2), post)
	}
	for i := range p.Loads {
		l := &p.Loads[i]
		if l.Circuit != c || l.Cycles || !s.Drawing(p, i, now) {
			continue
		}
		st := s.Loads[i]
		amps := l.Settings[min(max(st.Setting, 0), len(l.Settings)-1)].AmpsA
		name := f.t.Load(l.Name)
		if st.InDoubt {
			name += "?"
		}
		to := end(amps)
		f.segment(r.Sub(x, 0, to-x, 1), name, number(amps))
		x = to
	}
	if kept := p.Running(s, c, now) + p.Reserved(s, c, now) - sum; kept > 0.05 {
		to := end(kept)
		f.kept(r.Sub(x, 0, to-x, 1), c, number(kept))
		x = to
	}
	if start := p.Starting(s, c, now); start > 0.05 {
		to := end(start)
		r.Put(x, 0, theme.Surge, strings.Repeat(g.Start, to-x))
		centred(r.Sub(x, 0, to-x, 1), theme.Surge, f.t.Say("board.starts"))
		x = to
	}
	if gh == nil {
		return
	}
	room := r.Sub(x, 0, post-x, 1) // up to the post, which never moves
	if gh.after <= limit {
		room = r.Sub(x, 0, min(end(gh.amps), post)-x, 1)
	}
	if room.W < 2 {
		return
	}
	room.Put(0, 0, theme.Refuse, g.GhostEnd+strings.Repeat(g.GhostLine, room.W-2)+g.GhostEnd)
	if gh.after > limit { // it would run into the post
		room.Put(room.W-1, 0, theme.Refuse, g.GhostLine)
	}
	for _, text := range []string{f.t.Say("board.ghost-amps", gh.name, number(gh.amps)), f.t.Say("board.ghost", gh.name), f.t.Say("board.not-now")} {
		if centred(room, theme.Refuse, text) {
			return
		}
	}
}

// segment is a load that is on.
func (f *frame) segment(r canvas.Region, name, amps string) {
	g := f.env.Theme.Glyphs
	pad := 1
	if f.env.Theme.Colour {
		r.Fill(theme.Segment, " ")
	} else {
		r.Fill(theme.Segment, " ")
		if f.env.Theme.Plain {
			r.Put(0, 0, theme.Text, g.SegLeft)
			r.Put(r.W-1, 0, theme.Text, g.SegRight)
		}
	}
	for _, text := range []string{name + " " + amps, name} {
		if canvas.Width(text) <= r.W-2*pad {
			r.Put(pad, 0, theme.Segment, text)
			return
		}
	}
}

// kept is what is kept free for what starts by itself.
func (f *frame) kept(r canvas.Region, c int, amps string) {
	p := &f.s.Site.Panel
	r.Fill(theme.Faint, f.env.Theme.Glyphs.Hatch)
	for i := range p.Loads {
		if l := &p.Loads[i]; l.Circuit == c && l.Cycles {
			name := f.t.Load(l.Name)
			if !centred(r, theme.Text, f.t.Say("board.kept-for", name, amps)) {
				centred(r, theme.Text, name)
			}
			return
		}
	}
}

// centred writes text with a blank on either side into the middle, where it fits.
func centred(r canvas.Region, role theme.Role, text string) bool {
	if canvas.Width(text)+4 > r.W {
		return false
	}
	r.PutCenter(0, role, " "+text+" ")
	return true
}

// openSince says since when a breaker is out.
func (f *frame) openSince(c int) string {
	if c < len(f.s.Tripped) && !f.s.Tripped[c].IsZero() {
		return f.t.Say("board.out-since", f.t.TimeOfDay(f.s.Tripped[c], ""))
	}
	return f.t.Say("board.tripped")
}

func number(amps float64) string { return strconv.FormatFloat(math.Round(10*amps)/10, 'f', -1, 64) }
