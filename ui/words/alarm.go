package words

import (
	"strings"
	"time"

	"shedbell/line"
	"shedbell/line/say"
)

// Alarm says in words what an alarm is about and what to do.
func (t *Speaker) Alarm(s *line.State, a *line.Alarm, now time.Time) string {
	who := ""
	if b := s.Batch(a.Batch); b != nil {
		who = t.Caps(b)
	} else if a.Place.Station >= 0 {
		who = strings.ToUpper(t.Place(s, a.Place))
	}
	since := Clock(max(0, now.Sub(a.Since)))
	switch a.Kind {
	case line.AlarmTripped:
		return t.Say("alarm.tripped", t.Circuit(s.Site.Panel.Circuits[a.Circuit].Name), since)
	case line.AlarmNoPower:
		if a.Circuit < 0 {
			return t.Say("alarm.no-power", since)
		}
		return t.Say("alarm.no-power-at", t.Circuit(s.Site.Panel.Circuits[a.Circuit].Name), since)
	case line.AlarmOverload:
		return t.overload(s, a, now)
	case line.AlarmInterrupted:
		return t.Say("alarm.interrupted", who, t.Place(s, a.Place), since)
	case line.AlarmWet:
		if a.Until.IsZero() {
			return t.Say("alarm.wet", who, since)
		}
		return t.Say("alarm.wet-limit", who, since, Clock(a.Until.Sub(a.Since)))
	case line.AlarmLong:
		return t.Say("alarm.long", who, t.Place(s, a.Place), Clock(s.StepAt(a.Place).Ran(now)))
	case line.AlarmFoundOn:
		return t.Say("alarm.found-on", say.Load(s.Site.Panel.Loads[a.Load].Name), since)
	case line.AlarmLate:
		return t.late(s, a)
	case line.AlarmOverdue:
		if a.Load == line.NoLoad {
			return t.Say("alarm.over", who, t.Place(s, a.Place), since)
		}
		return t.Say("alarm.over-on", who, t.Place(s, a.Place), since, say.Load(s.Site.Panel.Loads[a.Load].Name))
	}
	return who
}

// overload says what a breaker carries, how soon it may trip, and what to switch off.
func (t *Speaker) overload(s *line.State, a *line.Alarm, now time.Time) string {
	p := &s.Site.Panel
	for _, o := range p.Overloads(s.Power, now) {
		name := t.Circuit(a.Feeder)
		switch {
		case o.Feeder >= 0 && p.Feeders[o.Feeder].Name == a.Feeder:
		case a.Feeder == "" && o.Circuit == a.Circuit:
			name = t.Circuit(p.Circuits[a.Circuit].Name)
		default:
			continue
		}
		within := t.Sentence(o.Within())
		var off say.List
		for _, i := range p.Relief(s.Power, &o, now) {
			off = append(off, say.Load(p.Loads[i].Name))
		}
		if len(off) == 0 {
			return t.Say("alarm.overload-any", name, o.AmpsA, o.LimitA, within)
		}
		return t.Say("alarm.overload", name, o.AmpsA, o.LimitA, within, off)
	}
	return ""
}

// late says which due time will most likely be missed, and the way out.
func (t *Speaker) late(s *line.State, a *line.Alarm) string {
	r, ok := s.RiskOf(a)
	if !ok {
		return ""
	}
	text := t.Say("alarm.late", strings.ToUpper(t.Crop(r.Crop)), say.Time(r.Due), say.Time(r.Sure))
	switch {
	case r.First.IsZero():
		return text + t.Say("alarm.late-anyhow")
	case r.Costs < time.Minute:
		return text + t.Say("alarm.late-first", say.Time(r.First))
	}
	return text + t.Say("alarm.late-costs", say.Time(r.First), int(r.Costs.Round(time.Minute).Minutes()))
}
