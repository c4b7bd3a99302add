package recipeui_test

import (
	"fmt"
	"testing"
	"time"

	"github.com/muesli/termenv"

	"shedbell/line"
	"shedbell/line/linetest"
	"shedbell/recipes"
	"shedbell/ui/act"
	"shedbell/ui/canvas"
	recipeui "shedbell/ui/recipes"
	"shedbell/ui/screen"
	"shedbell/ui/theme"
	"shedbell/ui/uitest"
	"shedbell/ui/words"
)

// One batch of pea alone on the line waits for nothing else, so the day is done
// sooner by just what its recipe loses.
func TestSavingOfALonelyBatch(t *testing.T) {
	sheet := linetest.Sheet()
	sheet.Crops = []line.Demand{{Crop: "pea", Trays: 3}}
	s, _, no := line.Do(line.NewState(linetest.Site(), linetest.Book()), line.OpenDay{Sheet: sheet}, linetest.Morning, "Ash")
	if no != nil {
		t.Fatal(no)
	}
	r, _ := s.Recipe("pea")
	shorter := r
	shorter.Spin, shorter.Dry = r.Spin-30*time.Second, r.Dry-4*time.Minute
	if by, ok := recipeui.Saves(s, linetest.Morning, shorter); !ok || by <= 0 || by > 4*time.Minute+30*time.Second {
		t.Errorf("saves %s (%v), want more than nothing and at most 4:30", by, ok)
	}
	if by, _ := recipeui.Saves(s, linetest.Morning, r); by != 0 {
		t.Errorf("the same recipe saves %s", by)
	}
	if got, _ := s.Recipe("pea"); got.Revision != 1 {
		t.Error("working the saving out changed the line")
	}
	if _, ok := recipeui.Saves(line.NewState(linetest.Site(), linetest.Book()), linetest.Morning, r); ok {
		t.Error("a saving without a day")
	}
}

// tasted is a line with as many tastings as are kept, every fourth of them pea.
func tasted() *line.State {
	s := line.NewState(linetest.Site(), linetest.Book())
	for i := range line.KeptTastings {
		r, _ := s.Recipe([]string{"pea", "radish", "sunflower", "broccoli"}[i%4])
		wet := recipes.Score(2 + i*7%4)
		s.Tastings = append(s.Tastings, recipes.Tasting{At: linetest.Morning.Add(time.Duration(i) * time.Hour), Wetness: wet, Bruising: 2,
			Ran: recipes.Ran{Batch: fmt.Sprint(r.Crop, i), Crop: r.Crop, Revision: 1, Soak: r.Soak, Spin: r.Spin,
				Dry: r.Dry + time.Duration(i%9)*time.Minute, Fan: r.Fan, Air: recipes.Air{TempC: 18 + float64(i%8), RHPercent: 45 + float64(i%30)}},
			Weights: recipes.Weights{BeforeWashG: 1000, AfterSpinG: 1000 + float64(90+i%20), AfterDryG: 1000 + float64(10+i%15)}})
	}
	return s
}

// BenchmarkSuggestionOnKeyPress opens one recipe with nothing worked out before and
// draws it.
func BenchmarkSuggestionOnKeyPress(b *testing.B) {
	env := &screen.Env{Context: act.Context{Words: words.English(), State: tasted(), Now: linetest.Morning, By: "Ash"}, Size: screen.Size{W: 120, H: 40},
		Theme: theme.New(theme.Options{Name: theme.Mono, Profile: termenv.Ascii})}
	sheet := canvas.New(120, 40, env.Theme)
	for b.Loop() {
		s := recipeui.New()
		press(s, env, "1")
		s.Draw(env, sheet.All())
	}
}

// BenchmarkNextKeyPress is every later press on the same page.
func BenchmarkNextKeyPress(b *testing.B) {
	env := &screen.Env{Context: act.Context{Words: words.English(), State: tasted(), Now: linetest.Morning, By: "Ash"}, Size: screen.Size{W: 120, H: 40},
		Theme: theme.New(theme.Options{Name: theme.Mono, Profile: termenv.Ascii})}
	sheet := canvas.New(120, 40, env.Theme)
	s := recipeui.New()
	press(s, env, "1")
	for b.Loop() {
		press(s, env, "+")
		press(s, env, "-")
		s.Draw(env, sheet.All())
	}
}

func press(s *recipeui.Screen, env *screen.Env, key string) {
	s.Actions(env).Press(&env.Context, uitest.Key(key))
}
