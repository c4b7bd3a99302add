package line_test

import (
	"testing"
	"time"

	"shedbell/line"
	"shedbell/line/linetest"
	"shedbell/power"
)

// A breaker of 20 A that trips twice at a steady load that it should hold for ever is
// weaker than its handle says: heat goes with the square of the current (power has the
// check), so it is what one of that many amperes would do. One trip teaches nothing, a
// second does; what was taken over holds when the same line file is laid again, ends with
// another breaker, and goes with its undo.
func TestTwoTripsTeachALowerLimit(t *testing.T) {
	site := linetest.Site()
	c := site.Panel.Loads[linetest.Washer].Circuit
	site.Panel.Circuits[c].RatingA = 20
	s, now := line.NewState(site, linetest.Book()), linetest.Morning
	do := func(cmd line.Command) {
		t.Helper()
		next, _, no := line.Do(s, cmd, now, "Ash")
		if no != nil {
			t.Fatalf("%+v: %v", cmd, no)
		}
		s = next
	}
	amps := site.Panel.Loads[linetest.Washer].Settings[0].AmpsA
	for n := range 2 {
		if _, _, no := line.Do(s, line.LimitCircuit{Circuit: c}, now, "Ash"); no == nil {
			t.Fatalf("%d trips were enough", n)
		}
		do(line.SwitchOn{Load: linetest.Washer})
		now = now.Add(time.Hour)
		do(line.MarkTripped{Circuit: c})
		now = now.Add(time.Minute)
		do(line.ResetBreaker{Circuit: c})
		do(line.MarkOff{Load: linetest.Washer})
		now = now.Add(time.Hour)
	}
	l, ok := s.Lesson(c)
	if !ok || l.EffectiveA > amps+0.5 || l.EffectiveA < amps-0.5 {
		t.Fatalf("the lesson is %+v, %v; it ran at %.1f A", l, ok, amps)
	}
	before := *s
	do(line.LimitCircuit{Circuit: c})
	if got := s.Site.Panel.Circuits[c].EffectiveA; got != l.EffectiveA || s.LineFile().Panel.Circuits[c].EffectiveA != got || site.Panel.Circuits[c].EffectiveA != 0 {
		t.Errorf("it counts as %.1f A, want %.1f", got, l.EffectiveA)
	}
	if _, again := s.Lesson(c); again {
		t.Error("the same trips teach twice")
	}
	if again := s.WithLearned(site); again.Panel.Circuits[c].EffectiveA != l.EffectiveA {
		t.Error("the line file lays it off")
	}
	other := *site
	other.Panel.Circuits = append([]power.Circuit(nil), site.Panel.Circuits...)
	other.Panel.Circuits[c].RatingA = 25
	if got := s.WithLearned(&other).Panel.Circuits[c].EffectiveA; got != 0 {
		t.Errorf("another breaker counts as %.1f A", got)
	}
	do(line.Undo{})
	if s.Site.Panel.Circuits[c].EffectiveA != before.Site.Panel.Circuits[c].EffectiveA || len(s.Learned) != 0 {
		t.Error("undo left it")
	}
}
