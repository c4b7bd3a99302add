package setup

import (
	"math"
	"slices"
	"strconv"
)

// cordSizes are the sizes that the line file takes.
var cordSizes = []int{18, 16, 14, 12, 10}

// cordAreas are the metric sizes that are sold, in square millimetres (IEC 60228, table 3),
// each the next below or at the size of the same place in cordSizes (ASTM B258: 0.823, 1.31,
// 2.08, 3.31 and 5.26 mm2), so that a file that has AWG reads as no thicker.
var cordAreas = []float64{0.75, 1, 1.5, 2.5, 4}

// metresPerFoot is exact (NIST Handbook 44, appendix C).
const metresPerFoot = 0.3048

// cord asks for a plug's cord, with the extension cord that is in between. Where
// they differ the thinner one counts for the whole length, on the careful side.
func (t *talk) cord(i int) {
	m := &t.s.machines[i]
	metric := t.s.Supply == european
	q := t.question("cord")
	if metric {
		q = t.question("cord-metric")
	}
	q.choices = []string{t.say("cord.unknown")}
	for k, awg := range cordSizes {
		if metric {
			q.choices = append(q.choices, t.say("cord.mm2", cordAreas[k]))
		} else {
			q.choices = append(q.choices, strconv.Itoa(awg)+" AWG")
		}
	}
	q.tells = func(a answer) []note {
		c := t.s.clone()
		c.machines[i].setCord(a.pick, metric)
		return t.aboutMachine(c, i)
	}
	pick := 1 + slices.Index(cordSizes, m.CordAWG)
	if m.CordMM2 != 0 {
		pick = 1 + slices.Index(cordAreas, m.CordMM2)
	}
	m.setCord(t.choose(q, pick), metric)
	if m.CordAWG == 0 && m.CordMM2 == 0 {
		return
	}
	metres, unit := 1.0, "metres"
	if !metric { // cords are sold by the foot there
		metres, unit = metresPerFoot, "feet"
	}
	q = t.question("cord-length", t.say("unit."+unit))
	put := func(m *machine, v float64) { m.CordM = rounded(v * metres) }
	q.tells = t.tried(i, put)
	preset := math.Round(10*m.CordM/metres) / 10
	if v := t.number(q, preset, bounds{math.Ceil(0.1 / metres), math.Floor(200 / metres), unit}); v != preset {
		put(m, v)
	}
}

// setCord takes the size of a choice; the first one is that nobody knows.
func (m *machine) setCord(pick int, metric bool) {
	m.CordAWG, m.CordMM2 = 0, 0
	switch {
	case pick == 0:
		m.CordM = 0
	case metric:
		m.CordMM2 = cordAreas[pick-1]
	default:
		m.CordAWG = cordSizes[pick-1]
	}
}

// rounded keeps whole centimetres.
func rounded(m float64) float64 { return math.Round(m*100) / 100 }
