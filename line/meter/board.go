package meter

import (
	"fmt"
	"slices"
	"time"

	"shedbell/line"
	"shedbell/power"
)

// Board is every meter of the line with what it has said. It is not safe for use from
// several goroutines.
type Board struct {
	meters []Meter
	marks  []mark           // aligned with meters
	topics map[string][]int // meters of a topic: one message may hold several values
	told   map[string]time.Time
}

type mark struct {
	Row
	watch   Watch
	drift   drift     // of a bank of fans
	weights []weight  // the newest of a balance
	told    bool      // people, or a meter, had its load on
	entered time.Time // when a reading of it was last entered in the records
}

// Row is one meter with its last reading, for whoever lists them.
type Row struct {
	Meter   *Meter
	Value   float64
	At      time.Time     // when it came; zero: never
	Kept    bool          // it had the mark of a kept or repeated message, which counts for nothing
	Gap     time.Duration // between the last two
	Problem error         // why the last message was no reading
}

// Fresh says whether the value holds at an instant.
func (r *Row) Fresh(now time.Time) bool {
	return !r.At.IsZero() && !r.Kept && r.Problem == nil && now.Sub(r.At) <= r.Meter.Fresh
}

// NewBoard makes a board on which nothing has been said.
func NewBoard(meters []Meter) *Board {
	b := &Board{meters: meters, marks: make([]mark, len(meters)), topics: map[string][]int{}, told: map[string]time.Time{}}
	for i := range meters {
		b.marks[i].Meter = &meters[i]
		b.topics[meters[i].Topic] = append(b.topics[meters[i].Topic], i)
	}
	return b
}

// Known says whether a meter has a topic.
func (b *Board) Known(topic string) bool { return len(b.topics[topic]) > 0 }

// Rows lists the meters in the order of the line file.
func (b *Board) Rows() []Row {
	out := make([]Row, len(b.marks))
	for i := range b.marks {
		out[i] = b.marks[i].Row
	}
	return out
}

// Message is one that came to the broker.
type Message struct {
	Topic   string
	Payload []byte
	Live    bool // neither kept by a broker from before, nor sent a second time
}

// Take takes in a message and gives the facts that follow from it, for a line as it is
// at that instant.
func (b *Board) Take(m Message, s *line.State, now time.Time) []line.Command {
	var out []line.Command
	for _, i := range b.topics[m.Topic] {
		k := &b.marks[i]
		v, err := k.Meter.Read(m.Payload)
		if k.Problem = err; err != nil {
			continue
		}
		if !k.At.IsZero() {
			k.Gap = now.Sub(k.At)
		}
		k.Value, k.At, k.Kept = v, now, !m.Live
		if !m.Live {
			continue
		}
		var c line.Command
		switch k.Meter.Kind {
		case Load:
			c = b.load(k, s, now)
		case Balance:
			k.weigh(now)
		case Fridge:
			c = k.fridge(now)
		case Room:
			c = b.room(k, now)
		}
		if c != nil {
			out = append(out, c)
		}
	}
	return out
}

// Reading is what the meters of a load say.
type Reading struct {
	Verdict Verdict
	AmpsA   float64
	Least   bool // worked out of watts: it may draw more
	Speaks  bool // a reading is fresh
	At      time.Time
}

// Load is what the meters of a load say at an instant; false: it has none.
func (b *Board) Load(name string, now time.Time) (Reading, bool) {
	r, ok, off := Reading{}, false, true
	for i := range b.marks {
		k := &b.marks[i]
		if k.Meter.Kind != Load || k.Meter.Of != name {
			continue
		}
		says := k.watch.Says(now, k.Meter.Fresh)
		ok, off = true, off && says == Off
		if says == On {
			r.Verdict = On
		}
		if k.Fresh(now) {
			r.Speaks = true
			r.AmpsA = max(r.AmpsA, k.watch.A)
			r.Least = r.Least || units[k.Meter.Unit].watts
		}
		if k.At.After(r.At) {
			r.At = k.At
		}
	}
	if ok && off {
		r.Verdict = Off // every one of them says so
	}
	return r, ok
}

// onceIn is how soon the same load's meter may be the ground for another fact.
const onceIn = 5 * time.Second

// load takes in a live reading of a load.
func (b *Board) load(k *mark, s *line.State, now time.Time) line.Command {
	p := &s.Site.Panel
	i := slices.IndexFunc(p.Loads, func(l power.Load) bool { return l.Name == k.Meter.Of })
	if i < 0 {
		return nil // the line is another one
	}
	l, st := &p.Loads[i], &s.Power.Loads[i]
	told := st.On && !st.InDoubt && !st.Metered
	if k.told && !st.On {
		k.watch.ons = 0 // told off: the hand may still be on the way to the switch
	}
	k.told = st.On
	k.watch = k.watch.Take(k.Meter.amps(k.Value, p.CircuitV(l.Circuit)), now, k.Meter.Fresh, leastA(l), told)
	if c := k.fans(i, s, told, now); c != nil {
		return c
	}
	if l.Cycles { // it starts and stops by itself, and is reserved for
		return nil
	}
	if at, is := b.told[l.Name]; is && now.Sub(at) < onceIn && !now.Before(at) {
		return nil
	}
	var c line.Command
	switch r, _ := b.Load(l.Name, now); r.Verdict {
	case On:
		c = b.foundOn(i, s, now)
	case Off:
		c = b.foundOff(i, s)
	}
	if c != nil {
		b.told[l.Name] = now
	}
	return c
}

// fans watches a bank of fans at a rack that people have on. One that draws less than
// usual has a fan that stands: that is on the backlog, and drying takes as much longer as
// there is less air (common practice, no source).
func (k *mark) fans(i int, s *line.State, told bool, now time.Time) line.Command {
	at := slices.IndexFunc(s.Site.Stations, func(x line.Station) bool { return x.Kind == line.Dry && x.Load == i })
	if at < 0 {
		return nil
	}
	if !told || k.watch.Says(now, k.Meter.Fresh) != On {
		k.drift.stop()
		return nil
	}
	drop := k.drift.take(k.watch.A, s.Power.Loads[i].Setting, now)
	if drop == 0 {
		return nil
	}
	percent := min(max(int(100*drop/(1-drop)+0.5), 1), 900)
	what := fmt.Sprintf("%s draws %.0f %% less than usual by its meter: look whether a fan stands", k.Meter.Of, 100*drop)
	return line.ReportTrouble{At: line.Place{Station: at, Slot: line.WholeStation}, What: what, Effect: line.EffectSlow, SlowPercent: percent}
}

func leastA(l *power.Load) float64 {
	least := 0.0
	for _, s := range l.Settings {
		if s.AmpsA > 0 && (least == 0 || s.AmpsA < least) {
			least = s.AmpsA
		}
	}
	return least
}

// over is by how much a current may be above a setting's nameplate and still be of that
// setting: what plug meters are off by, and mains that are high (common practice, no
// source).
const over = 1.1

// foundOn is the fact that a load is on, or at a higher setting than is known. It never
// lowers one: a machine at half its load is not at another setting.
func (b *Board) foundOn(i int, s *line.State, now time.Time) line.Command {
	l, st := &s.Site.Panel.Loads[i], &s.Power.Loads[i]
	runs := 0.0
	for k := range b.marks {
		if m := &b.marks[k]; m.Meter.Kind == Load && m.Meter.Of == l.Name && m.watch.Says(now, m.Meter.Fresh) == On {
			runs = max(runs, m.watch.RunsA())
		}
	}
	setting, most := -1, 0
	for j, x := range l.Settings {
		if x.AmpsA*over >= runs && (setting < 0 || x.AmpsA < l.Settings[setting].AmpsA) {
			setting = j
		}
		if x.AmpsA > l.Settings[most].AmpsA {
			most = j
		}
	}
	if setting < 0 {
		setting = most
	}
	on := s.Power.Drawing(&s.Site.Panel, i, now)
	is := min(max(st.Setting, 0), len(l.Settings)-1)
	if on && l.Settings[setting].AmpsA <= l.Settings[is].AmpsA {
		if !st.InDoubt {
			return nil
		}
		setting = is
	}
	return line.MarkOn{Load: i, Setting: setting, Meter: true}
}

// foundOff is the fact that a load is off. What was told on and has not been read on
// since counts on: somebody is on the way to its switch. Where a step needs hands in the
// machine, or is over, its Enter stays with the person there.
func (b *Board) foundOff(i int, s *line.State) line.Command {
	l, st := &s.Site.Panel.Loads[i], &s.Power.Loads[i]
	if !st.On || s.Power.Open(l.Circuit) || reachesIn(s, i) {
		return nil
	}
	for k := range b.marks {
		if m := &b.marks[k]; m.Meter.Kind == Load && m.Meter.Of == l.Name && m.watch.lastOn.After(st.Since) {
			return line.MarkOff{Load: i}
		}
	}
	if st.InDoubt || st.Metered {
		return line.MarkOff{Load: i}
	}
	return nil
}

// reachesIn says whether a step keeps a load on whose end is a person's word: hands reach
// into tub, drum or jet, or the greens are to be taken out now.
func reachesIn(s *line.State, load int) bool {
	needs := func(step *line.Step) bool {
		if step.Load != load || !step.Active() {
			return false
		}
		switch s.Site.Stations[step.Place.Station].Kind {
		case line.Wash, line.Spin, line.TrayWash:
			return true
		}
		return step.Progress == line.Interrupted || step.Due(s.At)
	}
	for i := range s.Batches {
		if b := &s.Batches[i]; b.Fate == line.OnLine && needs(&b.Step) {
			return true
		}
	}
	return slices.ContainsFunc(s.Chores, func(c line.Chore) bool { return needs(&c.Step) })
}

type weight struct {
	g  float64
	at time.Time
}

// A weight is stable once three readings, over a second or more, differ by no more than
// this (common practice, no source).
const (
	stableReadings = 3
	stableG        = 2
	stableShare    = 0.002
)

// weigh takes in a reading of a balance.
func (k *mark) weigh(now time.Time) {
	g := k.Value
	if k.Meter.Unit == "kg" {
		g *= 1000
	}
	k.weights = append(k.weights, weight{g, now})
	k.weights = k.weights[max(0, len(k.weights)-stableReadings):]
}

// Weighs is what stands still on the balance of a station, in grams.
func (b *Board) Weighs(station string, now time.Time) (grams float64, ok bool) {
	for i := range b.marks {
		k := &b.marks[i]
		if k.Meter.Kind != Balance || k.Meter.Of != station || !k.Fresh(now) || len(k.weights) < stableReadings {
			continue
		}
		last := k.weights[len(k.weights)-1]
		off := max(stableG, stableShare*last.g)
		steady := !slices.ContainsFunc(k.weights, func(w weight) bool { return w.g < last.g-off || w.g > last.g+off })
		if span := last.at.Sub(k.weights[0].at); steady && last.g > stableG && span >= apart && span <= k.Meter.Fresh {
			return last.g, true
		}
	}
	return 0, false
}

// By is whom the records name for what a meter says.
const By = "meter"

// due says whether a reading is to be entered in the records, and notes that it is.
func (k *mark) due(now time.Time) bool {
	if since := now.Sub(k.entered); !k.entered.IsZero() && since >= 0 && since < k.Meter.Every {
		return false
	}
	k.entered = now
	return true
}

// fridge is a reading for the safety records.
func (k *mark) fridge(now time.Time) line.Command {
	if !k.due(now) {
		return nil
	}
	return line.MakeEntry{Entry: line.Entry{Kind: line.EntryFridge, By: By, Initials: "auto", Where: k.Meter.Of,
		Value: k.Value, Unit: line.Unit(k.Meter.Unit)}}
}

// room is a reading of the air, once its temperature and its humidity are fresh.
func (b *Board) room(k *mark, now time.Time) line.Command {
	air, warm, damp := line.ReadAir{}, false, false
	for i := range b.marks {
		m := &b.marks[i]
		switch {
		case m.Meter.Kind != Room || m.Meter.Of != k.Meter.Of || !m.Fresh(now):
		case m.Meter.Unit == string(line.UnitPercent):
			air.RHPercent, damp = m.Value, true
		default:
			air.TempC, _ = line.Convert(m.Value, line.Unit(m.Meter.Unit), line.UnitC)
			warm = true
		}
	}
	if !warm || !damp || !k.due(now) {
		return nil
	}
	for i := range b.marks {
		if m := &b.marks[i]; m.Meter.Kind == Room && m.Meter.Of == k.Meter.Of {
			m.entered = now
		}
	}
	return air
}
