package recipes

import (
	"math"
	"time"

	"shedbell/line/say"
)

const (
	spinStep = 15 * time.Second // suggested spins are multiples of this
	dryStep  = 30 * time.Second
	soakStep = 30 * time.Second

	mostSpinChange = time.Minute      // in one suggestion
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
	Revision int // that it starts from
	Changes  []Change
	Saving   time.Duration // a batch, negative when the batch takes longer
	Batches  []string      // judged batches behind it
	Evidence []say.Sentence
}

// Apply gives the recipe with the suggested times, for Book.Revise.
func (s Suggestion) Apply(r Recipe) Recipe {
	for _, c := range s.Changes {
		r = r.withTime(c.Step, c.To)
	}
	return r
}

// Look says what the tastings of a recipe's crop, oldest first, speak for, and how far
// they have narrowed its dry time.
//
// It looks for the shortest total time that keeps wetness and days kept at target.
// Below MinJudged judged batches it suggests nothing. A wetter verdict never shortens a
// time that is suggested, no time leaves the recipe's bounds, and a soak never gets
// shorter than SoakFloor. Dry times are for the reference air and the recipe's fan
// setting and spin.
func Look(r Recipe, all []Tasting) (Suggestion, Bracket) {
	e := gather(r, all)
	return e.suggest(), e.narrow()
}

func (e *evidence) suggest() Suggestion {
	r := &e.recipe
	s := Suggestion{Crop: r.Crop, Revision: r.Revision, Batches: e.batches}
	if len(e.batches) < MinJudged {
		s.Evidence = append(s.Evidence, say.New("recipe.needs", MinJudged-len(e.batches)))
		return s
	}
	spin, why := e.spin()
	s.add(Spin, r.Spin, spin, why)
	dry, why := e.dry(spin)
	s.add(Dry, r.Dry, dry, why)
	soak, why := e.soak()
	s.add(Soak, r.Soak, soak, why)
	s.Evidence = append(s.Evidence, say.New("recipe.wetness", e.wetness.mean()))
	if e.days.n > 0 {
		s.Evidence = append(s.Evidence, say.New("recipe.kept", e.days.mean()))
	}
	if e.weighed > 0 {
		s.Evidence = append(s.Evidence, say.New("recipe.weighed", e.weighed))
	}
	return s
}

func (s *Suggestion) add(step Step, from, to time.Duration, because say.Sentence) {
	if to != from {
		s.Changes = append(s.Changes, Change{step, from, to})
		s.Saving += from - to
	}
	if !because.IsZero() {
		s.Evidence = append(s.Evidence, because)
	}
}

// spin chooses the spin. It never looks at a wetness score except at the ends of
// the dry time's range, which keeps the whole suggestion monotone: how the work
// is best shared between spinner and rack follows from the weights.
func (e *evidence) spin() (time.Duration, say.Sentence) {
	r := &e.recipe
	if e.bruises() {
		return max(r.MinSpin, r.Spin-2*spinStep), say.New("recipe.bruising", e.bruising.mean())
	}
	if e.spunAgain >= MinJudged {
		return min(r.MaxSpin, r.Spin+2*spinStep), say.New("recipe.spun-again", e.spunAgain, say.Clock(r.Spin))
	}
	if e.learned {
		return e.fastestSpin()
	}
	middle := float64(e.search.Median())
	switch {
	case middle > 0.93*float64(r.MaxDry):
		return min(r.MaxSpin, r.Spin+2*spinStep), say.New("recipe.still-wet")
	case middle < 1.07*float64(r.MinDry):
		return max(r.MinSpin, r.Spin-2*spinStep), say.New("recipe.too-dry")
	}
	return r.Spin, say.Sentence{}
}

// fastestSpin is the spin near the recipe's after which spinning and drying to
// the target take the least time together.
func (e *evidence) fastestSpin() (time.Duration, say.Sentence) {
	r := &e.recipe
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
	if now-least < leastSaving {
		return r.Spin, say.Sentence{}
	}
	return best, say.New("recipe.weights", say.Clock(least), say.Clock(now))
}

// dry chooses the dry time that follows a spin. The recipe's own stands unless
// the belief about the right time lies clearly to one side of it.
func (e *evidence) dry(spin time.Duration) (time.Duration, say.Sentence) {
	r := &e.recipe
	dry, why := r.Dry, say.Sentence{}
	if r.Dry < e.search.Quantile(0.25) || r.Dry > e.search.Quantile(0.75) {
		dry = e.search.Median()
		low, high := e.search.Interval()
		why = say.New("recipe.tastings", say.Clock(low), say.Clock(high))
	}
	// A spin that was changed because the dry time is at its end comes on top.
	if spin != r.Spin && (e.learned || e.bruises()) {
		dry += e.spinWorth(spin, r.SpinRamp, r.Spin, r.SpinRamp)
		switch {
		case dry > r.MaxDry:
			why = say.New("recipe.not-made-up")
		case why.IsZero():
			why = say.New("recipe.follows-spin")
		}
	}
	// Rounding goes away from the recipe's time, so that a lean to one side
	// never comes out on the other.
	switch {
	case dry > r.Dry:
		dry = e.bounded((dry + dryStep - 1).Truncate(dryStep))
	case dry < r.Dry && e.days.n > 0 && e.days.mean() < float64(r.TargetDays):
		return r.Dry, say.Sentence{}
	case dry < r.Dry:
		dry = e.bounded(dry.Truncate(dryStep))
	}
	return dry, why
}

func (e *evidence) bounded(dry time.Duration) time.Duration {
	return min(max(dry, e.recipe.MinDry), e.recipe.MaxDry)
}

func (e *evidence) bruises() bool { return e.bruising.n >= MinJudged && e.bruising.mean() >= bruised }

// soak is longer when there is grit, and shorter only after several batches
// without any, never below the floor.
func (e *evidence) soak() (time.Duration, say.Sentence) {
	r := &e.recipe
	switch {
	case e.grit.n >= MinJudged && e.grit.mean() >= gritty:
		return min(max(r.MaxSoak, r.Soak), r.Soak+soakStep), say.New("recipe.grit", e.grit.mean())
	case e.grit.n >= cleanBatches && e.grit.sum == float64(e.grit.n) && r.Soak > r.SoakFloor():
		return max(r.SoakFloor(), r.Soak-soakStep), say.New("recipe.no-grit", e.grit.n)
	}
	return r.Soak, say.Sentence{}
}
