package live_test

import (
	"slices"
	"strings"
	"testing"
	"time"

	"shedbell/line"
	"shedbell/line/linetest"
	"shedbell/line/live"
)

// computer is a computer whose clocks a test moves, with a line on it.
type computer struct {
	t     *testing.T
	store *linetest.Memory
	clock *linetest.Manual
	now   live.Readings
	line  *live.Line
}

func newComputer(t *testing.T) *computer {
	c := &computer{t: t, store: &linetest.Memory{}, now: live.Readings{Wall: linetest.Morning}}
	c.start()
	return c
}

// start opens the line with its clock at the computer's time.
func (c *computer) start() (notice string) {
	c.clock = linetest.NewManual(c.now.Wall)
	c.line, notice = open(c.t, c.store, c.clock)
	c.t.Cleanup(func() { c.line.Close() })
	c.line.CheckClock(c.now)
	return notice
}

// run lets time pass while the computer is awake.
func (c *computer) run(d time.Duration) {
	c.now.Wall, c.now.Awake, c.now.Always = c.now.Wall.Add(d), c.now.Awake+d, c.now.Always+d
	c.clock.Advance(d)
	c.line.CheckClock(c.now)
}

// sleep lets time pass while it sleeps; the line's clock stands still.
func (c *computer) sleep(d time.Duration) {
	c.now.Wall, c.now.Always = c.now.Wall.Add(d), c.now.Always+d
	c.line.CheckClock(c.now)
}

// set sets the wall clock.
func (c *computer) set(wall time.Time) {
	c.now.Wall = wall
	c.line.CheckClock(c.now)
}

// wash starts a day whose first batch is washing, for 3 min 30 s.
func (c *computer) wash() {
	do(c.t, c.line, line.OpenDay{Sheet: linetest.Sheet()})
	do(c.t, c.line, line.Start{Batch: 1, To: line.Anywhere})
	c.run(10 * time.Minute)
	do(c.t, c.line, line.Advance{Batch: 1, To: line.Anywhere})
}

func (c *computer) step() *line.Step { return &c.line.State().Batch(1).Step }

// left is what the countdown shows.
func (c *computer) left() time.Duration { return c.step().Left(c.line.Now()) }

// events lists the recorded events of a kind, and checks that no record's instant
// is before that of the one ahead of it.
func events[E line.Event](c *computer) []E {
	c.t.Helper()
	saved(c.t, c.line)
	var out []E
	var last time.Time
	c.store.Replay(0, func(r line.Record) error {
		if r.At.Before(last) {
			c.t.Errorf("record %d is from %s, the one before it from %s", r.Seq, r.At, last)
		}
		last = r.At
		if e, ok := r.Event.(E); ok {
			out = append(out, e)
		}
		return nil
	})
	return out
}

func TestAClockThatIsSetMovesNoCountdown(t *testing.T) {
	for name, by := range map[string]time.Duration{
		"an hour on":     time.Hour,
		"an hour back":   -time.Hour,
		"a day on":       24 * time.Hour,
		"50 years back":  -50 * 365 * 24 * time.Hour,
		"three seconds":  3 * time.Second,
		"seconds back":   -3 * time.Second,
		"a second on":    time.Second, // within what reading the clocks may take
		"nothing at all": 0,
	} {
		t.Run(name, func(t *testing.T) {
			c := newComputer(t)
			c.wash()
			c.run(30 * time.Second)
			c.set(c.now.Wall.Add(by))
			c.run(30 * time.Second)
			if left := c.left(); left != 150*time.Second || c.step().Progress != line.Running {
				t.Errorf("the countdown shows %s, want 2:30; the step is %v", left, c.step().Progress)
			}
			do(t, c.line, line.Hold{At: c.step().Place})
			jumps := events[line.ClockJumped](c)
			if by.Abs() <= 2*time.Second {
				if len(jumps) > 0 {
					t.Errorf("%v recorded", jumps)
				}
				return
			}
			if want := []line.ClockJumped{{By: by, Ahead: by}}; !slices.Equal(jumps, want) {
				t.Errorf("recorded %v, want %v", jumps, want)
			}
			if c.line.State().Ahead != by {
				t.Errorf("the line believes the computer %s ahead", c.line.State().Ahead)
			}
		})
	}
}

// A clock that is set twice, there and back, leaves the line where it was.
func TestAClockThatIsSetBackAgain(t *testing.T) {
	c := newComputer(t)
	c.wash()
	c.set(c.now.Wall.Add(time.Hour))
	c.run(time.Minute)
	c.set(c.now.Wall.Add(-time.Hour))
	c.run(time.Minute)
	if c.line.State().Ahead != 0 || len(events[line.ClockJumped](c)) != 2 || !c.line.Now().Equal(c.now.Wall) {
		t.Errorf("%s ahead, line %s, computer %s", c.line.State().Ahead, c.line.Now(), c.now.Wall)
	}
}

// After a restart the countdowns still go by the line's own time; only once nothing
// is on the line does it take the computer's.
func TestTheLineFollowsASetClockOnceItIsIdle(t *testing.T) {
	c := newComputer(t)
	c.wash()
	c.set(c.now.Wall.Add(time.Hour))
	if err := c.line.Close(); err != nil {
		t.Fatal(err)
	}
	c.now.Wall = c.now.Wall.Add(time.Minute)
	if notice := c.start(); notice != "" {
		t.Errorf("said %q after an orderly end", notice)
	}
	if left := c.left(); left != 150*time.Second {
		t.Errorf("after a minute the countdown shows %s, want 2:30", left)
	}
	do(t, c.line, line.Scrap{Batch: 1, Reason: "hot"})
	c.run(time.Second)
	if !c.line.Now().Equal(c.now.Wall) || c.line.State().Ahead != 0 || len(events[line.ClockFollowed](c)) != 1 {
		t.Errorf("idle, yet the line is at %s and the computer at %s", c.line.Now(), c.now.Wall)
	}
}

// Small steps in one direction add up to a jump: a clock is compared with where it
// would have been, not with a second ago.
func TestASlowDriftIsNoticed(t *testing.T) {
	c := newComputer(t)
	for range 5 {
		c.set(c.now.Wall.Add(time.Second))
		c.run(time.Minute)
	}
	if n := len(events[line.ClockJumped](c)); n != 1 {
		t.Errorf("%d jumps recorded, want one of 3 s", n)
	}
}

func TestASleepIsLikeAPowerCut(t *testing.T) {
	c := newComputer(t)
	c.wash()
	c.run(time.Minute)
	c.sleep(10 * time.Minute)
	step := c.step()
	if step.Progress != line.Interrupted || step.Ran(c.line.Now()) != time.Minute {
		t.Errorf("after a sleep the step is %v and ran %s for certain, want 1 min", step.Progress, step.Ran(c.line.Now()))
	}
	if !c.line.Now().Equal(c.now.Wall) {
		t.Errorf("the line is at %s, the computer at %s", c.line.Now(), c.now.Wall)
	}
	if wet := c.line.State().WetWait(c.line.State().Batch(1), c.line.Now()); wet != 10*time.Minute {
		t.Errorf("wet for %s, want the 10 min of the sleep", wet)
	}
	if len(events[line.ClockJumped](c)) > 0 {
		t.Error("a sleep was taken for a clock that was set")
	}
}

// Sleeping and being set at once, as a laptop whose clock is put right when it
// wakes.
func TestASleepWithASetClock(t *testing.T) {
	c := newComputer(t)
	c.wash()
	c.now.Wall = c.now.Wall.Add(2 * time.Hour)
	c.sleep(30 * time.Minute)
	jumps := events[line.ClockJumped](c)
	if len(jumps) != 1 || jumps[0].By != 2*time.Hour || c.step().Progress != line.Interrupted {
		t.Errorf("recorded %v, the step is %v", jumps, c.step().Progress)
	}
	if got := c.now.Wall.Sub(c.line.Now()); got != 2*time.Hour {
		t.Errorf("the line is %s behind, want only the 2 h", got)
	}
}

// A real-time clock without a battery starts in 1970.
func TestAComputerThatStartsIn1970(t *testing.T) {
	c := newComputer(t)
	c.wash()
	c.run(time.Minute)
	saved(t, c.line)
	if err := c.store.Beat(c.line.Now()); err != nil {
		t.Fatal(err)
	}
	last := c.line.Now()
	c.now = live.Readings{Wall: time.Unix(40, 0)}
	notice := c.start()
	for _, part := range []string{"1970-01-01", "2026-12-03", "Set the computer's clock", "nobody knows for how long"} {
		if !strings.Contains(notice, part) {
			t.Errorf("%q is not said: %s", part, notice)
		}
	}
	if c.line.Now().Before(last) || c.step().Progress != line.Interrupted || c.step().Ran(c.line.Now()) != time.Minute {
		t.Errorf("the line is at %s, the step %v after %s", c.line.Now(), c.step().Progress, c.step().Ran(c.line.Now()))
	}
	do(t, c.line, line.Resume{At: c.step().Place})
	c.run(time.Minute)
	left := c.left()
	c.set(last.Add(20 * time.Minute)) // the network has the right time
	c.run(0)
	if c.left() != left {
		t.Errorf("the countdown went from %s to %s when the clock was put right", left, c.left())
	}
	if ahead := c.line.State().Ahead; ahead != 19*time.Minute {
		t.Errorf("the computer is %s ahead of the line, want the 19 min that nobody knew of", ahead)
	}
	events[line.ClockJumped](c)
}

// Summer time and other zones change what a clock on the wall shows, not when
// things are. The changes of 2026 are those of the IANA time zone database, checked
// below against Go's copy of it.
func TestSummerTimeChangesNoCountdown(t *testing.T) {
	zone, err := time.LoadLocation("America/New_York")
	if err != nil {
		t.Skip("no time zone database")
	}
	for name, at := range map[string]time.Time{
		"spring":   time.Date(2026, 3, 8, 1, 30, 0, 0, zone),
		"autumn":   time.Date(2026, 11, 1, 1, 30, 0, 0, zone),
		"leap day": time.Date(2028, 2, 28, 23, 30, 0, 0, zone),
	} {
		t.Run(name, func(t *testing.T) {
			c := newComputer(t)
			c.line.Close()
			c.store, c.now.Wall = &linetest.Memory{}, at
			c.start()
			c.wash()
			before := c.left()
			c.run(2 * time.Minute)
			if got := before - c.left(); got != 2*time.Minute {
				t.Errorf("the countdown lost %s in 2 min", got)
			}
			if err := c.line.Close(); err != nil {
				t.Fatal(err)
			}
			c.now.Wall = c.now.Wall.Add(time.Hour) // over the change
			if notice := c.start(); notice != "" {
				t.Errorf("said %q", notice)
			}
			if got := before - c.left(); got != 62*time.Minute {
				t.Errorf("the countdown lost %s in 62 min", got)
			}
			_, off := at.Zone()
			_, now := c.line.Now().Zone()
			if changed := off != now; changed != (name != "leap day") {
				t.Errorf("offset %d became %d: the test is not about a change of the clocks", off, now)
			}
			events[line.ClockJumped](c)
		})
	}
}

func TestAnotherTimeZoneIsSaid(t *testing.T) {
	c := newComputer(t)
	c.wash()
	before := c.left()
	if err := c.line.Close(); err != nil {
		t.Fatal(err)
	}
	c.now.Wall = c.now.Wall.In(time.FixedZone("", -5*3600))
	if notice := c.start(); !strings.Contains(notice, "from UTC+00:00 to UTC-05:00") {
		t.Errorf("said %q", notice)
	}
	if c.left() != before {
		t.Errorf("the countdown went from %s to %s", before, c.left())
	}
}

// Both ends of a power cut are said in the zone that the computer is in now.
func TestAPowerCutInAnotherTimeZone(t *testing.T) {
	c := newComputer(t)
	c.wash() // until 07:40 UTC
	saved(t, c.line)
	if err := c.store.Beat(c.line.Now()); err != nil {
		t.Fatal(err)
	}
	c.now.Wall = c.now.Wall.Add(10 * time.Minute).In(time.FixedZone("", -5*3600))
	if notice := c.start(); !strings.Contains(notice, "from 02:40:00 to 02:50:00") {
		t.Errorf("said %q", notice)
	}
}

// What the real clocks say of a computer that is awake.
func TestReadingsOfThisComputer(t *testing.T) {
	a, b := live.ReadClocks(), live.ReadClocks()
	if a.Wall.IsZero() || b.Awake < a.Awake || b.Always < a.Always || b.Wall.Sub(a.Wall) > 2*time.Second {
		t.Errorf("%+v and then %+v", a, b)
	}
}
