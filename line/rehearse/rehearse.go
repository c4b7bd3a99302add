// Package rehearse plays a processing day on a virtual clock. People who follow
// the prompts, with human delays, act on the same Decide and Apply as the live
// board, so what a rehearsal finds out holds on the line.
package rehearse

import (
	"context"
	"errors"
	"math"
	"math/rand/v2"
	"time"

	"shedbell/line"
	"shedbell/line/say"
)

// Delays is how people differ from a clock. Factors are log-normal with median 1.
type Delays struct {
	React      time.Duration // median time until a person answers a prompt
	ReactSigma float64       // spread of its logarithm
	WorkSigma  float64       // spread of the logarithm of every piece of hand work
	Work       *Spread       // of every piece of hand work, instead of WorkSigma; nil: none
	Pause      *Pauses       // that lengthen a piece of hand work; nil: none
	Day        *Spread       // of all hand work of a day together; nil: days are alike
}

// Pauses are what now and then makes a piece of hand work last longer, whatever it is.
type Pauses struct {
	Share float64 // of the pieces of work
	Lasts []time.Duration
}

// Spread is a sample of the logarithms of factors, in order. One is drawn between any
// two neighbours.
type Spread []float64

func (s Spread) draw(rnd *rand.Rand) float64 {
	at := rnd.Float64() * float64(len(s)-1)
	i := min(int(at), len(s)-2)
	return math.Exp(s[i] + (at-float64(i))*(s[i+1]-s[i]))
}

// Typical is what a tired, busy person does: common practice, no source. Once the
// journal has days in it, its own delays are better.
var Typical = Delays{React: 12 * time.Second, ReactSigma: 0.7, WorkSigma: 0.15}

// Options steer a rehearsal. The zero value has no delays at all.
type Options struct {
	Seed   uint64
	Delays Delays
	Advice line.Advice
	// Hand, when set, says how long a piece of work by hand takes, whatever the paces and
	// the spread of work: a shed whose true times are known.
	Hand func(s *line.State, at line.Place, crop string, trays int, person string) time.Duration
	// Watch, when set, sees every state that the rehearsal passes through, with
	// the record that made it.
	Watch func(*line.State, line.Record)
}

// StepTime is one batch or chore at one station.
type StepTime struct {
	Station int
	Batch   int // 0 for chores
	Chore   line.ChoreKind
	Crop    string
	Trays   int
	Start   time.Time
	End     time.Time
}

// Refusal is a start that the line refused during the rehearsal.
type Refusal struct {
	At   time.Time
	Says say.Speech
}

// Result is what a rehearsal found out.
type Result struct {
	Start     time.Time
	Finish    time.Time
	Greens    time.Time // when the last greens were cold
	Steps     []StepTime
	PeakA     []float64 // per circuit, what the interlock counted at its highest
	Refusals  []Refusal
	HandsBusy float64       // share of the people's time with work in hand
	WetWait   time.Duration // sum over the batches
	Final     *line.State
}

// ErrStuck says that work is left, yet nothing can be done and nothing will come
// due: the line cannot do this day as it stands.
var ErrStuck = errors.New("the day cannot be finished")

// Stuck is ErrStuck with what is left or stands in the way.
type Stuck struct{ says say.Sentence }

// Error is the sentence in English.
func (e *Stuck) Error() string { return e.says.String() }

// Says has the values apart.
func (e *Stuck) Says() say.Sentence { return e.says }

// Unwrap makes it ErrStuck.
func (e *Stuck) Unwrap() error { return ErrStuck }

// maxSteps bounds a rehearsal; the longest real day needs a few thousand.
const maxSteps = 200_000

// Run plays from state s at the instant now until nothing is left to do.
func Run(ctx context.Context, s *line.State, now time.Time, opt Options) (*Result, error) {
	r := newRun(s, now, opt)
	r.res.PeakA = make([]float64, len(s.Site.Panel.Circuits))
	r.adopt()
	r.peaks()
	for range maxSteps {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		r.runDue()
		for r.assign() { // an errand without any delay may be over at once
			r.runDue()
		}
		if r.finished() {
			return r.result(), nil
		}
		next, ok := r.nextInstant()
		if !ok && r.switchOff() {
			continue
		}
		if !ok {
			return nil, &Stuck{r.whatIsLeft()}
		}
		r.now = next
	}
	return nil, &Stuck{say.New("plan-why.day-cannot-finished-more", maxSteps)}
}

func newRun(s *line.State, now time.Time, opt Options) *run {
	r := &run{s: s, now: now, opt: opt, rnd: rand.New(rand.NewPCG(opt.Seed, 0x5eed)), day: 1, res: &Result{Start: now}}
	for i := range max(1, len(s.Crew)) {
		p := person{freeAt: now}
		if i < len(s.Crew) {
			p.name = s.Crew[i]
		}
		r.people = append(r.people, p)
	}
	if opt.Delays.Day != nil {
		r.day = opt.Delays.Day.draw(r.rnd)
	}
	return r
}

// run is a rehearsal under way.
type run struct {
	s      *line.State
	now    time.Time
	opt    Options
	rnd    *rand.Rand
	day    float64 // factor of the day's work by hand
	people []person
	res    *Result

	acting int                                             // who does what is put to the line
	keeper func(line.Command) (*line.State, *line.Refusal) // keeps the line in place of the rehearsal; nil: nobody
}

// person is one pair of hands: free, on an errand with fixed instants, or at work
// by hand that an errand may interrupt.
type person struct {
	name   string // empty: nobody is named
	freeAt time.Time
	errand []planned // commands still to come on the present errand, in time order
	target target    // what the errand is about, so that nobody else takes it
	job    *job
	busy   time.Duration
}

type planned struct {
	at  time.Time
	cmd line.Command
}

// target names a batch or a place that somebody has taken on.
type target struct {
	batch int
	place line.Place
}

// job is work by hand at a place.
type job struct {
	place line.Place
	left  time.Duration
	since time.Time // left is as of here
}

// adopt gives work by hand that already goes on to the people on the line.
func (r *run) adopt() {
	give := func(step *line.Step) {
		left, _ := r.opt.Advice.HandLeft(r.s, step.Place, r.now)
		for i := range r.people {
			if r.people[i].job == nil {
				r.people[i].job = &job{place: step.Place, left: max(0, left), since: r.now}
				return
			}
		}
	}
	byHand := func(step *line.Step) bool {
		return step.Progress == line.Running && step.Place.Station >= 0 && r.s.Site.StationOf(step).Hands == line.HandsThroughout
	}
	for i := range r.s.Batches {
		if b := &r.s.Batches[i]; b.Fate == line.OnLine && byHand(&b.Step) {
			give(&b.Step)
		}
	}
	for i := range r.s.Chores {
		if c := &r.s.Chores[i]; byHand(&c.Step) {
			give(&c.Step)
		}
	}
}

// do puts a command to the line. A refusal is kept and leaves the state as it is.
func (r *run) do(c line.Command, by string) bool {
	if r.keeper != nil {
		s, no := r.keeper(c)
		r.s = s
		return no == nil
	}
	next, records, no := line.Do(r.s, c, r.now, by)
	if no != nil {
		r.res.Refusals = append(r.res.Refusals, Refusal{At: r.now, Says: no.Says})
		return false
	}
	for _, rec := range records {
		r.note(rec)
		if r.opt.Watch != nil {
			r.s = line.Apply(r.s, rec)
			r.opt.Watch(r.s, rec)
		}
	}
	r.s = next
	r.peaks()
	return true
}

func (r *run) peaks() {
	for c := range r.res.PeakA {
		r.res.PeakA[c] = max(r.res.PeakA[c], r.s.Site.Panel.Amps(r.s.Power, c, r.now))
	}
}

// lognormal draws a factor with median 1.
func (r *run) lognormal(sigma float64) float64 {
	if sigma == 0 {
		return 1
	}
	return math.Exp(sigma * r.rnd.NormFloat64())
}

func scale(d time.Duration, f float64) time.Duration { return time.Duration(float64(d) * f) }

func (r *run) work(d time.Duration) time.Duration {
	if w := r.opt.Delays.Work; w != nil {
		return scale(d, r.day*w.draw(r.rnd))
	}
	return scale(d, r.day*r.lognormal(r.opt.Delays.WorkSigma))
}

// pause is how much longer a piece of work by hand lasts because of a pause.
func (r *run) pause() time.Duration {
	p := r.opt.Delays.Pause
	if p == nil || r.rnd.Float64() >= p.Share {
		return 0
	}
	return p.Lasts[r.rnd.IntN(len(p.Lasts))]
}

func (r *run) react() time.Duration {
	return scale(r.opt.Delays.React, r.lognormal(r.opt.Delays.ReactSigma))
}

func (r *run) finished() bool {
	if r.s.Sheet == nil {
		return true
	}
	for i := range r.people {
		if r.people[i].job != nil || len(r.people[i].errand) > 0 {
			return false
		}
	}
	return r.s.DayDone()
}

// switchOff clears what somebody switched on by hand and no step needs, once
// nothing else goes on. It says whether there was anything.
func (r *run) switchOff() bool {
	for i := range r.s.Power.Loads {
		if r.s.Power.Loads[i].On && !r.s.Site.Panel.Loads[i].StaysOn && r.s.LoadUsers(i, line.Nowhere) == 0 {
			return r.do(line.SwitchOff{Load: i}, "")
		}
	}
	return false
}

func (r *run) whatIsLeft() say.Sentence {
	s := r.s
	for c, since := range s.Tripped {
		if !since.IsZero() {
			return say.New("plan-why.day-cannot-finished-breaker", s.Site.Panel.Circuits[c].Name)
		}
	}
	for _, p := range s.Broken {
		t, _ := s.OutOfUse(p)
		return say.New("plan-why.day-cannot-finished-out-of-use", say.Station(s.PlaceName(p)), t.What)
	}
	return say.New("plan-why.day-cannot-finished-batches",
		s.Unfinished(), s.Trays.Dirty, s.Trays.Washed, s.SowLeft())
}

func (r *run) result() *Result {
	res := r.res
	res.Final = r.s
	res.Finish = r.now
	if span := r.now.Sub(res.Start); span > 0 {
		var busy time.Duration
		for i := range r.people {
			busy += r.people[i].busy
		}
		res.HandsBusy = float64(busy) / float64(span) / float64(len(r.people))
	}
	for i := range r.s.Batches {
		res.WetWait += r.s.Batches[i].WetSoFar
	}
	return res
}
