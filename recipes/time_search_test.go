package recipes

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"pgregory.net/rapid"
)

const (
	shortest = 11 * time.Minute
	longest  = 44 * time.Minute
)

// taster knows the right time and calls greens right within a band around it.
type taster struct {
	right, band float64 // minutes, logarithm
}

func (t taster) verdict(ran time.Duration) Verdict {
	d := math.Log(t.right / ran.Minutes())
	switch {
	case d > t.band:
		return TooWet
	case d < -t.band:
		return TooDry
	}
	return Right
}

// wrong gives one of the two other verdicts; a taster who mixes up the ends
// turns them round.
func wrongVerdict(rng *rand.Rand, v Verdict, ends bool) Verdict {
	if ends && v != Right {
		return -v
	}
	return (v+1+1+Verdict(rng.IntN(2)))%3 - 1
}

// With every verdict right, six batches find any time in a range of a factor of
// four to within 10 percent, for tasters from one who never says right to one
// who says it within 8 percent. Nobody can do better than his own band.
func TestAllVerdictsRight(t *testing.T) {
	for _, band := range []float64{1e-6, 0.02, 0.04, 0.06, 0.08} {
		worst := make([]float64, 11)
		for k := range 2001 {
			who := taster{shortest.Minutes() * math.Pow(4, float64(k)/2000), band}
			s := NewTimeSearch(shortest, longest)
			for n := 1; n < len(worst); n++ {
				s.Add(s.Median(), who.verdict(s.Median()), 1)
				worst[n] = math.Max(worst[n], math.Abs(s.Median().Minutes()/who.right-1))
			}
		}
		t.Logf("band %.2f: worst error after 1.. batches %.3f", band, worst[1:])
		if worst[6] > 0.10 {
			t.Errorf("band %g: %.3f off after 6 batches", band, worst[6])
		}
	}
}

// fano is the fewest verdicts that can tell apart, with 90 percent success, as
// many times as fit into the range without overlap at 15 percent tolerance
// (Fano's inequality; Cover and Thomas, Elements of Information Theory, ch. 2),
// when each verdict carries at most the given bits.
func fano(bits float64) float64 {
	m := math.Log(4) / (2 * math.Log(1.15))
	miss := 0.1
	entropy := -miss*math.Log2(miss) - (1-miss)*math.Log2(1-miss)
	return (math.Log2(m) - entropy - miss*math.Log2(m-1)) / bits
}

// With one verdict in five wrong, 20 batches find the time to within 15 percent
// in 90 percent of draws. The whole curve is logged beside the fewest batches
// that the information in the verdicts allows.
func TestOneVerdictInFiveWrong(t *testing.T) {
	const draws, batches, tolerance = 2000, 20, 0.15
	for _, c := range []struct {
		name string
		ends bool
		band float64
		bits float64 // capacity of the taster as a channel
	}{
		{"any other verdict", false, 0.08, math.Log2(3) - entropy(0.8, 0.1, 0.1)},
		{"any other verdict, sharp taster", false, 0.02, math.Log2(3) - entropy(0.8, 0.1, 0.1)},
		{"the opposite end", true, 0.08, math.Log2(3) - entropy(0.8, 0.2)*2/3 - entropy(0.8, 0.1, 0.1)/3},
		{"the opposite end, taster who never says right", true, 1e-6, 1 - entropy(0.8, 0.2)},
	} {
		rng := rand.New(rand.NewPCG(20, 26))
		hits := make([]int, batches+1)
		inside := 0
		last := make([]float64, 0, draws)
		for range draws {
			who := taster{shortest.Minutes() * math.Pow(4, rng.Float64()), c.band}
			s := NewTimeSearch(shortest, longest)
			for n := 1; n <= batches; n++ {
				v := who.verdict(s.Median())
				if rng.Float64() < 0.2 {
					v = wrongVerdict(rng, v, c.ends)
				}
				s.Add(s.Median(), v, 1)
				if math.Abs(s.Median().Minutes()/who.right-1) <= tolerance {
					hits[n]++
				}
			}
			if low, high := s.Interval(); low.Minutes() <= who.right && who.right <= high.Minutes() {
				inside++
			}
			last = append(last, math.Abs(s.Median().Minutes()/who.right-1))
		}
		slices.Sort(last)
		shares := make([]float64, batches)
		reached := 0
		for n := range shares {
			shares[n] = float64(hits[n+1]) / draws
			if reached == 0 && shares[n] >= 0.9 {
				reached = n + 1
			}
		}
		t.Logf("%s: share within 15 %% after 1.. batches %.2f", c.name, shares)
		t.Logf("   90 %% reached after %d batches, information allows %.1f; error at 20 batches in 90 %% of draws %.3f; 90 %% interval holds %.3f",
			reached, fano(c.bits), last[draws*9/10], float64(inside)/draws)
		if shares[batches-1] < 0.9 {
			t.Errorf("%s: only %.3f within 15 %% after 20 batches", c.name, shares[batches-1])
		}
		if inside < draws*88/100 {
			t.Errorf("%s: %d of %d intervals hold the right time, stated 9 in 10", c.name, inside, draws)
		}
		if float64(reached) < fano(c.bits) {
			t.Errorf("%s: faster than information allows, so the test is wrong", c.name)
		}
	}
}

func entropy(p ...float64) float64 {
	h := 0.0
	for _, v := range p {
		h -= v * math.Log2(v)
	}
	return h
}

// Exchanging any verdict for a wetter one never moves any part of the belief to
// shorter times.
func TestWetterVerdictsNeverShorten(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := NewTimeSearch(shortest, longest), NewTimeSearch(shortest, longest)
		for range rapid.IntRange(1, 25).Draw(t, "tastings") {
			ran := time.Duration(rapid.Int64Range(int64(5*time.Minute), int64(90*time.Minute)).Draw(t, "ran"))
			v := Verdict(rapid.IntRange(-1, 1).Draw(t, "verdict"))
			w := Verdict(rapid.IntRange(int(v), 1).Draw(t, "wetter"))
			weight := rapid.Float64Range(0.05, 1).Draw(t, "weight")
			a.Add(ran, v, weight)
			b.Add(ran, w, weight)
		}
		for q := 0.05; q < 1; q += 0.15 {
			if b.Quantile(q) < a.Quantile(q)-time.Millisecond {
				t.Fatalf("quantile %.2f: wetter verdicts give %v, drier ones %v", q, b.Quantile(q), a.Quantile(q))
			}
		}
		if low, high := b.Interval(); low < shortest-time.Millisecond || high > longest+time.Millisecond || low > high {
			t.Fatalf("left the bounds: %v to %v", low, high)
		}
	})
}

func TestSearchSaysHowFarItIs(t *testing.T) {
	s := NewTimeSearch(shortest, longest)
	if got := s.Median().Round(time.Second); got != 22*time.Minute {
		t.Errorf("the middle of 11 to 44 minutes by ratio is 22, got %v", got)
	}
	before := searchWidth(s)
	s.Add(22*time.Minute, TooWet, 1)
	if s.Count() != 1 || searchWidth(s) >= before {
		t.Errorf("one verdict did not narrow the range: %v", s)
	}
	if low, high := NewTimeSearch(time.Minute, time.Minute).Interval(); low.Round(time.Second) != time.Minute || high.Round(time.Second) != time.Minute {
		t.Errorf("a range of one minute gave %v to %v", low, high)
	}
}

func searchWidth(s *TimeSearch) float64 {
	low, high := s.Interval()
	return math.Log(float64(high) / float64(low))
}

func BenchmarkAdd(b *testing.B) {
	s := NewTimeSearch(shortest, longest)
	for b.Loop() {
		s.Add(22*time.Minute, Right, 1)
	}
}
