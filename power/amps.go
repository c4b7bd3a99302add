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
			sum += p.settingA(i, s.Loads[i].Setting)
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

// Starting is the current in amperes that motors on the circuit draw at the
// instant now beyond their running current, because they have just started.
func (p *Panel) Starting(s State, circuit int, now time.Time) float64 {
	return p.poleA(s, pole{circuit: circuit, feeder: -1}, now, noChange) - p.Amps(s, circuit, now)
}

// Amps is what the circuit must be counted as carrying at the instant now, in
// amperes: running plus reserved.
func (p *Panel) Amps(s State, circuit int, now time.Time) float64 {
	return p.Running(s, circuit, now) + p.Reserved(s, circuit, now)
}

// Heat is the thermal state of a circuit's breaker at the instant now: 0 cold, 1
// when the quickest breaker of its kind may trip.
func (p *Panel) Heat(s State, circuit int, now time.Time) float64 {
	return p.heatOf(s, pole{circuit: circuit, feeder: -1}, now).Level
}

// settingA is the running current of a load at a setting; a setting that the
// panel does not have counts as the hungriest.
func (p *Panel) settingA(load, setting int) float64 {
	l := &p.Loads[load]
	if setting < 0 || setting >= len(l.Settings) {
		return l.WorstA()
	}
	return l.Settings[setting].AmpsA
}

func (p *Panel) reservedA(s State, load int, now time.Time) float64 {
	l := &p.Loads[load]
	if !s.reserved(p, load) {
		return 0
	}
	if s.Drawing(p, load, now) {
		return l.WorstA() - p.settingA(load, s.Loads[load].Setting)
	}
	return l.WorstA()
}

// countedA is running plus reserved for one load.
func (p *Panel) countedA(s State, load int, now time.Time) float64 {
	l := &p.Loads[load]
	drawing := s.Drawing(p, load, now)
	switch {
	case s.reserved(p, load):
		return l.WorstA()
	case drawing:
		return p.settingA(load, s.Loads[load].Setting)
	}
	return 0
}
