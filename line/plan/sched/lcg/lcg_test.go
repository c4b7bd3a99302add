package lcg

import (
	"math/rand/v2"
	"testing"
)

// lowest branches on the first open variable, at its least value.
func lowest(vars *[]Var) func(*Engine) (Lit, bool) {
	return func(e *Engine) (Lit, bool) {
		for _, v := range *vars {
			if !e.Fixed(v) {
				return AtMost(v, e.Lo(v)), true
			}
		}
		return Lit{}, false
	}
}

func TestLiterals(t *testing.T) {
	for _, l := range []Lit{AtLeast(3, 5), AtMost(3, 5), IsTrue(2), IsFalse(2)} {
		if l.Not().Not() != l || l.Not() == l {
			t.Errorf("%v and its opposite %v", l, l.Not())
		}
	}
	if AtLeast(3, 5).Not() != AtMost(3, 4) || IsTrue(2).Not() != IsFalse(2) {
		t.Error("the opposite of at least 5 is at most 4")
	}
}

// TestDifferences: x+3 <= y and y+4 <= z put z at 7 at least and, with z at most 9,
// x at most 2. A circle of positive length is contradictory.
func TestDifferences(t *testing.T) {
	var vars []Var
	e := New(lowest(&vars))
	for range 3 {
		vars = append(vars, e.NewVar(0, 20))
	}
	x, y, z := vars[0], vars[1], vars[2]
	e.AddDifference(x, y, 3, Always)
	e.AddDifference(y, z, 4, Always)
	e.Root(AtMost(z, 9))
	if !e.PropagateRoot() || e.Lo(z) != 7 || e.Hi(x) != 2 || e.Hi(y) != 5 {
		t.Errorf("z from %d, x to %d, y to %d", e.Lo(z), e.Hi(x), e.Hi(y))
	}
	e.Mark()
	e.AddDifference(z, x, -6, Always)
	if e.Search(nil, 100) != Contradiction {
		t.Error("a circle of length 1 was not refuted")
	}
	e.Rewind()
	if e.Search(nil, 100) != Solved || e.Lo(z) != 7 {
		t.Error("rewinding does not undo the circle")
	}
}

// TestPigeons: 5 pigeons do not fit into 4 holes, 4 do.
func TestPigeons(t *testing.T) {
	for pigeons, want := range map[int]Answer{4: Solved, 5: Contradiction} {
		var vars []Var
		e := New(lowest(&vars))
		in := make([][]Lit, pigeons)
		for p := range in {
			for range 4 {
				v := e.NewBool()
				vars = append(vars, v)
				in[p] = append(in[p], IsTrue(v))
			}
			e.AddClause(in[p]...)
			for q := range p {
				for h := range 4 {
					e.AddClause(in[p][h].Not(), in[q][h].Not())
				}
			}
		}
		if got := e.Search(nil, 100_000); got != want {
			t.Errorf("%d pigeons: %v", pigeons, got)
		}
	}
}

// TestAssumptions: what is refuted under an assumption may hold without it.
func TestAssumptions(t *testing.T) {
	var vars []Var
	e := New(lowest(&vars))
	a, b := e.NewVar(0, 9), e.NewVar(0, 9)
	vars = []Var{a, b}
	e.AddLinear([]Product{{2, a}, {3, b}}, 12)
	e.AddLinear([]Product{{-1, a}, {-1, b}}, -5)
	if !e.Refutes(AtLeast(b, 5)) || e.Refutes(AtLeast(b, 2)) {
		t.Error("2a+3b <= 12 and a+b >= 5 leave b at 2 at most")
	}
	if e.Search([]Lit{AtLeast(b, 3)}, 100) != Refuted || e.Search([]Lit{AtLeast(b, 2)}, 100) != Solved || e.Lo(a) != 3 {
		t.Errorf("a is %d", e.Lo(a))
	}
}

// puzzle is a random mix of constraints on a few small variables.
type puzzle struct {
	hi       []int
	diff     [][4]int // x, y, gap, variable that switches it on or -1
	sums     [][]int  // coefficients, limit last
	tasks    [][4]int // start variable, length, units, group
	present  []int    // variable that says that the task happens, or -1
	capacity int
}

func drawPuzzle(rnd *rand.Rand) *puzzle {
	p := &puzzle{capacity: 1 + rnd.IntN(3)}
	n := 4
	for i := range n {
		hi := 1 + rnd.IntN(5)
		if i == n-1 {
			hi = 1 // a Boolean
		}
		p.hi = append(p.hi, hi)
	}
	for range rnd.IntN(4) {
		on := -1
		if rnd.IntN(3) == 0 {
			on = n - 1
		}
		p.diff = append(p.diff, [4]int{rnd.IntN(n), rnd.IntN(n), rnd.IntN(6) - 2, on})
	}
	for range rnd.IntN(2) {
		var sum []int
		for range n {
			sum = append(sum, rnd.IntN(7)-3)
		}
		p.sums = append(p.sums, append(sum, rnd.IntN(9)-4))
	}
	for i := range n - 1 {
		on := -1
		if rnd.IntN(4) == 0 {
			on = n - 1
		}
		p.tasks = append(p.tasks, [4]int{i, 1 + rnd.IntN(3), 1 + rnd.IntN(2), rnd.IntN(2) * rnd.IntN(2)})
		p.present = append(p.present, on)
	}
	return p
}

func (p *puzzle) holds(x []int) bool {
	for _, d := range p.diff {
		if (d[3] < 0 || x[d[3]] == 1) && x[d[1]] < x[d[0]]+d[2] {
			return false
		}
	}
	for _, s := range p.sums {
		sum := 0
		for i, v := range x {
			sum += s[i] * v
		}
		if sum > s[len(x)] {
			return false
		}
	}
	for at := range 12 {
		use, group := 0, 0
		for i, k := range p.tasks {
			if (p.present[i] >= 0 && x[p.present[i]] == 0) || at < x[k[0]] || at >= x[k[0]]+k[1] {
				continue
			}
			if k[3] == 0 {
				use += k[2]
			} else {
				group = max(group, k[2])
			}
		}
		if use+group > p.capacity {
			return false
		}
	}
	return true
}

// solvable tries every assignment.
func (p *puzzle) solvable() bool {
	x := make([]int, len(p.hi))
	var try func(i int) bool
	try = func(i int) bool {
		if i == len(x) {
			return p.holds(x)
		}
		for x[i] = 0; x[i] <= p.hi[i]; x[i]++ {
			if try(i + 1) {
				return true
			}
		}
		return false
	}
	return try(0)
}

func (p *puzzle) engine(vars *[]Var) *Engine {
	e := New(lowest(vars))
	for _, hi := range p.hi {
		*vars = append(*vars, e.NewVar(0, int32(hi)))
	}
	on := func(i int) Lit {
		if i < 0 {
			return Always
		}
		return IsTrue((*vars)[i])
	}
	for _, d := range p.diff {
		if d[0] == d[1] {
			if d[2] > 0 {
				e.AddClause(on(d[3]).Not())
			}
			continue
		}
		e.AddDifference((*vars)[d[0]], (*vars)[d[1]], int32(d[2]), on(d[3]))
	}
	for _, s := range p.sums {
		var sum []Product
		for i, v := range *vars {
			sum = append(sum, Product{int32(s[i]), v})
		}
		e.AddLinear(sum, int64(s[len(*vars)]))
	}
	var tasks []Task
	for i, k := range p.tasks {
		v := (*vars)[k[0]]
		tasks = append(tasks, Task{Start: v, End: v, EndGap: int32(k[1]), Demand: int32(k[2]), Group: int32(k[3]), Present: on(p.present[i])})
	}
	e.AddCumulative(tasks, int32(p.capacity))
	return e
}

// TestPuzzles compares with trying every assignment, for the plain and the costly
// propagation and both ways of deciding.
func TestPuzzles(t *testing.T) {
	rnd := rand.New(rand.NewPCG(2, 6))
	solved := 0
	const n = 1500
	for k := range n {
		p := drawPuzzle(rnd)
		var vars []Var
		e := p.engine(&vars)
		e.Thorough, e.UseActivity = k%2 == 0, k%3 == 0
		got := e.Search(nil, 100_000)
		want := p.solvable()
		if (got == Solved) != want || got == Stopped {
			t.Fatalf("%d: %v, solvable %v: %+v", k, got, want, p)
		}
		if got != Solved {
			continue
		}
		solved++
		x := make([]int, len(vars))
		for i, v := range vars {
			x[i] = int(e.Lo(v))
		}
		if !p.holds(x) {
			t.Fatalf("%d: %v does not satisfy %+v", k, x, p)
		}
	}
	if solved < n/5 || solved > n*4/5 {
		t.Errorf("%d of %d solvable, so one kind is hardly tested", solved, n)
	}
}
