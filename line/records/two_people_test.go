package records_test

import (
	"fmt"
	"math"
	"testing"
	"time"

	"shedbell/line"
	"shedbell/line/linetest"
	"shedbell/line/records"
)

// worker is somebody who does what their lane says, and keeps their own account of it.
type worker struct {
	name   string
	free   time.Time     // end of the errand
	errand *line.Prompt  // what they are on their way with
	work   line.Place    // the work in hand
	left   time.Duration // of it
	busy   bool          // there is work in hand
	did    time.Duration // hands on the work, by their own account
}

// shift is a day that two people work.
type shift struct {
	t       *testing.T
	state   *line.State
	now     time.Time
	all     []line.Record
	lanes   []line.Lane
	workers []*worker
}

// Two people work a whole day by their lanes. At no moment has anybody two things to do, or
// both the same; and the minutes that the records have of each are those that each has
// kept account of, within five in a hundred.
func TestTwoPeopleForAWholeDay(t *testing.T) {
	site, sheet := linetest.Site(), linetest.Sheet()
	site.Crew, sheet.Crew = []string{"Ash", "Rowan"}, []string{"Ash", "Rowan"}
	site.Stations[linetest.Cut].Slots = 2
	s := &shift{t: t, state: line.NewState(&line.Site{}, linetest.Book()), now: linetest.Morning, workers: []*worker{{name: "Ash"}, {name: "Rowan"}}}
	first := line.Decision{Events: []line.Event{line.FirstRecord(site, linetest.Book())}}
	for _, r := range first.Records(s.state, s.now, "Ash") {
		s.state, s.all = line.Apply(s.state, r), append(s.all, r)
	}
	s.do(s.workers[0], line.OpenDay{Sheet: sheet})
	for range 6 * 3600 {
		if s.state.DayDone() {
			break
		}
		s.look()
		for _, w := range s.workers {
			s.turn(w)
		}
		s.now = s.now.Add(time.Second)
		for _, w := range s.workers {
			if w.busy && w.errand == nil {
				w.left, w.did = w.left-time.Second, w.did+time.Second
			}
		}
	}
	if !s.state.DayDone() {
		t.Fatalf("the day is not done at %s: %+v", s.now, s.state.Trays)
	}
	s.do(s.workers[0], line.CloseDay{})
	day := linetest.ReadSlice(s.all, records.Filter{}).Days[0]
	for i, w := range s.workers {
		got, want := day.People[i].Shares[records.HandsOn].Minutes(), w.did.Minutes()
		t.Logf("%s worked %.1f min by their own account and %.1f by the records", w.name, want, got)
		if day.People[i].Name != w.name || want < 30 || math.Abs(got-want) > 0.05*want {
			t.Errorf("%s worked %.1f min by their own account and %.1f by the records", w.name, want, got)
		}
	}
}

// look reads the lanes as the board has them, and checks that nobody has two things.
func (s *shift) look() {
	state, now := s.state, s.now
	s.lanes = line.Advice{}.Keeping(s.lanes, state).Lanes(state, now)
	seen := map[string]string{}
	for _, l := range s.lanes {
		if l.Now == nil {
			continue
		}
		what := fmt.Sprint(l.Now.Batch, l.Now.From, l.Now.To)
		if other, both := seen[what]; both {
			s.t.Errorf("%s: %s and %s are both told %+v", now.Format(time.TimeOnly), other, l.Person, l.Now)
		}
		seen[what] = l.Person
	}
	for _, w := range s.workers {
		if lane := s.lane(w); w.busy && w.errand == nil && lane.Busy && lane.Now.From != w.work {
			s.t.Errorf("%s: %s works at %v and is told to be at %v", now.Format(time.TimeOnly), w.name, w.work, lane.Now.From)
		}
	}
}

func (s *shift) lane(w *worker) *line.Lane {
	for i := range s.lanes {
		if s.lanes[i].Person == w.name {
			return &s.lanes[i]
		}
	}
	s.t.Fatalf("%s has no lane", w.name)
	return nil
}

// turn is one person's next second: the end of an errand, the end of the work in hand, or
// what the lane says.
func (s *shift) turn(w *worker) {
	now := s.now
	switch lane := s.lane(w); {
	case w.errand != nil && now.Before(w.free):
	case w.errand != nil:
		p := w.errand
		w.errand = nil
		if now := lane.Now; now != nil && now.Batch == p.Batch && now.From == p.From { // perhaps the next place is free by now
			p = now
		}
		if _, no := line.Decide(s.state, p.Command, now); no == nil {
			s.do(w, p.Command)
		}
	case w.busy && w.left <= 0:
		for _, p := range append(lane.Next, *lane.Now) {
			if p.From == w.work && p.Act == line.ActFinish {
				w.busy = false
				s.do(w, p.Command)
				return
			}
		}
		s.t.Errorf("%s is through with the work at %v, and the lane does not have it: %+v", w.name, w.work, lane)
		w.busy = false
	case lane.Now == nil || lane.Busy || !lane.Now.Ready(now):
	case s.throughout(lane.Now):
		p := *lane.Now
		s.do(w, p.Command)
		if step := s.state.StepAt(p.To); step != nil && step.Progress == line.Running {
			w.busy, w.work = true, p.To
			w.left = line.Advice{}.HandTime(s.state, p.To, p.Crop, p.Trays, "")
		}
	default:
		p := *lane.Now
		hands := s.hands(&p)
		w.errand, w.free, w.did = &p, now.Add(hands+s.walk(&p)), w.did+hands
	}
	s.look()
}

// throughout says whether a prompt starts work that ties its person up.
func (s *shift) throughout(p *line.Prompt) bool {
	starts := p.Act == line.ActStart || p.Act == line.ActChore || p.Act == line.ActResume
	return starts && p.Chore != line.ChangeWater && s.state.Site.Stations[p.To.Station].Hands == line.HandsThroughout
}

// hands is how long an errand takes, by the line file's own words: at the end of a
// machine's time, and at the start of the next.
func (s *shift) hands(p *line.Prompt) (sum time.Duration) {
	at := func(i int, ends bool) time.Duration {
		if i < 0 {
			return 0
		}
		switch st := &s.state.Site.Stations[i]; st.Hands {
		case line.HandsBoth:
			return st.HandsTime
		case line.HandsStart:
			if !ends {
				return st.HandsTime
			}
		}
		return 0
	}
	if p.Act == line.ActAdvance || p.Act == line.ActFinish {
		sum += at(p.From.Station, true)
	}
	if p.Act != line.ActFinish {
		sum += at(p.To.Station, false)
	}
	return sum
}

func (s *shift) walk(p *line.Prompt) time.Duration {
	if p.From.Station < 0 || p.Act == line.ActFinish {
		return 0
	}
	return s.state.Site.Stations[p.From.Station].Walk
}

// do puts what a lane says to the line, for its person.
func (s *shift) do(w *worker, c line.Command) {
	next, recs, no := line.Do(s.state, c, s.now, w.name)
	if no != nil {
		s.t.Errorf("%s: %s does %+v: %s", s.now.Format(time.TimeOnly), w.name, c, no.Error())
		return
	}
	s.state, s.all = next, append(s.all, recs...)
}
