package line

import (
	"slices"
	"time"

	"shedbell/line/say"
)

// Pace is how long work by hand on some trays takes: so much whatever their number,
// and so much for each.
type Pace struct {
	Fixed   time.Duration
	PerTray time.Duration
}

// Time is that of so many trays.
func (p Pace) Time(trays int) time.Duration { return p.Fixed + p.PerTray*time.Duration(trays) }

// Paces is the pace of work by hand as records show it, by station, crop and person.
// An empty crop is the usual mix of crops, an empty person whoever is at it. ok is
// false where the records say nothing. Nil means that nothing was learned.
//
// Learned paces are no part of the state: they travel with the advice to those who look
// ahead (prompts, plan, rehearsal, screens). Decide and Apply never read them, so that a
// replay gives the same state whatever has been learned since.
type Paces func(st *Station, crop, person string) (p Pace, ok bool)

// PinnedPace is a pace that somebody has fixed; it goes before a learned one. An empty
// crop or person stands for all of them.
type PinnedPace struct {
	Station string
	Crop    string `json:",omitempty"`
	Person  string `json:",omitempty"`
	Pace    Pace
}

func (p *PinnedPace) of(station, crop, person string) bool {
	return p.Station == station && p.Crop == crop && p.Person == person
}

// PinPace fixes the pace of work at a station, by crop and person as far as they are
// named, until it is forgotten.
type PinPace struct{ Pin PinnedPace }

// ForgetPace lets go of a pace: of one that is fixed, so that the records count again;
// else of what the records have shown so far of the work at a station, by crop and
// person as far as they are named. What comes after counts.
type ForgetPace struct{ Station, Crop, Person string }

// PacePinned keeps a pace that was fixed, PaceUnpinned that it no longer is.
type (
	PacePinned   struct{ Pin PinnedPace }
	PaceUnpinned struct {
		Station string
		Crop    string `json:",omitempty"`
		Person  string `json:",omitempty"`
	}
)

// PaceForgotten says that what the records show until then does not count for a pace.
type PaceForgotten struct {
	Station string
	Crop    string `json:",omitempty"`
	Person  string `json:",omitempty"`
}

// longestPace is the most that a tray, or the work on no tray, can take.
const longestPace = 4 * time.Hour

func (c PinPace) decide(d *draft) *Refusal {
	p := &c.Pin
	if no := d.paced(p.Station); no != nil {
		return no
	}
	if p.Pace.Fixed < 0 || p.Pace.PerTray < 0 || p.Pace.Fixed+p.Pace.PerTray <= 0 || p.Pace.Fixed+p.Pace.PerTray > longestPace {
		return refuse(RuleValue, "line.pace-value", clock(longestPace))
	}
	d.undo = say.New("undo.pace", say.Station(p.Station))
	d.emit(PacePinned(c))
	return nil
}

func (c ForgetPace) decide(d *draft) *Refusal {
	if slices.ContainsFunc(d.s.Pins, func(p PinnedPace) bool { return p.of(c.Station, c.Crop, c.Person) }) {
		d.undo = say.New("undo.pace", say.Station(c.Station))
		d.emit(PaceUnpinned(c))
		return nil
	}
	if no := d.paced(c.Station); no != nil {
		return no
	}
	d.undo = say.New("undo.pace-forgotten", say.Station(c.Station))
	d.emit(PaceForgotten(c))
	return nil
}

// paced refuses for a station at which nobody works by hand throughout.
func (d *draft) paced(station string) *Refusal {
	if !slices.ContainsFunc(d.s.Site.Stations, func(st Station) bool { return st.Name == station && st.Hands == HandsThroughout }) {
		return refuse(RuleUnknown, "line.pace-where", say.Station(station))
	}
	return nil
}

func (e PacePinned) apply(s *State, _ Record) {
	s.unpin(e.Pin.Station, e.Pin.Crop, e.Pin.Person)
	s.Pins = append(s.Pins, e.Pin)
}

func (e PaceUnpinned) apply(s *State, _ Record) { s.unpin(e.Station, e.Crop, e.Person) }

func (s *State) unpin(station, crop, person string) {
	s.Pins = slices.DeleteFunc(slices.Clone(s.Pins), func(p PinnedPace) bool { return p.of(station, crop, person) })
}

// What is forgotten only matters to who reads the records.
func (PaceForgotten) apply(*State, Record) {}

// Pinned is the pace that somebody has fixed for a crop's work at a station by a
// person: the one that names most of them.
func (s *State) Pinned(station, crop, person string) (Pace, bool) {
	best, most := -1, -1
	for i := range s.Pins {
		p := &s.Pins[i]
		if p.Station != station || p.Crop != "" && p.Crop != crop || p.Person != "" && p.Person != person {
			continue
		}
		names := 0
		if p.Crop != "" {
			names++
		}
		if p.Person != "" {
			names += 2
		}
		if names > most {
			best, most = i, names
		}
	}
	if best < 0 {
		return Pace{}, false
	}
	return s.Pins[best].Pace, true
}

// Slower is the factor by which steps at a place take longer because of the troubles
// that were reported there; 1 where there is none. Of a whole station it is the mean of
// its slots.
func (s *State) Slower(at Place) float64 {
	if at.Station < 0 || len(s.Backlog) == 0 {
		return 1
	}
	factor, slots := 1.0, float64(max(1, s.Site.Stations[at.Station].Slots))
	for i := range s.Backlog {
		t := &s.Backlog[i]
		if t.Effect != EffectSlow || t.At.Station != at.Station {
			continue
		}
		more := float64(t.SlowPercent) / 100
		switch {
		case t.At.Slot == WholeStation || t.At.Slot == at.Slot:
			factor *= 1 + more
		case at.Slot == WholeStation:
			factor *= 1 + more/slots
		}
	}
	return factor
}

// slower is a time at a place with what is reported there.
func (s *State) slower(at Place, d time.Duration) time.Duration {
	if f := s.Slower(at); f != 1 {
		return time.Duration(float64(d) * f).Round(time.Second)
	}
	return d
}

// HandTime is how long work by hand on some trays should take at a place: as it was
// pinned, or as the records show, or else as the line file says; longer where a trouble
// slows it. 0 where hands are not tied up throughout. Everybody who looks ahead asks
// here. A place's slot may be WholeStation, crop and person empty.
func (v Advice) HandTime(s *State, at Place, crop string, trays int, person string) time.Duration {
	st := s.stationAt(at)
	if st.Hands != HandsThroughout {
		return 0
	}
	p, ok := s.Pinned(st.PaceName(), crop, person)
	if !ok && v.Paces != nil {
		p, ok = v.Paces(st, crop, person)
	}
	if !ok {
		p = Pace{PerTray: st.PerTray}
	}
	return s.slower(at, p.Time(trays))
}

// HandLeft is about how long the work by hand at a place still takes; ok is false where
// none goes on. It is negative once it has taken longer than it should.
func (v Advice) HandLeft(s *State, at Place, now time.Time) (left time.Duration, ok bool) {
	b, c := s.Occupant(at)
	var step *Step
	crop, trays := "", 0
	switch {
	case b != nil:
		step, crop, trays = &b.Step, b.Crop, b.Trays
	case c != nil:
		step, crop, trays = &c.Step, c.Crop, c.Trays
	}
	if step == nil || step.Planned > 0 && !step.ByHand || step.Progress != Running && step.Progress != Held {
		return 0, false
	}
	work := v.HandTime(s, at, crop, trays, step.By)
	return max(work, step.Planned) - step.Ran(now), work > 0
}
