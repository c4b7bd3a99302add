package recipes

import (
	"math"
	"testing"
)

// Coated sour cherry slices, doi 10.1016/j.ultsonch.2023.106633, Table 1, as at
// pmc.ncbi.nlm.nih.gov/articles/PMC10571025/table/t0005. The times 0, 15, ... 90
// min are inferred: with them every printed prediction comes out to 0.001.
var (
	cherryMin      = []float64{0, 15, 30, 45, 60, 75, 90}
	cherryMeasured = []float64{1.000, .646, .525, .408, .329, .258, .192}
)

func TestThinLayerModelsAgainstPublishedTable(t *testing.T) {
	for _, c := range []struct {
		name      string
		ratio     func(t float64) float64
		published []float64
		tolerance float64
	}{
		{"Page", func(t float64) float64 { return PageK(t, .0504, .761) }, []float64{1.000, .673, .511, .401, .321, .260, .213}, .001},
		{"Page, time constant", func(t float64) float64 { return Page(t, math.Pow(.0504, 1/.761), .761) }, []float64{1.000, .673, .511, .401, .321, .260, .213}, .001},
		{"Newton", func(t float64) float64 { return Lewis(t, .0198) }, []float64{1.000, .743, .552, .410, .305, .227, .168}, .001},
		{"Henderson-Pabis", func(t float64) float64 { return HendersonPabis(t, .9533, .0187) }, []float64{.953, .720, .544, .411, .310, .234, .177}, .001},
		{"Logarithmic", func(t float64) float64 { return Logarithmic(t, .8362, .0269, .1435) }, []float64{.980, .702, .517, .393, .310, .255, .218}, .001},
		{"Midilli", func(t float64) float64 { return Midilli(t, .9999, .0944, .5083, -.0023) }, []float64{1.000, .653, .518, .417, .331, .256, .188}, .001},
	} {
		for i, min := range cherryMin {
			if got := c.ratio(min); math.Abs(got-c.published[i]) > c.tolerance {
				t.Errorf("%s at %g min: %.4f, published %.3f", c.name, min, got, c.published[i])
			}
		}
	}
}

// The same table prints k .0504, n .761, SSE .0015 and RMSE .0177 for Page. Its
// constants are not quite at the minimum: a fit must do no worse, and must hold
// them in its interval.
func TestFitPageAgainstPublishedFit(t *testing.T) {
	f, err := FitPage(cherryMin, cherryMeasured)
	if err != nil {
		t.Fatal(err)
	}
	published := 0.0
	for i, min := range cherryMin {
		published += math.Pow(PageK(min, .0504, .761)-cherryMeasured[i], 2)
	}
	if math.Abs(published-.0015) > .00011 {
		t.Errorf("the printed constants give SSE %.5f, printed .0015", published)
	}
	if f.SSE > published || f.RMSE > .0177 {
		t.Errorf("SSE %.5f RMSE %.4f, worse than the printed %.5f .0177", f.SSE, f.RMSE, published)
	}
	if f.K.Low > .0504 || f.K.High < .0504 || f.N.Low > .761 || f.N.High < .761 {
		t.Errorf("k %+v n %+v do not hold the printed .0504 .761", f.K, f.N)
	}
	if _, err := FitPage(cherryMin[:2], cherryMeasured[:2]); err == nil {
		t.Error("two points gave a curve with an interval")
	}
}
