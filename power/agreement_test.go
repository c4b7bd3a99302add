package power

import (
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"strconv"
	"testing"
	"time"
)

// Two accounts of 1,000 random sheds and days, at 120, 120/240 and 230 V: no allowed start
// ever trips a breaker, and each answer is the one that plain counting gives. Refused beyond
// that is only what the one listed assumption asks for: that loads that cycle by themselves
// start as unkindly as they may. The long form asks more:
//
//	SHEDBELL_SHEDS=4000 go test ./power -run SimulatedDays -v
func TestSimulatedDaysAgree(t *testing.T) {
	asked, allowed, byStart, switched, careful, of230, makers := 0, 0, 0, 0, 0, 0, 0
	sheds, most := 0, 1000
	if n, err := strconv.Atoi(os.Getenv("SHEDBELL_SHEDS")); err == nil {
		most = n
	}
	for seed := uint64(0); sheds < most; seed++ {
		r := rand.New(rand.NewPCG(seed, 5))
		d := dice(r.IntN)
		p := randomPanel(d, 8)
		m := newSim(p, r)
		if !m.idleHolds() {
			continue
		}
		sheds++
		if p.VoltageV == 230 {
			of230++
		}
		if slices.ContainsFunc(p.Circuits, func(c Circuit) bool { return len(c.Maker) > 0 }) {
			makers++
		}
		s := NewState(p)
		for range d.between(600, 3600) {
			now := t0.Add(time.Duration(m.t) * time.Second)
			motorStarted := false
			if d.chance(8) {
				i := d(len(p.Loads))
				switch {
				case p.Loads[i].Cycles:
				case m.on[i] && d.chance(60):
					s = s.Switched(p, i, Status{}, now)
					m.on[i] = false
					switched++
				default:
					q := Ask{Load: i, Setting: d(len(p.Loads[i].Settings)), For: time.Duration(d(200)) * time.Minute}
					v := p.Judge(s, q, now)
					rule := m.judge(t, seed, q, v.Allowed)
					asked++
					if v.Allowed != (rule == "") {
						t.Fatalf("shed %d, second %d: allowed %v, counting says %q\n%s\n%+v\n%+v", seed, m.t, v.Allowed, rule, v.Says().String(), q, m)
					}
					if rule == RuleStarting {
						byStart++
					}
					if m.careful {
						careful++
					}
					if v.Allowed {
						allowed++
						st := randomStatus(d, q.Setting, now)
						s = s.Switched(p, i, st, now)
						m.switchOn(q, st)
						motorStarted = true
					}
				}
			}
			m.cycle(motorStarted)
			if m.second() {
				t.Fatalf("shed %d: a breaker trips in second %d", seed, m.t)
			}
		}
		m.compare(t, seed, s)
	}
	t.Logf("%d sheds, %d at 230 V, %d with a maker's curve: %d questions, %d allowed, %d refused for their start alone, %d of them by the assumption, %d switched off",
		sheds, of230, makers, asked, allowed, byStart, careful, switched)
	if asked < 50000 || allowed < 5000 || byStart < 1000 {
		t.Fatal("the random days ask too little to mean anything")
	}
}

// idleHolds says whether the breakers stand what cycles by itself, with some room:
// no interlock can help a shed in which they do not.
func (m *simShed) idleHolds() bool {
	for k := range m.poles {
		if x := &m.poles[k]; m.counted(x) > x.limit || m.forward(x, 1.1, true) {
			return false
		}
	}
	return true
}

func (m *simShed) switchOn(q Ask, st Status) {
	i := q.Load
	rises := !m.on[i] || m.p.Loads[i].Settings[q.Setting].AmpsA > m.running(i)+1e-9
	if !m.on[i] {
		m.since[i] = m.t
	}
	if rises {
		m.started[i] = m.t
	}
	m.on[i], m.setting[i], m.until[i] = true, q.Setting, 0
	if !st.Until.IsZero() {
		m.until[i] = int(st.Until.Sub(t0) / time.Second)
	}
}

// judge counts afresh which rule refuses; "" when none does. Where loads cycle by
// themselves the interlock may be up to six percent more careful about starts
// than the worst case found by trying; got tells it which way it went.
func (m *simShed) judge(t *testing.T, seed uint64, q Ask, got bool) string {
	i := q.Load
	will := m.p.Loads[i].Settings[q.Setting].AmpsA
	was := m.running(i)
	started := !m.on[i] || will > was+1e-9
	if !m.on[i] {
		for k := range m.p.Loads {
			if k == i || !m.on[k] {
				continue
			}
			a, b := m.p.Loads[i], m.p.Loads[k]
			if a.Alone && !b.StaysOn || b.Alone && !a.StaysOn && !a.Cycles {
				return RuleAlone
			}
		}
	}
	if started && m.p.Loads[i].StartingA > 0 {
		for k := range m.p.Loads {
			if k != i && m.p.Loads[k].Circuit == m.p.Loads[i].Circuit && m.motorBusy(k, m.t) {
				return RuleOverlap
			}
		}
	}
	if !started {
		return ""
	}
	after := m.copy()
	after.switchOn(q, Status{})
	for k := range m.poles {
		x := &m.poles[k]
		if !contains(x.loads, i) {
			continue
		}
		if after.counted(x) > x.limit+1e-9 {
			return RuleRating
		}
		if (x.feeder || !m.p.Circuits[m.p.Loads[i].Circuit].Rated100) && m.continuous(x, q) > x.limit+1e-9 {
			return RuleContinuous
		}
	}
	careful := false
	m.careful = false
	for k := range m.poles {
		x := &m.poles[k]
		if !contains(x.loads, i) {
			continue
		}
		if after.forward(x, 1, false) {
			return RuleStarting
		}
		margin := 1.06
		if len(x.maker) > 0 {
			margin = 1.12 // beside a maker's curve what starts have left is counted at the slowest body
		}
		careful = careful || x.cycling && after.forward(x, margin, true)
	}
	if m.careful = careful && !got; m.careful {
		return RuleStarting
	}
	return ""
}

func (m *simShed) copy() *simShed {
	c := *m
	c.on = append([]bool(nil), m.on...)
	c.setting = append([]int(nil), m.setting...)
	c.since = append([]int(nil), m.since...)
	c.started = append([]int(nil), m.started...)
	c.until = append([]int(nil), m.until...)
	return &c
}

// continuous counts what is on for three hours or more at 125 percent.
func (m *simShed) continuous(x *simPole, q Ask) float64 {
	const threeHours = 3 * 3600
	factor := 1.25
	if m.p.VoltageV == 230 {
		factor = 1 // IEC 60364-4-43: the rating is continuous
	}
	sum := 0.0
	for _, i := range x.loads {
		l := &m.p.Loads[i]
		a, on := m.running(i), m.t-m.since[i]
		long := m.on[i] && !l.Cycles && (on >= threeHours || m.until[i] > 0 && m.until[i]-m.since[i] >= threeHours)
		if i == q.Load {
			a = l.Settings[q.Setting].AmpsA
			total := int(q.For / time.Second)
			if m.on[i] {
				total += on
			}
			long = total >= threeHours
		}
		if long || l.Continuous {
			a *= factor
		}
		sum += a
	}
	return sum
}

// compare checks amps and heat of every circuit at the end of the day.
func (m *simShed) compare(t *testing.T, seed uint64, s State) {
	t.Helper()
	now := t0.Add(time.Duration(m.t) * time.Second)
	for c := range m.p.Circuits {
		if got, want := m.p.Amps(s, c, now), m.counted(&m.poles[c]); math.Abs(got-want) > 1e-9 {
			t.Fatalf("shed %d, circuit %d: %v A, counting gives %v", seed, c, got, want)
		}
		if got, want := m.p.Heat(s, c, now), m.poles[c].bound; math.Abs(got-want) > 1e-6 {
			t.Fatalf("shed %d, circuit %d: heat %v, stepping gives %v", seed, c, got, want)
		}
	}
}

func contains(list []int, x int) bool {
	for _, v := range list {
		if v == x {
			return true
		}
	}
	return false
}
