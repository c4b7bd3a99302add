// Package chemical tells what is in a sanitizer by whatever name a label, the line file
// or a person calls it, so that no limit and no caution hangs on a language.
package chemical

import (
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"
)

// ID names an active ingredient in records and in the line file.
type ID string

// Active ingredients that sanitizers of small growers have.
const (
	Unknown             ID = ""
	Peroxide            ID = "hydrogen-peroxide"
	Peracid             ID = "peroxyacetic-acid" // always with peroxide in it
	SodiumHypochlorite  ID = "sodium-hypochlorite"
	CalciumHypochlorite ID = "calcium-hypochlorite"
	Quat                ID = "quaternary-ammonium"
	Lactic              ID = "lactic-acid"
	Citric              ID = "citric-acid"
)

// Chemical is an active ingredient. Its names are for finding it only.
type Chemical struct {
	ID    ID
	CAS   string // registry number; empty for a family
	Names []string
}

// Chlorine says whether it gives off chlorine with an acid.
func (id ID) Chlorine() bool { return id == SodiumHypochlorite || id == CalciumHypochlorite }

// Acid says whether it is one.
func (id ID) Acid() bool { return id == Peracid || id == Lactic || id == Citric }

// Known are the built-in ones. Registry numbers: peroxyacetic acid from haz-map.com 1425,
// sodium hypochlorite and peroxide as their check digits confirm; the others from memory.
// Names in German and Spanish are common practice, no source.
var Known = []Chemical{
	{Peracid, "79-21-0", []string{"peroxyacetic acid", "peracetic acid", "peroxoacetic acid", "ethaneperoxoic acid", "acetyl hydroperoxide", "paa",
		"ácido peroxiacético", "ácido peracético", "peroxiacético", "peracético", "apa", "peressigsäure", "pes"}},
	{SodiumHypochlorite, "7681-52-9", []string{"sodium hypochlorite", "hypochlorite", "bleach", "chlorine", "naocl", "naclo",
		"hipoclorito de sodio", "hipoclorito sódico", "hipoclorito", "lejía", "lavandina", "cloro", "natriumhypochlorit", "chlorbleiche", "chlor"}},
	{CalciumHypochlorite, "7778-54-3", []string{"calcium hypochlorite", "ca(ocl)2", "ca(clo)2", "hipoclorito de calcio", "hipoclorito cálcico", "calciumhypochlorit"}},
	{Peroxide, "7722-84-1", []string{"hydrogen peroxide", "peroxide", "h2o2", "peróxido de hidrógeno", "peróxido", "agua oxigenada", "wasserstoffperoxid"}},
	{Quat, "", []string{"quaternary ammonium", "quaternary", "quats", "quat", "benzalkonium chloride", "qac",
		"amonio cuaternario", "cloruro de benzalconio", "quartäre ammoniumverbindung", "benzalkoniumchlorid"}},
	{Lactic, "50-21-5", []string{"lactic acid", "ácido láctico", "milchsäure"}},
	{Citric, "77-92-9", []string{"citric acid", "ácido cítrico", "zitronensäure"}},
}

// others hold a known name and are something else.
var others = []string{"chlorine dioxide", "dióxido de cloro", "chlordioxid", "benzoyl peroxide", "peróxido de benzoilo"}

// In is the active ingredient of a product by its name: an identifier, a registry number
// or a name that stands in it as words of its own. Of several the longest counts, so that
// peroxyacetic acid with peroxide is that, and no salt is taken for chlorine.
func In(product string) ID {
	text := fold(product)
	for _, name := range others {
		text = strings.ReplaceAll(text, fold(name), " ")
	}
	found, longest := Unknown, 0
	for i := range Known {
		c := &Known[i]
		for _, name := range append([]string{string(c.ID), c.CAS}, c.Names...) {
			if n := fold(name); len(n) > longest && strings.Contains(" "+text+" ", " "+n+" ") {
				found, longest = c.ID, len(n)
			}
		}
	}
	if found == Peroxide && strings.Contains(" "+text+" ", " paa ") {
		return Peracid
	}
	return found
}

// fold is a text without case, accents and marks, its words with one space between.
func fold(s string) string {
	s = strings.Map(func(r rune) rune {
		switch {
		case unicode.Is(unicode.Mn, r):
			return -1
		case unicode.IsLetter(r) || unicode.IsDigit(r):
			return unicode.ToLower(r)
		}
		return ' '
	}, norm.NFD.String(s))
	return strings.Join(strings.Fields(s), " ")
}

// Never says whether two must not meet in one vessel, nor at one place without a rinse
// between: chlorine gives off gas with an acid, and reacts with peroxide.
func Never(a, b ID) bool {
	if a == b || a == Unknown || b == Unknown {
		return false
	}
	clash := func(a, b ID) bool {
		return a.Chlorine() && !b.Chlorine() || a == Peroxide && (b == Lactic || b == Citric)
	}
	return clash(a, b) || clash(b, a)
}
