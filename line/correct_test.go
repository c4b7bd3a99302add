package line_test

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"shedbell/line"
	"shedbell/line/linetest"
	"shedbell/power"
)

// entry is the number of the last action, or of one before it.
func (sh *shed) entry(back int) int64 { return sh.s.Done(20)[back].Entry }

// story is the state without what only tells when and by whom something was entered.
// What the machines do is judged apart, as no correction changes it.
func story(s *line.State) string {
	x := *s
	x.Seq, x.At, x.Power, x.PowerPast, x.Marks = 0, time.Time{}, power.State{}, nil, nil
	x.LastID, x.ChoreID = 0, 0 // numbers are not given twice
	return facts(&x)
}

// saying is a command, so long after the one before it.
type saying struct {
	after time.Duration
	c     line.Command
}

func (sh *shed) tell(all ...saying) {
	sh.t.Helper()
	for _, one := range all {
		sh.pass(one.after)
		sh.do(one.c)
	}
}

var (
	moveOn1 = line.Advance{Batch: 1, To: line.Anywhere}
	m       = time.Minute
)

// What is put right afterwards comes out as though it had been known in time: tables of
// what was said and what should have been said. The times are invented.
func TestPutRightIsAsKnownInTime(t *testing.T) {
	rackB, rackC := at(linetest.Rack, 1), at(linetest.Rack, 2)
	for _, c := range []struct {
		name         string
		said, should []saying
		fix          func(sh *shed) line.Correct
	}{
		{"the cut began earlier", []saying{{5 * m, moveOn1}, {5 * m, moveOn1}, {m, moveOn1}}, []saying{{2 * m, moveOn1}, {8 * m, moveOn1}, {m, moveOn1}},
			func(sh *shed) line.Correct { return line.Correct{Entry: sh.entry(2), At: sh.now.Add(-9 * m)} }},
		{"the tub was left later", []saying{{m, moveOn1}, {9 * m, moveOn1}, {4 * m, moveOn1}, {m, line.Start{Batch: 2, To: line.Anywhere}}}, []saying{{m, moveOn1}, {9 * m, moveOn1}, {4*m + 30*time.Second, moveOn1}, {m / 2, line.Start{Batch: 2, To: line.Anywhere}}},
			func(sh *shed) line.Correct { return line.Correct{Entry: sh.entry(1), At: sh.now.Add(-m / 2)} }},
		{"one thing came after the other", []saying{{m, moveOn1}, {m, line.SetCrew{Names: []string{"Ash", "Rowan"}}}, {8 * m, moveOn1}}, []saying{{2 * m, line.SetCrew{Names: []string{"Ash", "Rowan"}}}, {m, moveOn1}, {7 * m, moveOn1}},
			func(sh *shed) line.Correct { return line.Correct{Entry: sh.entry(2), At: sh.now.Add(-7 * m)} }},
		{"another shelf, and what was done there", []saying{{m, moveOn1}, {9 * m, moveOn1}, {4 * m, moveOn1}, {4 * m, line.Advance{Batch: 1, To: rackB}}, {m, line.Adjust{At: rackB, By: m}}, {m, line.Hold{At: rackB}}},
			[]saying{{m, moveOn1}, {9 * m, moveOn1}, {4 * m, moveOn1}, {4 * m, line.Advance{Batch: 1, To: rackC}}, {m, line.Adjust{At: rackC, By: m}}, {m, line.Hold{At: rackC}}},
			func(sh *shed) line.Correct { return line.Correct{Entry: sh.entry(2), Slot: 3} }},
		{"it was not done", []saying{{m, moveOn1}, {9 * m, line.SetCrew{Names: []string{"Ash", "Rowan"}}}}, []saying{{10 * m, line.SetCrew{Names: []string{"Ash", "Rowan"}}}},
			func(sh *shed) line.Correct { return line.Correct{Entry: sh.entry(1), Out: true} }},
		{"nor what came of it", []saying{{m, moveOn1}, {9 * m, moveOn1}, {4 * m, moveOn1}}, []saying{{m, moveOn1}},
			func(sh *shed) line.Correct { return line.Correct{Entry: sh.entry(1), Out: true} }},
	} {
		t.Run(c.name, func(t *testing.T) {
			sh, want := openShed(t), openShed(t)
			sh.tell(c.said...)
			want.tell(c.should...)
			before := story(sh.s)
			fix := c.fix(sh)
			sh.pass(time.Second)
			sh.do(fix)
			if got := story(sh.s); got != story(want.s) {
				t.Errorf("put right:\n%s\nknown in time:\n%s", got, story(want.s))
			}
			for circuit := range sh.s.Site.Panel.Circuits { // what runs is not stopped by words
				if is, least := carried(sh.s, circuit, sh.now), carried(want.s, circuit, sh.now); is < least-1e-9 {
					t.Errorf("circuit %d carries %.1f A, known in time %.1f", circuit, is, least)
				}
			}
			for _, d := range reversed(sh.s.Done(20)) {
				if is, _ := sh.s.DoneNo(d.Entry); !is.Fixed.IsZero() { // what followed goes with it
					sh.do(line.Correct{Entry: d.Entry, Back: true})
				}
			}
			if got := story(sh.s); got != before {
				t.Errorf("back again:\n%s\nas it was:\n%s", got, before)
			}
		})
	}
}

func reversed[T any](all []T) (out []T) {
	for i := len(all) - 1; i >= 0; i-- {
		out = append(out, all[i])
	}
	return out
}

func TestAnotherNumberOfTrays(t *testing.T) {
	sh := openShed(t)
	sh.tell(saying{m, moveOn1}, saying{9 * m, moveOn1}, saying{4 * m, moveOn1})
	trays := sh.s.Batch(1).Trays
	sh.do(line.Correct{Entry: sh.entry(2), Trays: trays - 1}) // from the cut on
	if b := sh.s.Batch(1); b.Trays != trays-1 || sh.s.Trays.Dirty != trays-1 {
		t.Errorf("%d trays, %d to wash, want %d", b.Trays, sh.s.Trays.Dirty, trays-1)
	}
	sh.do(line.Correct{Entry: sh.entry(0), Trays: trays + 1}) // one more came into the spinner
	if b := sh.s.Batch(1); b.Trays != trays+1 {
		t.Errorf("%d trays, want %d", b.Trays, trays+1)
	}
	sh.refused(line.Correct{Entry: sh.entry(1), Trays: 40}, line.RuleCapacity) // more than the tub holds
}

func TestSomebodyElseDidIt(t *testing.T) {
	sh := openShed(t)
	sh.tell(saying{m, moveOn1})
	sh.do(line.Correct{Entry: sh.entry(0), By: "Rowan"})
	if by := sh.s.Batch(1).Step.By; by != "Rowan" {
		t.Errorf("the cut is of %q", by)
	}
	if d := sh.s.Done(1)[0]; d.By != "Rowan" || d.Said[0].By != "Ash" {
		t.Errorf("both are kept: %q and %q", d.By, d.Said[0].By)
	}
}

func TestWhatMakesNoSenseIsRefused(t *testing.T) {
	sh := openShed(t)
	sh.tell(saying{m, moveOn1}, saying{9 * m, moveOn1}, saying{4 * m, moveOn1}, saying{m, line.Start{Batch: 2, To: line.Anywhere}})
	cut, tub, second := sh.entry(3), sh.entry(2), sh.entry(0)
	no := sh.refused(line.Correct{Entry: cut, At: sh.now}, line.RuleOrder) // after it went into the tub
	if !strings.Contains(no.Error(), "would make no sense") {
		t.Errorf("said %q", no.Error())
	}
	sh.refused(line.Correct{Entry: second, At: sh.now.Add(-10 * m)}, line.RuleOrder) // the table was taken
	sh.refused(line.Correct{Entry: tub, At: sh.now.Add(m)}, line.RuleValue)
	sh.refused(line.Correct{Entry: tub, At: sh.now.Add(-time.Hour)}, line.RuleValue)
	sh.refused(line.Correct{Entry: tub, Slot: 2}, line.RuleNothing)
	sh.refused(line.Correct{Entry: 999, Out: true}, line.RuleUnknown)
	sh.refused(line.Correct{Entry: tub, By: "Ash"}, line.RuleNothing)
	// A sanitizer's contact time is not shortened by words either.
	if _, no := line.Decide(sh.s, line.Correct{Entry: tub, Out: true}, sh.now); no != nil {
		t.Errorf("the tub cannot be taken back with what came of it: %s", no.Error())
	}
}

// A machine that was started counts as on after its start is taken out of the books,
// also where that was not the last thing done, and when the answer is taken back too.
func TestACorrectionSwitchesNothing(t *testing.T) {
	sh := spinning(t)
	sh.do(line.SetCrew{Names: []string{"Ash", "Rowan"}})
	sh.do(line.Correct{Entry: sh.entry(1), Out: true})
	if st := sh.s.Power.Loads[linetest.Spinner]; !st.On || !st.InDoubt {
		t.Fatalf("the spinner is %+v", st)
	}
	sh.do(line.SwitchOff{Load: linetest.Spinner})
	if sh.on(linetest.Spinner) {
		t.Fatal("the answer is not taken")
	}
	sh.do(line.Correct{Entry: sh.entry(0), Out: true})
	if st := sh.s.Power.Loads[linetest.Spinner]; !st.On || !st.InDoubt {
		t.Errorf("the answer is taken back, and the spinner is %+v", st)
	}
}

// A state that comes back from a snapshot puts the same things right in the same way.
func TestCorrectionsAfterASnapshot(t *testing.T) {
	sh := spinning(t)
	sh.do(line.Correct{Entry: sh.entry(1), By: "Rowan"})
	sh.do(line.Correct{Entry: sh.entry(0), Out: true})
	data, err := line.EncodeState(sh.s)
	if err != nil {
		t.Fatal(err)
	}
	again, err := line.DecodeState(data)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []line.Command{line.Correct{Entry: sh.entry(0), Back: true}, line.Correct{Entry: sh.entry(1), Back: true}} {
		sh.do(c)
		next, _, no := line.Do(again, c, sh.now, "Ash")
		if no != nil {
			t.Fatal(no)
		}
		if again = next; facts(again) != facts(sh.s) {
			t.Fatalf("after %+v\n%s\n%s", c, facts(again), facts(sh.s))
		}
	}
}

// Held time is no time that a step ran, also where it was ended while it was held.
func TestHeldTimeIsNotRunTime(t *testing.T) {
	sh := openShed(t)
	sh.tell(saying{m, line.Start{Batch: 1, To: line.Anywhere}}, saying{5 * m, line.Hold{At: at(0, 0)}}, saying{20 * m, line.Finish{At: at(0, 0)}})
	if ran := sh.s.Batch(1).Step.Ran(sh.now); ran != 5*m {
		t.Errorf("it ran %s, want 5 min", ran)
	}
}

// Random days in which things are put right in any order and late: the replay is the
// same (which record checks), no batch is lost or stands in two places, and what is put
// back is as it was.
func TestRandomCorrections(t *testing.T) {
	put := map[string]int{}
	rapid.Check(t, func(t *rapid.T) {
		x := newMachine(t)
		for range 15 + pick(t, 50, "commands") {
			x.now = x.now.Add(drawStep(t))
			if pick(t, 4, "put right") > 0 {
				c := drawCommand(t, x.live, x.now)
				d, no := line.Decide(x.live, c, x.now)
				if no == nil {
					t.Logf("%s %T %+v", x.now.Format(time.TimeOnly), c, c)
					if found, ok := c.(line.CountTrays); ok { // more than a place holds, it may be
						x.counted[x.live.Batch(found.Batch).Crop] = true
					}
					x.record(d.Records(x.live, x.now, "Ash"))
				}
				continue
			}
			kind, c, ok := drawCorrection(t, x.live)
			if !ok {
				continue
			}
			old := x.live
			d, no := line.Decide(old, c, x.now)
			if no != nil {
				continue
			}
			put[kind]++
			t.Logf("%s %+v: %+v", x.now.Format(time.TimeOnly), c, d.Events)
			x.record(d.Records(old, x.now, "Ash"))
			if kind == "trays" { // of a batch that there may not be any more
				for _, crop := range x.live.Book.Crops() {
					x.counted[crop] = true
				}
			}
			x.places()
			x.machines()
			x.carries(old)
			x.putBack(old, d)
		}
	})
	t.Logf("put right: %v", put)
}

func drawCorrection(t *rapid.T, s *line.State) (kind string, c line.Correct, ok bool) {
	list := s.Done(20)
	if len(list) == 0 {
		return "", c, false
	}
	d := &list[pick(t, len(list), "entry")]
	c.Entry = d.Entry
	switch kind = one(t, "what", "time", "trays", "by", "slot", "out", "back"); kind {
	case "time":
		c.At = d.At.Add(one(t, "by", -15*time.Second, 15*time.Second, -5*time.Minute, 5*time.Minute, -time.Hour))
	case "trays":
		c.Trays = 1 + pick(t, 6, "trays")
	case "by":
		c.By = one(t, "who", "Rowan", "Elm")
	case "slot":
		c.Slot = 1 + pick(t, 3, "slot")
	case "out":
		c.Out = true
	case "back":
		c.Back = true
	}
	return kind, c, true
}

// carries checks that no circuit carries less than before words changed.
func (m *machine) carries(old *line.State) {
	for c := range m.live.Site.Panel.Circuits {
		if was, is := carried(old, c, m.live.At), carried(m.live, c, m.live.At); is < was-1e-9 {
			m.t.Fatalf("a correction took circuit %d from %.2f A to %.2f A", c, was, is)
		}
	}
}

// putBack takes corrections of what had been as it was said back again.
func (m *machine) putBack(old *line.State, d line.Decision) {
	s := m.live
	events := d.Events // the first is what was put right, and the rest followed
	if e, ok := events[0].(line.Corrected); ok && e.Out {
		events = reversed(events)
	}
	for i := range events {
		e, ok := events[i].(line.Corrected)
		if was, known := old.DoneNo(e.Entry); !ok || !known || !was.Fixed.IsZero() {
			return
		}
		if is, _ := s.DoneNo(e.Entry); is.Fixed.IsZero() {
			continue // it went with the one before it
		}
		next, _, no := line.Do(s, line.Correct{Entry: e.Entry, Back: true}, m.now, "Ash")
		if no != nil {
			list := ""
			for _, d := range reversed(s.Done(20)) {
				list += fmt.Sprintf("%d %s %s out %v", d.Entry, d.At.Format(time.TimeOnly), d.Text, d.Out)
				for _, r := range d.Said {
					list += fmt.Sprintf(" %T%+v", r.Event, r.Event)
				}
				list += "\n"
			}
			m.t.Fatalf("%+v cannot be put back after %+v: %s\n%s", e, d.Events, no.Error(), list)
		}
		s = next
	}
	if story(s) != story(old) {
		m.t.Fatalf("put back:\n%s\nas it was:\n%s", story(s), story(old))
	}
}
