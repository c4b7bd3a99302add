package say

import (
	"fmt"
	"strconv"
	"strings"
	"time"
)

// The typed values of a sentence. Each is written as its reader likes it.
type (
	Amps    float64
	Volts   float64
	Grams   float64
	Metres  float64
	Litres  float64
	Celsius float64
	Percent float64

	Span  time.Duration // a length of time in words: 3 h 4 min
	Clock time.Duration // a countdown: 12:40

	Time         time.Time // of day
	TimeToSecond time.Time // of day
	Date         time.Time
	DateTime     time.Time

	// Names that people have given.
	Crop    string
	Station string
	Person  string
	Load    string // a machine, shown without the hyphens of the line file
	Circuit string
	Setting string // of a load; the usual three are words

	// Values joined as a person says them: a, b and c; a, b or c.
	List []any
	Or   []any
)

// Batch is a crop's batch of the day.
type Batch struct {
	Crop string
	No   int
}

// Names makes a list of names.
func Names[T any](names []T) List {
	out := make(List, len(names))
	for i, n := range names {
		out[i] = plain(n)
	}
	return out
}

// value is one that a speaker writes by itself, with so many decimals; usual: as many
// as are usual.
type value interface {
	spoken(s *Speaker, decimals int) string
}

const usual = -1

// number is a value that a text may take without its unit.
type number interface{ bare() float64 }

func (v Amps) bare() float64    { return float64(v) }
func (v Volts) bare() float64   { return float64(v) }
func (v Percent) bare() float64 { return float64(v) }

// amount writes a number with its unit.
func amount(v float64, decimals, usually int, unit string) string {
	if decimals == usual {
		decimals = usually
	}
	return strconv.FormatFloat(v, 'f', decimals, 64) + " " + unit
}

func (v Amps) spoken(_ *Speaker, n int) string    { return amount(float64(v), n, 1, "A") }
func (v Volts) spoken(_ *Speaker, n int) string   { return amount(float64(v), n, 0, "V") }
func (v Percent) spoken(_ *Speaker, n int) string { return amount(float64(v), n, 0, "%") }

// Units that are customary in the United States. The avoirdupois pound is 453.59237 g,
// the foot 0.3048 m and the gallon 3.785411784 L by definition (NIST Handbook 44,
// appendix C).
const (
	gramsPerOunce   = 28.349523125
	ouncesPerPound  = 16
	metresPerFoot   = 0.3048
	litresPerGallon = 3.785411784
)

func (v Grams) spoken(s *Speaker, n int) string {
	g := float64(v)
	switch oz := g / gramsPerOunce; {
	case s.prefs.US && oz < ouncesPerPound:
		return amount(oz, n, 1, "oz")
	case s.prefs.US:
		return amount(oz/ouncesPerPound, n, 2, "lb")
	case g >= 1000:
		return amount(g/1000, n, 2, "kg")
	}
	return amount(g, n, 0, "g")
}

func (v Metres) spoken(s *Speaker, n int) string {
	if s.prefs.US {
		return amount(float64(v)/metresPerFoot, n, 0, "ft")
	}
	if n == usual {
		return fmt.Sprintf("%.4g m", float64(v))
	}
	return amount(float64(v), n, 0, "m")
}

func (v Litres) spoken(s *Speaker, n int) string {
	if s.prefs.US {
		return amount(float64(v)/litresPerGallon, n, 1, "gal")
	}
	return amount(float64(v), n, 1, "L")
}

func (v Celsius) spoken(s *Speaker, n int) string {
	if s.prefs.US {
		return amount(float64(v)*9/5+32, n, 0, "°F")
	}
	return amount(float64(v), n, 1, "°C")
}

func (v Clock) spoken(*Speaker, int) string        { return countdown(time.Duration(v)) }
func (v Span) spoken(s *Speaker, _ int) string     { return s.Span(time.Duration(v)) }
func (v Time) spoken(s *Speaker, _ int) string     { return s.TimeOfDay(time.Time(v), "") }
func (v Date) spoken(*Speaker, int) string         { return time.Time(v).Format(time.DateOnly) }
func (v DateTime) spoken(s *Speaker, _ int) string { return s.TimeOfDay(time.Time(v), "2006-01-02 ") }
func (v TimeToSecond) spoken(s *Speaker, _ int) string {
	if s.prefs.TwelveHour {
		return time.Time(v).Format("3:04:05 pm")
	}
	return time.Time(v).Format(time.TimeOnly)
}

func (v Crop) spoken(s *Speaker, _ int) string    { return s.name(string(v)) }
func (v Station) spoken(s *Speaker, _ int) string { return s.name(string(v)) }
func (v Person) spoken(*Speaker, int) string      { return string(v) }
func (v Circuit) spoken(s *Speaker, _ int) string { return s.name(string(v)) }
func (v Load) spoken(s *Speaker, _ int) string {
	return s.name(strings.ReplaceAll(string(v), "-", " "))
}
func (v Batch) spoken(s *Speaker, _ int) string { return s.name(v.Crop) + " " + strconv.Itoa(v.No) }

// name is what a name of the line or of a recipe is called in the speaker's language, if
// it came with the program; also with the letter of a place behind it, as in "rack b". What
// people have named themselves stays.
func (s *Speaker) name(n string) string {
	if s.language == English().language {
		return n
	}
	if id := "name." + strings.ReplaceAll(n, " ", "-"); s.Has(id) {
		return s.Say(id)
	}
	if i := len(n) - 2; i > 0 && n[i] == ' ' {
		return s.name(n[:i]) + n[i:]
	}
	return n
}

func (v Setting) spoken(s *Speaker, _ int) string {
	if id := "setting." + string(v); s.Has(id) {
		return s.Say(id)
	}
	return string(v)
}

// kept is English that a record of an earlier version keeps.
type kept string

func (v kept) spoken(s *Speaker, _ int) string { return s.fromEnglish(string(v)) }

func (v List) spoken(s *Speaker, _ int) string { return s.list(v, "list.and") }
func (v Or) spoken(s *Speaker, _ int) string   { return s.list(v, "list.or") }

func (s *Speaker) list(values []any, last string) string {
	out := ""
	for i, a := range values {
		switch {
		case i > 0 && i == len(values)-1:
			out += s.Say(last)
		case i > 0:
			out += ", "
		}
		out += s.Value(a)
	}
	return out
}

func (v Sentence) spoken(s *Speaker, _ int) string { return s.Sentence(v) }
func (v Speech) spoken(s *Speaker, _ int) string   { return s.Speech(v) }

// The values in English, on a 24-hour clock and in metric units.

func (v Amps) String() string         { return English().Value(v) }
func (v Volts) String() string        { return English().Value(v) }
func (v Grams) String() string        { return English().Value(v) }
func (v Metres) String() string       { return English().Value(v) }
func (v Litres) String() string       { return English().Value(v) }
func (v Celsius) String() string      { return English().Value(v) }
func (v Percent) String() string      { return English().Value(v) }
func (v Span) String() string         { return English().Value(v) }
func (v Clock) String() string        { return countdown(time.Duration(v)) }
func (v Time) String() string         { return English().Value(v) }
func (v TimeToSecond) String() string { return English().Value(v) }
func (v Date) String() string         { return English().Value(v) }
func (v DateTime) String() string     { return English().Value(v) }
func (v Load) String() string         { return English().Value(v) }
func (v Batch) String() string        { return English().Value(v) }
func (v List) String() string         { return English().Value(v) }

// countdown writes 12:40, 1:02:03, -0:12. It drops parts of a second.
func countdown(d time.Duration) string {
	sign := ""
	if d = d.Truncate(time.Second); d < 0 {
		sign, d = "-", -d
	}
	h, m, s := int(d.Hours()), int(d.Minutes())%60, int(d.Seconds())%60
	if h > 0 {
		return fmt.Sprintf("%s%d:%02d:%02d", sign, h, m, s)
	}
	return fmt.Sprintf("%s%d:%02d", sign, m, s)
}

// spoken is a value on its way into a text.
type spoken struct {
	s *Speaker
	v value
}

// Format writes the value with its unit, or its bare number for a verb of numbers.
func (a spoken) Format(f fmt.State, verb rune) {
	if n, ok := a.v.(number); ok && strings.ContainsRune("efgEFG", verb) {
		fmt.Fprintf(f, fmt.FormatString(f, verb), n.bare())
		return
	}
	decimals := usual
	if n, ok := f.Precision(); ok {
		decimals = n
	}
	spec := "%"
	if f.Flag('-') {
		spec += "-"
	}
	if w, ok := f.Width(); ok {
		spec += strconv.Itoa(w)
	}
	if verb != 'q' {
		verb = 's'
	}
	text := a.v.spoken(a.s, decimals)
	if f.Flag('+') && !strings.HasPrefix(text, "-") {
		text = "+" + text
	}
	fmt.Fprintf(f, spec+string(verb), text)
}
