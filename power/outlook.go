package power

import (
	"math"
	"time"
)

// Outlook is how one breaker pole stands at an instant, for a person to look at.
// Currents are in amperes.
type Outlook struct {
	AmpsA  float64 // counted: running and reserved
	StartA float64 // what machines that have just started draw on top
	LimitA float64
	Heat   float64 // 0 cold, 1 when the quickest breaker of its kind may trip
	// TripIn is after how long the quickest breaker would trip at what flows now;
	// Never when it holds.
	TripIn time.Duration
}

// CircuitOutlook is how a circuit's breaker stands at the instant now.
func (p *Panel) CircuitOutlook(s State, circuit int, now time.Time) Outlook {
	return p.outlook(s, pole{circuit: circuit, feeder: -1}, now)
}

// FeederOutlook is how both legs of a feeder's breaker stand at the instant now. A
// circuit of no stated leg counts on both.
func (p *Panel) FeederOutlook(s State, feeder int, now time.Time) (legA, legB Outlook) {
	return p.outlook(s, pole{circuit: -1, feeder: feeder, leg: LegA}, now),
		p.outlook(s, pole{circuit: -1, feeder: feeder, leg: LegB}, now)
}

func (p *Panel) outlook(s State, pl pole, now time.Time) Outlook {
	flows, d := p.poleA(s, pl, now, noChange), p.deviceOf(pl)
	o := Outlook{AmpsA: p.steadyA(s, pl, now), LimitA: d.limit, Heat: p.heatOf(s, pl, now).Level, TripIn: Never}
	o.StartA = max(0, flows-o.AmpsA)
	if t := d.earliest(flows, o.Heat); !math.IsInf(t, 1) {
		o.TripIn = seconds(t)
	}
	return o
}
