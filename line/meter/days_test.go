package meter_test

import (
	"fmt"
	"math/rand/v2"
	"os"
	"strconv"
	"testing"
	"time"

	"shedbell/line"
	"shedbell/line/linetest"
	"shedbell/line/meter"
)

// A shed as it really is: machines run at 60 to 95 % of their nameplates, start with a
// peak, draw a little on standby, and are switched by people who tell half of it, some of
// it too early. Meters speak every 1 to 30 s with 2 % of noise; one message in 50 is lost,
// one in 50 comes twice and one in 200 is no reading. All of it is made up here and shares
// nothing with the rules under test.
func TestDaysOfAShedWithMeters(t *testing.T) {
	days := 3
	if v, err := strconv.Atoi(os.Getenv("SHEDBELL_METER_DAYS")); err == nil {
		days = v
	}
	starts, unseen, late := 0, 0, 0
	for day := range days {
		s, u, l := meterDay(t, uint64(day))
		starts, unseen, late = starts+s, unseen+u, late+l
	}
	t.Logf("%d days, %d starts that nobody told; %d were over before two readings, %d found later than that", days, starts, unseen, late)
	if starts < 20*days || late > 0 {
		t.Errorf("%d of %d starts were found late", late, starts)
	}
}

type machine struct {
	load, every int
	runs, idle  float64
	on, told    bool
	since       time.Time
	heard       int // good live readings since it was switched
	next        time.Time
}

func meterDay(t *testing.T, seed uint64) (starts, unseen, late int) {
	rnd := rand.New(rand.NewPCG(seed, 17))
	names := map[int]string{linetest.Washer: "pressure-washer", linetest.Spinner: "spinner", linetest.Fans: "rack-fans", linetest.Blower: "tub-blower"}
	var all []machine
	var meters []meter.Meter
	for _, load := range []int{linetest.Washer, linetest.Spinner, linetest.Fans, linetest.Blower} {
		plate := linetest.Panel().Loads[load].Settings[0].AmpsA
		all = append(all, machine{load: load, every: 1 + rnd.IntN(30), runs: plate * (0.6 + 0.35*rnd.Float64()), idle: 0.04 * rnd.Float64(), next: linetest.Morning})
		m := on(names[load])
		m.Fresh = 90 * time.Second
		meters = append(meters, m)
	}
	b := newBench(t, meters...)
	end := b.now.Add(8 * time.Hour)
	for b.now = b.now.Truncate(time.Second); b.now.Before(end); b.now = b.now.Add(time.Second) {
		for i := range all {
			m := &all[i]
			if !b.now.Before(m.next) {
				if m.on && !m.told {
					starts++
					if m.heard < 2 {
						unseen++
					}
				}
				m.on, m.since, m.heard, m.told = !m.on, b.now, 0, false
				m.next = b.now.Add(30*time.Second + time.Duration(rnd.IntN(600))*time.Second)
				if m.on && rnd.IntN(2) == 0 && !b.drawing(m.load) {
					m.told = true
					b.do(line.MarkOn{Load: m.load})
				}
				if !m.on && rnd.IntN(2) == 0 {
					b.do(line.MarkOff{Load: m.load})
				}
			}
			if b.now.Unix()%int64(m.every) != 0 || rnd.IntN(50) == 0 {
				continue
			}
			b.speaks(m, names[m.load], rnd)
			if m.on && m.heard >= 2 && !b.drawing(m.load) {
				late++
				t.Errorf("day %d, %s: the %s has run since %s and counts as off", seed, b.now.Format(time.TimeOnly), names[m.load], m.since.Format(time.TimeOnly))
				m.heard = -1 << 30
			}
		}
	}
	return starts, unseen, late
}

// speaks has a meter send what it reads.
func (b *bench) speaks(m *machine, name string, rnd *rand.Rand) {
	amps := m.idle
	if m.on {
		if amps = m.runs * (0.98 + 0.04*rnd.Float64()); b.now.Equal(m.since) {
			amps *= 4
		}
	}
	msg := meter.Message{Topic: "shed/" + name, Payload: fmt.Appendf(nil, "%.3f", amps), Live: true}
	if rnd.IntN(200) == 0 {
		msg.Payload = []byte("NaN")
	} else {
		m.heard++
	}
	b.hears(0, msg)
	if rnd.IntN(50) == 0 {
		msg.Live = false // sent a second time
		b.hears(0, msg)
	}
}
