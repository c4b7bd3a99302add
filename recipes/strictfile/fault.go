// Package strictfile reads TOML files that a person wrote by hand.
//
// It is strict, and it reports everything it finds in one go: an unknown key, a
// value of the wrong type, a missing key, each with file, line, column, the
// value as written and what would be right. The checks that need knowledge of
// the subject (ranges, references) are made by the caller, who asks Positions
// where a value stands so that those faults point at the exact place too.
//
// It is pure: bytes come in as a value and nothing is opened.
package strictfile

import (
	"cmp"
	"fmt"
	"shedbell/line/say"
	"slices"
	"strings"
	"unicode"
)

// Fault is one thing wrong in a file. It is an error, so it can be joined with
// others or shown by itself.
type Fault struct {
	File    string       // name of the file as the person knows it
	Line    int          // counted from 1; 0 when the fault has no place
	Column  int          // in characters, counted from 1
	Key     string       // whole path of the key, such as loads[2].amps; may be empty
	Value   string       // the value as written; may be empty
	Problem say.Sentence // what is wrong: negative
	Mend    say.Sentence // what would be right: "give a whole number from 1 to 500"
}

// Error puts the fault on one line, free of control characters:
//
//	day.toml:12:9: trays = -3: negative; give a whole number from 1 to 500
func (f Fault) Error() string { return f.In(say.English()) }

// In is the fault as a speaker says it. Where it is, and the key and the value there,
// stay as they are written.
func (f Fault) In(w *say.Speaker) string {
	var b strings.Builder
	b.WriteString(f.File)
	if f.Line > 0 {
		fmt.Fprintf(&b, ":%d:%d", f.Line, f.Column)
	}
	b.WriteString(": ")
	if f.Key != "" {
		b.WriteString(lastPart(f.Key))
		if f.Value != "" {
			b.WriteString(" = " + f.Value)
		}
		b.WriteString(": ")
	}
	b.WriteString(w.Sentence(f.Problem))
	if !f.Mend.IsZero() {
		b.WriteString("; " + w.Sentence(f.Mend))
	}
	return Printable(b.String())
}

// lastPart is the part of a key path that stands in the file at that place. The
// line and column say which one is meant, so the rest would only be noise.
func lastPart(path string) string {
	quoted := false
	start := 0
	for i, r := range path {
		switch {
		case r == '"':
			quoted = !quoted
		case r == '.' && !quoted:
			start = i + 1
		}
	}
	return path[start:]
}

// Sort orders faults by their place in the file.
func Sort(faults []Fault) {
	slices.SortStableFunc(faults, func(a, b Fault) int {
		return cmp.Or(cmp.Compare(a.Line, b.Line), cmp.Compare(a.Column, b.Column))
	})
}

// Tidy sorts the faults of one file, drops repeats and, beyond MaxFaults, counts
// the rest instead of listing it.
func Tidy(file string, faults []Fault) []Fault {
	Sort(faults)
	faults = slices.CompactFunc(faults, func(a, b Fault) bool { return a.Error() == b.Error() })
	if len(faults) <= MaxFaults {
		return faults
	}
	return append(faults[:MaxFaults:MaxFaults], Fault{File: file,
		Problem: say.New("fault.more-faults", len(faults)-MaxFaults), Mend: say.New("fault.mend-these")})
}

// Join makes one error of many faults, one a line, or nil of none.
func Join(faults []Fault) error {
	if len(faults) == 0 {
		return nil
	}
	return joined(faults)
}

type joined []Fault

func (j joined) Error() string {
	lines := make([]string, len(j))
	for i := range j {
		lines[i] = j[i].Error()
	}
	return strings.Join(lines, "\n")
}

// Unwrap lets errors.As find a Fault in the whole.
func (j joined) Unwrap() []error {
	errs := make([]error, len(j))
	for i := range j {
		errs[i] = j[i]
	}
	return errs
}

// BadValue is what an UnmarshalText method returns to say how to mend the value
// it refused. Decode fills in the place.
type BadValue struct{ Problem, Mend say.Sentence }

func (e *BadValue) Error() string { return e.Problem.String() + "; " + e.Mend.String() }

// Range says which values are right. The unit is a symbol, a text of units, or empty.
func Range(from, to float64, unit string) say.Sentence {
	switch {
	case unit == "":
		return say.New("fault.range-bare", from, to)
	case strings.HasPrefix(unit, "fault."):
		return say.New("fault.range", from, to, say.New(unit))
	}
	return say.New("fault.range", from, to, unit)
}

// Printable replaces every character that could move a cursor, change a colour
// or reverse the reading direction by a question mark.
func Printable(s string) string {
	return strings.Map(func(r rune) rune {
		if IsControl(r) {
			return '?'
		}
		return r
	}, s)
}

// IsControl reports whether a character is a control, format, line-separator or
// private-use character, none of which belongs in a name or a note.
func IsControl(r rune) bool {
	return r == unicode.ReplacementChar || unicode.In(r, unicode.Cc, unicode.Cf, unicode.Zl, unicode.Zp, unicode.Co, unicode.Cs)
}

// clip shortens a value for a message; 60 characters show what was meant.
func clip(s string) string {
	const most = 60
	s = Printable(s)
	runes := []rune(s)
	if len(runes) <= most {
		return s
	}
	return string(runes[:most]) + "..."
}
