package app

import (
	"context"
	"errors"
	"runtime"
	"sync"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"shedbell/line"
	"shedbell/line/plan"
	"shedbell/line/rehearse"
	"shedbell/ui/screen"
)

// reckoner works out in the background how the day goes on best and when it ends,
// from where it stands. One reckoning runs at a time; a newer state starts the next.
type reckoner struct {
	busy  bool
	again bool
	last  time.Time
}

// reckonEvery is how old a forecast may get while nothing happens.
const reckonEvery = 3 * time.Minute

type reckonedMsg struct {
	forecast screen.Forecast
	at       time.Time
}

// reckon starts a reckoning; fresh says that the state has changed.
func (m *Model) reckon(fresh bool) tea.Cmd {
	r := &m.reckoner
	if !fresh && m.now.Sub(r.last) < reckonEvery {
		return nil
	}
	if r.busy {
		r.again = r.again || fresh
		return nil
	}
	if m.shown.Sheet == nil {
		m.forecast = screen.Forecast{}
		return nil
	}
	r.busy, r.last = true, m.now
	state, now, work := m.shown, m.now, m.opt.Forecast
	return func() tea.Msg { return reckonedMsg{forecast: work(state, now), at: now} }
}

func (r *reckoner) done(msg reckonedMsg, m *Model) {
	r.busy = false
	m.forecast = msg.forecast
	if m.shown.Sheet == nil {
		m.forecast = screen.Forecast{}
	}
	if r.again {
		r.again, r.last = false, time.Time{} // the next tick starts anew
	}
	m.refresh()
}

// Budgets of one reckoning. The search takes what a person needs to read the next
// sentence; the days are as many as fit beside it.
const (
	searchFor    = 1500 * time.Millisecond
	rehearseFor  = 6 * time.Second
	rehearseDays = plan.Days
	quickDays    = 60
	idleDays     = 100
)

// NewReckoner makes a forecast that plans the rest of the day, each time from the
// plan before, and rehearses it with people who follow the plan and are as late as
// the records show.
func NewReckoner(records func() []line.Record) Forecast {
	var mu sync.Mutex
	var before *plan.Plan
	var seq int64
	return func(s *line.State, now time.Time) screen.Forecast {
		mu.Lock()
		defer mu.Unlock()
		days := rehearseDays
		if before != nil && s.Seq == seq {
			days = idleDays // only time has passed, so the plan is not searched anew
		}
		out := reckon(s, now, before, days, plan.LearnDelays(records()))
		before, seq = out.Plan, s.Seq
		return out
	}
}

// searchers is how many goroutines may search at once: one processor is left to keys
// and frames, which would wait for their turn otherwise.
func searchers() int { return min(max(runtime.GOMAXPROCS(0)-1, 1), 2) }

// reckon plans the rest of the day and rehearses it many times.
func reckon(s *line.State, now time.Time, before *plan.Plan, days int, delays rehearse.Delays) screen.Forecast {
	ctx, cancel := context.WithTimeout(context.Background(), searchFor+rehearseFor)
	defer cancel()
	out := screen.Forecast{}
	opt := plan.Options{Budget: searchFor, Seed: 1, Previous: before, Workers: searchers()}
	solve := func() (*plan.Plan, error) { return plan.Solve(ctx, s, now, opt) }
	if days == idleDays {
		solve = func() (*plan.Plan, error) { return plan.Repair(s, now, before, opt) }
	}
	made, err := solve()
	if err != nil && made == nil {
		out.Stuck = err
	}
	if out.Plan = made; made != nil {
		if followed, err := made.Follow(ctx, s, now); err == nil {
			out.Advice = followed.Advice
		}
	}
	calm, err := rehearse.Run(ctx, s, now, rehearse.Options{Advice: out.Advice})
	if errors.Is(err, rehearse.ErrStuck) {
		out.Stuck = err
	}
	if err != nil {
		return out
	}
	out.Known, out.Stuck, out.Done, out.Steps = true, nil, calm.Finish, calm.Steps
	for _, n := range []int{quickDays, days} { // a slow machine makes do with the first
		if p50, p90, err := plan.Sure(ctx, s, now, out.Advice, n, delays, 1); err == nil {
			out.Done, out.Sure = p50, p90
		}
	}
	return out
}

// repairedMsg is the plan as it stands right after an event.
type repairedMsg struct {
	plan *plan.Plan
	seq  int64
}

// repair fits the plan to what has just happened, so that the next sentence follows
// it at once; the reckoning goes on from there.
func (m *Model) repair() tea.Cmd {
	s, now, before := m.shown, m.now, m.forecast.Plan
	if before == nil || s.Sheet == nil {
		return nil
	}
	return func() tea.Msg {
		mended, err := plan.Repair(s, now, before, plan.Options{Seed: 1})
		if err != nil {
			return nil
		}
		return repairedMsg{mended, s.Seq}
	}
}

func (m *Model) repaired(msg repairedMsg) {
	if msg.seq != m.shown.Seq {
		return // something has happened since
	}
	m.forecast.Plan = msg.plan
	if m.forecast.Advice.Order != nil {
		m.forecast.Advice = msg.plan.Advice()
	}
	m.refresh()
}
