package command

import (
	"fmt"
	"io"
	"math/rand/v2"
	"net"
	"os"
	"sync"
	"time"

	"golang.org/x/crypto/bcrypt"

	"shedbell/line"
	"shedbell/line/files"
	"shedbell/line/journal"
	"shedbell/line/live"
	"shedbell/line/live/meters"
	"shedbell/line/meter"
	"shedbell/line/say"
	"shedbell/recipes"
)

type metersSimulateCmd struct {
	Seed uint64 `default:"1" placeholder:"N"`
}

// simulated is how long the shed that is made up is watched.
const simulated = 30 * time.Minute

// shedClock is a clock that the simulation moves.
type shedClock struct {
	mu  sync.Mutex
	now time.Time
}

func (c *shedClock) Now() time.Time {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.now
}

func (c *shedClock) Skip(d time.Duration) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.now = c.now.Add(d)
}

// trueLoad is a machine as it really is: it runs below its nameplate, starts with a peak,
// and is switched by somebody who enters nothing. All of it is made up.
type trueLoad struct {
	name   string
	load   int
	every  int // seconds between two readings
	runsA  float64
	peakA  float64
	on     bool
	since  time.Time // when it was last switched
	next   time.Time // when it is switched next
	known  bool
	cycles bool
}

func (m *trueLoad) switchTo(now time.Time, rnd *rand.Rand) {
	m.on, m.since = !m.on, now
	long := 4 * time.Minute
	if m.on {
		long = 90 * time.Second
	}
	m.next = now.Add(long/2 + time.Duration(rnd.Int64N(int64(long))))
}

// amps is what its meter reads: noise, and a peak in the first second.
func (m *trueLoad) amps(now time.Time, rnd *rand.Rand) float64 {
	switch {
	case !m.on:
		return 0.01 * rnd.Float64()
	case now.Sub(m.since) < time.Second && m.peakA > 0:
		return m.peakA
	}
	return m.runsA * (0.97 + 0.06*rnd.Float64())
}

func (c *metersSimulateCmd) Run(a *app) error {
	dir, err := os.MkdirTemp("", "shedbell-meters-")
	if err != nil {
		return say.Error("cmd.no-throw-away", err)
	}
	defer os.RemoveAll(dir)
	clock, site := &shedClock{now: a.dayStart()}, files.Starter()
	store, err := journal.Open(dir, journal.Options{Now: clock.Now})
	if err != nil {
		return err
	}
	l, _, err := live.Open(store, site, recipes.Starters(), clock, site.Crew[0])
	if err != nil {
		return err
	}
	defer l.Close()
	rnd := rand.New(rand.NewPCG(c.Seed, 0))
	loads, cfg := trueLoads(site, clock.Now(), rnd)
	hash, err := bcrypt.GenerateFromPassword([]byte("made up"), bcrypt.MinCost)
	if err != nil {
		return err
	}
	cfg.Address, cfg.Users = "127.0.0.1:0", map[string]string{"plugs": string(hash)}
	room, err := meters.Open(cfg, dir, l)
	if err != nil {
		return err
	}
	defer room.Close()
	to, err := net.Dial("tcp", room.Address())
	if err != nil {
		return err
	}
	defer to.Close()
	plugs, err := meters.Greet(to, "plugs", "plugs", "made up")
	if err != nil {
		return err
	}
	return a.simulate(l, room, plugs, clock, loads, rnd)
}

// trueLoads are the machines of a line, and a meter for each.
func trueLoads(site *line.Site, now time.Time, rnd *rand.Rand) ([]trueLoad, meter.Config) {
	var out []trueLoad
	var cfg meter.Config
	for i, l := range site.Panel.Loads {
		m := trueLoad{name: l.Name, load: i, every: 1 + i%5, runsA: 0.8 * l.Settings[0].AmpsA, peakA: l.StartingA, cycles: l.Cycles, since: now}
		m.next = now.Add(time.Duration(rnd.Int64N(int64(5 * time.Minute))))
		if l.StaysOn && !l.Cycles {
			m.on, m.next = true, now.Add(2*simulated)
		}
		out = append(out, m)
		cfg.Meters = append(cfg.Meters, meter.Meter{Kind: meter.Load, Of: l.Name, Topic: "shed/" + l.Name, Pointer: meter.Pointer{"current"},
			Unit: "A", Factor: 1, Fresh: 30 * time.Second})
	}
	for _, i := range site.StationsOf(line.Chill) {
		cfg.Meters = append(cfg.Meters, meter.Meter{Kind: meter.Fridge, Of: site.Stations[i].Name, Topic: "shed/cold", Unit: "C", Factor: 1,
			Fresh: time.Minute, Every: 10 * time.Minute})
	}
	return out, cfg
}

// simulate runs the shed, a second at a time, and says what the line finds out.
func (a *app) simulate(l *live.Line, room *meters.Room, plugs *meters.Client, clock *shedClock, loads []trueLoad, rnd *rand.Rand) error {
	found := 0
	for second := range int(simulated / time.Second) {
		clock.Skip(time.Second)
		now := clock.Now()
		if second%30 == 0 {
			if err := plugs.Send("shed/cold", fmt.Sprintf("%.1f", 3+rnd.Float64())); err != nil {
				return err
			}
		}
		for i := range loads {
			m := &loads[i]
			if !now.Before(m.next) {
				m.switchTo(now, rnd)
			}
			if second%m.every != 0 {
				continue
			}
			if err := plugs.Send("shed/"+m.name, fmt.Sprintf(`{"current": %.2f}`, m.amps(now, rnd))); err != nil {
				return err
			}
			s := l.State()
			on := s.Power.Drawing(&s.Site.Panel, m.load, now)
			if m.cycles || on == m.known {
				continue
			}
			m.known = on
			at, after := now.Format(time.TimeOnly), a.words.Say("cmd-meters.seconds", now.Sub(m.since).Seconds())
			text := a.words.Say("cmd-meters.found-off", at, a.words.Load(m.name), after)
			if on {
				found++
				r, _ := room.Load(m.name, now)
				text = a.words.Say("cmd-meters.found-on", at, a.words.Load(m.name), r.AmpsA, after)
			}
			if _, err := io.WriteString(a.env.Stdout, wrap(text, 2)); err != nil {
				return err
			}
		}
	}
	report := room.Report(clock.Now())
	_, err := io.WriteString(a.env.Stdout, "\n"+a.meterTable(&report)+"\n"+wrap(a.words.Say("cmd-meters.found", found), 0))
	return err
}
