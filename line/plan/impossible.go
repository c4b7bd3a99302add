package plan

import (
	"slices"

	"shedbell/line/say"
)

// Impossible is the answer for a day that cannot be done as it is asked for. Each
// demand is a sentence that names who asks for what and what stands against it.
type Impossible struct{ Demands []say.Sentence }

func (e *Impossible) Error() string {
	return e.Says().String()
}

// Says is the answer with its values apart.
func (e *Impossible) Says() say.Sentence {
	return say.New("this day cannot be done: %s", say.Join(e.Demands, "; "))
}

func (e *Impossible) add(demand say.Sentence) {
	same := func(d say.Sentence) bool { return d.String() == demand.String() }
	if !slices.ContainsFunc(e.Demands, same) {
		e.Demands = append(e.Demands, demand)
	}
}
