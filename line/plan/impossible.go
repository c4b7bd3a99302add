package plan

import (
	"slices"
	"strings"
)

// Impossible is the answer for a day that cannot be done as it is asked for. Each
// demand is a sentence that names who asks for what and what stands against it.
type Impossible struct{ Demands []string }

func (e *Impossible) Error() string {
	return "this day cannot be done: " + strings.Join(e.Demands, "; ")
}

func (e *Impossible) add(demand string) {
	if !slices.Contains(e.Demands, demand) {
		e.Demands = append(e.Demands, demand)
	}
}
