package words

import (
	"errors"
	"strings"

	"shedbell/recipes/strictfile"
)

// Faults says what is wrong in a file.
func (t *Speaker) Faults(err error) string {
	all := []error{err}
	if many, ok := err.(interface{ Unwrap() []error }); ok {
		all = many.Unwrap()
	}
	lines := make([]string, len(all))
	for i, err := range all {
		if f, ok := errors.AsType[strictfile.Fault](err); ok {
			lines[i] = f.In(t.Speaker)
		} else {
			lines[i] = t.Problem(err)
		}
	}
	return strings.Join(lines, "\n")
}
