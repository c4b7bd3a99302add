package sched

import (
	"math/rand/v2"
	"slices"
)

// individual is a left-justified schedule.
type individual struct {
	start []int32
	end   int32
}

// breeder improves schedules in a steady-state genetic algorithm: a child has
// a busy stretch of time from one parent and everything around it from the
// other (Debels and Vanhoucke, "A decomposition-based genetic algorithm for
// the resource-constrained project-scheduling problem", Operations Research
// 55, 2007), and is justified at once.
type breeder struct {
	b     *serialBuilder
	rng   *rand.Rand
	pop   []individual
	best  individual
	child individual
	key   []int32
	sort  []keyed
	use   []float64 // weight of each resource in finding busy stretches
	stale int
	size  int // of the population
	// patience is how many children without a gain, per individual, end a population.
	patience int
	// Restarts counts how often the population was renewed.
	Restarts int
}

type keyed struct{ key, i int32 }

// A population is the larger, and lives the longer, the cheaper its schedules are.
const (
	smallestPopulation, largestPopulation = 60, 200
	quadratic                             = 570_000 // size times the square of the activities
	linear                                = 2_500   // patience times the activities
	leastPatience                         = 20
	leastNoise                            = 3 // in keys and starts, for projects of a few time units
)

// newBreeder starts from the bare priority rules.
func newBreeder(b *serialBuilder, seed uint64) *breeder {
	g := &breeder{b: b, rng: rand.New(rand.NewPCG(seed, 0x5eed))}
	n := max(1, b.n)
	g.size = min(max(smallestPopulation, quadratic/(n*n)), largestPopulation)
	g.patience = max(leastPatience, linear/n)
	g.key = make([]int32, b.n)
	g.sort = make([]keyed, b.n)
	g.child = individual{start: make([]int32, b.n)}
	g.best = individual{start: make([]int32, b.n), end: 1 << 30}
	return g
}

// Best is the best schedule so far; the slice stays the breeder's.
func (g *breeder) Best() ([]int32, int) { return g.best.start, int(g.best.end) }

// Step makes one more schedule, and reports whether it is the best so far.
func (g *breeder) Step() bool {
	if len(g.pop) < g.size {
		g.sample()
	} else {
		g.breed()
	}
	c := &g.child
	for {
		end := g.b.Justify(c.start, c.end)
		if end < 0 {
			return false
		}
		better := end < c.end
		c.end = end
		if !better {
			break
		}
	}
	return g.accept()
}

// Inject adds a schedule found elsewhere.
func (g *breeder) Inject(start []int32) {
	copy(g.child.start, start)
	end := int32(0)
	for i, s := range start {
		end = max(end, s+g.b.dur[i])
	}
	if int(end)*g.b.words > len(g.b.free) {
		return // longer than everything one after the other
	}
	g.child.end = end
	if e := g.b.Justify(g.child.start, end); e >= 0 {
		g.child.end = e
		g.accept()
	}
}

// sample builds a schedule by the latest-finish-time rule with random
// disturbance, more with each restart.
func (g *breeder) sample() {
	b := g.b
	noise := int32(max(leastNoise, 1+len(g.pop)*g.b.CriticalPath()/(3*g.size)))
	for i := range b.n {
		g.key[i] = -b.tail[i]
		if len(g.pop) > 0 {
			g.key[i] += g.rng.Int32N(noise)
		}
	}
	g.build()
}

// build turns keys into a schedule.
func (g *breeder) build() {
	for k, i := range g.b.topo {
		g.sort[k] = keyed{g.key[i], i}
	}
	slices.SortFunc(g.sort, func(x, y keyed) int {
		if x.key != y.key {
			return int(x.key - y.key)
		}
		return int(g.b.rank[x.i] - g.b.rank[y.i])
	})
	for k := range g.sort {
		g.b.order[k] = g.sort[k].i
	}
	g.child.end = g.b.Forward(g.b.order, g.child.start)
}

func (g *breeder) tournament() *individual {
	x, y := &g.pop[g.rng.IntN(len(g.pop))], &g.pop[g.rng.IntN(len(g.pop))]
	if y.end < x.end {
		return y
	}
	return x
}

// breed crosses two parents: the first gives what starts in its window.
func (g *breeder) breed() {
	a, c := g.tournament(), g.tournament()
	for range 5 {
		if a != c {
			break
		}
		c = g.tournament()
	}
	from, to := g.window(a)
	const far = 1 << 20
	for i := range g.b.n {
		if s := a.start[i]; s >= from && s < to {
			g.key[i] = s * 2
		} else if s := c.start[i]; s < from {
			g.key[i] = s*2 - far
		} else {
			g.key[i] = s*2 + far
		}
	}
	// A few activities change places with later or earlier ones.
	span := max(a.end/3, leastNoise)
	for i := range g.b.n {
		if g.rng.IntN(100) < 4 {
			g.key[i] += (g.rng.Int32N(2*span) - span) * 2
		}
	}
	g.build()
}

// window picks a stretch of a quarter to three quarters of a schedule,
// the busiest of a few random ones.
func (g *breeder) window(a *individual) (from, to int32) {
	length := max(1, a.end/4+g.rng.Int32N(a.end/2+1))
	bestWork := -1.0
	for range 3 {
		f := g.rng.Int32N(max(1, a.end-length+1))
		work := 0.0
		for i, s := range a.start {
			if s >= f && s < f+length {
				work += float64(g.b.dur[i]) * float64(g.weight(int32(i)))
			}
		}
		if work > bestWork {
			bestWork, from = work, f
		}
	}
	return from, from + length
}

// weight is an activity's total request relative to capacity.
func (g *breeder) weight(i int32) float64 {
	if g.use == nil {
		g.use = make([]float64, g.b.n)
		for j := range g.use {
			for w := range g.b.words {
				for l := range lanes {
					c := g.b.full[w] >> (l * laneBits) & laneMax
					if c > 0 {
						g.use[j] += float64(g.b.need[j*g.b.words+w]>>(l*laneBits)&laneMax) / float64(c)
					}
				}
			}
		}
	}
	return g.use[i]
}

// accept puts the child into the population in place of the worst, unless it
// is worse still or there already, and renews a population gone stale.
func (g *breeder) accept() bool {
	c := &g.child
	news := c.end < g.best.end
	if news {
		copy(g.best.start, c.start)
		g.best.end = c.end
	}
	if len(g.pop) < g.size {
		g.pop = append(g.pop, individual{slices.Clone(c.start), c.end})
		return news
	}
	worst := 0
	for k := range g.pop {
		if slices.Equal(g.pop[k].start, c.start) {
			g.stale++
			worst = -1
			break
		}
		if g.pop[k].end > g.pop[worst].end {
			worst = k
		}
	}
	switch {
	case worst < 0:
	case c.end <= g.pop[worst].end:
		if c.end < g.pop[worst].end {
			g.stale = 0
		}
		copy(g.pop[worst].start, c.start)
		g.pop[worst].end = c.end
		g.stale++
	default:
		g.stale++
	}
	if g.stale > g.patience*g.size {
		g.renew()
	}
	return news
}

// renew starts a new population.
func (g *breeder) renew() {
	g.stale = 0
	g.Restarts++
	g.pop = g.pop[:0]
}
