// Package field holds one line that a person types into, by number pad or by
// letters.
package field

import (
	"strconv"
	"strings"
	"unicode"

	tea "github.com/charmbracelet/bubbletea"

	"shedbell/ui/canvas"
	"shedbell/ui/theme"
)

// Kind is what a field takes.
type Kind uint8

// Kinds of fields.
const (
	Whole   Kind = iota // digits
	Decimal             // digits and one point; a comma counts as one
	Signed              // Decimal, with a minus sign at its beginning
	Words               // anything that can be printed
)

// longest are the most letters that a field of a kind takes.
var longest = [...]int{6, 9, 9, 120}

// Field is what has been typed so far.
type Field struct {
	Kind Kind
	Text string
}

// Key takes a key; false when the field has no use for it. A minus takes the last
// digit away, except at the beginning of a signed number.
func (f *Field) Key(k tea.KeyMsg) bool {
	name := k.String()
	switch {
	case name == "backspace" || name == "-" && f.Kind != Words && !(f.Kind == Signed && f.Text == ""):
		if r := []rune(f.Text); len(r) > 0 {
			f.Text = string(r[:len(r)-1])
		}
		return true
	case k.Type != tea.KeyRunes && k.Type != tea.KeySpace:
		return false
	}
	took := false
	for _, c := range k.Runes {
		if f.Kind != Words && c == ',' {
			c = '.'
		}
		if f.takes(c) {
			f.Text += string(c)
			took = true
		}
	}
	return took
}

func (f *Field) takes(c rune) bool {
	if len([]rune(f.Text)) >= longest[f.Kind] {
		return false
	}
	switch {
	case f.Kind == Words:
		return unicode.IsPrint(c)
	case c >= '0' && c <= '9':
		return true
	case c == '.':
		return f.Kind != Whole && !strings.Contains(f.Text, ".")
	case c == '-':
		return f.Kind == Signed && f.Text == ""
	}
	return false
}

// Number is what the field says; false when it says no number.
func (f *Field) Number() (float64, bool) {
	v, err := strconv.ParseFloat(f.Text, 64)
	return v, err == nil
}

// Draw writes the field's end, as far as the region is wide, with the cursor where
// it is being typed into.
func (f *Field) Draw(r canvas.Region, here bool, unit string) {
	text, role := f.Text, theme.Text
	if here {
		text, role = text+r.Theme().Glyphs.Cursor, theme.Strong
	}
	room := r.W - canvas.Width(unit) - 1
	for room > 0 && canvas.Width(text) > room {
		text = string([]rune(text)[1:])
	}
	x := r.Put(0, 0, role, text)
	r.Put(x+1, 0, theme.Faint, unit)
}
