package words

import (
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
	spanish, err := NewTongue("es")
	if err != nil {
		t.Fatal(err)
	}
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
