package live_test

import (
	"strings"
	"testing"
	"time"

	"shedbell/line"
	"shedbell/line/linetest"
	"shedbell/line/live"
)

// A power cut of a second, ten minutes and three days: what ran for certain, how
// long the greens have been wet since, and what becomes of the fridge.
func TestAfterAPowerCut(t *testing.T) {
	const ranBefore = time.Minute
	for _, c := range []struct {
		away        time.Duration
		interrupted bool
		fridge      bool
	}{
		{time.Second, false, false}, // shorter than two heartbeats: it was watched all the time
		{10 * time.Minute, true, false},
		{5 * time.Hour, true, true},
		{72 * time.Hour, true, true},
	} {
		t.Run(c.away.String(), func(t *testing.T) {
			store, clock := &linetest.Memory{}, linetest.NewManual(linetest.Morning)
			l, _ := open(t, store, clock)
			begin(t, l, clock)
			saved(t, l)
			clock.Advance(ranBefore)
			if err := store.Beat(clock.Now()); err != nil {
				t.Fatal(err)
			}
			before := l.State()
			clock.Advance(c.away)
			l2, notice := open(t, store, clock)
			defer l2.Close()
			s := l2.State()
			step := s.Batch(1).Step
			if got := step.Progress == line.Interrupted; got != c.interrupted || got != (notice != "") {
				t.Errorf("interrupted %v, notice %q", got, notice)
			}
			if c.interrupted {
				if ran := step.Ran(clock.Now()); ran != ranBefore {
					t.Errorf("certainly ran %s", ran)
				}
				if wet := s.WetWait(s.Batch(1), clock.Now()); wet != c.away {
					t.Errorf("wet for %s", wet)
				}
				if !s.Power.Loads[linetest.Blower].On {
					t.Error("nobody has confirmed the blower off, yet it does not count")
				}
			}
			// Nobody knows when the power came back, so the breaker is taken to be as warm as
			// if it had never gone.
			panel, wetWall := &s.Site.Panel, 0
			if got, least := panel.Heat(s.Power, wetWall, clock.Now()), panel.Heat(before.Power, wetWall, clock.Now()); got <= 0 || got < least-1e-9 {
				t.Errorf("the breaker's heat is %.4f, with the blower on all the time it would be %.4f", got, least)
			}
			if got := strings.Contains(entries(l2), "Fridge not watched"); got != c.fridge {
				t.Errorf("fridge noted: %v; entries %q", got, entries(l2))
			}
		})
	}
}

// entries are the texts of the safety records.
func entries(l *live.Line) string {
	var out []string
	for _, e := range l.State().Entries {
		out = append(out, e.Entry.Text)
	}
	return strings.Join(out, "\n")
}
