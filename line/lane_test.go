package line_test

import (
	"slices"
	"testing"
	"time"

	"shedbell/line"
	"shedbell/line/linetest"
)

// crewed is the test shed with its day open and these people on the line.
func crewed(t testing.TB, names ...string) *line.State {
	t.Helper()
	site := linetest.Site()
	site.Stations[linetest.Cut].Slots = 2
	sheet := linetest.Sheet()
	sheet.Crew, sheet.Apart = names, nil
	return asked(t, line.NewState(site, linetest.Book()), linetest.Morning, "", line.OpenDay{Sheet: sheet})
}

func asked(t testing.TB, s *line.State, now time.Time, by string, commands ...line.Command) *line.State {
	t.Helper()
	for _, c := range commands {
		next, _, no := line.Do(s, c, now, by)
		if no != nil {
			t.Fatalf("%#v: %s", c, no.Error())
		}
		s = next
	}
	return s
}

func minutes(n float64) time.Time {
	return linetest.Morning.Add(time.Duration(n * float64(time.Minute)))
}

// In the morning each person cuts a batch of their own, at a place of their own.
func TestLanesShareWork(t *testing.T) {
	s := crewed(t, "Ash", "Rowan")
	lanes := line.Advice{}.Lanes(s, linetest.Morning)
	if len(lanes) != 2 || lanes[0].Person != "Ash" || lanes[1].Person != "Rowan" {
		t.Fatalf("%+v", lanes)
	}
	one, two := lanes[0].Now, lanes[1].Now
	if one == nil || two == nil || one.Batch == two.Batch || one.To == two.To || one.Act != line.ActStart || two.Act != line.ActStart {
		t.Fatalf("%+v and %+v", one, two)
	}
	if line.UrgentLane(lanes, linetest.Morning) != 0 {
		t.Error("of two people with the same kind of work the first in the crew is not first")
	}

	// Who cuts is in the middle of that, whatever the other does.
	s = asked(t, s, linetest.Morning, "Rowan", two.Command)
	lanes = line.Advice{}.Lanes(s, minutes(1))
	if ash, rowan := lanes[0], lanes[1]; ash.Busy || ash.Now == nil || ash.Now.Batch != one.Batch ||
		!rowan.Busy || rowan.Now.Batch != two.Batch || rowan.Now.Act != line.ActFinish {
		t.Fatalf("%+v\n%+v", ash.Now, rowan.Now)
	}
	// 200 s a tray: linetest's cutting table.
	if want := linetest.Morning.Add(200 * time.Second * time.Duration(two.Trays)); !lanes[1].Until.Equal(want) {
		t.Errorf("Rowan acts at %s, want the end of the cut at %s", lanes[1].Until, want)
	}
}

// washing has Ash's batch 1 in the tub, due at minute 4.5, and Rowan cutting batch 2
// until minute 13.3 or longer.
func washing(t *testing.T, names ...string) *line.State {
	s := crewed(t, names...)
	s = asked(t, s, linetest.Morning, "Ash", line.Start{Batch: 1, To: line.Anywhere})
	s = asked(t, s, minutes(1), "Ash", line.Advance{Batch: 1, To: line.Anywhere})
	return asked(t, s, minutes(1), names[len(names)-1], line.Start{Batch: 2, To: line.Anywhere})
}

// What is due goes to who began it; with one person it comes before the work in hand,
// which follows after.
func TestLanesAtTheTub(t *testing.T) {
	due := minutes(4.5) // pea soaks 3:00 and drains 0:30
	s := washing(t, "Ash", "Rowan")
	lanes := line.Advice{}.Lanes(s, minutes(2))
	if !lanes[0].Until.Equal(due) {
		t.Errorf("before: Ash has to act at %s, want the end of the wash", lanes[0].Until)
	}
	lanes = line.Advice{}.Lanes(s, minutes(5))
	if p := lanes[0].Now; p == nil || p.Act != line.ActAdvance || p.Batch != 1 || lanes[0].Busy || !lanes[0].Until.Equal(due) {
		t.Errorf("Ash: %+v until %s", p, lanes[0].Until)
	}
	if p := lanes[1].Now; p == nil || !lanes[1].Busy || p.Batch != 2 {
		t.Errorf("Rowan: %+v", p)
	}
	if line.UrgentLane(lanes, minutes(5)) != 0 {
		t.Error("Enter does not act for who has wet greens waiting")
	}

	lanes = line.Advice{}.Lanes(washing(t, "Ash"), minutes(5))
	if p := lanes[0].Now; len(lanes) != 1 || p == nil || p.Act != line.ActAdvance || lanes[0].Busy {
		t.Fatalf("alone: %+v", lanes)
	}
	if !slices.ContainsFunc(lanes[0].Next, func(p line.Prompt) bool { return p.Act == line.ActFinish && p.Batch == 2 }) {
		t.Errorf("alone: the cut in hand does not follow: %+v", lanes[0].Next)
	}
}

// A person who is not signed off is not sent to the tub while somebody is who is; where
// nobody else is here, the caution goes with it.
func TestLanesKeepToSignOffs(t *testing.T) {
	s := washing(t, "Ash", "Rowan")
	for _, k := range []line.Kind{line.Wash, line.Spin} {
		s = asked(t, s, minutes(2), "Ash", line.SignOff{Person: "Rowan", Station: k, SignedBy: "Hazel"})
	}
	lanes := line.Advice{}.Lanes(s, minutes(5))
	if p := lanes[1].Now; p == nil || p.Act != line.ActAdvance || lanes[1].Caution {
		t.Errorf("Rowan is signed off for tub and spinner, and is told %+v", p)
	}
	if p := lanes[0].Now; p != nil && p.Batch == 1 {
		t.Errorf("Ash is not signed off, and is told %+v", p)
	}
	for _, lane := range lanes {
		for _, p := range lane.Next {
			if lane.Person == "Ash" && p.From.Station >= 0 && s.Site.Stations[p.From.Station].Kind.Dangerous() {
				t.Errorf("Ash is not signed off, and %+v follows", p)
			}
		}
	}
	s = asked(t, s, minutes(5), "Ash", line.SetCrew{Names: []string{"Ash"}})
	lanes = line.Advice{}.Lanes(s, minutes(5))
	if p := lanes[0].Now; p == nil || p.Batch != 1 || !lanes[0].Caution {
		t.Errorf("alone and not signed off: %+v, caution %v", p, lanes[0].Caution)
	}
}

// A plan says who does what, where that person has no work in hand.
func TestLanesFollowThePlan(t *testing.T) {
	s := crewed(t, "Ash", "Rowan")
	v := line.Advice{People: func(batch int, k line.Kind) string {
		if k == line.Cut && batch == 1 {
			return "Rowan"
		}
		return ""
	}}
	lanes := v.Lanes(s, linetest.Morning)
	if a, r := lanes[0].Now, lanes[1].Now; a == nil || r == nil || r.Batch != 1 || a.Batch == 1 {
		t.Errorf("Ash %+v, Rowan %+v", a, r)
	}
	v.People = func(int, line.Kind) string { return "somebody who is not here" }
	if lanes := v.Lanes(s, linetest.Morning); lanes[0].Now == nil || lanes[1].Now == nil {
		t.Errorf("nobody does what somebody has who is not here: %+v", lanes)
	}
}

// At any moment of random days: one thing for one person, all of it possible one after
// the other, nothing of a batch told to two, nobody free while work is ready that the
// first person gets when alone.
func TestLanesAtRandomMoments(t *testing.T) {
	told := 0
	for seed := range uint64(12) {
		s := crewed(t, "Ash", "Rowan", "Hazel")
		for _, m := range linetest.Moments(s, 25, seed) {
			lanes := line.Advice{}.Lanes(m.State, m.Now)
			if len(lanes) != max(1, len(m.State.Crew)) {
				t.Fatalf("%d lanes for %d people", len(lanes), len(m.State.Crew))
			}
			after, seen := m.State, map[int]bool{}
			for i, l := range lanes {
				if l.Person != m.State.Crew[i] {
					t.Errorf("lane %d is %s's, in the crew is %s", i, l.Person, m.State.Crew[i])
				}
				if l.Now == nil {
					continue
				}
				if l.Now.Batch != 0 && seen[l.Now.Batch] {
					t.Errorf("batch %d is in two lanes", l.Now.Batch)
				}
				seen[l.Now.Batch] = true
				if l.Busy {
					continue
				}
				told++
				if !l.Now.Ready(m.Now) {
					t.Errorf("%s is told what is not ready: %+v", l.Person, l.Now)
				}
				if _, _, no := line.Do(m.State, l.Now.Command, m.Now, l.Person); no != nil {
					t.Errorf("%s is told what is refused: %s", l.Person, no.Error())
				}
				next, _, no := line.Do(after, l.Now.Command, m.Now, l.Person)
				if no != nil {
					t.Errorf("%s is told what is refused after the others: %s", l.Person, no.Error())
					continue
				}
				after = next
			}
			if prompts := line.Prompts(m.State, m.Now, nil); len(prompts) > 0 && prompts[0].Ready(m.Now) && prompts[0].Act != line.ActClose {
				if u := line.UrgentLane(lanes, m.Now); u < 0 || lanes[u].Now.Batch != prompts[0].Batch && lanes[u].Now.MorePressing(&prompts[0]) {
					t.Errorf("the most urgent lane is %d, the first prompt %+v", u, prompts[0])
				}
			}
		}
	}
	if told < 100 {
		t.Errorf("%d things were told, too few to mean something", told)
	}
}

func BenchmarkLanes(b *testing.B) {
	s, now := busyShed(b)
	next, _, no := line.Do(s, line.SetCrew{Names: []string{"Ash", "Rowan", "Hazel"}}, now, "")
	if no != nil {
		b.Fatal(no)
	}
	for b.Loop() {
		line.Advice{}.Lanes(next, now)
	}
}

// What is done in a lane is recorded for its person; what stands in nobody's, for who
// has it next, else for who is free; what is about no place, for nobody in particular.
func TestActsFor(t *testing.T) {
	s := washing(t, "Ash", "Rowan")
	now := minutes(5)
	lanes := line.Advice{}.Lanes(s, now)
	tub, table := s.Batch(1).Step.Place, s.Batch(2).Step.Place
	for _, c := range []struct {
		what string
		c    line.Command
		want string
	}{
		{"in a lane", line.Advance{Batch: 1, To: line.Anywhere}, "Ash"},
		{"in a lane, by its place", line.Adjust{At: tub, By: time.Minute}, "Ash"},
		{"work in hand", line.Finish{At: table}, "Rowan"},
		{"about no place", line.AddNote{Text: "the hose drips"}, ""},
		{"no such batch", line.Start{Batch: 99}, ""},
	} {
		if got := line.ActsFor(lanes, s, c.c); got != c.want {
			t.Errorf("%s: recorded for %q, want %q", c.what, got, c.want)
		}
	}
	// Both cut: the tub is nobody's now. Rowan put the batch into it, so it is Rowan's next.
	s = crewed(t, "Ash", "Rowan")
	s = asked(t, s, linetest.Morning, "Rowan", line.Start{Batch: 1, To: line.Anywhere})
	s = asked(t, s, minutes(1), "Rowan", line.Advance{Batch: 1, To: line.Anywhere}, line.Start{Batch: 2, To: line.Anywhere})
	s = asked(t, s, minutes(1), "Ash", line.Start{Batch: 3, To: line.Anywhere})
	lanes = line.Advice{}.Lanes(s, minutes(2))
	if got := line.ActsFor(lanes, s, line.Hold{At: tub}); got != "Rowan" {
		t.Errorf("in nobody's lane: recorded for %q, want who has it next", got)
	}
}

// Whom something was told keeps it when what is more urgent comes up for somebody.
func TestLanesKeepWhatTheyTold(t *testing.T) {
	s := crewed(t, "Ash", "Rowan")
	told := line.Advice{}.Lanes(s, linetest.Morning)
	told[0].Now, told[1].Now = told[1].Now, told[0].Now
	kept := line.Advice{}.Keeping(told, s).Lanes(s, minutes(0.1))
	for i := range kept {
		if kept[i].Now == nil || kept[i].Now.Batch != told[i].Now.Batch {
			t.Errorf("%s was told %+v, and now %+v", told[i].Person, told[i].Now, kept[i].Now)
		}
	}
}
