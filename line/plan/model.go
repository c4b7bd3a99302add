package plan

import (
	"fmt"
	"time"

	"shedbell/line"
)

// Model is what is left of a day, ready to be scheduled: every batch and chore as
// a chain of stages, with the hands that each takes. Build makes one.
//
// Inside, time counts in units of Unit from Now on.
type Model struct {
	Now  time.Time
	Unit time.Duration

	site   *line.Site
	state  *line.State
	crew   int
	away   []block // when some of the crew are not here
	jobs   []job
	ops    []op
	links  []link
	starts []link        // like links, but from start to start
	fans   map[int][]int // settings that a bank may start at, by load
	slots  [][]int       // usable slots of each station
	mains  []mains
	pools  []pool
	tubs   []tub // per station; only wash stations are used
	paces  line.Paces
	lax    bool // takes the shortest time where stations differ
}

// job is a batch or a chore on its way.
type job struct {
	name   string
	batch  int // 0 for chores
	chore  line.ChoreKind
	crop   string
	trays  int
	due    int // in units; none where nobody waits
	stages []stage
}

// none stands for "no op", "no due time" and "no limit".
const none = -1

// stage is a job's stay at one station: carried in, worked on by hand or left to a
// countdown, taken out.
type stage struct {
	kind     line.Kind
	stations []int         // where it can be done
	at       line.Place    // where it stands already; Nowhere if it does not yet
	in       int           // op that carries it in; none if it is there
	on       int           // optional op that starts it later; none: it starts when it is carried in
	work     []int         // ops of work by hand, which may be interrupted between
	run      int           // countdown, or what is left of it; the shortest that can be
	runAt    map[fanAt]int // countdown by setting, on a rack where it has not begun
	fan      int           // setting that its load runs at already, or none
	out      int           // op that ends it; none if the next stage's in does
	wet      int           // how long the greens may wait wet afterwards, or none
	soft     bool          // the wait has begun already, so its limit may be past
	hurry    int           // by when a held step should go on, because its greens are wet, or none
	power    bool          // a machine runs from the beginning of the stage to its end
	again    bool          // it has begun before and is resumed
	idle     bool          // it stands in its slot, but its machine does not run yet
}

// op is one piece of work by hand, without a break.
type op struct {
	job, stage int
	role       role
	left       int // pieces of the same work after this one
	dur        int
	release    int
	optional   bool  // may be left out; then it takes no time
	sizes      []int // trays that it may take on; nil where that is no choice
	with       int   // an optional op without which this one is left out, plus one; 0: none
}

// block is a stretch of time with so many people fewer.
type block struct{ from, to, people int }

// newStage is a stage that has not begun and in which nothing is done yet.
func newStage(k line.Kind, stations []int) stage {
	return stage{kind: k, stations: stations, at: line.Nowhere, in: none, on: none, out: none, wet: none, hurry: none, fan: none}
}

// least is how long an op takes at least.
func (m *Model) least(o int) int {
	if m.ops[o].optional || m.ops[o].with > 0 {
		return 0
	}
	return m.ops[o].dur
}

// pool is trays that some ops make ready when they end and others take when they
// begin: dirty ones, washed ones, sanitized ones.
type pool struct {
	have        int
	adds, takes []amount
}

// amount is how many trays; by is the op whose size says so, or none.
type amount struct{ op, n, by int }

type role uint8

const (
	carry role = iota // to the next station, and start it there
	work
	take // end a step and leave it standing
	drain
	refill
	switchOn // start what stands at its station
)

// link says that an op starts after another has finished.
type link struct{ from, to int }

// tub is what a wash station's water has seen and may see.
type tub struct {
	batches int
	limit   int // 0: none
	crops   []string
	drain   int // hands
	run     int // countdown of a change
	refill  int // hands
}

// mains is a limit on what runs at the same time: a circuit, a leg of a feeder, or
// the rule that a machine runs alone.
type mains struct {
	name  string
	limit int
	need  func(load, setting int) int
}

// units rounds a duration up to the grid.
func (m *Model) units(d time.Duration) int {
	if d <= 0 {
		return 0
	}
	return int((d + m.Unit - 1) / m.Unit)
}

// hand is how long work by hand takes at a station.
func (m *Model) hand(station int, crop string, trays int) time.Duration {
	return line.Advice{Paces: m.paces}.HandTime(m.state, line.Place{Station: station, Slot: line.WholeStation}, crop, trays, "")
}

// floor rounds a duration down to the grid, for limits.
func (m *Model) floor(d time.Duration) int {
	n := int(d / m.Unit)
	if d < 0 && d%m.Unit != 0 {
		n--
	}
	return n
}

func (m *Model) instant(t int) time.Time { return m.Now.Add(time.Duration(t) * m.Unit) }

// first is the op with which a stage begins, and last the one that leaves it; none
// where it has no such op of its own.
func (st *stage) first() int {
	if st.in != none {
		return st.in
	}
	if len(st.work) > 0 {
		return st.work[0]
	}
	return none
}

// starter is the op with whose end the machine starts; none where it runs already.
func (st *stage) starter() int {
	if st.on != none {
		return st.on
	}
	return st.in
}

// leaves is the op at whose finish the stage's machine is off and confirmed, and
// slotFree the op, with its end or its start, at which its slot is free.
func (j *job) leaves(k int) int {
	st := &j.stages[k]
	switch {
	case st.out != none:
		return st.out
	case k+1 < len(j.stages) && j.stages[k+1].in != none:
		return j.stages[k+1].in
	case len(st.work) > 0:
		return st.work[len(st.work)-1]
	}
	return st.in
}

func (j *job) slotFree(k int) (op int, atFinish bool) {
	if k+1 < len(j.stages) {
		next := &j.stages[k+1]
		if next.in != none {
			return next.in, true
		}
		return next.work[0], false
	}
	return j.leaves(k), true
}

// after is the op that follows the stage's countdown.
func (j *job) after(k int) int {
	st := &j.stages[k]
	if st.out != none {
		return st.out
	}
	if k+1 < len(j.stages) {
		return j.stages[k+1].first()
	}
	return none
}

// ends lists the ops after which a job is over.
func (j *job) end() int {
	k := len(j.stages) - 1
	return j.leaves(k)
}

func (m *Model) add(o op) int {
	m.ops = append(m.ops, o)
	return len(m.ops) - 1
}

var roleNames = [...]string{"carry", "work", "take", "drain", "refill", "start"}

// opName is the name of a piece of work by hand for messages about a model.
func (m *Model) opName(o int) string {
	op := &m.ops[o]
	st := &m.jobs[op.job].stages[op.stage]
	return fmt.Sprintf("%s %s %s", m.jobs[op.job].name, st.kind, roleNames[op.role])
}
