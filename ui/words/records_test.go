package words_test

import (
	"strings"
	"testing"

	"shedbell/line"
	"shedbell/ui/words"
)

func TestInitials(t *testing.T) {
	for name, want := range map[string]string{"Ash": "A", "rowan oak": "RO", "Ýr Ås": "ÝÅ", "": "", "7 dwarfs": "D"} {
		if got := words.Initials(name); got != want {
			t.Errorf("Initials(%q) = %q, want %q", name, got, want)
		}
	}
}

// Every danger has both texts, and each full one says what the short one cannot:
// it is the longer of the two.
func TestCautionsAreThere(t *testing.T) {
	for d := words.DangerJet; d <= words.DangerDrum; d++ {
		short, full := words.English().Caution(d, false), words.English().Caution(d, true)
		if short == "" || len(full) <= len(short) {
			t.Errorf("danger %d: %q and %q", d, short, full)
		}
		if len(short) > 90 {
			t.Errorf("danger %d: %d letters do not fit a line: %q", d, len(short), short)
		}
	}
	for _, d := range []words.Danger{words.DangerPeroxide, words.DangerChlorine} {
		if !strings.Contains(words.English().Caution(d, true), "label") {
			t.Errorf("danger %d does not send the reader to the label", d)
		}
	}
	if !strings.Contains(words.English().Caution(words.DangerElectric, true), "licensed electrician") {
		t.Error("electricity without a licensed electrician")
	}
}

func TestEntryInWords(t *testing.T) {
	e := line.Entry{Kind: line.EntryFridge, Where: "fridge", Value: 3.8, Unit: line.UnitC, Initials: "A"}
	if got, want := words.English().Entry(&e), "Fridge temperature, fridge, 3.8 C"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
}
