package power

import "time"

// slackA absorbs the rounding of summed currents; it is far below what any
// meter shows.
const slackA = 1e-9

// Running is the current in amperes that the circuit carries at the instant
// now, from the loads that are on.
func (p *Panel) Running(s State, circuit int, now time.Time) float64 {
	sum := 0.0
	for i := range p.Loads {
		if p.Loads[i].Circuit == circuit && s.Drawing(p, i, now) {
			sum += p.runningA(s, i)
		}
	}
	return sum
}

// Reserved is the current in amperes kept free on the circuit for loads that
// start by themselves, beyond what they draw at the instant now.
func (p *Panel) Reserved(s State, circuit int, now time.Time) float64 {
	sum := 0.0
	for i := range p.Loads {
		if p.Loads[i].Circuit == circuit {
			sum += p.reservedA(s, i, now)
		}
	}
	return sum
}

// Amps is what the circuit must be counted as carrying at the instant now, in
// amperes: running plus reserved.
func (p *Panel) Amps(s State, circuit int, now time.Time) float64 {
	return p.Running(s, circuit, now) + p.Reserved(s, circuit, now)
}

// runningA is the current of a load that is on.
func (p *Panel) runningA(s State, load int) float64 {
	l := &p.Loads[load]
	k := s.Loads[load].Setting
	if k < 0 || k >= len(l.Settings) {
		return l.WorstA()
	}
	return l.Settings[k].AmpsA
}

func (p *Panel) reservedA(s State, load int, now time.Time) float64 {
	l := &p.Loads[load]
	if !l.Cycles || s.Loads[load].DeclaredOff {
		return 0
	}
	if s.Drawing(p, load, now) {
		return l.WorstA() - p.runningA(s, load)
	}
	return l.WorstA()
}

// countedA is running plus reserved for one load.
func (p *Panel) countedA(s State, load int, now time.Time) float64 {
	a := p.reservedA(s, load, now)
	if s.Drawing(p, load, now) {
		a += p.runningA(s, load)
	}
	return a
}
