package records_test

import (
	"context"
	"math"
	"math/rand/v2"
	"os"
	"strconv"
	"testing"
	"time"

	"gonum.org/v1/gonum/stat/distuv"

	"shedbell/line"
	"shedbell/line/linetest"
	"shedbell/line/records"
	"shedbell/line/rehearse"
)

// noisy is by what factor a day takes longer than its rehearsal, as a logarithm: not
// normal, and not the test's own model. A day differs by 5 percent with heavy tails
// (Student's t with 5 degrees of freedom), one in twelve is slow in everything by 15
// percent, and what a rehearsal misses of mix and crew is another 3 percent. Invented.
func noisy(rnd *rand.Rand) float64 {
	x := 0.2 + 0.05*distuv.StudentsT{Sigma: 1, Nu: 5, Src: rnd}.Rand() + 0.03*rnd.NormFloat64()
	if rnd.IntN(12) == 0 {
		x += 0.15
	}
	return x
}

func histories(t *testing.T) int {
	if n, err := strconv.Atoi(os.Getenv("SHEDBELL_MARK_HISTORIES")); err == nil {
		return n
	}
	return 400
}

// A true gain of 17 percent is found within 12 days in nine of ten histories.
func TestAGainIsFound(t *testing.T) {
	found, n := 0, histories(t)
	for seed := range n {
		rnd := rand.New(rand.NewPCG(uint64(seed), 83))
		var was, is []float64
		for range 20 {
			was = append(was, noisy(rnd))
		}
		for range 12 {
			is = append(is, noisy(rnd)+math.Log(1-0.17))
		}
		if records.Settled(was, is) {
			found++
		}
	}
	t.Logf("found in %d of %d", found, n)
	if found*10 < n*9 {
		t.Errorf("found in %d of %d histories", found, n)
	}
}

// Where nothing changed, at most one history in 20 ever says that something did, over
// looks on 60 days; half as much again is allowed for chance where few are drawn.
func TestNothingIsNotFound(t *testing.T) {
	said, n := 0, histories(t)
	for seed := range n {
		rnd := rand.New(rand.NewPCG(uint64(seed), 84))
		var was, is []float64
		for range 20 {
			was = append(was, noisy(rnd))
		}
		for range 60 {
			is = append(is, noisy(rnd))
		}
		if records.Settled(was, is) {
			said++
		}
	}
	t.Logf("said in %d of %d", said, n)
	if most := float64(n)/20 + 3*math.Sqrt(float64(n)/20*0.95); float64(said) > most {
		t.Errorf("said in %d of %d histories, at most %.0f", said, n, most)
	}
}

// Against the definition: how likely the t statistic is with an effect that is normal
// around 0, over how likely it is without, each by adding up over the effect and the
// spread of the samples, whose right Haar prior is 1/sigma.
func TestOddsAreThoseOfTheModel(t *testing.T) {
	a, b := []float64{0.1, 0.3, 0.15, 0.22, 0.31, 0.18}, []float64{-0.05, 0.12, 0.02, 0.08}
	marginal := func(effects []float64, weights []float64) float64 {
		sum := 0.0
		for ls := -5.0; ls < 1; ls += 0.02 { // logarithm of sigma: there the prior is flat
			sigma := math.Exp(ls)
			for i, effect := range effects {
				for mu := -2.0; mu < 2; mu += 0.01 {
					l := 0.0
					for _, x := range a {
						l += distuv.Normal{Mu: mu, Sigma: sigma}.LogProb(x)
					}
					for _, x := range b {
						l += distuv.Normal{Mu: mu + effect*sigma, Sigma: sigma}.LogProb(x)
					}
					sum += weights[i] * math.Exp(l)
				}
			}
		}
		return sum
	}
	var effects, weights []float64
	for e := -6.0; e <= 6; e += 0.1 {
		effects, weights = append(effects, e), append(weights, 0.1*distuv.UnitNormal.Prob(e))
	}
	want := marginal(effects, weights) / marginal([]float64{0}, []float64{1})
	if got := records.Odds(a, b); math.Abs(got/want-1) > 0.01 {
		t.Errorf("odds %.4f, by the model %.4f", got, want)
	}
}

// Days of a line with one shelf, then a mark with its prediction, then days with two: what
// came of it is what the rehearsals of the same sheets differ by, also where half the days
// have another crew and other trays.
func TestDidTheShelfHelp(t *testing.T) {
	site := linetest.Site()
	site.Crew = []string{"Ash", "Rowan", "Hazel"}
	site.Stations[linetest.Rack].Slots = 1
	s := line.NewState(site, linetest.Book())
	all := line.Decision{Events: []line.Event{line.FirstRecord(site, linetest.Book())}}.Records(&line.State{}, linetest.Morning, "Ash")
	rnd := rand.New(rand.NewPCG(5, 5))
	var saved, days float64
	for i := range 20 {
		at := linetest.Morning.AddDate(0, 0, i)
		do := func(c line.Command, at time.Time) {
			t.Helper()
			next, recs, no := line.Do(s, c, at, "Ash")
			if no != nil {
				t.Fatal(no)
			}
			s, all = next, append(all, recs...)
		}
		if i == 10 {
			do(line.AddMark{Text: "second shelf", Expects: line.Expected{Kind: "one-more-place", Name: "rack", Minutes: 20, Low: 10, High: 30}}, at.Add(-time.Hour))
			more := *s.Site
			more.Stations = append([]line.Station(nil), more.Stations...)
			more.Stations[linetest.Rack].Slots = 2
			do(line.LayLine{Site: more}, at.Add(-time.Hour))
		}
		sheet := linetest.Sheet()
		sheet.Date, sheet.Start, sheet.Crew = at.Format(time.DateOnly), at, site.Crew[:2+i%2]
		sheet.Crops[0].Trays += i % 3
		ends := [2]time.Duration{}
		for k, slots := range []int{1, 2} {
			with := *s.Site
			with.Stations = append([]line.Station(nil), with.Stations...)
			with.Stations[linetest.Rack].Slots = slots
			opened, _, no := line.Do(line.NewState(&with, linetest.Book()), line.OpenDay{Sheet: sheet}, at, "Ash")
			if no != nil {
				t.Fatal(no)
			}
			res, err := rehearse.Run(context.Background(), opened, at, rehearse.Options{})
			if err != nil {
				t.Fatal(err)
			}
			ends[k] = res.Finish.Sub(at)
		}
		do(line.OpenDay{Sheet: sheet}, at)
		res, err := rehearse.Run(context.Background(), s, at, rehearse.Options{Watch: func(is *line.State, r line.Record) { s, all = is, append(all, r) }})
		if err != nil {
			t.Fatal(err)
		}
		slow := time.Duration((1.1 + 0.02*rnd.NormFloat64()) * float64(res.Finish.Sub(at)))
		if i >= 10 {
			saved += 1.1 * (ends[0] - ends[1]).Minutes()
			days++
		}
		if s.Sheet != nil {
			do(line.CloseDay{}, at.Add(max(slow, res.Finish.Sub(at))))
		}
	}
	came, err := records.DidItHelp(context.Background(), linetest.ReadSlice(all, records.Filter{}))
	if err != nil || len(came) != 1 {
		t.Fatal(came, err)
	}
	c, want := came[0], saved/days
	t.Logf("%+.1f min a day (%.1f to %.1f) after %d days, sure %v; the rehearsals differ by %.1f", c.Minutes, c.Low, c.High, c.Days, c.Sure, want)
	if c.Days != 10 || !c.Sure || !(c.Low <= c.Minutes && c.Minutes <= c.High) || want < c.Low-1 || want > c.High+1 {
		t.Errorf("%+v", c)
	}
}
