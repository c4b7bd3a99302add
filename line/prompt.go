package line

import (
	"cmp"
	"slices"
	"time"
)

// Act is what a prompt asks for, so that screens can word it.
type Act uint8

// What a prompt can ask for.
const (
	ActStart   Act = iota // put a batch into To and start its step
	ActAdvance            // take a batch out of From, confirm its machine off, start it at To
	ActFinish             // end the step at From, confirm its machine off
	ActChill              // put a packed batch into the cold
	ActResume             // go on with a held or interrupted step
	ActChore              // start a chore
	ActClose              // nothing is left: close the day
	ActConfirm            // say that a machine in doubt is off, or at Setting
	ActPut                // take a batch out of From, confirm its machine off, let it stand at To for now
	ActMove               // take a held batch from From to To, another place of its kind
)

// Prompt is one thing that a person could do, now or at a known instant.
type Prompt struct {
	Act     Act
	Batch   int       // 0 for chores
	Chore   ChoreKind // with ActChore, or ActFinish of a chore
	Trays   int
	Crop    string
	From    Place
	To      Place
	At      time.Time // when it is to be done; not after now: at once
	Hands   time.Duration
	Load    int  // with ActConfirm
	Setting int  // with ActConfirm; -1: off
	ByHand  bool // people stand in, as the machine of To, or of From where that is held, is out of use
	Command Command

	rank int
}

// Ready says whether the prompt can be acted on now.
func (p *Prompt) Ready(now time.Time) bool { return !p.At.After(now) }

// Early is how much before its end a countdown counts as cut short.
const Early = time.Second

// CutsShort is how much of a countdown doing it now would cut short; 0: none. People are
// asked first, since a machine that is stopped early cannot be un-stopped. What waits for
// a person and not for a countdown is never too early.
func (p *Prompt) CutsShort(s *State, now time.Time) time.Duration {
	if p.From.Station < 0 {
		return 0
	}
	left := p.At.Sub(now)
	if step := s.StepAt(p.From); left <= Early || step == nil || step.Planned == 0 {
		return 0
	}
	return left
}

// MorePressing says whether what p asks for comes before what o asks for, whoever
// comes first: greens that spoil, then what frees a place, then new work.
func (p *Prompt) MorePressing(o *Prompt) bool { return p.rank < o.rank }

// FreesWet says that greens wait wet or stand in a machine that is through: what p
// asks for comes before all new work.
func (p *Prompt) FreesWet() bool { return p.rank > rankDoubt && p.rank <= rankMachine }

// The order in which prompts that are ready at the same time are given: what takes a
// look and decides what else may start, what spoils, what frees a place downstream,
// then new work.
const (
	rankDoubt = iota
	rankWetLate
	rankWet
	rankMachine
	rankCold
	rankPack
	rankWater
	rankWash
	rankHand
	rankCut
	rankChore
	rankClose
)

// Order ranks batches for new work, as a plan does; a smaller number goes first.
// Nil means: who has a due time, then the order of the day sheet.
type Order func(batch int, k Kind) int

// Fans is the setting at which a rack's fans are to start for a batch, as a plan has
// it. Empty or nil means: as the recipe says.
type Fans func(batch int) string

// People is who has a batch's step at a kind of station, as a plan has it; batch is 0
// for work without greens. Nil or "" means: anybody.
type People func(batch int, k Kind) string

// Stands is until when a plan lets a batch stand at a spinner or on a rack before
// its machine is started. Zero or nil means: not at all.
type Stands func(batch int, k Kind) time.Time

// Advice is what a plan tells the prompts. The zero value is first come, first
// served, with the fans as each recipe says.
type Advice struct {
	Order  Order
	Fans   Fans
	People People
	Paces  Paces // nil: work by hand takes as long as the line file says
	Stands Stands
}

// Prompts lists what can be done, best first: what is ready now in order of
// urgency, then what comes due, by time. Every command in it has been put to
// Decide, so what is ready is also allowed. Work by hand that goes on (cutting,
// packing, ...) is listed with the instant at which it should be over.
func Prompts(s *State, now time.Time, order Order) []Prompt {
	return Advice{Order: order}.Prompts(s, now)
}

// Prompts is the function of that name with the advice of a plan.
func (v Advice) Prompts(s *State, now time.Time) []Prompt {
	a := adviser{s: s, in: s.WithStandIns(), now: now, order: v.Order, fans: v.Fans, advice: v}
	a.doubts()
	if s.Sheet == nil {
		return a.out
	}
	for i := range s.Batches {
		a.batch(&s.Batches[i])
	}
	a.chores()
	a.afterHandWork()
	slices.SortStableFunc(a.out, a.compare)
	return a.out
}

// doubts asks about every machine that counts as on because an entry was taken back or
// the power is back, and about those that will.
// One that serves a step whose time is over is asked about by the end of that.
func (a *adviser) doubts() {
	for i := range a.s.Power.Loads {
		st := &a.s.Power.Loads[i]
		if st.LeftOn { // its power is away: once that is back, it may come on
			a.offer(Prompt{Act: ActConfirm, From: Nowhere, To: Nowhere, At: a.now, Load: i, Setting: -1, Command: MarkOff{Load: i}, rank: rankDoubt})
			continue
		}
		served := st.Books == st.Setting && a.s.LoadUsers(i, Nowhere) > 0
		if !st.InDoubt || served || !a.s.Power.Drawing(&a.s.Site.Panel, i, a.now) {
			continue
		}
		p := Prompt{Act: ActConfirm, From: Nowhere, To: Nowhere, At: a.now, Load: i, Setting: -1, Command: SwitchOff{Load: i}, rank: rankDoubt}
		if !st.PerhapsOff() {
			p.Setting, p.Command = st.Books, MarkOn{Load: i, Setting: st.Books}
		}
		a.offer(p)
	}
}

// afterHandWork puts new work by hand behind what is in everybody's hands already.
func (a *adviser) afterHandWork() {
	hands, busy := a.handsFree()
	free := *earliest(hands)
	if busy < max(1, len(a.s.Here(a.now))) {
		return
	}
	for i := range a.out {
		p := &a.out[i]
		starts := p.Act == ActStart || p.Act == ActChore || p.Act == ActResume
		if !starts || p.ByHand && p.FreesWet() || p.Chore == ChangeWater || a.station(p).Hands != HandsThroughout {
			continue
		}
		p.At = later(p.At, free)
		p.rank = max(p.rank, rankHand+1)
	}
}

type adviser struct {
	s     *State
	in    *State // the same where people stand in for machines out of use
	now   time.Time
	order Order
	fans  Fans
	out   []Prompt

	advice Advice

	flow   *flow // filled when they are first asked for
	spares *bool
}

// station is where a prompt starts something, as it is done there.
func (a *adviser) station(p *Prompt) *Station {
	return a.s.Site.StationOf(&Step{Place: p.To, ByHand: p.ByHand})
}

func (a *adviser) compare(x, y Prompt) int {
	xr, yr := x.Ready(a.now), y.Ready(a.now)
	switch {
	case xr != yr:
		if xr {
			return -1
		}
		return 1
	case !xr:
		if c := x.At.Compare(y.At); c != 0 {
			return c
		}
	}
	if c := cmp.Compare(x.rank, y.rank); c != 0 {
		return c
	}
	if x.Act == ActResume && y.Act == ActResume {
		if c := cmp.Compare(a.startingA(y.To), a.startingA(x.To)); c != 0 {
			return c
		}
	}
	if x.Batch != 0 && y.Batch != 0 {
		return a.before(x.Batch, y.Batch, x.To)
	}
	return 0
}

// startingA is what starting the machine of a step takes: what takes most is started
// again first, while the least is on beside it.
func (a *adviser) startingA(p Place) float64 {
	if step := a.s.StepAt(p); step != nil && a.s.hasLoad(step.Load) {
		return a.s.Site.Panel.Loads[step.Load].StartingA
	}
	return 0
}

// before orders two batches that wait for the same kind of step.
func (a *adviser) before(x, y int, to Place) int {
	if a.order != nil && to.Station >= 0 {
		k := a.s.Site.Stations[to.Station].Kind
		if c := cmp.Compare(a.order(x, k), a.order(y, k)); c != 0 {
			return c
		}
	}
	bx, by := a.s.Batch(x), a.s.Batch(y)
	switch {
	case bx.Due.IsZero() != by.Due.IsZero():
		if by.Due.IsZero() {
			return -1
		}
		return 1
	case !bx.Due.Equal(by.Due):
		return bx.Due.Compare(by.Due)
	}
	return cmp.Compare(x, y)
}

// offer adds a prompt if Decide allows its command now, or when the interlock
// says from when it would.
func (a *adviser) offer(p Prompt) bool {
	if p.At.After(a.now) {
		a.out = append(a.out, p)
		return true
	}
	_, no := Decide(a.s, p.Command, a.now)
	return a.answered(p, no)
}

// answered adds a prompt that Decide has been asked about.
func (a *adviser) answered(p Prompt, no *Refusal) bool {
	if no != nil {
		if no.Verdict == nil || !no.Verdict.Earliest.After(a.now) {
			return false
		}
		p.At = no.Verdict.Earliest
	}
	a.out = append(a.out, p)
	return no == nil
}
