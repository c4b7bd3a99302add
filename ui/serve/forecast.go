package serve

import (
	"context"
	"sync"
	"time"

	"shedbell/line"
	"shedbell/ui/app"
	"shedbell/ui/screen"
)

// sharedForecast works the day's end out once for all screens: it is the same for each,
// and twenty viewers would take the machine's time from the board.
type sharedForecast struct {
	work app.Forecast

	mu  sync.Mutex
	of  *line.State
	at  time.Time
	out screen.Forecast
}

// fresh is how old an answer for the same state may be.
const fresh = 20 * time.Second

func (r *sharedForecast) get(s *line.State, now time.Time) screen.Forecast {
	r.mu.Lock()
	defer r.mu.Unlock()
	if r.of != nil && r.of.Seq >= s.Seq && now.Sub(r.at) < fresh {
		return r.out
	}
	r.out = r.work(s, now)
	r.of, r.at = s, now
	return r.out
}

// inTurn lets one screen at a time read the whole journal.
func inTurn(past app.Past) app.Past {
	turn := make(chan struct{}, 1)
	return func(ctx context.Context, fn func(line.Record) error) error {
		select {
		case turn <- struct{}{}:
		case <-ctx.Done():
			return ctx.Err()
		}
		defer func() { <-turn }()
		return past(ctx, fn)
	}
}
