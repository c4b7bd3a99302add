package meter

import (
	"cmp"
	"encoding/json"
	"maps"
	"math"
	"slices"
	"strconv"
)

// What a finder remembers at most, so that nobody can fill the memory.
const (
	mostPlaces   = 2000
	deepestPlace = 8
	longestPlace = 200 // bytes of a topic or a pointer, as in the line file
)

// Finder looks for the topic that speaks of a machine: somebody switches the machine on,
// and a value that was about nothing comes near what its nameplate says.
type Finder struct{ places map[place]*span }

type place struct{ topic, pointer string }

// span is what a value was when the machine was switched on, and since then at most.
type span struct {
	last, before, since float64
	known               bool // it was heard before
}

// Candidate is a value that may be the current of a machine.
type Candidate struct {
	Topic, Pointer, Unit string
	AmpsA                float64 // what it was at most while the machine ran
	known                bool    // it was heard while the machine was off
}

// Take takes a message in. What is no JSON says nothing.
func (f *Finder) Take(topic string, payload []byte) {
	doc, err := decode(payload)
	if err != nil || topic == "" || len(topic) > longestPlace {
		return
	}
	f.walk(topic, nil, doc)
}

func (f *Finder) walk(topic string, at Pointer, doc any) {
	if len(at) > deepestPlace {
		return
	}
	switch v := doc.(type) {
	case map[string]any:
		for _, key := range slices.Sorted(maps.Keys(v)) {
			f.walk(topic, append(slices.Clip(at), key), v[key])
		}
	case []any:
		for i, e := range v {
			f.walk(topic, append(slices.Clip(at), strconv.Itoa(i)), e)
		}
	case json.Number:
		if n, err := v.Float64(); err == nil {
			f.note(place{topic, at.String()}, n)
		}
	}
}

func (f *Finder) note(p place, v float64) {
	if len(p.pointer) > longestPlace {
		return
	}
	s := f.places[p]
	if s == nil {
		if len(f.places) == mostPlaces {
			return
		}
		if f.places == nil {
			f.places = map[place]*span{}
		}
		s = &span{}
		f.places[p] = s
	}
	s.last = math.Abs(v)
	s.since = max(s.since, s.last)
}

// Mark says that a machine is switched on now: what comes from here on counts.
func (f *Finder) Mark() {
	for _, s := range f.places {
		*s = span{last: s.last, before: s.last, known: true}
	}
}

// Topics counts what has spoken.
func (f *Finder) Topics() int {
	topics := map[string]bool{}
	for p := range f.places {
		topics[p.topic] = true
	}
	return len(topics)
}

// A machine draws at least this share of its nameplate when it runs empty, a motor less
// than under load, and seldom more than the other; what it draws at rest, a lamp or a
// plug's own electronics, is below the last (common practice, no source).
const (
	leastOfPlate = 0.15
	mostOfPlate  = 1.5
	restOfPlate  = 0.05
)

// Risen lists what has come near the nameplate of a machine since Mark, the likeliest
// first: what was heard at rest too before what was not, amperes and watts before units
// that plugs seldom send, a current before a power, whose factor is unknown, and the
// closest of each.
func (f *Finder) Risen(plateA, volts float64) []Candidate {
	var out []Candidate
	for p, s := range f.places {
		for _, name := range Load.Units() {
			m := Meter{Unit: name}
			a := m.amps(s.since, volts)
			if s.since <= units[name].high && a >= leastOfPlate*plateA && a <= mostOfPlate*plateA && m.amps(s.before, volts) <= restOfPlate*plateA {
				out = append(out, Candidate{p.topic, p.pointer, name, a, s.known})
			}
		}
	}
	slices.SortFunc(out, func(a, b Candidate) int {
		return cmp.Or(cmp.Compare(a.doubts(plateA), b.doubts(plateA)), cmp.Compare(a.Topic, b.Topic), cmp.Compare(a.Pointer, b.Pointer))
	})
	return out
}

// doubts is how unlikely it is that the candidate is the current of a machine.
func (c Candidate) doubts(plateA float64) float64 {
	far := math.Abs(math.Log(c.AmpsA/plateA)) + 2*float64(slices.Index([]string{"A", "W", "mA", "kW"}, c.Unit)) // the first is below 2
	if !c.known {
		far += 8
	}
	return far
}
