package start

import (
	"sync/atomic"
	"time"

	"shedbell/line/live"
	"shedbell/line/live/meters"
	"shedbell/line/meter"
	"shedbell/line/say"
	"shedbell/ui/command"
	"shedbell/ui/screen"
)

// reportEvery is how often what meters say is left in the data folder for other commands.
const reportEvery = 5 * time.Second

// listener is the broker for meters beside a line; the zero value listens to nothing.
type listener struct {
	room atomic.Pointer[meters.Room] // a screen may take the line over, and asks meanwhile
	over chan struct{}
	done chan struct{}
}

// open listens where the line file has meters. Where that does not work, the line goes on
// by what people say, and it is said why.
func (b *listener) open(o command.BoardOptions, l *live.Line) say.Speech {
	if o.Meters == nil {
		return nil
	}
	room, err := meters.Open(*o.Meters, o.Folder, l)
	if err != nil {
		return say.Speech{say.New("meter.no-listen", o.Meters.Address, err)}
	}
	b.over, b.done = make(chan struct{}), make(chan struct{})
	b.room.Store(room)
	keep := func() {
		report := room.Report(l.Now())
		_ = report.Keep(o.Folder) // a full disk is said by the journal
	}
	go func() {
		defer close(b.done)
		defer keep()
		keep()
		every := time.NewTicker(reportEvery)
		defer every.Stop()
		for {
			select {
			case <-b.over:
				return
			case <-every.C:
				keep()
			}
		}
	}()
	return nil
}

// close ends every connection. It comes before the line is closed, so that what was
// acknowledged is in the journal.
func (b *listener) close() error {
	room := b.room.Load()
	if room == nil {
		return nil
	}
	close(b.over)
	<-b.done
	return room.Close()
}

// measured is what screens ask; nil where the line file has no meters.
func (b *listener) measured(o command.BoardOptions) screen.Measured {
	if o.Meters == nil {
		return nil
	}
	return b
}

// Load is what the meters of a load say.
func (b *listener) Load(name string, now time.Time) (meter.Reading, bool) {
	room := b.room.Load()
	if room == nil {
		return meter.Reading{}, false
	}
	return room.Load(name, now)
}

// Weighs is what stands still on a balance.
func (b *listener) Weighs(station string, now time.Time) (float64, bool) {
	room := b.room.Load()
	if room == nil {
		return 0, false
	}
	return room.Weighs(station, now)
}
