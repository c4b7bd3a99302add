package board_test

import (
	"strings"
	"testing"
	"time"
	"unicode"

	"github.com/charmbracelet/x/ansi"
	"github.com/muesli/termenv"
	"pgregory.net/rapid"

	"shedbell/line"
	"shedbell/line/linetest"
	"shedbell/recipes"
	"shedbell/ui/canvas"
	"shedbell/ui/theme"
	"shedbell/ui/uitest"
	"shedbell/ui/words"
)

// strangeDay is a day whose crops are called anything of up to 40 characters.
func strangeDay(rt *rapid.T) (*recipes.Book, *line.Sheet, []string) {
	letter := rapid.RuneFrom([]rune("qxzjkvw ñé菜豆ｶжш"))
	names := rapid.SliceOfNDistinct(rapid.StringOfN(letter, 3, 40, -1), 4, 4, func(s string) string { return strings.Join(strings.Fields(s), " ") }).Draw(rt, "crops")
	old, sheet := linetest.Book(), linetest.Sheet()
	var all []recipes.Recipe
	for i, crop := range old.Crops() {
		r, _ := old.Current(crop)
		names[i] = "q" + strings.Join(strings.Fields(names[i]), " ")
		r.Crop, sheet.Crops[i].Crop = names[i], names[i]
		all = append(all, r)
	}
	sheet.Apart, sheet.Crew = nil, []string{"Ash", "Rowan", "Hazel"}[:rapid.IntRange(1, 3).Draw(rt, "people")]
	book := recipes.NewBook(all...)
	return &book, &sheet, names
}

// At any size, in any state and with any names: what makes safe is whole, a name is whole,
// short as it is everywhere, or has the mark of a cut, and none runs into what is beside it.
func TestNothingIsCutUnmarked(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		book, sheet, crops := strangeDay(rt)
		d := uitest.New(rt, uitest.Options{Book: book, Sheet: sheet, W: rapid.IntRange(60, 300).Draw(rt, "w"), H: rapid.IntRange(20, 90).Draw(rt, "h")})
		d.Work(rapid.IntRange(0, 60).Draw(rt, "worked"))
		d.Pass(time.Duration(rapid.IntRange(0, 400).Draw(rt, "seconds")) * time.Second)
		d.CheckFrame()
		screen := d.Screen()
		names := words.CropNames(crops)
		for _, crop := range crops {
			if fault := cutName(screen, crop, names); fault != "" {
				rt.Fatalf("%s\n%s", fault, screen)
			}
		}
		for _, l := range (line.Advice{}).Lanes(d.State(), d.Clock.Now()) {
			if l.Now == nil || l.Busy {
				continue
			}
			clauses, whole := words.English().Clauses(d.State(), l.Now), words.English().Prompt(d.State(), l.Now).Do
			if len(clauses) > 1 && !stands(screen, strings.Trim(clauses[0], ",")) && !stands(screen, strings.Split(whole, ":")[0]) {
				rt.Fatalf("neither %q nor its long form is on the screen:\n%s", clauses[0], screen)
			}
		}
	})
}

// cutName says where a crop's name is neither whole nor short nor marked as cut.
func cutName(screen, crop string, names map[string]words.CropName) string {
	begin := string([]rune(crop)[:3])
	for _, row := range strings.Split(screen, "\n") {
		for _, form := range []func(string) string{strings.ToLower, strings.ToUpper} {
			head := form(begin)
			for from := 0; ; from += len(head) {
				i := strings.Index(row[from:], head)
				if i < 0 {
					break
				}
				from += i
				before, rest := []rune(row[:from]), row[from:]
				if len(before) > 0 && (unicode.IsLetter(before[len(before)-1]) || before[len(before)-1] == ' ' && len(before) > 1 && unicode.IsLetter(before[len(before)-2])) {
					continue // within a name, or a sentence
				}
				whole := wrapped(rest)
				for _, name := range names {
					for _, n := range []string{name.Full, name.Short, name.Code, strings.Fields(name.Full)[0]} {
						whole = whole || strings.HasPrefix(rest, form(n))
					}
				}
				if word, _, _ := strings.Cut(rest, " "); !whole && !strings.Contains(word, "…") {
					return "cut without a mark: " + rest
				}
			}
		}
	}
	return ""
}

// wrapped says that a text ends with its row, and may go on in the next.
func wrapped(rest string) bool {
	return !strings.ContainsFunc(rest, func(r rune) bool { return !unicode.IsLetter(r) && r != ' ' && r != '…' })
}

// stands says whether a text is on the screen, as text or drawn: each of its words has its
// middle row somewhere.
func stands(screen, text string) bool {
	flat := strings.Join(strings.Fields(screen), " ")
	for _, word := range strings.Fields(text) {
		if strings.Contains(flat, word) || strings.Contains(flat, strings.ToLower(word)) {
			continue
		}
		drawn := false
		for size := 0; size <= 1; size++ {
			c := canvas.New(200, 6, theme.New(theme.Options{Name: theme.Mono, Profile: termenv.Ascii}))
			c.All().Block(word, size, theme.Text)
			row := strings.TrimSpace(strings.Split(ansi.Strip(c.String()), "\n")[1])
			drawn = drawn || strings.Contains(screen, row)
		}
		if !drawn {
			return false
		}
	}
	return true
}
