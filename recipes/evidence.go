package recipes

import (
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
	own     RackConditions // the recipe's reference air and fan setting
	search  *TimeSearch
	batches []string // with a wetness verdict, oldest first

	spunAgain int // of them, on this revision, those that came out of the spinner too wet

	wetness, bruising, grit, days aspect
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

// gather reads the tastings of the recipe's crop, which are oldest first.
func gather(r Recipe, all []Tasting) evidence {
	r = r.WithDefaults()
	all = latest(r.Crop, all)
	e := evidence{recipe: r, curve: r.typical(), own: r.conditions(r.Reference, r.Fan), search: NewTimeSearch(r.MinDry, r.MaxDry)}
	met := r.met(all)
	e.readWeights(all, met)
	judged := map[string]int{} // tastings of wetness a batch
	for i := range all {
		t := &all[i]
		if t.Ran.Crop != r.Crop {
			continue
		}
		for _, a := range []struct {
			*aspect
			score float64
		}{
			{&e.wetness, float64(t.Wetness)}, {&e.bruising, float64(t.Bruising)}, {&e.grit, float64(t.Grit)},
			{&e.days, float64(t.DaysKept)},
		} {
			a.add(a.score)
		}
		if t.Wetness > 0 && t.Ran.Dry > 0 {
			if judged[t.Ran.Batch] == 0 {
				e.batches = append(e.batches, t.Ran.Batch)
				if t.Ran.SpunAgain > 0 && t.Ran.Revision == r.Revision {
					e.spunAgain++
				}
			}
			judged[t.Ran.Batch]++
		}
	}
	age := make(map[string]int, len(e.batches))
	for i, batch := range e.batches {
		age[batch] = len(e.batches) - 1 - i
	}
	for i := range all {
		t := &all[i]
		if n := judged[t.Ran.Batch]; n > 0 && t.Ran.Crop == r.Crop && t.Wetness > 0 && t.Ran.Dry > 0 {
			weight := math.Exp2(-float64(age[t.Ran.Batch])/halfLife) / float64(n)
			e.search.Add(e.equivalent(&t.Ran, met[i]), t.Wetness.verdict(), weight)
		}
	}
	return e
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
		e.search.Lean(time.Duration(m.Value*float64(time.Minute)), math.Hypot(m.SE, tasteSpread))
	}
}

// equivalent is the dry time that would have dried the batch as far in the
// reference air, at the recipe's fan setting and after the recipe's spin.
func (e *evidence) equivalent(ran *Ran, met RackConditions) time.Duration {
	r := &e.recipe
	ratio := met.ForcePa / e.own.ForcePa * e.own.FanFactor / met.FanFactor
	d := time.Duration(float64(ran.Dry) * ratio)
	if ran.Spin > 0 {
		d -= e.spinWorth(ran.Spin, r.ramp(ran), r.Spin, r.SpinRamp)
	}
	return max(d, time.Second)
}

// spinWorth is the drying in the reference air that lies between the water left
// by one spin and by another; negative when the first is the longer one.
func (e *evidence) spinWorth(from, fromRamp, to, toRamp time.Duration) time.Duration {
	need := e.curve.Need(e.curve.AfterSpin(from, fromRamp), e.curve.AfterSpin(to, toRamp))
	rate := e.curve.RatePerPa * e.own.ForcePa / e.own.FanFactor
	return time.Duration(need / rate * float64(time.Minute))
}

// Bracket says how far the tastings have narrowed the dry time, and which to try
// on the next batch.
type Bracket struct {
	Low, High time.Duration // hold the right time 9 times in 10
	Try       time.Duration // the middle, rounded
	Tastings  int
	Batches   []string
}

func (e *evidence) narrow() Bracket {
	low, high := e.search.Interval()
	return Bracket{Low: low.Round(time.Second), High: high.Round(time.Second),
		Try:      e.bounded(e.search.Median().Round(dryStep)),
		Tastings: e.search.Count(), Batches: slices.Clone(e.batches)}
}

// Point is one batch in a recipe's history chart.
type Point struct {
	Revision int
	Dry      time.Duration // in the reference air, at the recipe's fan setting and spin
	Wetness  Score
}

// History gives a point for each tasting of the recipe's crop that judged
// wetness, oldest first, for the chart of time against wetness.
func History(r Recipe, all []Tasting) []Point {
	e := gather(r, nil)
	var out []Point
	for i := range all {
		t := &all[i]
		if t.Ran.Crop == r.Crop && t.Wetness > 0 && t.Ran.Dry > 0 {
			out = append(out, Point{t.Ran.Revision,
				e.equivalent(&t.Ran, e.recipe.conditions(t.Ran.Air, t.Ran.Fan)).Round(time.Second), t.Wetness})
		}
	}
	return out
}
