package sched

import "slices"

// project is the plain resource-constrained project scheduling problem: minimal lags
// from finish to start, constant capacities, one mode, makespan; its activities are in
// any order. Good schedules of it are found quickly: built with the serial generation
// scheme, improved by forward-backward improvement (justification), and bred in a
// genetic algorithm.
type project struct {
	Duration []int
	Release  []int
	Request  [][]int // per activity and resource
	Capacity []int
	Arcs     []projectArc
}

// projectArc demands S_To >= S_From + Gap, with Gap at least From's duration.
type projectArc struct{ From, To, Gap int }

// arcEnd is an arc seen from one end.
type arcEnd struct{ other, gap int32 }

// serialBuilder generates schedules for one project. It is not safe for concurrent
// use.
type serialBuilder struct {
	n       int
	dur     []int32
	release []int32
	preds   [][]arcEnd
	succs   [][]arcEnd
	topo    []int32 // activities in a topological order
	rank    []int32 // place of each activity in topo
	words   int
	need    []uint64 // packed requests, words per activity
	full    []uint64 // packed capacities
	free    []uint64 // packed free capacity per time and word
	span    int32    // times of free that may differ from full
	tail    []int32  // least time from an activity's start to the end
	head    []int32  // earliest start by arcs and releases
	pending []int32  // unscheduled predecessors or successors
	stack   []int32
	order   []int32
	// Schedules counts the generation passes.
	Schedules int64
}

// Four resources share a word, 16 bits each. The top bit of each lane guards
// against borrowing: it stays set after a subtraction that does not overdraw.
const (
	lanes    = 4
	laneBits = 16
	guards   = 0x8000_8000_8000_8000
	// laneMax is the largest capacity a lane can hold.
	laneMax = 1<<15 - 1
	// maxSpan bounds the length of a schedule that a Builder keeps a table of.
	maxSpan = 100_000
)

// newSerialBuilder prepares a project, or returns nil for one that the scheme
// cannot treat: arcs that run in circles or overlap, a request that exceeds
// its capacity, or numbers beyond the limits above.
func newSerialBuilder(p *project) *serialBuilder {
	n := len(p.Duration)
	b := &serialBuilder{n: n, words: (len(p.Capacity) + lanes - 1) / lanes}
	b.words = max(b.words, 1)
	b.preds, b.succs = make([][]arcEnd, n), make([][]arcEnd, n)
	total := 0
	for i, d := range p.Duration {
		b.dur = append(b.dur, int32(d))
		b.release = append(b.release, int32(p.Release[i]))
		total = max(total, p.Release[i])
	}
	reach := slices.Clone(p.Duration)
	for _, a := range p.Arcs {
		if a.Gap < p.Duration[a.From] {
			return nil
		}
		reach[a.From] = max(reach[a.From], a.Gap)
		b.preds[a.To] = append(b.preds[a.To], arcEnd{int32(a.From), int32(a.Gap)})
		b.succs[a.From] = append(b.succs[a.From], arcEnd{int32(a.To), int32(a.Gap)})
	}
	for _, d := range reach {
		total += d
	}
	if total > maxSpan || !b.pack(p) || !b.sortTopologically() {
		return nil
	}
	b.free = make([]uint64, (total+1)*b.words)
	b.span = int32(total)
	b.pending = make([]int32, n)
	b.order = make([]int32, n)
	b.headsAndTails()
	return b
}

// pack lays out requests and capacities in lanes.
func (b *serialBuilder) pack(p *project) bool {
	b.need = make([]uint64, b.n*b.words)
	b.full = make([]uint64, b.words)
	for w := range b.full {
		b.full[w] = guards
	}
	for r, c := range p.Capacity {
		if c > laneMax {
			return false
		}
		b.full[r/lanes] |= uint64(c) << (r % lanes * laneBits)
		for i := range b.n {
			if p.Request[i] == nil {
				continue
			}
			u := p.Request[i][r]
			if u > c {
				return false
			}
			if b.dur[i] > 0 {
				b.need[i*b.words+r/lanes] |= uint64(u) << (r % lanes * laneBits)
			}
		}
	}
	return true
}

func (b *serialBuilder) sortTopologically() bool {
	open := make([]int, b.n)
	for i := range b.n {
		open[i] = len(b.preds[i])
		if open[i] == 0 {
			b.topo = append(b.topo, int32(i))
		}
	}
	for k := 0; k < len(b.topo); k++ {
		for _, l := range b.succs[b.topo[k]] {
			if open[l.other]--; open[l.other] == 0 {
				b.topo = append(b.topo, l.other)
			}
		}
	}
	b.rank = make([]int32, b.n)
	for k, i := range b.topo {
		b.rank[i] = int32(k)
	}
	return len(b.topo) == b.n
}

func (b *serialBuilder) headsAndTails() {
	b.head, b.tail = make([]int32, b.n), make([]int32, b.n)
	for _, i := range b.topo {
		b.head[i] = b.release[i]
		for _, l := range b.preds[i] {
			b.head[i] = max(b.head[i], b.head[l.other]+l.gap)
		}
	}
	for k := b.n - 1; k >= 0; k-- {
		i := b.topo[k]
		b.tail[i] = b.dur[i]
		for _, l := range b.succs[i] {
			b.tail[i] = max(b.tail[i], l.gap+b.tail[l.other])
		}
	}
}

// CriticalPath is the makespan without resources.
func (b *serialBuilder) CriticalPath() int {
	end := int32(0)
	for i := range b.n {
		end = max(end, b.head[i]+b.tail[i])
	}
	return int(end)
}
