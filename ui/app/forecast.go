package app

import (
	"context"
	"errors"
	"runtime"
	"sync"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"shedbell/line"
	"shedbell/line/pace"
	"shedbell/line/plan"
	"shedbell/line/rehearse"
	"shedbell/ui/screen"
)

// forecaster works out in the background how the day goes on best and when it ends,
// from where it stands. One forecast is made at a time; a newer state starts the next.
type forecaster struct {
	busy  bool
	again bool
	last  time.Time
}

// forecastEvery is how old a forecast may get while nothing happens.
const forecastEvery = 3 * time.Minute

type forecastMsg struct {
	forecast screen.Forecast
	at       time.Time
}

// reforecast starts a forecast; fresh says that the state has changed.
func (m *Model) reforecast(fresh bool) tea.Cmd {
	r := &m.forecaster
	if !fresh && m.now.Sub(r.last) < forecastEvery {
		return nil
	}
	if r.busy {
		r.again = r.again || fresh
		return nil
	}
	if m.shown.Sheet == nil {
		if m.forecast = m.forecast.NoDay(); !fresh {
			return nil
		}
	}
	r.busy, r.last = true, m.now
	state, now, work := m.shown, m.now, m.opt.Forecast
	return func() tea.Msg { return forecastMsg{forecast: work(state, now), at: now} }
}

func (r *forecaster) done(msg forecastMsg, m *Model) {
	r.busy = false
	m.forecast = msg.forecast
	if m.shown.Sheet == nil {
		m.forecast = m.forecast.NoDay()
	}
	m.keepPromise(msg.at)
	m.noteRisks()
	if r.again {
		r.again, r.last = false, time.Time{} // the next tick starts again
	}
	m.refresh()
}

// keepPromise has the line keep the forecast of an instant, the first of a day and one an
// hour, to be compared with what comes.
func (m *Model) keepPromise(at time.Time) {
	f, s := &m.forecast, m.line.State()
	watches := m.watching()
	if len(f.Ends) == 0 || m.waiting != 0 || s.Sheet == nil || s.Opened.After(at) || watches.On() ||
		!s.LastPromise.IsZero() && m.now.Sub(s.LastPromise) < line.PromiseEvery {
		return
	}
	c := line.KeepPromise{P50: f.Done, P90: f.Sure}
	for i := range line.PromiseParts {
		c.Ends = append(c.Ends, plan.Quantile(f.Ends, 100*(i+1)/(line.PromiseParts+1)))
	}
	m.line.DoFor("", c) // best effort: the next forecast is kept in its place
}

// Budgets of one forecast. The search takes what a person needs to read the next
// sentence; the days are as many as fit beside it.
const (
	searchFor    = 1500 * time.Millisecond
	rehearseFor  = 6 * time.Second
	rehearseDays = plan.OddsDays
	quickDays    = 60
	idleDays     = 100
)

// NewForecast makes a forecast that plans the rest of the day, each time from the
// plan before, and rehearses it with people who follow the plan and are as late as
// the records show.
func NewForecast(l Line, recent Past) Forecast {
	learns := &learning{line: l, recent: recent}
	var mu sync.Mutex
	var before *plan.Plan
	var seq int64
	return func(s *line.State, now time.Time) screen.Forecast {
		mu.Lock()
		defer mu.Unlock()
		days := rehearseDays
		if before != nil && s.Seq == seq {
			days = idleDays // only time has passed, so the plan is not searched again
		}
		out := makeForecast(s, now, before, days, learns.learned(s))
		before, seq = out.Plan, s.Seq
		return out
	}
}

// searchers is how many goroutines may search at once: one processor is left to keys
// and frames, which would wait for their turn otherwise.
func searchers() int { return min(max(runtime.GOMAXPROCS(0)-1, 1), 2) }

// makeForecast plans the rest of the day and rehearses it many times.
func makeForecast(s *line.State, now time.Time, before *plan.Plan, days int, learned *pace.Learned) screen.Forecast {
	ctx, cancel := context.WithTimeout(context.Background(), searchFor+rehearseFor)
	defer cancel()
	out := screen.Forecast{Learned: learned, Advice: line.Advice{Paces: learned.Paces()}}
	if s.Sheet == nil {
		return out
	}
	opt := plan.Options{Paces: out.Advice.Paces, Budget: searchFor, Seed: 1, Previous: before, Workers: searchers()}
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
	if dues, err := plan.Dues(ctx, s, now, out.Advice, quickDays, learned.Delays(), 1); err == nil {
		out.Dues = dues
	}
	for _, n := range []int{quickDays, days} { // a slow machine makes do with the first
		if ends, err := plan.Ends(ctx, s, now, out.Advice, n, learned.Delays(), 1); err == nil {
			out.Ends = ends
			out.Done, out.Sure = learned.Width().Apply(now, plan.Quantile(ends, 50), plan.Quantile(ends, 90))
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
// it at once; the next forecast goes on from there.
func (m *Model) repair() tea.Cmd {
	s, now, before, paces := m.shown, m.now, m.forecast.Plan, m.forecast.Advice.Paces
	if before == nil || s.Sheet == nil {
		return nil
	}
	return func() tea.Msg {
		mended, err := plan.Repair(s, now, before, plan.Options{Seed: 1, Paces: paces})
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
