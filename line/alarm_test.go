package line_test

import (
	"testing"
	"time"

	"shedbell/line"
	"shedbell/line/linetest"
)

// shed drives a line in tests: every command has to be allowed.
type shed struct {
	t   *testing.T
	s   *line.State
	now time.Time
}

func openShed(t *testing.T) *shed {
	return &shed{t: t, s: linetest.Open(), now: linetest.Morning}
}

func (sh *shed) do(c line.Command) {
	sh.t.Helper()
	next, _, no := line.Do(sh.s, c, sh.now, "Ash")
	if no != nil {
		sh.t.Fatalf("%T %+v at %s: %s", c, c, sh.now.Format("15:04:05"), no.Error())
	}
	sh.s = next
}

func (sh *shed) refused(c line.Command, rule string) *line.Refusal {
	sh.t.Helper()
	_, no := line.Decide(sh.s, c, sh.now)
	if no == nil {
		sh.t.Fatalf("%T %+v was allowed, want a refusal by rule %q", c, c, rule)
	}
	if no.Rule != rule {
		sh.t.Fatalf("%T refused by rule %q (%s), want %q", c, no.Rule, no.Error(), rule)
	}
	return no
}

func (sh *shed) pass(d time.Duration) { sh.now = sh.now.Add(d) }

func at(station, slot int) line.Place { return line.Place{Station: station, Slot: slot} }

// washed brings batch 1 to the end of its wash countdown, four minutes long,
// which nobody has confirmed.
func (sh *shed) washed() {
	sh.t.Helper()
	sh.do(line.Start{Batch: 1, To: line.Anywhere})
	sh.pass(10 * time.Minute)
	sh.do(line.Advance{Batch: 1, To: line.Anywhere})
	sh.pass(3*time.Minute + 30*time.Second)
}

func (sh *shed) alarm() line.Alarm {
	sh.t.Helper()
	all := line.Alarms(sh.s, sh.now)
	if len(all) != 1 {
		sh.t.Fatalf("alarms %+v, want one", all)
	}
	return all[0]
}

func TestAlarmOfOverdueWash(t *testing.T) {
	sh := openShed(t)
	sh.washed()
	over := sh.now
	for _, tc := range []struct {
		after time.Duration
		want  line.Priority
	}{{0, line.Note}, {time.Minute, line.Soon}, {15 * time.Minute, line.Soon}, {15*time.Minute + time.Second, line.Urgent}} {
		sh.now = over.Add(tc.after)
		a := sh.alarm()
		if a.Kind != line.AlarmOverdue || a.Priority != tc.want || a.Batch != 1 || a.Load != linetest.Blower ||
			a.Place != at(linetest.Tub, 0) || !a.Since.Equal(over) {
			t.Errorf("after %s: %+v, want priority %d", tc.after, a, tc.want)
		}
		if !a.Until.Equal(over.Add(15 * time.Minute)) {
			t.Errorf("after %s: the wait may last until %s", tc.after, a.Until)
		}
	}
	sh.now = over.Add(-time.Second)
	if all := line.Alarms(sh.s, sh.now); len(all) != 0 {
		t.Errorf("before the end: %+v", all)
	}
}

func TestAlarmOfGreensThatWaitWet(t *testing.T) {
	sh := openShed(t)
	sh.washed()
	over := sh.now
	sh.pass(2 * time.Minute)
	sh.do(line.Finish{At: at(linetest.Tub, 0)})
	for _, tc := range []struct {
		after time.Duration
		want  line.Priority // 0 for none
	}{{11 * time.Minute, 0}, {11*time.Minute + 15*time.Second, line.Soon}, {15 * time.Minute, line.Soon}, {15*time.Minute + time.Second, line.Urgent}} {
		all := line.Alarms(sh.s, over.Add(tc.after))
		switch {
		case tc.want == 0 && len(all) == 0:
		case len(all) == 1 && all[0].Kind == line.AlarmWet && all[0].Priority == tc.want && all[0].Since.Equal(over):
		default:
			t.Errorf("after %s: %+v, want priority %d", tc.after, all, tc.want)
		}
	}
	sh.do(line.Start{Batch: 1, To: line.Anywhere})
	if all := line.Alarms(sh.s, sh.now); len(all) != 0 {
		t.Errorf("in the spinner: %+v", all)
	}
	if b := sh.s.Batch(1); b.WetSoFar != 2*time.Minute {
		t.Errorf("waited wet %s in all, want 2m", b.WetSoFar)
	}
}

func TestAlarmsOfInterruptionAndTrip(t *testing.T) {
	sh := openShed(t)
	sh.washed()
	sh.pass(-2 * time.Minute)
	watched := sh.now
	sh.pass(20 * time.Minute)
	sh.do(line.Recover{LastBeat: watched})
	a := sh.alarm()
	if a.Kind != line.AlarmInterrupted || a.Priority != line.Urgent || !a.Since.Equal(watched) {
		t.Errorf("%+v, want an urgent interruption since %s", a, watched)
	}
	id := a.ID()
	sh.do(line.MarkTripped{Circuit: 1})
	all := line.Alarms(sh.s, sh.now)
	if len(all) != 2 || all[0].ID() != id || all[1].Kind != line.AlarmTripped || all[1].Circuit != 1 || !all[1].Since.Equal(sh.now) {
		t.Errorf("%+v, want the interruption and then the trip", all)
	}
	sh.do(line.ResetBreaker{Circuit: 1})
	sh.do(line.Restart{At: at(linetest.Tub, 0)})
	if all := line.Alarms(sh.s, sh.now); len(all) != 0 {
		t.Errorf("answered: %+v", all)
	}
}
