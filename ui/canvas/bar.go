package canvas

import (
	"math"
	"strings"

	"shedbell/ui/theme"
)

// Amps is what a circuit's bar shows, in amperes.
type Amps struct {
	Running float64
	Kept    float64 // kept free for what starts by itself
	Start   float64 // extra current of the machine started last
	Limit   float64
	Scale   float64 // amperes at the bar's end; the limit where it is less
}

// AmpsBar draws a bar with the limit as a post in it. A scale of more than the limit
// leaves room beyond the post, so that a starting current can be seen to pass it.
func AmpsBar(r Region, a Amps) {
	if r.W < 4 || r.H < 1 || a.Limit <= 0 {
		return
	}
	g := r.Theme().Glyphs
	post, end := r.W-1, r.W-1
	if a.Scale > a.Limit {
		post, end = int(math.Round(a.Limit/a.Scale*float64(end))), r.W
	}
	cells := func(amps float64) int { return int(math.Round(amps / a.Limit * float64(post))) }
	running, kept, start := cells(a.Running), cells(a.Running+a.Kept), cells(a.Running+a.Kept+max(0, a.Start))
	if a.Running > 0 && running == 0 {
		running, kept, start = 1, max(kept, 1), max(start, 1)
	}
	running, kept, start = min(running, end), min(kept, end), min(start, end)
	x := r.Put(0, 0, theme.Bar, strings.Repeat(g.Full, running))
	x += r.Put(x, 0, theme.Spare, strings.Repeat(g.Kept, kept-running))
	r.Put(x, 0, theme.Surge, strings.Repeat(g.Start, start-kept))
	r.Put(post, 0, theme.Strong, g.Post)
}

// CountBar draws how much of a countdown is over.
func CountBar(r Region, done float64, role theme.Role) {
	if r.W < 1 || r.H < 1 {
		return
	}
	g := r.Theme().Glyphs
	n := int(math.Round(min(max(done, 0), 1) * float64(r.W)))
	r.Put(0, 0, role, strings.Repeat(g.Done, n))
	r.Put(n, 0, theme.Faint, strings.Repeat(g.Left, r.W-n))
}
