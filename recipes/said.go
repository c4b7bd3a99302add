package recipes

import (
	"fmt"
	"strings"
)

// Said is a text and the values in it, still apart, so that it can be said in
// another language: its English format is its key there. The zero value says
// nothing.
type Said struct {
	Format string // English, with the verbs of package fmt
	Args   []any
}

// Say makes a text.
func Say(format string, args ...any) Said { return Said{format, args} }

// String is the text in English.
func (s Said) String() string { return fmt.Sprintf(s.Format, s.Args...) }

func join(list []Said, with string) string {
	out := make([]string, len(list))
	for i, s := range list {
		out[i] = s.String()
	}
	return strings.Join(out, with)
}
