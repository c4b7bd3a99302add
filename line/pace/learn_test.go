package pace_test

import (
	"math"
	"os"
	"slices"
	"strconv"
	"testing"

	"shedbell/line/pace"
)

// histories is how many simulated sheds a test goes through.
func histories() int {
	if n, err := strconv.Atoi(os.Getenv("SHEDBELL_HISTORIES")); err == nil && n > 0 {
		return n
	}
	return 20
}

// TestStationsMinutesATray: from the tenth day on, the median error of a station's minutes
// a tray is below 5 %, in sheds whose truth is not the learner's model.
func TestStationsMinutesATray(t *testing.T) {
	var errs, signed []float64
	var inside, of int
	byDay := map[int][]float64{}
	for h := range histories() {
		s := newTrueShed(uint64(h+1), false)
		var l pace.Learner
		for day := range 40 {
			s.begin(day)
			s.work(&l)
			got := l.Learned("")
			for _, st := range simStations[:2] {
				truth, n := 0.0, 0.0
				for _, c := range simCrops {
					for _, p := range simPersons {
						truth += math.Log(s.usual(st.name, c, p, 4))
						n++
					}
				}
				truth = math.Exp(truth/n) / 4
				e, ok := got.Estimate(st.name, "", "")
				if !ok {
					t.Fatal("nothing learned of ", st.name)
				}
				err := math.Log((e.Fixed/4 + e.PerTray) / truth / usualExtra)
				byDay[day] = append(byDay[day], math.Abs(err))
				if day >= 9 {
					errs, signed = append(errs, math.Abs(err)), append(signed, err)
					of++
					if math.Abs(err) < math.Log(e.High/e.PerTray) {
						inside++
					}
				}
			}
		}
	}
	mid := func(x []float64) float64 { slices.Sort(x); return x[len(x)/2] }
	t.Logf("median error from day 10: %.2f %%, signed %.2f %%, inside 90 %%: %.1f %%", 100*mid(errs), 100*mid(signed), 100*float64(inside)/float64(of))
	for _, d := range []int{0, 1, 2, 4, 9, 14, 19, 29, 39} {
		t.Logf("day %d: %.1f %%", d+1, 100*mid(byDay[d]))
	}
	if e := mid(errs); e > 0.05 {
		t.Errorf("median error %.1f %%", 100*e)
	}
}
