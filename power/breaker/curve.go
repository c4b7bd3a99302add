// Package breaker holds what the standards publish about when a circuit
// breaker trips, and the thermal model that fits between their points.
//
// All of it errs to the early side: it answers "how soon might the quickest
// breaker that meets the standard trip", never "how long is it safe".
package breaker

import "math"

// Standard says after which standard a breaker is built.
type Standard uint8

// Standards. UL489 is the moulded-case breaker of North American panels; the
// others are the three types of IEC 60898-1.
const (
	UL489 Standard = iota
	IECB
	IECC
	IECD
)

// Point is a time in seconds at a multiple of the rating.
type Point struct{ Multiple, Seconds float64 }

// Curve is the tripping behaviour of one kind of breaker.
//
// Below the published short times the breaker is a first-order thermal body:
// heat rises toward the square of the current with a time constant, and it
// trips when heat reaches the level that Hold would bring in the end. This is
// the thermal-overload equation of IEC 60255-149 (before: 60255-8),
// t = T ln((I2-Ip2)/(I2-(k Ib)2)) with Ip the current before.
// The standards allow a range of time constants. Heat is taken to rise with the
// fastest and fall with the slowest of them: then no breaker in the range is
// ever hotter than the model says.
type Curve struct {
	Name   string
	Source string

	Hold  float64 // multiple of the rating that is carried for ever
	FastS float64 // shortest time constant, seconds
	SlowS float64 // longest time constant, seconds
	RefC  float64 // ambient in degrees C up to which Hold is promised

	// Instant is the multiple above which it may trip without delay.
	Instant float64
	// NotBefore are published times that it may not undercut, by rising multiple.
	NotBefore []Point
	// TripBy are published times by which it must have tripped.
	TripBy []Point
}

const (
	sourceUL  = "UL 489 calibration: holds 100 %, 135 % within 1 h, 200 % within 2 min up to 30 A"
	sourceIEC = "IEC 60898-1 table 7: 1.13, 1.45 and 2.55 In, instantaneous bands of types B, C and D"
)

// UL 489 sets no earliest time and no instantaneous band. Assumed instead, from
// memory of published bands for 15 to 30 A breakers: the fast edge lies at 10 s
// for twice the rating from cold, and the magnetic pick-up above five times.
const (
	ulFastAtDoubleS = 10.0
	ulInstant       = 5.0
)

var ulCurves = [...]Curve{
	ulCurve(3600, 120),  // up to 30 A
	ulCurve(3600, 240),  // 31 to 50 A: 4 min at 200 %, from memory
	ulCurve(7200, 360),  // 51 to 100 A: 2 h and 6 min, from memory
	ulCurve(7200, 1200), // beyond: 20 min at 200 %, a guess on the slow side
}

var iecCurves = [...][2]Curve{
	{iecCurve("B", 3, 5, 3600, 60), iecCurve("B", 3, 5, 7200, 120)},
	{iecCurve("C", 5, 10, 3600, 60), iecCurve("C", 5, 10, 7200, 120)},
	{iecCurve("D", 10, 20, 3600, 60), iecCurve("D", 10, 20, 7200, 120)},
}

func ulCurve(at135, at200 float64) Curve {
	perDouble := math.Log(4.0 / 3.0) // time to trip at 200 % in time constants
	return Curve{
		Name: "UL 489", Source: sourceUL,
		Hold: 1, RefC: 40, Instant: ulInstant,
		FastS:  ulFastAtDoubleS / perDouble,
		SlowS:  at200 / perDouble,
		TripBy: []Point{{1.35, at135}, {2, at200}},
	}
}

func iecCurve(kind string, hold, trip, at145, at255 float64) Curve {
	const k = 1.13
	per255 := math.Log(2.55 * 2.55 / (2.55*2.55 - k*k))
	return Curve{
		Name: "IEC 60898-1 type " + kind, Source: sourceIEC,
		Hold: k, RefC: 30, Instant: hold,
		FastS:     1 / per255,
		SlowS:     at255 / per255,
		NotBefore: []Point{{2.55, 1}, {hold, 0.1}},
		TripBy:    []Point{{1.45, at145}, {2.55, at255}, {trip, 0.1}},
	}
}

// For returns the curve of a breaker of that standard and rating in amperes.
func For(std Standard, ratingA float64) *Curve {
	if std >= IECB && std <= IECD {
		c := &iecCurves[std-IECB]
		// Table 7 gives 60 s up to 32 A and 1 h up to 63 A; the two limits part
		// between 32 and 63 A, where the longer of both is taken.
		if ratingA <= 32 {
			return &c[0]
		}
		return &c[1]
	}
	switch {
	case ratingA <= 30:
		return &ulCurves[0]
	case ratingA <= 50:
		return &ulCurves[1]
	case ratingA <= 100:
		return &ulCurves[2]
	}
	return &ulCurves[3]
}

// Target is the heat that a multiple of the rating brings in the end; 1 trips.
func (c *Curve) Target(multiple float64) float64 {
	m := multiple / c.Hold
	return m * m
}

// Warm returns the heat after a multiple has flowed for some seconds.
func (c *Curve) Warm(heat, multiple, seconds float64) float64 {
	target := c.Target(multiple)
	tau := c.FastS
	if target < heat {
		tau = c.SlowS
	}
	return target + (heat-target)*math.Exp(-seconds/tau)
}

// Earliest is the shortest time in seconds after which the breaker may trip at
// a multiple of its rating, starting from the given heat; +Inf when it holds.
func (c *Curve) Earliest(multiple, heat float64) float64 {
	if multiple > c.Instant || heat > 1 {
		return 0
	}
	t := c.ShortTime(multiple)
	if target := c.Target(multiple); target > 1 {
		t = min(t, c.FastS*math.Log((target-heat)/(target-1)))
	}
	return t
}

// ShortTime is the published lower bound on the tripping time, in seconds, on a
// straight line in the logarithms of both between published points; 0 above the
// instantaneous band and +Inf below the first point, where heat alone decides.
func (c *Curve) ShortTime(multiple float64) float64 {
	if multiple > c.Instant {
		return 0
	}
	for i := len(c.NotBefore) - 1; i >= 0; i-- {
		a := c.NotBefore[i]
		if multiple < a.Multiple {
			continue
		}
		if i == len(c.NotBefore)-1 {
			return a.Seconds
		}
		b := c.NotBefore[i+1]
		f := math.Log(multiple/a.Multiple) / math.Log(b.Multiple/a.Multiple)
		return a.Seconds * math.Pow(b.Seconds/a.Seconds, f)
	}
	return math.Inf(1)
}
