package command

import (
	"cmp"
	"slices"

	"shedbell/line/say"
	"shedbell/power"
)

// mostSets bounds what is listed of one breaker; a longer list is not read.
const mostSets = 12

// limit is a breaker pole: a circuit, or a leg of a feeder, with the loads whose
// current flows through it.
type limit struct {
	name     say.Sentence
	ratingA  float64
	reserved float64 // kept free for loads that cycle by themselves
	loads    []int   // the others
}

// limits lists every circuit, and every leg of a feeder that something hangs on.
func limits(p *power.Panel) []limit {
	var out []limit
	for i := range p.Circuits {
		out = append(out, newLimit(p, say.New("interlock.circuit", say.Circuit(p.Circuits[i].Name)), p.LimitA(i), func(c int) bool { return c == i }))
	}
	for _, f := range p.Feeders {
		for _, leg := range []power.Leg{power.LegA, power.LegB} {
			on := func(c int) bool {
				circuit := &p.Circuits[c]
				return circuit.Feeder == f.Name && (circuit.Leg == leg || circuit.Leg == power.LegBoth || circuit.Leg == power.LegNone)
			}
			name := map[power.Leg]string{power.LegA: "interlock.leg-a", power.LegB: "interlock.leg-b"}[leg]
			if l := newLimit(p, say.New(name, say.Circuit(f.Name)), f.RatingA, on); l.worstA(p) > 0 {
				out = append(out, l)
			}
		}
	}
	return out
}

func newLimit(p *power.Panel, name say.Sentence, ratingA float64, on func(circuit int) bool) limit {
	l := limit{name: name, ratingA: ratingA}
	for i := range p.Loads {
		switch load := &p.Loads[i]; {
		case !on(load.Circuit):
		case load.Cycles:
			l.reserved += load.WorstA()
		default:
			l.loads = append(l.loads, i)
		}
	}
	return l
}

// overload is a set of loads that a limit can never carry at once.
type overload struct {
	*limit
	loads []int
}

// overloads lists, over all limits, the smallest sets of loads that are never on
// at once. more names the limits that have further ones.
func overloads(p *power.Panel) (out []overload, more []say.Sentence) {
	var all []overload
	poles := limits(p)
	for i := range poles {
		sets, further := poles[i].neverTogether(p)
		for _, set := range sets {
			all = append(all, overload{&poles[i], set})
		}
		if further {
			more = append(more, poles[i].name)
		}
	}
	for i, o := range all {
		covered := false
		for k, other := range all {
			covered = covered || k != i && contains(o.loads, other.loads) && (len(other.loads) < len(o.loads) || k < i)
		}
		if !covered {
			out = append(out, o)
		}
	}
	return out, more
}

// contains says whether every load of part is in the whole.
func contains(whole, part []int) bool {
	for _, l := range part {
		if !slices.Contains(whole, l) {
			return false
		}
	}
	return true
}

// neverTogether lists the smallest sets of loads that exceed a limit even at
// their lowest settings: no other order or setting helps, and without any one of
// its loads each set fits. more says that there are further ones. Sets with a pair
// of which one runs alone are left out.
func (l *limit) neverTogether(p *power.Panel) (sets [][]int, more bool) {
	var usual, stay, alone []int
	for _, i := range l.loads {
		switch load := &p.Loads[i]; {
		case load.Alone:
			alone = append(alone, i)
		default:
			usual = append(usual, i)
			if load.StaysOn {
				stay = append(stay, i)
			}
		}
	}
	found := func(set []int) bool {
		switch {
		case slices.ContainsFunc(sets, func(s []int) bool { return slices.Equal(s, set) }):
		case len(sets) == mostSets:
			more = true
		default:
			sets = append(sets, slices.Clone(set))
		}
		return !more
	}
	l.overfull(p, usual, found)
	for _, i := range alone {
		l.overfull(p, append([]int{i}, stay...), found)
	}
	return sets, more
}

// overfull finds the smallest sets of the given loads that exceed the limit,
// until found says no. In falling order of amps, the load that makes a set too
// much is its smallest, so the set fits without any one of its loads. A branch
// is only followed while all that is left would be too much, so each one ends in
// a set.
func (l *limit) overfull(p *power.Panel, loads []int, found func(set []int) bool) {
	const slackA = 1e-9
	loads = slices.Clone(loads)
	slices.SortStableFunc(loads, func(a, b int) int {
		return cmp.Or(cmp.Compare(lowestA(&p.Loads[b]), lowestA(&p.Loads[a])), cmp.Compare(a, b))
	})
	restA := make([]float64, len(loads)+1)
	for k := len(loads) - 1; k >= 0; k-- {
		restA[k] = restA[k+1] + lowestA(&p.Loads[loads[k]])
	}
	var grow func(set []int, from int, sumA float64) bool
	grow = func(set []int, from int, sumA float64) bool {
		for k := from; k < len(loads) && sumA+restA[k] > l.ratingA+slackA; k++ {
			next, a := append(set, loads[k]), sumA+lowestA(&p.Loads[loads[k]])
			var goOn bool
			if a > l.ratingA+slackA {
				goOn = found(next)
			} else {
				goOn = grow(next, k+1, a)
			}
			if !goOn {
				return false
			}
		}
		return true
	}
	grow(make([]int, 0, len(loads)), 0, l.reserved)
}

// apart says whether two loads are never on at once because one runs alone.
func apart(p *power.Panel, a, b int) bool {
	x, y := &p.Loads[a], &p.Loads[b]
	return x.Alone && (!y.StaysOn || y.Alone) || y.Alone && (!x.StaysOn || x.Alone)
}

// worstA is what the limit carries with everything on at its hungriest.
func (l *limit) worstA(p *power.Panel) float64 {
	sum := l.reserved
	for _, i := range l.loads {
		sum += p.Loads[i].WorstA()
	}
	return sum
}

func lowestA(l *power.Load) float64 {
	low := l.WorstA()
	for _, s := range l.Settings {
		low = min(low, s.AmpsA)
	}
	return low
}
