package uitest

import (
	"regexp"
	"slices"
	"strings"

	"shedbell/line"
	"shedbell/line/linetest"
	"shedbell/line/say"
	"shedbell/recipes"
	"shedbell/ui/words"
)

// Masked is the test shed with every name in it disguised, in a language of other
// letters: a Latin word that is left on a screen is a text that nobody can translate.
func Masked() Options {
	site, book, sheet := linetest.Site(), linetest.Book(), linetest.Sheet()
	names := &disguise{}
	names.site(site)
	masked := names.book(&book)
	names.sheet(&sheet)
	return Options{Site: site, Book: &masked, Sheet: &sheet, Words: MaskedWords()}
}

// MaskedWords is English in the letters of another alphabet: Armenian ones, which are
// as wide as Latin ones and have capitals too.
func MaskedWords() *words.Speaker { return &words.Speaker{Speaker: say.English().Map(mask)} }

func mask(text string) string {
	return strings.Map(func(c rune) rune {
		switch {
		case c >= 'a' && c <= 'z':
			return 'ա' + c - 'a'
		case c >= 'A' && c <= 'Z':
			return 'Ա' + c - 'A'
		}
		return c
	}, text)
}

// symbols are the same in every language, with the names of what limits are quoted
// from; the last ones are who acts.
var symbols = []string{"kg", "oz", "lb", "am", "pm", "min", "ppm", "mL", "ctrl", "FDA", "Food", "Code", "CFR", "Ash", "ASH"}

var latinWord = regexp.MustCompile(`[A-Za-z]{2,}`)

// Untranslated lists the Latin words on a screen that are neither symbols nor
// disguised names.
func Untranslated(screen string) []string {
	var out []string
	for _, word := range latinWord.FindAllString(screen, -1) {
		if !slices.Contains(symbols, word) && strings.Trim(word, "qzQZ") != "" && !slices.Contains(out, word) {
			out = append(out, word)
		}
	}
	return out
}

// disguise gives names that no language has: z and q only, about as long as before.
type disguise struct{ given []string }

func (d *disguise) name(name *string) {
	i := slices.Index(d.given, *name)
	if i < 0 {
		i = len(d.given)
		d.given = append(d.given, *name)
	}
	letters := []byte(strings.Repeat("z", max(len(*name), 6)))
	for bit := range letters {
		if i>>bit&1 == 1 {
			letters[bit] = 'q'
		}
	}
	*name = string(letters)
}

func (d *disguise) site(s *line.Site) {
	d.name(&s.Name)
	for i := range s.Stations {
		d.name(&s.Stations[i].Name)
	}
	for i := range s.Panel.Circuits {
		d.name(&s.Panel.Circuits[i].Name)
	}
	for i := range s.Panel.Loads {
		d.name(&s.Panel.Loads[i].Name)
		for j := range s.Panel.Loads[i].Settings {
			d.name(&s.Panel.Loads[i].Settings[j].Name)
		}
	}
}

func (d *disguise) book(b *recipes.Book) recipes.Book {
	var out []recipes.Recipe
	for _, crop := range b.Crops() {
		r, _ := b.Current(crop)
		d.name(&r.Crop)
		d.name(&r.Fan)
		out = append(out, r)
	}
	return recipes.NewBook(out...)
}

func (d *disguise) sheet(s *line.Sheet) {
	for i := range s.Crops {
		d.name(&s.Crops[i].Crop)
	}
	for i := range s.Apart {
		d.name(&s.Apart[i][0])
		d.name(&s.Apart[i][1])
	}
}
