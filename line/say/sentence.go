// Package say is the one way in which the program says something. A sentence is the
// identifier of a text and typed values; what it looks like is settled where it is
// read, by a Speaker, which has the language and the reader's clock and units. All
// texts of all languages are in lang/<language>/*.toml, by the same identifiers.
//
//	no := say.New("power.over", say.Circuit("wet wall"), say.Amps(26), say.Grams(250))
//	s, err := say.NewSpeaker("es", say.Prefs{TwelveHour: true, US: true})
//	s.Sentence(no)
//
// A text takes its values by the verbs of package fmt, in the order of the values or
// by number: "%[2]s". %s writes a typed value with its unit, %.0s with so many
// decimals, %.4g its bare number, for values without a unit to choose. A text that
// depends on a count is a table: {one = "%d tray", other = "%d trays"}; the first int
// among the values is the count.
//
// Packages power and recipes may import this one; it imports nothing of ours.
package say

import (
	"fmt"
	"reflect"
	"strings"
)

// Sentence is what is to be said: a text by its identifier, and the values in it.
// Without an identifier it is its first value alone. The zero value says nothing.
type Sentence struct {
	ID   string
	Args []any
}

// Sayer is a value that people have a word for, such as a kind of station.
type Sayer interface{ Says() Sentence }

// New makes a sentence. What is not one of the types of this package, a string or a
// number is kept as the sentence it says, else as it is printed.
func New(id string, args ...any) Sentence {
	for i, a := range args {
		args[i] = plain(a)
	}
	return Sentence{ID: id, Args: args}
}

// Of is a sentence of one value.
func Of(v any) Sentence { return New("", v) }

// joinID marks a list of sentences with something between them, its first value.
const joinID = "+"

// Join says sentences one after the other, with a mark such as "; " between them. It
// is the zero value where there are none.
func Join(list []Sentence, between string) Sentence {
	switch len(list) {
	case 0:
		return Sentence{}
	case 1:
		return list[0]
	}
	args := []any{between}
	for _, s := range list {
		args = append(args, s)
	}
	return Sentence{ID: joinID, Args: args}
}

// IsZero says that there is nothing to be said.
func (s Sentence) IsZero() bool { return s.ID == "" && len(s.Args) == 0 }

// String is the sentence in English.
func (s Sentence) String() string { return English().Sentence(s) }

// Speech is what is said, sentence by sentence.
type Speech []Sentence

// String is the speech in English.
func (p Speech) String() string { return English().Speech(p) }

// plain is a value as a sentence keeps it.
func plain(a any) any {
	switch a := a.(type) {
	case nil:
		return ""
	case value, string, int, float64:
		return a
	case Sayer:
		return a.Says()
	case error:
		if s, ok := problem(a); ok {
			return s
		}
		return Sentence{ID: a.Error()}
	case fmt.Stringer:
		return a.String()
	}
	switch v := reflect.ValueOf(a); v.Kind() {
	case reflect.Int, reflect.Int8, reflect.Int16, reflect.Int32, reflect.Int64:
		return int(v.Int())
	case reflect.Uint, reflect.Uint8, reflect.Uint16, reflect.Uint32:
		return int(v.Uint())
	case reflect.Float32:
		return v.Float()
	}
	return strings.TrimSpace(fmt.Sprint(a))
}

// Err is an error that says a sentence.
func Err(id string, args ...any) error { return &sayError{New(id, args...)} }

type sayError struct{ says Sentence }

func (e *sayError) Error() string  { return e.says.String() }
func (e *sayError) Says() Sentence { return e.says }
