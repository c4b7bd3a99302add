package line

import (
	"reflect"

	"shedbell/line/say"
	"shedbell/power"
)

// mostDifferences is how many are named; of more the rest is counted.
const mostDifferences = 4

// Differences names what another line has changed, added or left out, by feeder, circuit,
// machine and station; people, limits and the rest come last.
func (s *Site) Differences(to *Site) say.Sentence {
	var out []say.Sentence
	out = append(out, differ(s.Panel.Feeders, to.Panel.Feeders, func(f power.Feeder) (say.Sentence, any) { return say.Of(f.Name), f })...)
	out = append(out, differ(s.Panel.Circuits, to.Panel.Circuits, func(c power.Circuit) (say.Sentence, any) { return say.Of(c.Name), c })...)
	was, is := s.loads(), to.loads()
	out = append(out, differ(was, is, func(l namedLoad) (say.Sentence, any) { return say.Of(say.Load(l.Name)), l })...)
	out = append(out, differ(s.namedStations(), to.namedStations(), func(st namedStation) (say.Sentence, any) { return say.Of(say.Station(st.Name)), st })...)
	for _, part := range []struct {
		id   string
		a, b any
	}{{"line.differs-crew", s.Crew, to.Crew}, {"line.differs-limits", s.Limits, to.Limits}, {"line.differs-name", s.Name, to.Name}, {"line.differs-wage", s.Wage, to.Wage},
		{"line.differs-supply", supply(s), supply(to)}} {
		if !reflect.DeepEqual(part.a, part.b) {
			out = append(out, say.New(part.id))
		}
	}
	if n := len(out); n > mostDifferences {
		out = append(out[:mostDifferences:mostDifferences], say.New("line.differs-more", n-mostDifferences))
	}
	return say.Join(out, ", ")
}

// supply is what a panel has beside its feeders, circuits and loads.
func supply(s *Site) power.Panel {
	p := s.Panel
	p.Feeders, p.Circuits, p.Loads = nil, nil, nil
	return p
}

// namedLoad and namedStation point by name at what they belong to, as places in a list
// change when something is added before them.
type namedLoad struct {
	power.Load
	On string
}

func (s *Site) loads() (out []namedLoad) {
	for _, l := range s.Panel.Loads {
		n := namedLoad{l, s.Panel.Circuits[l.Circuit].Name}
		n.Circuit = 0
		out = append(out, n)
	}
	return out
}

type namedStation struct {
	Station
	LoadName, DrainName string
}

func (s *Site) namedStations() (out []namedStation) {
	name := func(load int) string {
		if load == NoLoad {
			return ""
		}
		return s.Panel.Loads[load].Name
	}
	for _, st := range s.Stations {
		n := namedStation{st, name(st.Load), name(st.DrainLoad)}
		n.Load, n.DrainLoad = 0, 0
		out = append(out, n)
	}
	return out
}

// differ says what is new, gone or another one between two lists of named things.
func differ[T any](was, is []T, key func(T) (say.Sentence, any)) (out []say.Sentence) {
	before := map[string]any{}
	for _, x := range was {
		name, value := key(x)
		before[name.String()] = value
	}
	for _, x := range is {
		name, value := key(x)
		old, there := before[name.String()]
		delete(before, name.String())
		switch {
		case !there:
			out = append(out, say.New("line.differs-new", name))
		case !reflect.DeepEqual(old, value):
			out = append(out, say.New("line.differs-changed", name))
		}
	}
	for _, x := range was {
		if name, _ := key(x); before[name.String()] != nil {
			out = append(out, say.New("line.differs-gone", name))
		}
	}
	return out
}
