package words

import (
	"strings"
	"testing"

	"shedbell/line"
	"shedbell/line/files"
	"shedbell/line/say"
	"shedbell/recipes"
)

// TestNamesThatComeWithTheProgram: whoever has not named anything yet reads no English in
// Spanish; what the owner has named stays as it was typed.
func TestNamesThatComeWithTheProgram(t *testing.T) {
	spanish, err := New("es", say.Prefs{})
	if err != nil {
		t.Fatal(err)
	}
	var names []string
	site := files.Starter()
	for _, st := range site.Stations {
		names = append(names, st.Name)
	}
	for _, l := range site.Panel.Loads {
		names = append(names, l.Name)
	}
	for _, c := range site.Panel.Circuits {
		names = append(names, c.Name)
	}
	names = append(names, recipes.Starters().Crops()...)
	for _, n := range names {
		if id := "name." + strings.NewReplacer(" ", "-").Replace(n); !spanish.Has(id) {
			t.Errorf("es has no %s", id)
		}
	}
	b := &line.Batch{Crop: "radish", No: 2}
	for got, want := range map[string]string{
		spanish.Caps(b):                                "RÁBANO 2",
		English().Caps(b):                              "RADISH 2",
		spanish.Load("pressure-washer"):                "hidrolavadora",
		English().Load("pressure-washer"):              "pressure washer",
		spanish.Circuit("wet wall"):                    "pared mojada",
		spanish.Value(say.Station("rack b")):           "estante b",
		spanish.Station("our green tub"):               "our green tub",
		spanish.Crop("Radish"):                         "Radish",
		spanish.Value(say.List{say.Load("rack-fans")}): "ventiladores",
	} {
		if got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}
