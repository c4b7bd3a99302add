package recipes

import (
	"math"
	"math/rand/v2"
	"testing"
	"time"
)

// oracle knows exactly how its taster errs and asks, batch by batch, for the
// time whose verdict is expected to tell most (the greatest mutual information).
// A search cannot hope to be much faster: it is the measure for ours, which
// knows neither the taster's band nor how he errs.
type oracle struct {
	belief []float64 // over the logarithm of the time
	low    float64
	width  float64
	band   float64
	chance [3][3]float64 // truth, verdict
}

func newOracle(band float64, chance [3][3]float64) *oracle {
	const cells = 128
	o := &oracle{belief: make([]float64, cells), low: math.Log(shortest.Minutes()), width: math.Log(4) / cells, band: band, chance: chance}
	for i := range o.belief {
		o.belief[i] = 1.0 / cells
	}
	return o
}

func (o *oracle) at(i int) float64 { return o.low + (float64(i)+0.5)*o.width }

// truth is 0, 1, 2 for too dry, right and too wet after a run of exp(log) min.
func (o *oracle) truth(i int, log float64) int {
	switch d := o.at(i) - log; {
	case d > o.band:
		return 2
	case d < -o.band:
		return 0
	}
	return 1
}

func (o *oracle) ask() float64 {
	best, most := 0.0, -1.0
	for k := range 64 {
		log := o.low + (float64(k)+0.5)/64*math.Log(4)
		var share [3]float64
		for i, b := range o.belief {
			share[o.truth(i, log)] += b
		}
		information := 0.0
		for v := range 3 {
			p := share[0]*o.chance[0][v] + share[1]*o.chance[1][v] + share[2]*o.chance[2][v]
			for c := range 3 {
				if joint := share[c] * o.chance[c][v]; joint > 0 {
					information += joint * math.Log(o.chance[c][v]/p)
				}
			}
		}
		if information > most {
			best, most = log, information
		}
	}
	return best
}

func (o *oracle) learn(log float64, v Verdict) {
	sum := 0.0
	for i := range o.belief {
		o.belief[i] *= o.chance[o.truth(i, log)][v+1]
		sum += o.belief[i]
	}
	for i := range o.belief {
		o.belief[i] /= sum
	}
}

// answer is the time with the most belief within 15 percent of it.
func (o *oracle) answer() float64 {
	reach := int(math.Log(1.15) / o.width)
	best, most := 0, -1.0
	for i := range o.belief {
		sum := 0.0
		for j := max(0, i-reach); j <= min(len(o.belief)-1, i+reach); j++ {
			sum += o.belief[j]
		}
		if sum > most {
			best, most = i, sum
		}
	}
	return math.Exp(o.at(best))
}

// The search needs at most four batches more than one that knows everything
// about the taster, to be within 15 percent in 90 percent of draws.
func TestSearchIsNearTheOracle(t *testing.T) {
	const draws, batches = 600, 20
	for _, c := range []struct {
		name   string
		ends   bool
		band   float64
		chance [3][3]float64
	}{
		{"any other verdict", false, 0.08, [3][3]float64{{.8, .1, .1}, {.1, .8, .1}, {.1, .1, .8}}},
		{"the opposite end", true, 0.08, [3][3]float64{{.8, 0, .2}, {.1, .8, .1}, {.2, 0, .8}}},
		{"the opposite end, taster who never says right", true, 1e-6, [3][3]float64{{.8, 0, .2}, {.1, .8, .1}, {.2, 0, .8}}},
	} {
		rng := rand.New(rand.NewPCG(4, 2))
		var hits, oracleHits [batches + 1]int
		for range draws {
			who := taster{shortest.Minutes() * math.Pow(4, rng.Float64()), c.band}
			verdict := func(ran time.Duration) Verdict {
				v := who.verdict(ran)
				if rng.Float64() < 0.2 {
					v = wrongVerdict(rng, v, c.ends)
				}
				return v
			}
			s, o := NewTimeSearch(shortest, longest), newOracle(c.band, c.chance)
			for n := 1; n <= batches; n++ {
				s.Add(s.Median(), verdict(s.Median()), 1)
				ask := o.ask()
				o.learn(ask, verdict(time.Duration(math.Exp(ask)*float64(time.Minute))))
				if math.Abs(s.Median().Minutes()/who.right-1) <= 0.15 {
					hits[n]++
				}
				if math.Abs(o.answer()/who.right-1) <= 0.15 {
					oracleHits[n]++
				}
			}
		}
		ours, theirs := firstAt(hits[:], draws*9/10), firstAt(oracleHits[:], draws*9/10)
		t.Logf("%s: 90 %% within 15 %% after %d batches, oracle %d; after 20 batches %.3f, oracle %.3f",
			c.name, ours, theirs, float64(hits[batches])/draws, float64(oracleHits[batches])/draws)
		if ours > theirs+4 {
			t.Errorf("%s: %d batches, the oracle needs %d", c.name, ours, theirs)
		}
	}
}

func firstAt(hits []int, want int) int {
	for n, h := range hits {
		if h >= want {
			return n
		}
	}
	return len(hits)
}
