package pace_test

import (
	"math"
	"math/rand/v2"
	"time"

	"shedbell/line"
	"shedbell/line/pace"
)

// trueShed is a shed whose times are known to the test alone. It is not the learner's
// model: the work on a batch has a part in minutes that does not scale with crop or
// person, the noise is a mixture with heavy tails on one side, slow days are few and
// large, the first batches of a morning are slower, improvement does not stop, and one
// record in twenty is broken.
type trueShed struct {
	rnd     *rand.Rand
	factor  map[string]float64 // minutes a tray over the file's, by station
	fixed   map[string]float64 // minutes a batch, by station
	crop    map[[2]string]float64
	person  map[string]float64
	better  float64 // share by which everything is quicker from day to day
	calm    bool    // the file is right
	day     int
	slow    float64 // factor of the day
	batches map[string]int
}

var (
	simStations = []struct {
		name string
		kind line.Kind
		file float64 // minutes a tray
	}{{"cutting table", line.Cut, 200.0 / 60}, {"packing table", line.Pack, 1.5}, {"tray wash", line.TrayWash, 1.25}, {"sowing bench", line.Sow, 1}}
	simCrops   = []string{"broccoli", "pea", "radish", "sunflower"}
	simPersons = []string{"Ash", "Rowan"}
)

func newTrueShed(seed uint64, calm bool) *trueShed {
	s := &trueShed{rnd: rand.New(rand.NewPCG(seed, 0xace)), factor: map[string]float64{}, fixed: map[string]float64{}, calm: calm,
		crop: map[[2]string]float64{}, person: map[string]float64{}}
	all := math.Exp(s.between(math.Log(0.5), math.Log(3)))
	for _, st := range simStations {
		s.factor[st.name] = all * s.between(0.8, 1.25)
		s.fixed[st.name] = s.between(0, 0.6) * st.file
		if calm {
			s.factor[st.name], s.fixed[st.name] = 1, 0
		}
		for _, c := range append([]string{""}, simCrops...) { // trays are washed whatever grew in them
			s.crop[[2]string{st.name, c}] = 1
			if !calm && c != "" {
				s.crop[[2]string{st.name, c}] = s.between(0.6, 1.4)
			}
		}
	}
	for _, p := range simPersons {
		if s.person[p] = 1; !calm {
			s.person[p] = s.between(0.7, 1.3)
		}
	}
	if !calm && s.rnd.IntN(2) == 0 {
		s.better = 0.01
	}
	return s
}

func (s *trueShed) between(low, high float64) float64 { return low + s.rnd.Float64()*(high-low) }

// begin begins a day: one in eight is slow by 15 to 35 %, the others differ by 4 %.
func (s *trueShed) begin(day int) {
	s.day, s.batches = day, map[string]int{}
	s.slow = math.Exp(0.04 * s.rnd.NormFloat64())
	if s.rnd.IntN(8) == 0 {
		s.slow *= s.between(1.15, 1.35)
	}
}

// usual is the minutes that such work takes on a usual day, without noise and warm-up.
func (s *trueShed) usual(station, crop, person string, trays int) float64 {
	file := 0.0
	for _, st := range simStations {
		if st.name == station {
			file = st.file
		}
	}
	quicker := math.Pow(1-s.better, float64(s.day))
	return (s.fixed[station] + float64(trays)*file*s.factor[station]*s.crop[[2]string{station, crop}]*s.person[person]) * quicker
}

// took is how long a piece of work takes today: 12 % of noise, one in ten half as long
// again.
func (s *trueShed) took(station, crop, person string, trays int) float64 {
	t := s.usual(station, crop, person, trays) * s.slow * math.Exp(0.12*s.rnd.NormFloat64())
	if s.rnd.IntN(10) == 0 {
		t *= s.between(1.1, 1.6)
	}
	if s.batches[person]++; s.batches[person] <= 2 {
		t *= 1.1
	}
	return t
}

// usualExtra is by how much a piece of work takes longer on a usual day, in the
// geometric mean: the warm-up of two in seven or so, and one in ten that drags.
var usualExtra = math.Exp(2.0/7*math.Log(1.1) + 0.1*0.293)

// recorded is what the journal has of it: one in twenty is broken, by a lunch break or a
// forgotten key.
func (s *trueShed) recorded(t float64) float64 {
	if s.rnd.IntN(20) > 0 {
		return t
	}
	if s.rnd.IntN(2) == 0 {
		return t + s.between(15, 60)
	}
	return t * s.between(0.05, 0.6)
}

var firstDay = time.Date(2026, 3, 2, 7, 30, 0, 0, time.UTC)

func dateOf(day int) string {
	return firstDay.AddDate(0, 0, day/5*7+day%5).Format(time.DateOnly)
}

// work is a day's pieces of work, as they were recorded.
func (s *trueShed) work(l *pace.Learner) {
	for b := range 6 + s.rnd.IntN(4) {
		crop, trays := simCrops[s.rnd.IntN(len(simCrops))], 1+s.rnd.IntN(6)
		for _, st := range simStations[:2] {
			s.record(l, st.name, crop, simPersons[s.rnd.IntN(2)], trays)
		}
		if b%4 == 3 {
			s.record(l, "tray wash", "", simPersons[s.rnd.IntN(2)], 12+s.rnd.IntN(6))
		}
		if b%2 == 0 {
			s.record(l, "sowing bench", crop, simPersons[s.rnd.IntN(2)], 2*trays)
		}
	}
}

func (s *trueShed) record(l *pace.Learner, station, crop, person string, trays int) {
	for _, st := range simStations {
		if st.name == station {
			l.Add(pace.Work{Date: dateOf(s.day), Station: station, Kind: st.kind, Crop: crop, Person: person, Trays: trays,
				Took: time.Duration(s.recorded(s.took(station, crop, person, trays)) * float64(time.Minute)),
				File: time.Duration(st.file * float64(trays) * float64(time.Minute))})
		}
	}
}
