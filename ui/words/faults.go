package words

import (
	"errors"
	"strings"

	"shedbell/recipes/strictfile"
)

// Faults says what is wrong in a file. Where it is, and the key and the value there,
// stay as they are written; what is wrong, and what would be right, is in this
// language.
func (t *Speaker) Faults(err error) string {
	all := []error{err}
	if many, ok := err.(interface{ Unwrap() []error }); ok {
		all = many.Unwrap()
	}
	lines := make([]string, len(all))
	for i, err := range all {
		if f, ok := errors.AsType[strictfile.Fault](err); ok {
			f.Problem, f.Mend = t.FromEnglish(f.Problem), t.FromEnglish(f.Mend)
			err = f
		}
		lines[i] = err.Error()
	}
	return strings.Join(lines, "\n")
}
