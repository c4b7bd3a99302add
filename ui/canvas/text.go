package canvas

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"github.com/charmbracelet/x/ansi"
)

// first is the first character of a text as people see one, and its width in cells,
// both as Width counts them.
func first(text string) (cluster string, width int) {
	switch {
	case text[0] < utf8.RuneSelf && (len(text) == 1 || text[1] < utf8.RuneSelf):
		return text[:1], 1
	case isBox(text) && (len(text) == 3 || text[3] < utf8.RuneSelf || isBox(text[3:])):
		return text[:3], 1
	}
	cluster, width = ansi.FirstGraphemeCluster(text, ansi.GraphemeWidth)
	return cluster, width
}

// isBox says whether a text begins with one of U+2500 to U+25BF, of which rules and
// bars are drawn.
func isBox(text string) bool {
	return len(text) >= 3 && text[0] == 0xe2 && text[1] >= 0x94 && text[1] <= 0x96
}

// joins says whether a cluster would become one with what stands before it, such as
// two halves of a flag: together they take fewer cells than one by one.
func joins(before []cell, cluster string) bool {
	i := len(before) - 1
	for i >= 0 && before[i].text == "" {
		i--
	}
	if i < 0 || !mayJoin(before[i].text) && !mayJoin(cluster) {
		return false
	}
	both, _ := ansi.FirstGraphemeCluster(before[i].text+cluster, ansi.GraphemeWidth)
	return both != before[i].text
}

// mayJoin leaves out what never joins, going by the first byte: all below U+0300, and
// single ones of U+2000 to U+2FFF, in which the rules and bars are.
func mayJoin(cluster string) bool {
	return cluster[0] >= 0xcc && (cluster[0] != 0xe2 || len(cluster) > 3)
}

// Width is how many cells a text takes.
func Width(text string) int { return ansi.StringWidth(text) }

// Clean leaves out control characters and escape sequences, so that text from
// files and people cannot steer the terminal.
func Clean(text string) string {
	dirty := !utf8.ValidString(text) // an 8-bit terminal would take a lone 0x9b for an escape sequence
	for _, c := range text {
		if isControl(c) {
			dirty = true
			break
		}
	}
	if !dirty {
		return text
	}
	text = ansi.Strip(strings.ToValidUTF8(text, ""))
	return strings.Map(func(c rune) rune {
		if isControl(c) {
			return -1
		}
		return c
	}, text)
}

// isControl covers C0, DEL, C1, the ends of lines of Unicode, and its format
// characters, among them those that turn the direction of reading: they could make a
// line read differently from what it says. Those that only join letters are none.
func isControl(c rune) bool {
	switch {
	case c < 0xa0:
		return c < 0x20 || c >= 0x7f
	case c == 0x2028, c == 0x2029:
		return true
	case c == 0x200c, c == 0x200d:
		return false
	}
	return c >= 0xad && unicode.Is(unicode.Cf, c)
}

// Cut shortens text to a width in cells, with an ellipsis when something is lost.
func Cut(text string, width int, ellipsis string) string {
	text = Clean(text)
	if width <= 0 {
		return ""
	}
	if len(text) <= width || Width(text) <= width {
		return text
	}
	return ansi.Truncate(text, width, ellipsis)
}

// Wrap breaks text into lines of at most width cells, at spaces where it can.
func Wrap(text string, width int) []string {
	if width <= 0 {
		return nil
	}
	return strings.Split(ansi.Wrap(Clean(text), width, ""), "\n")
}
