package line_test

import (
	"fmt"
	"math"
	"testing"
	"time"

	"pgregory.net/rapid"

	"shedbell/line"
	"shedbell/line/linetest"
	"shedbell/power"
)

// truth is a fact and when it became true.
type truth struct {
	at   time.Time
	fact func(asOf time.Time) line.Command
	pair int // facts of one pair are told in their order: power is back only where it was lost
}

// drawTruths draws what happens in a shed, in its order.
func drawTruths(t *rapid.T, p *power.Panel) (out []truth, both bool) {
	moves, outages := false, false
	at := linetest.Morning.Add(time.Minute)
	lost := map[int]bool{}
	for range 1 + pick(t, 9, "facts") {
		at = at.Add(time.Duration(1+pick(t, 900, "seconds")) * time.Second)
		load := pick(t, len(p.Loads), "load")
		setting := pick(t, len(p.Loads[load].Settings), "setting")
		circuit := pick(t, len(p.Circuits), "circuit")
		f := truth{at: at, pair: -1}
		switch pick(t, 8, "fact") {
		case 0, 1, 2:
			f.fact = func(asOf time.Time) line.Command { return line.MarkOn{Load: load, Setting: setting, AsOf: asOf} }
		case 3, 4:
			f.fact = func(asOf time.Time) line.Command { return line.MarkOff{Load: load, AsOf: asOf} }
		case 5:
			f.fact = func(asOf time.Time) line.Command { return line.MarkUnplugged{Load: load, AsOf: asOf} }
		case 6:
			moves = true
			f.fact = func(asOf time.Time) line.Command {
				return line.MarkPlugged{Load: load, Circuit: circuit, AsOf: asOf}
			}
		default:
			f.pair, outages = circuit, true
			back := lost[circuit]
			lost[circuit] = !back
			f.fact = func(asOf time.Time) line.Command {
				if back {
					return line.MarkPowerBack{Circuit: circuit, AsOf: asOf}
				}
				return line.MarkPowerLost{Circuit: circuit, AsOf: asOf}
			}
		}
		out = append(out, f)
	}
	return out, moves && outages
}

// shuffled is an order of telling in which pairs keep theirs.
func shuffled(t *rapid.T, truths []truth) []truth {
	order := rapid.Permutation(truths).Draw(t, "order")
	for c := range 3 {
		var pairs []truth
		for _, f := range truths {
			if f.pair == c {
				pairs = append(pairs, f)
			}
		}
		for i := range order {
			if order[i].pair == c {
				order[i], pairs = pairs[0], pairs[1:]
			}
		}
	}
	return order
}

// Facts told late and in any order leave the wiring as it would be, had each been told
// when it became true; where they contradict each other, no circuit counts as less and
// no breaker as cooler.
func TestFactsToldLate(t *testing.T) {
	same, asked := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		site := linetest.Site()
		begin := opened(t, site)
		truths, both := drawTruths(t, &site.Panel)
		end := truths[len(truths)-1].at.Add(time.Duration(pick(t, 900, "until")) * time.Second)

		intime := begin
		for _, f := range truths {
			intime = tellAt(t, intime, f.fact(time.Time{}), f.at)
		}
		late, asks := begin, false
		now := linetest.Morning
		for _, f := range shuffled(t, truths) {
			now = later(later(now, f.at), end.Add(-time.Duration(pick(t, 1800, "told"))*time.Second))
			t.Logf("at %s: %T%+v", now.Format(time.TimeOnly), f.fact(f.at), f.fact(f.at))
			late = tellAt(t, late, f.fact(f.at), now)
			asks = asks || len(doubts(late)) > 0
		}
		end = later(end, now)
		equal := !asks && !both // what comes on shows that a circuit has power, and late not on which one
		for i := range intime.Power.Loads {
			a, b := intime.Power.Loads[i], late.Power.Loads[i]
			if equal && whatItDoes(intime, i) != whatItDoes(late, i) {
				t.Fatalf("%s: in time %s, late %s\n%+v\n%+v", site.Panel.Loads[i].Name, whatItDoes(intime, i), whatItDoes(late, i), a, b)
			}
		}
		for c := range site.Panel.Circuits {
			a, b := carried(intime, c, end), carried(late, c, end)
			x := intime.Site.Panel.CircuitOutlook(intime.Power, c, end).Heat
			y := late.Site.Panel.CircuitOutlook(late.Power, c, end).Heat
			if b < a-1e-9 || y < x-1e-9 || equal && (b > a+1e-9 || math.Abs(x-y) > 1e-9) {
				t.Fatalf("%s: %.2f A and heat %.9f in time, %.2f A and %.9f late", site.Panel.Circuits[c].Name, a, x, b, y)
			}
		}
		if equal {
			same++
		} else {
			asked++
		}
	})
	if same < 3 { // of the 20 of a short run about half are
		t.Errorf("only %d days were to come out the same, in %d the board asks", same, asked)
	}
}

func later(a, b time.Time) time.Time {
	if a.After(b) {
		return a
	}
	return b
}

// opened is a line with an open day.
func opened(t interface{ Fatal(...any) }, site *line.Site) *line.State {
	s := line.NewState(&line.Site{}, linetest.Book())
	for _, r := range (line.Decision{Events: []line.Event{line.FirstRecord(site, linetest.Book())}}).Records(s, linetest.Morning.Add(-time.Minute), "Ash") {
		s = line.Apply(s, r)
	}
	s, _, no := line.Do(s, line.OpenDay{Sheet: linetest.Sheet()}, linetest.Morning, "Ash")
	if no != nil {
		t.Fatal(no)
	}
	return s
}

// tellAt is the state after a fact, which is never refused.
func tellAt(t interface{ Fatal(...any) }, s *line.State, c line.Command, now time.Time) *line.State {
	next, records, no := line.Do(s, c, now, "Ash")
	if no != nil {
		t.Fatal(fmt.Sprintf("%+v: %s", c, no.Error()))
	}
	if last := records[len(records)-1]; last.By != "Ash" || !last.At.Equal(now) {
		t.Fatal(fmt.Sprintf("told at %s: %+v", now, last))
	}
	return next
}

func doubts(s *line.State) []int {
	var out []int
	for i := range s.Power.Loads {
		if s.Power.Loads[i].InDoubt {
			out = append(out, i)
		}
	}
	return out
}

// whatItDoes is what a load does and where it hangs.
func whatItDoes(s *line.State, i int) string {
	st := s.Power.Loads[i]
	c := s.Site.Panel.Loads[i].Circuit
	return fmt.Sprint(st.On, st.On && st.Setting > 0, st.DeclaredOff, st.LeftOn, st.OnSince.Format(time.TimeOnly), c, s.Power.Open(c), s.Power.Dark(c))
}
