package power

import (
	"fmt"
	"strings"
)

// Sentence is a text and the values in it, still apart, so that it can be said in
// another language. Its English format is its key there. An argument may itself be
// a Sentence or Names.
type Sentence struct {
	Format string // English, with the verbs of package fmt
	Args   []any
}

// Say makes a sentence.
func Say(format string, args ...any) Sentence { return Sentence{format, args} }

// String is the sentence in English.
func (s Sentence) String() string { return fmt.Sprintf(s.Format, s.Args...) }

// Join says sentences one after the other with something between them. It is the
// zero value where there are none.
func Join(list []Sentence, between string) Sentence {
	var all Sentence
	for i, s := range list {
		if i > 0 {
			s = Sentence{"%s" + between + "%s", []any{all, s}}
		}
		all = s
	}
	return all
}

// Speech is what is said, sentence by sentence.
type Speech []Sentence

// String is the speech in English.
func (p Speech) String() string {
	parts := make([]string, len(p))
	for i, s := range p {
		parts[i] = s.String()
	}
	return strings.Join(parts, " ")
}

// Names are names to be joined as a person would say them.
type Names []string

// String joins them in English.
func (n Names) String() string { return n.Join(" and ") }

// Join puts commas between the names, and the given word before the last.
func (n Names) Join(and string) string {
	if len(n) < 2 {
		return strings.Join(n, "")
	}
	last := len(n) - 1
	return strings.Join(n[:last], ", ") + and + n[last]
}
