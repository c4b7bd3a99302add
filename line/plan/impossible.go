package plan

import (
	"slices"

	"shedbell/power"
)

// Impossible is the answer for a day that cannot be done as it is asked for. Each
// demand is a sentence that names who asks for what and what stands against it.
type Impossible struct{ Demands []power.Sentence }

func (e *Impossible) Error() string {
	return e.Sentence().String()
}

// Sentence is the answer with its values apart.
func (e *Impossible) Sentence() power.Sentence {
	return power.Say("this day cannot be done: %s", power.Join(e.Demands, "; "))
}

func (e *Impossible) add(demand power.Sentence) {
	same := func(d power.Sentence) bool { return d.String() == demand.String() }
	if !slices.ContainsFunc(e.Demands, same) {
		e.Demands = append(e.Demands, demand)
	}
}
