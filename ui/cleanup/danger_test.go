package cleanup

import (
	"testing"

	"shedbell/line/chemical"
	"shedbell/line/say"
	"shedbell/ui/words"
)

// Products with chlorine go by many names; mixed with acid or peroxide they make a
// poisonous gas (from memory), so
// the caution has to be theirs in every language.
func TestDangerOfTheProduct(t *testing.T) {
	for product, want := range map[string]words.Danger{
		"Chlorine (hypochlorite)": words.DangerChlorine, "BLEACH 6%": words.DangerChlorine, "cloro (hipoclorito)": words.DangerChlorine,
		"Lavandina": words.DangerChlorine, "lejía": words.DangerChlorine,
		"hydrogen peroxide": words.DangerPeroxide, "ácido peroxiacético": words.DangerPeroxide, "": words.DangerSanitizer,
		"ácido láctico": words.DangerSanitizer, "chlorine dioxide": words.DangerSanitizer, "sodium chloride": words.DangerSanitizer,
	} {
		if got := words.DangerOf(chemical.In(product)); got != want {
			t.Errorf("%q is danger %d, want %d", product, got, want)
		}
	}
	for _, name := range say.Languages() {
		speaker, err := words.New(name, say.Prefs{})
		if err != nil {
			t.Fatal(err)
		}
		if got := words.DangerOf(chemical.In(speaker.Say(products[2]))); got != words.DangerChlorine {
			t.Errorf("in %q chlorine is danger %d", name, got)
		}
	}
}
