package app

import (
	"context"
	"errors"
	"slices"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"shedbell/line"
	"shedbell/line/rehearse"
	"shedbell/ui/screen"
)

// reckoner works out in the background when the day ends, by rehearsing it from
// where it stands. One reckoning runs at a time; a newer state starts the next.
type reckoner struct {
	busy  bool
	again bool
	last  time.Time
}

// reckonEvery is how old a forecast may get while nothing happens.
const reckonEvery = time.Minute

// rehearsals is how many days with human delays a forecast looks at.
const rehearsals = 24

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
}

// Reckon rehearses the rest of the day many times.
func Reckon(s *line.State, now time.Time) screen.Forecast {
	ctx := context.Background()
	calm, err := rehearse.Run(ctx, s, now, rehearse.Options{})
	if errors.Is(err, rehearse.ErrStuck) {
		return screen.Forecast{Stuck: err.Error()}
	} else if err != nil {
		return screen.Forecast{}
	}
	ends := make([]time.Time, 0, rehearsals)
	for seed := range uint64(rehearsals) {
		res, err := rehearse.Run(ctx, s, now, rehearse.Options{Seed: seed, Delays: rehearse.Typical})
		if err == nil {
			ends = append(ends, res.Finish)
		}
	}
	out := screen.Forecast{Known: true, Done: calm.Finish, Steps: calm.Steps}
	if len(ends) > 0 {
		slices.SortFunc(ends, time.Time.Compare)
		out.Done = ends[len(ends)/2]
		out.Sure = ends[min(len(ends)*9/10, len(ends)-1)]
	}
	return out
}
