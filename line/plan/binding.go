package plan

import (
	"cmp"
	"maps"
	"slices"
	"time"

	"shedbell/line/say"
)

// Binding is what holds up the end of the day: the critical chain, backwards in
// thought and forwards in time.
type Binding struct {
	Words say.Sentence // "the spinner, then your hands": what takes most of the chain first
	Chain []Link
}

// Link is one piece of the critical chain.
type Link struct {
	Step       int    // index into Plan.Steps
	By         string // what takes the time: a station or the hands
	Start, End time.Time
}

// addBinding follows the causes back from the end of the day.
func (m *Model) addBinding(p *Plan, at map[where]int) {
	s, b := p.s, m.binder(p.s)
	o := m.lastOp(s)
	var chain []Link
	add := func(w where, by string, from, to int) {
		if i, ok := at[w]; ok && to > from {
			chain = append(chain, Link{Step: i, By: by, Start: m.instant(from), End: m.instant(to)})
		}
	}
	seen := map[int]bool{}
	for o != none && !seen[o] {
		seen[o] = true
		add(where{m.ops[o].job, m.ops[o].stage}, m.takes(s, o), s.start[o], m.finishOf(s, o))
		c := b.causeOf(o)
		add(c.where, c.by, c.from, s.start[o])
		o = c.next
	}
	slices.Reverse(chain)
	p.Binding = Binding{Words: words(chain), Chain: chain}
	for _, l := range chain {
		p.Steps[l.Step].Tight = true
	}
}

// takes is what the time of an op is put down to: the station for work that only
// one person can do there at a time, the hands otherwise.
func (m *Model) takes(s *schedule, o int) string {
	op := &m.ops[o]
	if op.role == work && len(m.slots[s.station[op.job][op.stage]]) == 1 && m.crew > 1 {
		return m.stationName(s, op.job, op.stage)
	}
	return handsName
}

// lastOp is the op with which the day ends.
func (m *Model) lastOp(s *schedule) int {
	last := none
	for o := range m.ops {
		if last == none || m.finishOf(s, o) > m.finishOf(s, last) {
			last = o
		}
	}
	return last
}

// words names what takes most of the chain, most first.
func words(chain []Link) say.Sentence {
	sum := map[string]time.Duration{}
	var total time.Duration
	for _, l := range chain {
		sum[l.By] += l.End.Sub(l.Start)
		total += l.End.Sub(l.Start)
	}
	names := slices.Collect(maps.Keys(sum))
	slices.SortFunc(names, func(a, b string) int {
		return cmp.Or(-cmp.Compare(sum[a], sum[b]), cmp.Compare(a, b))
	})
	const most, least = 3, 20 // at most three names, none below a twentieth
	var out say.Sentence
	said := 0
	for _, name := range names {
		if name == "" || said == most || said > 0 && sum[name]*least < total {
			continue
		}
		next := say.New("plan-why.join", say.Station(name))
		if name == handsName {
			next = say.New("plan-why.your-hands")
		}
		if said++; said > 1 {
			next = say.New("plan-why.then", out, next)
		}
		out = next
	}
	return out
}
