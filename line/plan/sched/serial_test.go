package sched

import (
	"math/rand/v2"
	"slices"
	"testing"
)

// wrong says what a schedule violates, instant by instant.
func wrong(p *project, start []int32, end int) string {
	last := 0
	for i, s := range start {
		if int(s) < p.Release[i] {
			return "starts before its release"
		}
		last = max(last, int(s)+p.Duration[i])
	}
	if last != end {
		return "ends at another instant than said"
	}
	for _, a := range p.Arcs {
		if int(start[a.To]) < int(start[a.From])+a.Gap {
			return "breaks an arc"
		}
	}
	for t := range end {
		for r, c := range p.Capacity {
			for i, s := range start {
				if int(s) <= t && t < int(s)+p.Duration[i] {
					c -= p.Request[i][r]
				}
			}
			if c < 0 {
				return "takes more than there is"
			}
		}
	}
	return ""
}

// least is the shortest makespan by trying all starts.
func least(p *project, most int) int {
	start := make([]int32, len(p.Duration))
	best := most + 1
	var place func(i, end int)
	place = func(i, end int) {
		if end >= best {
			return
		}
		if i == len(start) {
			if wrong(p, start, end) == "" {
				best = end
			}
			return
		}
		for s := p.Release[i]; s+p.Duration[i] < best; s++ {
			start[i] = int32(s)
			place(i+1, max(end, s+p.Duration[i]))
		}
	}
	place(0, 0)
	return best
}

// tiny draws a project of four or five activities, on up to five resources so that
// more than one word of lanes is used.
func tiny(rnd *rand.Rand) *project {
	p := &project{}
	for range 1 + rnd.IntN(5) {
		p.Capacity = append(p.Capacity, 1+rnd.IntN(3))
	}
	for i := range 4 + rnd.IntN(2) {
		p.Duration = append(p.Duration, rnd.IntN(4))
		p.Release = append(p.Release, rnd.IntN(2)*rnd.IntN(3))
		var req []int
		for _, c := range p.Capacity {
			req = append(req, rnd.IntN(c+1))
		}
		p.Request = append(p.Request, req)
		for j := range i {
			if rnd.IntN(4) == 0 {
				p.Arcs = append(p.Arcs, projectArc{j, i, p.Duration[j] + rnd.IntN(2)})
			}
		}
	}
	return p
}

// TestBreederFindsTheLeast: a serial scheme can build an optimal schedule of every
// project (Kolisch, "Serial and parallel resource-constrained project scheduling
// methods revisited", European Journal of Operational Research 90, 1996), so on tiny
// ones the breeder has to come upon it.
func TestBreederFindsTheLeast(t *testing.T) {
	rnd := rand.New(rand.NewPCG(3, 9))
	for k := range 300 {
		p := tiny(rnd)
		b := newSerialBuilder(p)
		if b == nil {
			t.Fatalf("%d: turned down %+v", k, p)
		}
		g := newBreeder(b, uint64(k))
		for range 400 {
			g.Step()
		}
		start, end := g.Best()
		if bad := wrong(p, start, end); bad != "" {
			t.Fatalf("%d: %v %s", k, start, bad)
		}
		if want := least(p, 20); end != want {
			t.Errorf("%d: %d instead of %d for %+v", k, end, want, p)
		}
	}
}

// TestJustifyNeverLengthens shifts random feasible schedules to the right and back.
func TestJustifyNeverLengthens(t *testing.T) {
	rnd := rand.New(rand.NewPCG(8, 1))
	shorter := 0
	for k := range 300 {
		p := tiny(rnd)
		b := newSerialBuilder(p)
		order := make([]int32, b.n)
		for i, x := range rnd.Perm(b.n) {
			order[i] = int32(x)
		}
		start := make([]int32, b.n)
		end := b.Forward(order, start)
		if bad := wrong(p, start, int(end)); bad != "" {
			t.Fatalf("%d: forward %s", k, bad)
		}
		after := b.Justify(start, end)
		if after < 0 { // a release is in the way of shifting
			continue
		}
		if bad := wrong(p, start, int(after)); bad != "" || after > end {
			t.Fatalf("%d: from %d to %d, %s", k, end, after, bad)
		}
		if after < end {
			shorter++
		}
	}
	if shorter == 0 {
		t.Error("no schedule got shorter")
	}
}

// By hand: a and b, 3 and 4 long, share one unit; c, 2 long, comes 1 after a ends and not
// before 5. With b first the end is 4+3+1+2 = 10.
func TestHandMade(t *testing.T) {
	p := &project{Duration: []int{3, 4, 2}, Release: []int{0, 0, 5}, Capacity: []int{1}, Request: [][]int{{1}, {1}, {0}}, Arcs: []projectArc{{0, 2, 4}}}
	b := newSerialBuilder(p)
	if b.CriticalPath() != 7 {
		t.Errorf("critical path %d", b.CriticalPath())
	}
	start := make([]int32, 3)
	if end := b.Forward([]int32{1, 0, 2}, start); end != 10 || !slices.Equal(start, []int32{4, 0, 8}) {
		t.Errorf("b first: %v, %d", start, end)
	}
	// A gap of one before a: to the right b moves to 1, and back all begin one earlier.
	start = []int32{5, 0, 9}
	if end := b.Justify(start, 11); end != 10 || !slices.Equal(start, []int32{4, 0, 8}) {
		t.Errorf("justified: %v, %d", start, end)
	}
}

func TestTurnedDown(t *testing.T) {
	two := func(change func(*project)) *project {
		p := &project{Duration: []int{3, 4}, Release: []int{0, 0}, Capacity: []int{2}, Request: [][]int{{1}, {2}}, Arcs: []projectArc{{0, 1, 3}}}
		change(p)
		return p
	}
	if newSerialBuilder(two(func(*project) {})) == nil {
		t.Fatal("a plain project was turned down")
	}
	for name, p := range map[string]*project{
		"circle":        two(func(p *project) { p.Arcs = append(p.Arcs, projectArc{1, 0, 4}) }),
		"overlap":       two(func(p *project) { p.Arcs[0].Gap = 2 }),
		"too much":      two(func(p *project) { p.Request[1][0] = 3 }),
		"large numbers": two(func(p *project) { p.Capacity[0] = laneMax + 1 }),
		"too long":      two(func(p *project) { p.Duration[0], p.Arcs[0].Gap = maxSpan+1, maxSpan+1 }),
	} {
		if newSerialBuilder(p) != nil {
			t.Errorf("%s: not turned down", name)
		}
	}
}
