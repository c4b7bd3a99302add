package say

import (
	"errors"
	"fmt"
	"reflect"
	"strings"
	"sync"
	"time"
)

// Prefs are how a reader likes clocks and units.
type Prefs struct {
	TwelveHour bool
	US         bool // ounces, pounds, feet, gallons and degrees Fahrenheit
}

// Speaker says things in a language, as its reader likes them.
type Speaker struct {
	*catalogue
	prefs Prefs
}

// NewSpeaker speaks one of the Languages.
func NewSpeaker(language string, p Prefs) (*Speaker, error) {
	c, err := load(language)
	if err != nil {
		return nil, err
	}
	return &Speaker{c, p}, nil
}

var english = sync.OnceValue(func() *Speaker {
	s, err := NewSpeaker("en", Prefs{})
	if err != nil {
		panic(err) // embedded, and a test reads it
	}
	return s
})

// English is the speaker where nothing else is chosen.
func English() *Speaker { return english() }

// Language is the speaker's, as ISO 639-1 names it.
func (s *Speaker) Language() string { return s.language }

// Prefs are the speaker's.
func (s *Speaker) Prefs() Prefs { return s.prefs }

// Say is a text with its values filled in. An identifier that is missing shows as
// itself, which is better than a blank on a screen that somebody depends on.
func (s *Speaker) Say(id string, args ...any) string {
	t, ok := s.texts[id]
	if !ok {
		return id
	}
	return s.fill(t, args)
}

// Sentence is a sentence in the speaker's language.
func (s *Speaker) Sentence(x Sentence) string {
	switch {
	case x.ID == "" && len(x.Args) > 0:
		return s.Value(x.Args[0])
	case x.ID == joinID && len(x.Args) > 0:
		parts := make([]string, len(x.Args)-1)
		for i, a := range x.Args[1:] {
			parts[i] = s.Value(a)
		}
		return strings.Join(parts, fmt.Sprint(x.Args[0]))
	case x.ID == "":
		return ""
	}
	t, ok := s.texts[x.ID]
	if !ok {
		t.other, ok = s.byOld(x.ID)
	}
	if !ok {
		return x.ID
	}
	return s.fill(t, x.Args)
}

// Speech is what is said, sentence by sentence.
func (s *Speaker) Speech(p Speech) string {
	parts := make([]string, len(p))
	for i, x := range p {
		parts[i] = s.Sentence(x)
	}
	return strings.Join(parts, " ")
}

// Value is a value by itself.
func (s *Speaker) Value(a any) string { return fmt.Sprint(s.ready(a)) }

// Problem is an error in words: what it says, or what the one that it wraps says. One
// that says nothing, such as the system's, stays as it is.
func (s *Speaker) Problem(err error) string {
	if x, ok := problem(err); ok {
		return s.Sentence(x)
	}
	return err.Error()
}

// problem is the sentence of an error that has one.
func problem(err error) (Sentence, bool) {
	var x interface {
		error
		Sayer
	}
	if errors.As(err, &x) {
		return x.Says(), true
	}
	return Sentence{}, false
}

// fill puts values into a text. Values beyond those that the text takes are left out.
func (s *Speaker) fill(t text, args []any) string {
	form := t.other
	if len(t.forms) > 0 {
		form = s.form(t, args)
	}
	if form.takes == 0 && !form.percent {
		return form.format
	}
	ready := make([]any, min(form.takes, len(args)))
	for i := range ready {
		ready[i] = s.ready(args[i])
	}
	return fmt.Sprintf(form.format, ready...)
}

// form is the one of a text's for its count.
func (s *Speaker) form(t text, args []any) format {
	for _, a := range args {
		if _, is := a.(value); is {
			continue
		}
		if v := reflect.ValueOf(a); v.CanInt() {
			if f, ok := t.forms[s.plural(int(v.Int()))]; ok {
				return f
			}
			break
		}
	}
	return t.other
}

// ready has a value written by the speaker, if it is not one that package fmt writes
// the same for everybody.
func (s *Speaker) ready(a any) any {
	switch a := a.(type) {
	case value:
		return spoken{s, a}
	case Sayer:
		return s.Sentence(a.Says())
	case error:
		return s.Problem(a)
	}
	return a
}

// Weight, Warmth and TimeOfDay write what a screen shows by itself.

// Weight writes a weight in grams.
func (s *Speaker) Weight(g float64) string { return s.Value(Grams(g)) }

// Warmth writes a temperature in degrees Celsius.
func (s *Speaker) Warmth(c float64) string { return s.Value(Celsius(c)) }

// TimeOfDay writes an instant, with a layout of its date before it.
func (s *Speaker) TimeOfDay(at time.Time, prefix string) string {
	if s.prefs.TwelveHour {
		return s.Date(at, prefix+"3:04 pm")
	}
	return s.Date(at, prefix+"15:04")
}

// Date writes an instant as time.Format does, with the short names of days and
// months in the speaker's language.
func (s *Speaker) Date(at time.Time, layout string) string {
	name := func(english string) string { return s.Say("date." + strings.ToLower(english[:3])) }
	return at.Format(strings.NewReplacer("Mon", name(at.Weekday().String()), "Jan", name(at.Month().String())).Replace(layout))
}

// Span is a length of time as people say it, in its two largest units.
func (s *Speaker) Span(d time.Duration) string {
	d = d.Abs().Round(time.Second)
	const day = 24 * time.Hour
	two := func(large time.Duration, name string, small time.Duration, smallName string) string {
		text := s.Say(name, int(d/large))
		if rest := d % large / small; rest > 0 {
			text += " " + s.Say(smallName, int(rest))
		}
		return text
	}
	switch {
	case d < time.Minute:
		return s.Say("span.second", int(d/time.Second))
	case d < time.Hour:
		return two(time.Minute, "span.minute", time.Second, "span.second")
	case d < day:
		return two(time.Hour, "span.hour", time.Minute, "span.minute")
	case d < 1000*day:
		return two(day, "span.day", time.Hour, "span.hour")
	}
	return s.Say("span.year", int(d/(365*day)))
}
