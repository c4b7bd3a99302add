package recipes

import (
	"math"
	"slices"
	"time"

	"shedbell/line/say"
)

const (
	spinStep = 15 * time.Second // suggested spins are multiples of this
	dryStep  = 30 * time.Second
	soakStep = 30 * time.Second

	mostSpinChange = time.Minute      // in one suggestion
	mostDryChange  = 0.15             // part of the dry time, in one suggestion
	leastSaving    = 30 * time.Second // below this a change is not worth a revision
	bruised        = 3.5              // mean score from which a spin is too hard
	gritty         = 3.5              // mean score from which a soak is too short
	cleanBatches   = 5                // without any grit before a soak may be shortened
)

// Change is one suggested time.
type Change struct {
	Step     Step
	From, To time.Duration
}

// Suggestion is what the tastings of a crop speak for. It changes nothing by
// itself: the operator applies it.
type Suggestion struct {
	Crop     string
	Revision int           // that it starts from
	Changes  []Change      // of one step; a dry time that makes up for another spin goes with it
	Air      Air           // that a dry time is for, and that becomes the recipe's reference with it
	Saving   time.Duration // a batch, negative when the batch takes longer
	Batches  []string      // judged batches behind it
	Evidence []say.Sentence
	Cost     say.Sentence // what the change may spoil
}

// Changed says whether a step gets another time.
func (s *Suggestion) Changed(step Step) bool {
	return slices.ContainsFunc(s.Changes, func(c Change) bool { return c.Step == step })
}

// Apply gives the recipe with the suggested times, for Book.Revise. A dry time comes
// with the air that it was tasted in: to run it, and to follow the air from it, are one
// change, and in that air both come to the same time.
func (s Suggestion) Apply(r Recipe) Recipe {
	for _, c := range s.Changes {
		r = r.withTime(c.Step, c.To)
		if c.Step == Dry {
			r.Reference = s.Air
		}
	}
	return r
}

// Look says what the tastings of a crop, oldest first, speak for, how far they have
// narrowed its dry time, and the points of its chart.
//
// It suggests another time for one step at most, from batches that ran since that step
// last had another time; spin and rack share the work, so a change of either counts for
// both. Below MinJudged of them it suggests nothing. Spin and dry stay where all tasted
// right, or was bruised alone: no shorter drying where none was too dry, no longer where
// none was too wet. Wetter verdicts never lead to wetter greens, no time leaves the
// recipe's bounds, and a soak never gets shorter than SoakFloor. Dry times are for the
// air that the batches were dried in, and the recipe's fan setting and spin.
func (b Book) Look(crop string, all []Tasting) (Suggestion, Bracket, []Point) {
	history := b.History(crop)
	if len(history) == 0 {
		return Suggestion{}, Bracket{}, nil
	}
	e := gather(history, all)
	return e.suggest(), e.narrow(), e.points
}

func (e *evidence) suggest() Suggestion {
	s := Suggestion{Crop: e.recipe.Crop, Revision: e.recipe.Revision, Batches: e.batches, Air: e.air}
	judges := []func(*Suggestion){e.longerSoak, e.gentlerSpin, e.driedAsTasted, e.spinAtTheEnd, e.fastestSpin, e.shorterSoak}
	if len(e.batches) < MinJudged {
		judges = []func(*Suggestion){e.longerSoak, e.shorterSoak}
	}
	for _, judge := range judges {
		if judge(&s); len(s.Changes) > 0 {
			break
		}
	}
	if len(s.Changes) == 0 && len(e.batches) < MinJudged {
		s.Evidence = append(s.Evidence, say.New("recipe.needs", MinJudged-len(e.batches)))
		return s
	}
	if e.wetness.n > 0 {
		s.Evidence = append(s.Evidence, say.New("recipe.wetness", e.wetness.mean()))
	}
	if e.days.n > 0 {
		s.Evidence = append(s.Evidence, say.New("recipe.kept", e.days.mean()))
	}
	if e.weighed > 0 {
		s.Evidence = append(s.Evidence, say.New("recipe.weighed", e.weighed))
	}
	return s
}

func (s *Suggestion) add(step Step, from, to time.Duration, because say.Sentence) {
	if to == from {
		return
	}
	s.Changes = append(s.Changes, Change{step, from, to})
	s.Saving += from - to
	s.Evidence = append(s.Evidence, because)
}

// gentlerSpin is shorter where the greens were bruised, and longer where they had to be
// spun again.
func (e *evidence) gentlerSpin(s *Suggestion) {
	r := &e.recipe
	switch {
	case e.bruises():
		e.spinTo(s, r.Spin-2*spinStep, say.New("recipe.bruising", e.bruising.mean()))
		e.makeUp(s)
	case e.spunAgain >= MinJudged:
		e.spinTo(s, r.Spin+2*spinStep, say.New("recipe.spun-again", e.spunAgain, say.Clock(r.Spin)))
	}
}

func (e *evidence) spinTo(s *Suggestion, spin time.Duration, why say.Sentence) {
	r := &e.recipe
	spin = min(max(spin, r.MinSpin), r.MaxSpin)
	s.add(Spin, r.Spin, spin, why)
	if spin > r.Spin {
		s.Cost = say.New("recipe.may-bruise")
	}
}

// makeUp lets the dry time leave as much water after another spin as now. It is rounded
// up, to the drier side.
func (e *evidence) makeUp(s *Suggestion) {
	r := &e.recipe
	spin := s.Apply(*r).Spin
	if spin == r.Spin {
		return
	}
	dry := e.now + e.spinWorth(spin, r.SpinRamp, r.Spin, r.SpinRamp)
	why := say.New("recipe.follows-spin")
	if dry > r.MaxDry {
		why = say.New("recipe.not-made-up")
	}
	if to := e.bounded((dry + dryStep - 1).Truncate(dryStep)); to != e.now {
		s.add(Dry, e.now, to, why)
	} else {
		s.Evidence = append(s.Evidence, why)
	}
}

// spinAtTheEnd moves the spin where the dry time is at its end.
func (e *evidence) spinAtTheEnd(s *Suggestion) {
	r := &e.recipe
	middle := float64(e.since.Median())
	switch {
	case e.now >= r.MaxDry && middle > 0.93*float64(r.MaxDry) && e.tooWet > 0:
		e.spinTo(s, r.Spin+2*spinStep, say.New("recipe.still-wet"))
	case e.now <= r.MinDry && middle < 1.07*float64(r.MinDry) && e.tooDry > 0 && !e.keepsShort():
		e.spinTo(s, r.Spin-2*spinStep, say.New("recipe.too-dry"))
	}
}

// fastestSpin is the spin near the recipe's after which spinning and drying to
// the target take the least time together. What tastes right to all is left alone.
func (e *evidence) fastestSpin(s *Suggestion) {
	r := &e.recipe
	if !e.learned || e.tooDry+e.tooWet == 0 {
		return
	}
	total := func(spin time.Duration) time.Duration {
		dry, err := e.curve.DryTime(e.curve.AfterSpin(spin, r.SpinRamp), r.target(), e.own)
		if err != nil {
			return math.MaxInt64 / 2
		}
		return spin + dry
	}
	now := total(r.Spin)
	best, least := r.Spin, now
	from, to := max(r.MinSpin, r.Spin-mostSpinChange), min(r.MaxSpin, r.Spin+mostSpinChange)
	for spin := from; spin <= to; spin += spinStep {
		if t := total(spin); t < least {
			best, least = spin, t
		}
	}
	if now-least >= leastSaving {
		e.spinTo(s, best, say.New("recipe.weights", say.Clock(least), say.Clock(now)))
		e.makeUp(s)
	}
}

// driedAsTasted moves the dry time where the belief about the right one lies clearly to
// one side of what is run now.
func (e *evidence) driedAsTasted(s *Suggestion) {
	to := e.since.Median()
	low, high := e.since.Interval()
	why := say.New("recipe.tastings", say.Clock(low), say.Clock(high))
	most := time.Duration(mostDryChange * float64(e.now))
	// Rounding goes away from the present time, so that a lean to one side
	// never comes out on the other.
	switch {
	case e.now < e.since.Quantile(0.25) && e.tooWet > 0:
		s.add(Dry, e.now, e.bounded((min(to, e.now+most) + dryStep - 1).Truncate(dryStep)), why)
	case e.now > e.since.Quantile(0.75) && e.tooDry > 0 && !e.keepsShort():
		s.add(Dry, e.now, e.bounded(max(to, e.now-most).Truncate(dryStep)), why)
		s.Cost = say.New("recipe.may-keep-shorter")
		if e.days.n > 0 && e.recipe.TargetDays > 0 {
			s.Cost = say.New("recipe.may-keep-less", e.days.mean(), e.recipe.TargetDays)
		}
	}
}

// keepsShort says that the packs keep less long than they are meant to.
func (e *evidence) keepsShort() bool {
	return e.days.n > 0 && e.days.mean() < float64(e.recipe.TargetDays)
}

func (e *evidence) bounded(dry time.Duration) time.Duration {
	return min(max(dry, e.recipe.MinDry), e.recipe.MaxDry)
}

func (e *evidence) bruises() bool { return e.bruising.n >= MinJudged && e.bruising.mean() >= bruised }

// longerSoak is for grit.
func (e *evidence) longerSoak(s *Suggestion) {
	if r := &e.recipe; e.grit.n >= MinJudged && e.grit.mean() >= gritty {
		s.add(Soak, r.Soak, min(max(r.MaxSoak, r.Soak), r.Soak+soakStep), say.New("recipe.grit", e.grit.mean()))
	}
}

// shorterSoak comes only after several batches without grit, and stays above the floor.
func (e *evidence) shorterSoak(s *Suggestion) {
	r := &e.recipe
	if e.grit.n >= cleanBatches && e.grit.sum == float64(e.grit.n) && r.Soak > r.SoakFloor() {
		s.add(Soak, r.Soak, max(r.SoakFloor(), r.Soak-soakStep), say.New("recipe.no-grit", e.grit.n))
		s.Cost = say.New("recipe.may-leave-grit")
	}
}
