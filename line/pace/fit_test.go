package pace

import (
	"math"
	"testing"
)

func near(t *testing.T, what string, got, want, within float64) {
	t.Helper()
	if math.Abs(got-want) > within*math.Abs(want) {
		t.Errorf("%s: %.10g, want %.10g", what, got, want)
	}
}

// Norris of the NIST Statistical Reference Datasets (linear regression, lower level of
// difficulty): data and certified values from memory; as the values come out to nine
// digits, the data are as certified.
func TestRegressionNorris(t *testing.T) {
	y := []float64{0.1, 338.8, 118.1, 888.0, 9.2, 228.1, 668.5, 998.5, 449.1, 778.9, 559.2, 0.3, 0.1, 778.1, 668.8, 339.3, 448.9, 10.8, 557.7, 228.3,
		998.0, 888.8, 119.6, 0.3, 0.6, 557.6, 339.3, 888.0, 998.5, 778.9, 10.2, 117.6, 228.9, 668.4, 449.2, 0.2}
	x := []float64{0.2, 337.4, 118.2, 884.6, 10.1, 226.5, 666.3, 996.3, 448.6, 777.0, 558.2, 0.4, 0.6, 775.5, 666.9, 338.0, 447.5, 11.6, 556.0, 228.1,
		995.8, 887.6, 120.2, 0.3, 0.3, 556.8, 339.1, 887.2, 999.0, 779.0, 11.1, 118.3, 229.2, 669.1, 448.9, 0.5}
	r := newRidge([]float64{0, 0})
	for i := range y {
		r.add([]int{0, 1}, []float64{1, x[i]}, y[i], 1)
	}
	theta, cov, ok := r.solve()
	if !ok {
		t.Fatal("no solution")
	}
	near(t, "B0", theta[0], -0.262323073774029, 1e-9)
	near(t, "B1", theta[1], 1.00211681802045, 1e-11)
	rest := 0.0
	for i := range y {
		e := y[i] - theta[0] - theta[1]*x[i]
		rest += e * e
	}
	sd := math.Sqrt(rest / float64(len(y)-2))
	near(t, "residual standard deviation", sd, 0.884796396144373, 1e-9)
	near(t, "standard deviation of B0", sd*math.Sqrt(cov.At(0, 0)), 0.232818234301152, 1e-9)
	near(t, "standard deviation of B1", sd*math.Sqrt(cov.At(1, 1)), 0.429796848199937e-3, 1e-9)
}

// Longley of the same (multiple regression, higher level of difficulty), certified values
// as a public test file cites them from itl.nist.gov/div898/strd. The columns are brought
// around 0 and to one size first, as those of the model are.
func TestRegressionLongley(t *testing.T) {
	data := [][7]float64{
		{83.0, 234289, 2356, 1590, 107608, 1947, 60323}, {88.5, 259426, 2325, 1456, 108632, 1948, 61122},
		{88.2, 258054, 3682, 1616, 109773, 1949, 60171}, {89.5, 284599, 3351, 1650, 110929, 1950, 61187},
		{96.2, 328975, 2099, 3099, 112075, 1951, 63221}, {98.1, 346999, 1932, 3594, 113270, 1952, 63639},
		{99.0, 365385, 1870, 3547, 115094, 1953, 64989}, {100.0, 363112, 3578, 3350, 116219, 1954, 63761},
		{101.2, 397469, 2904, 3048, 117388, 1955, 66019}, {104.6, 419180, 2822, 2857, 118734, 1956, 67857},
		{108.4, 442769, 2936, 2798, 120445, 1957, 68169}, {110.8, 444546, 4681, 2637, 121950, 1958, 66513},
		{112.6, 482704, 3813, 2552, 123366, 1959, 68655}, {114.2, 502601, 3931, 2514, 125368, 1960, 69564},
		{115.7, 518173, 4806, 2572, 127852, 1961, 69331}, {116.9, 554894, 4007, 2827, 130081, 1962, 70551},
	}
	want := []struct{ b, se float64 }{{15.0618722713733, 84.9149257747669}, {-0.0358191792925910, 0.0334910077722432}, {-2.02022980381683, 0.488399681651699},
		{-1.03322686717359, 0.214274163161675}, {-0.0511041056535807, 0.226073200069370}, {1829.15146461355, 455.478499142212}}
	var mean, size [7]float64
	for _, row := range data {
		for k, v := range row {
			mean[k] += v / float64(len(data))
		}
	}
	for _, row := range data {
		for k, v := range row {
			size[k] = max(size[k], math.Abs(v-mean[k]))
		}
	}
	r := newRidge(make([]float64, 6))
	at := []int{0, 1, 2, 3, 4, 5}
	scaled := func(row [7]float64) []float64 {
		x := make([]float64, 6)
		for k := range x {
			x[k] = (row[k] - mean[k]) / size[k]
		}
		return x
	}
	for _, row := range data {
		r.add(at, scaled(row), row[6]-mean[6], 1)
	}
	theta, cov, ok := r.solve()
	if !ok {
		t.Fatal("no solution")
	}
	rest := 0.0
	for _, row := range data {
		e := row[6] - mean[6]
		for k, x := range scaled(row) {
			e -= theta[k] * x
		}
		rest += e * e
	}
	sd := math.Sqrt(rest / float64(len(data)-7))
	near(t, "residual standard deviation", sd, 304.854073561965, 1e-9)
	intercept := mean[6]
	for k := range want {
		near(t, "coefficient", theta[k]/size[k], want[k].b, 1e-7)
		near(t, "its standard error", sd*math.Sqrt(cov.At(k, k))/size[k], want[k].se, 1e-9)
		intercept -= theta[k] / size[k] * mean[k]
	}
	near(t, "intercept", intercept, -3482258.63459582, 1e-7)
}

// Efron and Morris (Scientific American, 1977): eighteen batters after 45 at bats. With
// the shrinkage that they find, .212, the estimates are those that were published (hits
// from a copy of the table; estimates computed from it); and the variance that expectation
// maximization finds is the most likely one given that the mean is estimated, too.
func TestShrinkage(t *testing.T) {
	hits := []float64{18, 17, 16, 15, 14, 14, 13, 12, 11, 11, 10, 10, 10, 10, 10, 9, 8, 7}
	want := []float64{.2939, .2892, .2845, .2798, .2751, .2751, .2704, .2657, .2610, .2610, .2563, .2563, .2563, .2563, .2563, .2516, .2469, .2422}
	n := len(hits)
	mean := 0.0
	for _, h := range hits {
		mean += h / 45 / float64(n)
	}
	noise := mean * (1 - mean) / 45
	shrunk := func(variance float64) ([]float64, *ridge) {
		precision := make([]float64, n+1) // the mean, of which nothing is known, and the batters
		for i := 1; i <= n; i++ {
			precision[i] = 1 / variance
		}
		r := newRidge(precision)
		for i, h := range hits {
			r.add([]int{0, i + 1}, []float64{1, 1}, h/45, 1/noise)
		}
		theta, _, ok := r.solve()
		if !ok {
			t.Fatal("no solution")
		}
		return theta, r
	}
	const c = .21165 // 1 - (k-3) s^2 / S
	theta, _ := shrunk(noise * c / (1 - c))
	total := 0.0
	for i := range hits {
		got := theta[0] + theta[i+1]
		total += got / float64(n)
		if math.Abs(got-want[i]) > 0.00006 {
			t.Errorf("batter %d: %.4f, published %.4f", i+1, got, want[i])
		}
	}
	near(t, "mean of all", total, mean, 1e-12)

	variance := noise
	for range 3000 {
		_, r := shrunk(variance)
		theta, cov, _ := r.solve()
		variance = prior{}.found(theta, cov, 1, n+1)
	}
	// The restricted likelihood of one variance in all: S over its degrees of freedom.
	sum := 0.0
	for _, h := range hits {
		sum += (h/45 - mean) * (h/45 - mean)
	}
	near(t, "variance", variance, sum/float64(n-1)-noise, 0.01)
}
