package power

import (
	"math"
	"time"

	"shedbell/line/say"
)

// Trip is what was going on when a breaker tripped, for the journal and for
// learning from it.
type Trip struct {
	Circuit int
	At      time.Time
	On      []TripLoad
	AmpsA   float64 // counted on the circuit, with what was reserved
	PeakA   float64 // with motors that were just starting
	LimitA  float64 // what the model held to be the limit
	Heat    float64 // what the model held to be the breaker's heat: from 1 on it expects a trip
}

// TripLoad is a load that was on, and for how long.
type TripLoad struct {
	Use
	AmpsA    float64
	For      time.Duration
	Starting bool
}

// RecordTrip says what was on when a circuit's breaker tripped. Ask it before the
// state is changed by Tripped.
func (p *Panel) RecordTrip(s State, circuit int, now time.Time) Trip {
	pl := pole{circuit: circuit, feeder: -1}
	t := Trip{Circuit: circuit, At: now, AmpsA: p.Amps(s, circuit, now), PeakA: p.poleA(s, pl, now, noChange),
		LimitA: p.LimitA(circuit), Heat: p.Heat(s, circuit, now)}
	for i := range p.Loads {
		if p.Loads[i].Circuit != circuit || !s.Drawing(p, i, now) {
			continue
		}
		st := &s.Loads[i]
		begin, end, motor := p.startEnd(s, i, noChange)
		t.On = append(t.On, TripLoad{
			Use: Use{i, st.Setting}, AmpsA: p.settingA(i, st.Setting), For: max(0, now.Sub(st.onSince())),
			Starting: motor && !now.Before(begin) && now.Before(end),
		})
	}
	return t
}

// Predicted says whether the model expected the trip.
func (t *Trip) Predicted() bool { return t.Heat >= 1 || t.AmpsA > t.LimitA+slackA }

// Lesson is what trips of one circuit teach.
type Lesson struct {
	Circuit    int
	Trips      int
	Unforeseen int     // trips that the model did not expect
	Weak       int     // those of them that a breaker weaker than its rating explains
	EffectiveA float64 // proposed Circuit.EffectiveA, amperes; 0 when nothing is proposed
	Says       say.Sentence
}

// A breaker that trips while the model sees it this cool has not tripped for its
// load: a fault in a machine, a cord or the wet is likelier.
const faultHeat = 0.25

// LearnFromTrips compares the recorded trips of a circuit with what the model
// expected. Heat goes with the square of the current, so the rating at which the
// model would have expected a trip is the limit times the root of the heat; the
// lowest of them is proposed, down to half an ampere. It never proposes a higher
// rating.
func (p *Panel) LearnFromTrips(circuit int, trips []Trip) Lesson {
	out := Lesson{Circuit: circuit}
	name := p.Circuits[circuit].Name
	faults := 0
	lowest := math.Inf(1)
	for _, t := range trips {
		if t.Circuit != circuit {
			continue
		}
		out.Trips++
		if t.Predicted() {
			continue
		}
		out.Unforeseen++
		if t.Heat < faultHeat {
			faults++
			continue
		}
		lowest = min(lowest, t.LimitA*math.Sqrt(t.Heat))
	}
	switch {
	case out.Trips == 0:
		out.Says = say.New("lesson.none", name)
	case out.Unforeseen == 0:
		out.Says = say.New("lesson.expected", name, out.Trips)
	case faults == out.Unforeseen:
		out.Says = say.New("lesson.fault", name, faults)
	default:
		out.Weak = out.Unforeseen - faults
		d := p.deviceOf(pole{circuit: circuit, feeder: -1})
		out.EffectiveA = math.Floor(2*lowest/p.derate(d.curve)+slackA) / 2
		out.Says = say.New("lesson.weaker", name, out.Weak, say.Amps(out.EffectiveA), say.Amps(p.Circuits[circuit].RatingA))
	}
	return out
}

// Limited returns the state, of a panel in which a circuit may carry one current, as that
// of one in which it may carry another, from the instant now on. What it has carried has
// made the breaker as much warmer as its limit is lower.
func (s State) Limited(from, to *Panel, circuit int, now time.Time) State {
	next := s
	next.Heat = s.heatAt(from, circuit, now)
	if was, is := from.LimitA(circuit), to.LimitA(circuit); is > 0 {
		h := &next.Heat[from.slot(pole{circuit: circuit, feeder: -1})]
		h.Level = min(1, h.Level*(was/is)*(was/is))
	}
	return next
}
