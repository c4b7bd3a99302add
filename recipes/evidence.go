package recipes

import (
	"cmp"
	"math"
	"slices"
	"time"
)

// MinJudged is how many batches must be judged before anything is suggested.
const MinJudged = 3

// halfLife is after how many newer batches a tasting counts half: seed, season
// and fans change.
const halfLife = 40

// recent is how many of a crop's tastings are looked at: one that is ten half
// lives old counts less than a thousandth.
const recent = 10 * halfLife

// latest picks the crop's recent tastings, oldest first.
func latest(crop string, all []Tasting) []Tasting {
	n := 0
	from := len(all)
	for from > 0 && n < recent {
		from--
		if all[from].Ran.Crop == crop {
			n++
		}
	}
	return all[from:]
}

// evidence is what the tastings of one crop say, put on one scale.
type evidence struct {
	recipe  Recipe
	curve   DryingCurve // learned from weights, or typical ones that fit the recipe
	learned bool        // the weights pin spin and rate down
	weighed int
	air     Air            // that the batches dried in: half of them had drier air, half damper
	own     RackConditions // that air and the recipe's fan setting
	now     time.Duration  // what the recipe comes to in that air, as it is used
	search  *TimeSearch    // from all batches
	points  []Point

	// From batches that ran since spin, dry time or its air last changed.
	since                   *TimeSearch
	batches                 []string // with a wetness verdict, oldest first
	tooDry, tooWet          int      // verdicts
	spunAgain               int      // batches that came out of the spinner too wet
	wetness, bruising, days aspect

	grit   aspect   // since the soak last changed
	judged []string // batches of search
}

// aspect gathers the scores that one question got.
type aspect struct {
	sum float64
	n   int
}

func (a *aspect) add(v float64) {
	if v > 0 {
		a.sum += v
		a.n++
	}
}

func (a *aspect) mean() float64 {
	if a.n == 0 {
		return math.NaN()
	}
	return a.sum / float64(a.n)
}

// target is the water the recipe wants to leave; some must stay, as no drying
// ends in none.
func (r *Recipe) target() float64 {
	if r.LeftoverG > 0 {
		return r.LeftoverG
	}
	return 15
}

// met gives the conditions of each tasting of the crop: a wet bulb is found by
// search, which is worth doing once.
func (r *Recipe) met(all []Tasting) []RackConditions {
	out := make([]RackConditions, len(all))
	for i := range all {
		if ran := &all[i].Ran; ran.Crop == r.Crop {
			out[i] = r.conditions(ran.Air, ran.Fan)
		}
	}
	return out
}

// conditions are what a batch met on the rack; air and fan that are not known
// are taken to be the recipe's own.
func (r *Recipe) conditions(a Air, fan string) RackConditions {
	if a == (Air{}) {
		a = r.Reference
	}
	factor, ok := FanFactor(fan)
	if !ok {
		if factor, ok = FanFactor(r.Fan); !ok {
			factor = 1
		}
	}
	return RackConditions{ForcePa: a.DryingForcePa(), FanFactor: factor}
}

// learn fits the spin and drying curve to the weights among the tastings of the
// recipe's crop. It returns ErrTooFewWeighings when nothing was weighed twice.
func (r *Recipe) learn(all []Tasting, met []RackConditions) (CurveFit, error) {
	var weighings []Weighing
	for i := range all {
		t := &all[i]
		if t.Ran.Crop != r.Crop || !t.Weights.useful() {
			continue
		}
		weighings = append(weighings, Weighing{
			Spin: t.Ran.Spin, Ramp: r.ramp(&t.Ran), Dry: t.Ran.Dry, At: met[i],
			BeforeG: t.Weights.BeforeWashG, SpunG: t.Weights.AfterSpinG, DriedG: t.Weights.AfterDryG,
		})
	}
	return FitCurve(r.typical(), weighings)
}

func (r *Recipe) ramp(ran *Ran) time.Duration {
	if ran.SpinRamp > 0 {
		return ran.SpinRamp
	}
	return r.SpinRamp
}

// typical is the curve that a recipe stands for before anything is weighed.
func (r *Recipe) typical() DryingCurve {
	return TypicalCurve().WithRateFrom(r.Spin, r.SpinRamp, r.Dry, r.target(), r.conditions(r.Reference, r.Fan))
}

// lastChange is the revision that gave the newest of a crop's revisions what differs
// tells; 0 when it never was otherwise.
func lastChange(history []Recipe, differs func(a, b *Recipe) bool) int {
	for i := len(history) - 1; i > 0; i-- {
		if differs(&history[i-1], &history[i]) {
			return history[i].Revision
		}
	}
	return 0
}

// gather reads the tastings, oldest first, of the crop whose revisions are given.
func gather(history []Recipe, all []Tasting) evidence {
	r := history[len(history)-1].WithDefaults()
	all = latest(r.Crop, all)
	e := evidence{recipe: r, curve: r.typical(), search: NewTimeSearch(r.MinDry, r.MaxDry), since: NewTimeSearch(r.MinDry, r.MaxDry)}
	soaked := lastChange(history, func(a, b *Recipe) bool { return a.Soak != b.Soak })
	dried := lastChange(history, func(a, b *Recipe) bool {
		return a.Spin != b.Spin || a.Dry != b.Dry || a.Fan != b.Fan || a.WithDefaults().Reference != b.WithDefaults().Reference
	})
	met := r.met(all)
	e.readAir(all, met, dried)
	e.readWeights(all, met)
	judged := map[string]int{} // tastings of wetness a batch
	for i := range all {
		t := &all[i]
		if t.Ran.Crop != r.Crop {
			continue
		}
		if t.Ran.Revision >= soaked {
			e.grit.add(float64(t.Grit))
		}
		fresh := t.Ran.Revision >= dried
		if fresh {
			e.wetness.add(float64(t.Wetness))
			e.bruising.add(float64(t.Bruising))
			e.days.add(float64(t.DaysKept))
		}
		if !t.judgesDry() {
			continue
		}
		if judged[t.Ran.Batch]++; judged[t.Ran.Batch] > 1 {
			continue
		}
		e.judged = append(e.judged, t.Ran.Batch)
		if !fresh {
			continue
		}
		e.batches = append(e.batches, t.Ran.Batch)
		if t.Ran.SpunAgain > 0 {
			e.spunAgain++
		}
	}
	e.readVerdicts(all, met, judged, dried)
	return e
}

// judgesDry says whether a tasting tells anything about the dry time.
func (t *Tasting) judgesDry() bool { return t.Wetness > 0 && t.Ran.Dry > 0 }

// readAir finds the air that the batches since a revision were dried in, and what the
// recipe comes to there. Whether its times follow the air is seen from what was run.
func (e *evidence) readAir(all []Tasting, met []RackConditions, from int) {
	r := &e.recipe
	e.air, e.own, e.now = r.Reference, r.conditions(r.Reference, r.Fan), r.Dry
	reference := e.own.ForcePa
	var known []int
	follows := 0.0 // how much further off the recipe's own time is than the day's
	for i := range all {
		if ran := &all[i].Ran; ran.Crop == r.Crop && ran.Revision >= from && all[i].judgesDry() && ran.Air.mayBeReference() {
			known = append(known, i)
			plain := math.Log(float64(ran.Dry) / float64(r.Dry) * e.own.FanFactor / met[i].FanFactor)
			follows += math.Abs(plain) - math.Abs(plain+math.Log(met[i].ForcePa/reference))
		}
	}
	if len(known) == 0 {
		return
	}
	slices.SortStableFunc(known, func(a, b int) int { return cmp.Compare(met[a].ForcePa, met[b].ForcePa) })
	e.air = all[known[len(known)/2]].Ran.Air
	e.own = r.conditions(e.air, r.Fan)
	if follows > 0 {
		e.now = e.bounded(scale(r.Dry, reference/e.own.ForcePa).Round(todayStep))
	}
}

// readVerdicts searches for the dry time: a batch counts once, and half when halfLife
// newer ones were judged.
func (e *evidence) readVerdicts(all []Tasting, met []RackConditions, judged map[string]int, from int) {
	age := make(map[string]int, len(e.judged))
	for i, batch := range e.judged {
		age[batch] = len(e.judged) - 1 - i
	}
	for i := range all {
		t := &all[i]
		if t.Ran.Crop != e.recipe.Crop || !t.judgesDry() {
			continue
		}
		ran, v := e.equivalent(&t.Ran, met[i]), t.Wetness.verdict()
		weight := math.Exp2(-float64(age[t.Ran.Batch])/halfLife) / float64(judged[t.Ran.Batch])
		e.search.Add(ran, v, weight)
		e.points = append(e.points, Point{t.Ran.Revision, ran.Round(time.Second), t.Wetness})
		if t.Ran.Revision < from {
			continue
		}
		e.since.Add(ran, v, weight)
		switch v {
		case TooDry:
			e.tooDry++
		case TooWet:
			e.tooWet++
		}
	}
}

// tasteSpread is how far, as a logarithm, the water that tastes right may lie
// from the recipe's target water, expressed in dry time.
const tasteSpread = 0.25

// readWeights learns from the weights and leans the search on them.
func (e *evidence) readWeights(all []Tasting, met []RackConditions) {
	r := &e.recipe
	fit, err := r.learn(all, met)
	if err != nil {
		return
	}
	e.weighed = fit.Batches
	if e.learned = fit.SpinLearned(); e.learned {
		e.curve = fit.Constants
	}
	if fit.Batches < MinJudged {
		return
	}
	if m, err := fit.DryMinutes(r.Spin, r.SpinRamp, r.target(), e.own); err == nil && m.Value > 0 {
		for _, s := range []*TimeSearch{e.search, e.since} {
			s.Lean(time.Duration(m.Value*float64(time.Minute)), math.Hypot(m.SE, tasteSpread))
		}
	}
}

// equivalent is the dry time that would have dried the batch as far in the
// tasted air, at the recipe's fan setting and after the recipe's spin.
func (e *evidence) equivalent(ran *Ran, met RackConditions) time.Duration {
	r := &e.recipe
	ratio := met.ForcePa / e.own.ForcePa * e.own.FanFactor / met.FanFactor
	d := time.Duration(float64(ran.Dry) * ratio)
	if ran.Spin > 0 {
		d -= e.spinWorth(ran.Spin, r.ramp(ran), r.Spin, r.SpinRamp)
	}
	return max(d, time.Second)
}

// spinWorth is the drying in the tasted air that lies between the water left
// by one spin and by another; negative when the first is the longer one.
func (e *evidence) spinWorth(from, fromRamp, to, toRamp time.Duration) time.Duration {
	need := e.curve.Need(e.curve.AfterSpin(from, fromRamp), e.curve.AfterSpin(to, toRamp))
	rate := e.curve.RatePerPa * e.own.ForcePa / e.own.FanFactor
	return time.Duration(need / rate * float64(time.Minute))
}

// Bracket says how far the tastings have narrowed the dry time, and which to try
// on the next batch.
type Bracket struct {
	Air       Air           // that the times are for
	Now       time.Duration // what the recipe comes to in it
	Low, High time.Duration // hold the right time 9 times in 10
	Try       time.Duration // the middle, rounded
	Tastings  int
	Batches   []string
}

func (e *evidence) narrow() Bracket {
	low, high := e.search.Interval()
	return Bracket{Air: e.air, Now: e.now, Low: low.Round(time.Second), High: high.Round(time.Second),
		Try:      e.bounded(e.search.Median().Round(dryStep)),
		Tastings: e.search.Count(), Batches: slices.Clone(e.judged)}
}

// Point is one tasting in a recipe's history chart.
type Point struct {
	Revision int
	Dry      time.Duration // in the bracket's air, at the recipe's fan setting and spin
	Wetness  Score
}
