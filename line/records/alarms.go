package records

import (
	"time"

	"shedbell/line"
)

// Alarms is what a day's alarms asked of people. An alarm counts each time that the
// board alerted to it; one that became more pressing is another one.
type Alarms struct {
	Raised   int
	Urgent   int           // of them
	Acked    int           // acknowledged within AlarmSoon
	Answered int           // acknowledged, or their cause seen to, within AlarmSoon
	Shelved  int           // times that one was put out of sight
	Peak     int           // most in any AlarmWindow
	Longest  time.Duration // until the slowest was answered; those that never were count to the day's end
}

// How alarms are measured, and what is held to be bearable for one person: on
// average one in ten minutes is very likely acceptable and two are the most that
// can be managed; ten in ten minutes are a flood. EEMUA publication 191 and
// ANSI/ISA-18.2, alarm system performance, from memory. Both are about control
// rooms, so the figures stand beside the day's as a measure and not as a limit.
const (
	AlarmSoon       = time.Minute
	AlarmWindow     = 10 * time.Minute
	AlarmsBearable  = 6.0 // an hour and person
	AlarmsMost      = 12.0
	AlarmsFloodPeak = 10 // in AlarmWindow
)

// AlarmsAnHour is how many there were in an hour of the day.
func (d *Day) AlarmsAnHour() float64 {
	if h := d.Length().Hours(); h > 0 {
		return float64(d.Alarms.Raised) / h
	}
	return 0
}

// alarmRun is an alarm that people were alerted to; 0: not yet.
type alarmRun struct {
	id                      line.AlarmID
	raised, acked, answered int64
}

// takeAlarm keeps what was done about alarms.
func (d *dayFold) takeAlarm(rec line.Record, at int64) {
	switch e := rec.Event.(type) {
	case line.AlarmRaised:
		d.alarms = append(d.alarms, alarmRun{id: e.ID, raised: at})
	case line.AlarmsAcked:
		for _, id := range e.IDs {
			for i := range d.alarms {
				if a := &d.alarms[i]; a.id == id && a.acked == 0 {
					a.acked = at
					a.answer(at)
				}
			}
		}
	case line.AlarmShelved:
		d.day.Alarms.Shelved++
	}
}

func (a *alarmRun) answer(at int64) {
	if a.answered == 0 {
		a.answered = at
	}
}

// seeTo answers the alarms whose cause a record has seen to.
func (d *dayFold) seeTo(e line.Event, at int64) {
	if len(d.alarms) == 0 {
		return
	}
	about := func(id *line.AlarmID) bool { return false }
	batch := func(n int) { about = func(id *line.AlarmID) bool { return n != 0 && id.Batch == n } }
	place := func(p line.Place) { about = func(id *line.AlarmID) bool { return id.Place == p } }
	switch e := e.(type) {
	case line.StepStarted:
		batch(e.Batch)
	case line.StepFinished:
		batch(e.Batch)
	case line.BatchCooled:
		batch(e.Batch)
	case line.BatchScrapped:
		batch(e.Batch)
	case line.BatchMerged:
		batch(e.From)
	case line.StepHeld:
		place(e.At)
	case line.StepResumed:
		place(e.At)
	case line.StepAdjusted:
		place(e.At)
	case line.ChoreFinished:
		about = func(id *line.AlarmID) bool { return id.Chore == e.ID }
	case line.BreakerReset:
		about = func(id *line.AlarmID) bool {
			return id.Kind == line.AlarmTripped && (id.Circuit == e.Circuit || e.Feeder != "")
		}
	case line.PowerBack:
		about = func(id *line.AlarmID) bool {
			return id.Kind == line.AlarmNoPower && (id.Circuit == e.Circuit || e.Everywhere || id.Circuit < 0)
		}
	case line.FoundOff, line.Unplugged, line.LoadSwitched:
		about = func(id *line.AlarmID) bool { return id.Kind == line.AlarmOverload || id.Kind == line.AlarmFoundOn }
	}
	for i := range d.alarms {
		if a := &d.alarms[i]; about(&a.id) {
			a.answer(at)
		}
	}
}

// alarmFigures closes the day's account of alarms.
func (d *dayFold) alarmFigures(end int64) {
	out := &d.day.Alarms
	first := 0
	for i := range d.alarms {
		a := &d.alarms[i]
		out.Raised++
		if a.id.Priority == line.Urgent {
			out.Urgent++
		}
		if a.acked != 0 && a.acked-a.raised <= int64(AlarmSoon) {
			out.Acked++
		}
		if a.answered != 0 && a.answered-a.raised <= int64(AlarmSoon) {
			out.Answered++
		}
		until := a.answered
		if until == 0 {
			until = end
		}
		out.Longest = max(out.Longest, time.Duration(until-a.raised))
		for d.alarms[first].raised <= a.raised-int64(AlarmWindow) {
			first++
		}
		out.Peak = max(out.Peak, i-first+1)
	}
}
