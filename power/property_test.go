package power

import (
	"math"
	"math/bits"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"pgregory.net/rapid"
)

func rapidDice(t *rapid.T) dice {
	return func(n int) int { return rapid.IntRange(0, n-1).Draw(t, "d") }
}

// askSomething draws a question about a random shed in the middle of a day.
func askSomething(t *rapid.T, maxLoads int) (*Panel, State, Ask, time.Time) {
	return ask(rapidDice(t), maxLoads)
}

func ask(d dice, maxLoads int) (*Panel, State, Ask, time.Time) {
	p := randomPanel(d, maxLoads)
	s, now := randomDay(d, p, d.between(1, 25))
	i := d(len(p.Loads))
	q := Ask{Load: i, Setting: d(len(p.Loads[i].Settings))}
	if d.chance(20) {
		q.For = time.Duration(d.between(1, 5)) * time.Hour
	}
	return p, s, q, now
}

func TestAddingALoadNeverLowersAmps(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, s, q, now := askSomething(t, 8)
		if s.Drawing(p, q.Load, now) {
			return
		}
		on := s.Switched(p, q.Load, Status{On: true, Setting: q.Setting, Since: now}, now)
		for c := range p.Circuits {
			if before, after := p.Amps(s, c, now), p.Amps(on, c, now); after < before-1e-9 {
				t.Fatalf("circuit %d fell from %v to %v A", c, before, after)
			}
		}
		if a := p.Amps(s, p.Loads[q.Load].Circuit, now); p.Judge(s, q, now).AmpsAfter < a-1e-9 && len(p.Feeders) == 0 {
			t.Fatalf("the verdict counts less than the %v A now", a)
		}
	})
}

func TestLegsAddUpToTheFeeder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, s, _, now := askSomething(t, 8)
		for f := range p.Feeders {
			a, b := p.FeederOutlook(s, f, now)
			sum := 0.0
			for i := range p.Loads {
				c := &p.Circuits[p.Loads[i].Circuit]
				if c.Feeder != p.Feeders[f].Name {
					continue
				}
				legs := 1.0
				if c.Leg == LegBoth || c.Leg == LegNone {
					legs = 2
				}
				sum += legs * p.countedA(s, i, now)
			}
			if math.Abs(a.AmpsA+b.AmpsA-sum) > 1e-9 {
				t.Fatalf("legs %v and %v A, loads on them %v A", a.AmpsA, b.AmpsA, sum)
			}
		}
	})
}

func TestSwitchingOffWhatIsNamedAllows(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, s, q, now := askSomething(t, 9)
		v := p.Judge(s, q, now)
		if v.Allowed && len(v.SwitchOff) > 0 {
			t.Fatal("an allowed start names loads to switch off")
		}
		if len(v.SwitchOff) == 0 {
			return
		}
		for _, i := range v.SwitchOff {
			if p.Loads[i].StaysOn || s.Loads[i].Spoils {
				t.Fatalf("names %s, which must stay on", p.Loads[i].Name)
			}
			s = s.Switched(p, i, Status{}, now)
		}
		if v := p.Judge(s, q, now); !v.Allowed {
			t.Fatalf("still refused: %s", v.Says().String())
		}
	})
}

// The answer against every subset of what may be switched off, in 6,000 sheds.
func TestSmallestSetIsSmallest(t *testing.T) {
	d := dice(rand.New(rand.NewPCG(3, 4)).IntN)
	compared, several := 0, 0
	for range 6000 {
		p, s, q, now := ask(d, 9)
		v := p.Judge(s, q, now)
		w := p.weigh(s, q, now)
		if v.Allowed || w.onlyOverlap() || (UnknownAmps{}).refuses(w) {
			continue
		}
		want, burst := bruteSmallest(&w)
		if burst {
			continue // another motor is starting: the answer is to wait
		}
		if !slices.Equal(v.SwitchOff, want) {
			t.Fatalf("named %v, best is %v\n%s", p.names(v.SwitchOff), p.names(want), v.Says().String())
		}
		compared++
		if len(want) > 1 {
			several++
		}
	}
	if compared < 1000 || several < 50 {
		t.Fatalf("only %d compared, %d with several loads", compared, several)
	}
}

// The same on crowded circuits, where several loads have to go and many sets are
// nearly as good.
func TestSmallestSetInACrowd(t *testing.T) {
	d := dice(rand.New(rand.NewPCG(7, 8)).IntN)
	for range 200 {
		p := &Panel{VoltageV: 120, Circuits: []Circuit{{Name: "one", RatingA: 15}}}
		for i := range 10 {
			p.Loads = append(p.Loads, Load{Name: string(rune('a' + i)), Settings: amps(0.5 + float64(d(20))/20)})
		}
		s, now := NewState(p), t0
		for i := range 9 {
			now = now.Add(time.Duration(d(20)) * time.Second)
			s = s.Switched(p, i, Status{On: true, Since: now, Until: t0.Add(time.Duration(d(600)) * time.Second)}, now)
		}
		p.Loads[9].Settings[0].AmpsA = float64(d.between(8, 14))
		w := p.weigh(s, Ask{Load: 9}, now)
		if w.allowed() {
			continue
		}
		if want, _ := bruteSmallest(&w); !slices.Equal(w.smallestOff(), want) {
			t.Fatalf("named %v, best is %v", p.names(w.smallestOff()), p.names(want))
		}
	}
}

func bruteSmallest(w *weighing) (best []int, burst bool) {
	var can []int
	for i := range w.p.Loads {
		if _, end, ok := w.p.startEnd(w.s, i, noChange); ok && end.After(w.now) {
			return nil, true
		}
		if w.mayGo(i) {
			can = append(can, i)
		}
	}
	slices.SortFunc(can, w.byName)
	var bestRank []int64
	for mask := range 1 << len(can) {
		s := w.s
		rank := []int64{int64(bits.OnesCount(uint(mask))), 0, 0}
		var set []int
		for k, i := range can {
			if mask>>k&1 == 1 {
				s = s.Switched(w.p, i, Status{}, w.now)
				rank[1] += int64(math.Round(1000 * w.p.countedA(w.s, i, w.now)))
				rank[2] += int64(w.disturbance(i) / time.Second)
				set = append(set, i)
			}
		}
		if !w.p.Allows(s, w.q, w.now) {
			continue
		}
		order := slices.Compare(rank, bestRank)
		if best == nil || order < 0 || order == 0 && slices.Compare(named(w.p, set), named(w.p, best)) < 0 {
			best, bestRank = set, rank
		}
	}
	return best, false
}

func TestEarliestIsRight(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, s, q, now := askSomething(t, 7)
		if msg := earliestWrong(p, s, q, now); msg != "" {
			t.Fatal(msg)
		}
	})
	d := dice(rand.New(rand.NewPCG(5, 6)).IntN)
	for range 10000 {
		p, s, q, now := ask(d, 7)
		if msg := earliestWrong(p, s, q, now); msg != "" {
			t.Fatal(msg)
		}
	}
}

// earliestWrong says what is wrong with a verdict's earliest instant.
func earliestWrong(p *Panel, s State, q Ask, now time.Time) string {
	v := p.Judge(s, q, now)
	if v.Earliest.IsZero() {
		return ""
	}
	if v.Allowed || v.Earliest.Before(now) {
		return "an earliest instant for what is allowed, or in the past"
	}
	if at := countedDown(p, s, q.Load, v.Confirm, now, v.Earliest); !p.Allows(at, q, v.Earliest) {
		return "refused at its earliest instant: " + v.Says().String()
	}
	before := v.Earliest.Add(-time.Second)
	if before.Before(now) {
		return ""
	}
	if at := countedDown(p, s, q.Load, allOf(p), now, before); p.Allows(at, q, before) {
		return "allowed a second before its earliest instant: " + v.Says().String()
	}
	return ""
}

func allOf(p *Panel) []int {
	all := make([]int, len(p.Loads))
	for i := range all {
		all[i] = i
	}
	return all
}

// countedDown is the state at an instant when every countdown of the listed loads
// has ended in a confirmed switching off.
func countedDown(p *Panel, s State, asked int, confirmed []int, now, at time.Time) State {
	ends := slices.Clone(confirmed)
	slices.SortFunc(ends, func(a, b int) int { return s.Loads[a].Until.Compare(s.Loads[b].Until) })
	for _, i := range ends {
		u := s.Loads[i].Until
		if i == asked || !s.Drawing(p, i, now) || p.Loads[i].SelfOff || u.IsZero() || u.After(at) {
			continue
		}
		if u.Before(now) {
			u = now
		}
		s = s.Switched(p, i, Status{}, u)
	}
	return s
}

func named(p *Panel, loads []int) []string {
	out := make([]string, len(loads))
	for k, i := range loads {
		out[k] = p.Loads[i].Name
	}
	return out
}
