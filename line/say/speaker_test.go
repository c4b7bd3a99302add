package say

import (
	"strings"
	"testing"
	"time"
)

// English dates are those of the standard library, on every day of a year.
func TestDatesInEnglish(t *testing.T) {
	english := English()
	at := time.Date(2026, 1, 1, 15, 4, 0, 0, time.UTC)
	for range 366 {
		for _, layout := range []string{"Mon 2 Jan 15:04", "Mon 3:04 pm"} {
			if got, want := english.Date(at, layout), at.Format(layout); got != want {
				t.Fatalf("%q, want %q", got, want)
			}
		}
		at = at.AddDate(0, 0, 1)
	}
}

// The Spanish abbreviations are those of the Unicode CLDR, release 45, Spanish
// (calendar gregorian, format abbreviated), from memory.
func TestDatesInSpanish(t *testing.T) {
	spanish := speak(t, "es")
	for want, at := range map[string]time.Time{
		"mié 2 sept": time.Date(2026, 9, 2, 0, 0, 0, 0, time.UTC),
		"sáb 3 ene":  time.Date(2026, 1, 3, 0, 0, 0, 0, time.UTC),
		"lun 4 may":  time.Date(2026, 5, 4, 0, 0, 0, 0, time.UTC),
	} {
		if got := spanish.Date(at, "Mon 2 Jan"); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}

func TestSpan(t *testing.T) {
	for d, want := range map[time.Duration]string{
		0:                           "0 s",
		-time.Hour:                  "1 h",
		59 * time.Second:            "59 s",
		10 * time.Minute:            "10 min",
		90 * time.Second:            "1 min 30 s",
		3*time.Hour + 4*time.Minute: "3 h 4 min",
		25 * time.Hour:              "1 day 1 h",
		72 * time.Hour:              "3 days",
		57 * 365 * 24 * time.Hour:   "57 years",
	} {
		if got := English().Span(d); got != want {
			t.Errorf("%s: %q, want %q", d, got, want)
		}
	}
}

func TestValuesAsTheReaderLikesThem(t *testing.T) {
	us, err := NewSpeaker("en", Prefs{TwelveHour: true, US: true})
	if err != nil {
		t.Fatal(err)
	}
	afternoon := time.Date(2026, 12, 3, 15, 4, 5, 0, time.UTC)
	for _, c := range []struct {
		v              any
		metric, custom string
	}{
		{Amps(7.25), "7.2 A", "7.2 A"},
		{Volts(120), "120 V", "120 V"},
		{Percent(12.4), "12 %", "12 %"},
		{Grams(250), "250 g", "8.8 oz"},
		{Grams(2000), "2.00 kg", "4.41 lb"},
		{Grams(453.59237), "454 g", "1.00 lb"},
		{Metres(15.24), "15.24 m", "50 ft"},
		{Litres(3.785411784), "3.8 L", "1.0 gal"},
		{Celsius(37), "37.0 °C", "99 °F"},
		{Celsius(-40), "-40.0 °C", "-40 °F"},
		{Span(90 * time.Minute), "1 h 30 min", "1 h 30 min"},
		{Clock(12*time.Minute + 40*time.Second), "12:40", "12:40"},
		{Clock(-time.Hour), "-1:00:00", "-1:00:00"},
		{Time(afternoon), "15:04", "3:04 pm"},
		{TimeToSecond(afternoon), "15:04:05", "3:04:05 pm"},
		{Date(afternoon), "2026-12-03", "2026-12-03"},
		{DateTime(afternoon), "2026-12-03 15:04", "2026-12-03 3:04 pm"},
		{Load("rack-fans"), "rack fans", "rack fans"},
		{Circuit("wet-wall"), "wet-wall", "wet-wall"},
		{Batch{"pea", 2}, "pea 2", "pea 2"},
		{List{}, "", ""},
		{Names([]string{"a"}), "a", "a"},
		{Or{"a", "b", "c"}, "a, b or c", "a, b or c"},
		{List{Load("a-b"), Grams(28.349523125), "c"}, "a b, 28 g and c", "a b, 1.0 oz and c"},
	} {
		if got := English().Value(c.v); got != c.metric {
			t.Errorf("%#v: %q, want %q", c.v, got, c.metric)
		}
		if got := us.Value(c.v); got != c.custom {
			t.Errorf("%#v in US units: %q, want %q", c.v, got, c.custom)
		}
	}
	if got := speak(t, "es").Value(List{"a", "b", "c"}); got != "a, b y c" {
		t.Errorf("the list is %q", got)
	}
}

// A text takes a value with its unit, with fewer decimals, or its number alone.
func TestVerbsOfATextForTypedValues(t *testing.T) {
	for format, want := range map[string]string{"%s": "24.0 °C", "%.0s": "24 °C", "%.2v": "24.00 °C", "%9s|": "  24.0 °C|", "%-9s|": "24.0 °C  |", "%+s": "+24.0 °C", "%q": `"24.0 °C"`} {
		if got := English().fill(text{other: newFormat(format)}, []any{Celsius(24)}); got != want {
			t.Errorf("%s: %q, want %q", format, got, want)
		}
	}
	for format, want := range map[string]string{"%.4g A": "15 A", "%6.1f": "  15.0", "%s of %[1]s": "15.0 A of 15.0 A"} {
		if got := English().fill(text{other: newFormat(format)}, []any{Amps(15)}); got != want {
			t.Errorf("%s: %q, want %q", format, got, want)
		}
	}
}

// The forms are those of the Unicode CLDR: in English and Spanish one for 1, other for
// the rest, zero among it.
func TestPlural(t *testing.T) {
	for language, want := range map[string][]string{"en": {"0 trays", "1 tray", "2 trays", "21 trays"}, "es": {"0 bandejas", "1 bandeja", "2 bandejas", "21 bandejas"}} {
		s := speak(t, language)
		for i, n := range []int{0, 1, 2, 21} {
			if got := s.Say("count.trays", n); got != want[i] {
				t.Errorf("%s, %d: %q, want %q", language, n, got, want[i])
			}
		}
	}
	// The count is the first int, whatever else there is.
	if got := English().Say("suggest.bracket", Clock(time.Minute), Clock(2*time.Minute), 1, Clock(time.Minute)); !strings.Contains(got, "from 1 tasting;") {
		t.Errorf("%q", got)
	}
}
