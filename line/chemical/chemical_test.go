package chemical_test

import (
	"strings"
	"testing"

	"shedbell/line/chemical"
)

// A registry number's last digit is the sum of the others, weighted by their place from
// the right, without its tens (CAS, "Check Digit Verification of CAS Registry Numbers").
func TestRegistryNumbers(t *testing.T) {
	for _, c := range chemical.Known {
		digits := strings.ReplaceAll(c.CAS, "-", "")
		if digits == "" {
			continue
		}
		sum := 0
		for i, n := 0, len(digits)-1; i < n; i++ {
			sum += int(digits[i]-'0') * (n - i)
		}
		if want := int(digits[len(digits)-1] - '0'); sum%10 != want {
			t.Errorf("%s %s: the check digit is %d", c.ID, c.CAS, sum%10)
		}
	}
}

// Whatever it is called, in whatever case and with or without accents, it is the same.
func TestEveryNameIsFound(t *testing.T) {
	for _, c := range chemical.Known {
		for _, name := range append([]string{string(c.ID), c.CAS}, c.Names...) {
			if name == "" {
				continue
			}
			plain := strings.NewReplacer("á", "a", "é", "e", "í", "i", "ó", "o", "ú", "u", "ä", "a", "ü", "u").Replace(name)
			for _, product := range []string{name, strings.ToUpper(name), plain, "Clean 5 (" + name + ")", name + ", 12 %", "x " + name + " x"} {
				if got := chemical.In(product); got != c.ID {
					t.Errorf("%q is taken for %q, not %s", product, got, c.ID)
				}
			}
		}
	}
}

func TestOthersAreNotTakenForIt(t *testing.T) {
	for _, product := range []string{"", "soap", "sodium chloride", "cloruro de sodio", "chlorine dioxide", "Dióxido de cloro", "chlorophyll",
		"vinegar", "pesto", "paanel", "Bleachfield farm's own", "neutral cleaner"} {
		if got := chemical.In(product); got != chemical.Unknown {
			t.Errorf("%q is taken for %s", product, got)
		}
	}
	for product, want := range map[string]chemical.ID{"peroxyacetic acid with hydrogen peroxide": chemical.Peracid, "PAA 15 / H2O2 10": chemical.Peracid,
		"benzalkonium chloride 0.1 %": chemical.Quat, "chlorine (hypochlorite)": chemical.SodiumHypochlorite, "Ca(OCl)2 65 %": chemical.CalciumHypochlorite} {
		if got := chemical.In(product); got != want {
			t.Errorf("%q is taken for %q, not %s", product, got, want)
		}
	}
}

// Bleach with an acid gives off chlorine (kivfd.org 19 March 2020); with
// a product of peroxyacetic acid likewise (by inference, from memory).
func TestWhatMustNotMeet(t *testing.T) {
	for _, c := range []struct {
		a, b  chemical.ID
		never bool
	}{
		{chemical.SodiumHypochlorite, chemical.Citric, true}, {chemical.CalciumHypochlorite, chemical.Lactic, true},
		{chemical.SodiumHypochlorite, chemical.Peracid, true}, {chemical.SodiumHypochlorite, chemical.Peroxide, true},
		{chemical.Peroxide, chemical.Citric, true}, {chemical.SodiumHypochlorite, chemical.CalciumHypochlorite, false},
		{chemical.Peroxide, chemical.Peracid, false}, {chemical.Peroxide, chemical.Peroxide, false}, {chemical.Unknown, chemical.Peroxide, false},
	} {
		if got := chemical.Never(c.a, c.b); got != c.never || chemical.Never(c.b, c.a) != c.never {
			t.Errorf("%s and %s: never together is %v", c.a, c.b, got)
		}
	}
}
