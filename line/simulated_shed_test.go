package line_test

import (
	"math/rand/v2"
	"os"
	"strconv"
	"testing"
	"time"

	"shedbell/line"
	"shedbell/line/linetest"
	"shedbell/power"
)

// simShed is a shed with wires, switches and plugs, and nothing of the line's: what is
// on is what has its switch on, its plug in and power in its outlet.
type simShed struct {
	machines []simMachine
	live     []bool // outlets with power, by circuit
}

type simMachine struct {
	name    string
	amps    []float64 // at each position of its switch, from 1
	own     bool      // starts and stops by itself, or is never switched off
	outlet  int
	plugged bool
	at      int // position of its switch; 0: off
}

// amps is what a circuit may carry at any moment from now on, with nothing touched.
func (s *simShed) amps(circuit int) (sum float64) {
	for _, m := range s.machines {
		if m.outlet == circuit && m.plugged && m.at > 0 && s.live[circuit] {
			sum += m.amps[m.at-1]
		}
	}
	return sum
}

func newSimShed() *simShed {
	return &simShed{live: []bool{true, true, true}, machines: []simMachine{
		{name: "pump", amps: []float64{4}, plugged: true},
		{name: "spinner", amps: []float64{7}, plugged: true},
		{name: "jet", amps: []float64{14}, plugged: true},
		{name: "fans", amps: []float64{1.6, 2.8, 4.2}, plugged: true, outlet: 1},
		{name: "cooler", amps: []float64{6}, own: true, plugged: true, outlet: 1, at: 1},
		{name: "heater", amps: []float64{9, 12}, plugged: true, outlet: 2},
	}}
}

// site is the shed as a line file would have it.
func (s *simShed) site() *line.Site {
	site := linetest.Site()
	site.Panel = power.Panel{VoltageV: 120, Circuits: []power.Circuit{{Name: "a", RatingA: 20}, {Name: "b", RatingA: 20}, {Name: "c", RatingA: 15}}}
	for _, m := range s.machines {
		l := power.Load{Name: m.name, Circuit: m.outlet, Cycles: m.own, StaysOn: m.own, StartingA: 3 * m.amps[0], StartingTime: time.Second}
		for i, a := range m.amps {
			l.Settings = append(l.Settings, power.Setting{Name: strconv.Itoa(i + 1), AmpsA: a})
		}
		site.Panel.Loads = append(site.Panel.Loads, l)
	}
	for i := range site.Stations {
		site.Stations[i].Load, site.Stations[i].DrainLoad = line.NoLoad, line.NoLoad
	}
	return site
}

// act has a person do something without asking, and gives what there is to tell of it.
func (s *simShed) act(rnd *rand.Rand) func(asOf time.Time) line.Command {
	i, c := rnd.IntN(len(s.machines)), rnd.IntN(len(s.live))
	m := &s.machines[i]
	switch n := rnd.IntN(12); {
	case n < 4 && !m.own && m.plugged && s.live[m.outlet]:
		m.at = 1 + rnd.IntN(len(m.amps))
		at := m.at - 1
		return func(asOf time.Time) line.Command { return line.MarkOn{Load: i, Setting: at, AsOf: asOf} }
	case n < 7 && !m.own:
		m.at = 0
		return func(asOf time.Time) line.Command { return line.MarkOff{Load: i, AsOf: asOf} }
	case n == 7 && m.plugged:
		m.plugged = false
		if !m.own {
			m.at = 0
		}
		return func(asOf time.Time) line.Command { return line.MarkUnplugged{Load: i, AsOf: asOf} }
	case n == 8:
		m.plugged, m.outlet = true, c
		return func(asOf time.Time) line.Command { return line.MarkPlugged{Load: i, Circuit: c, AsOf: asOf} }
	case n == 9:
		s.live[c] = !s.live[c]
		if s.live[c] {
			return func(asOf time.Time) line.Command { return line.MarkPowerBack{Circuit: c, AsOf: asOf} }
		}
		return func(asOf time.Time) line.Command { return line.MarkPowerLost{Circuit: c, AsOf: asOf} }
	case n == 10:
		lost := !s.live[0] && !s.live[1] && !s.live[2]
		for k := range s.live {
			s.live[k] = lost
		}
		if lost {
			return func(asOf time.Time) line.Command { return line.MarkPowerBack{Everywhere: true, AsOf: asOf} }
		}
		return func(asOf time.Time) line.Command { return line.MarkPowerLost{Everywhere: true, AsOf: asOf} }
	}
	return nil
}

// Days on which people switch, plug and lose their power without telling, and tell it
// later, each with when it was: once all is told, no circuit carries more in the shed
// than the board counts, and where the board asks nothing, no less.
// SHEDBELL_SHED_DAYS has it play so many days.
func TestSimulatedShed(t *testing.T) {
	days := 50
	if n, err := strconv.Atoi(os.Getenv("SHEDBELL_SHED_DAYS")); err == nil {
		days = n
	}
	checked, exact := 0, 0
	for day := range days {
		rnd := rand.New(rand.NewPCG(uint64(day), 0x5ed))
		shed := newSimShed()
		s, now := opened(t, shed.site()), linetest.Morning
		var untold []truth
		for range 120 {
			now = now.Add(time.Duration(1+rnd.IntN(300)) * time.Second)
			if fact := shed.act(rnd); fact != nil {
				untold = append(untold, truth{at: now, fact: fact})
			}
			if rnd.IntN(4) > 0 {
				continue
			}
			now = now.Add(time.Duration(rnd.IntN(600)) * time.Second)
			for _, f := range untold {
				s = tellAt(t, s, f.fact(f.at), now)
			}
			untold = nil
			asks := len(doubts(s)) > 0
			for c := range shed.live {
				board, is := s.Site.Panel.Amps(s.Power, c, now), shed.amps(c)
				if board < is-1e-9 || !asks && board > is+1e-9 {
					t.Fatalf("day %d, %s: circuit %d carries %.1f A and the board counts %.1f\n%+v\n%+v", day, now.Format(time.TimeOnly), c, is, board, shed, s.Power.Loads)
				}
			}
			if checked++; !asks {
				exact++
			}
		}
	}
	if checked < 10*days || exact < checked/4 {
		t.Errorf("told %d times, %d of them with nothing in doubt", checked, exact)
	}
}
