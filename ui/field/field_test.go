package field_test

import (
	"testing"

	tea "github.com/charmbracelet/bubbletea"

	"shedbell/ui/field"
)

func typed(k field.Kind, keys string) string {
	f := field.Field{Kind: k}
	for _, c := range keys {
		if c == '<' {
			f.Key(tea.KeyMsg{Type: tea.KeyBackspace})
			continue
		}
		f.Key(tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune{c}})
	}
	return f.Text
}

func TestFieldsTakeWhatTheyAreFor(t *testing.T) {
	for _, tc := range []struct {
		kind       field.Kind
		keys, want string
	}{
		{field.Whole, "1a2.3", "123"},
		{field.Whole, "12-", "1"},
		{field.Whole, "12345678", "123456"},
		{field.Decimal, "3.8.1", "3.81"},
		{field.Decimal, "3,8", "3.8"},
		{field.Decimal, "-5", "5"},
		{field.Signed, "-1.5", "-1.5"},
		{field.Signed, "12-3", "13"},
		{field.Words, "a fan-belt\x1b[2J\u202e", "a fan-belt[2J"},
		{field.Words, "éa<", "é"},
	} {
		if got := typed(tc.kind, tc.keys); got != tc.want {
			t.Errorf("kind %d, keys %q: %q, want %q", tc.kind, tc.keys, got, tc.want)
		}
	}
}
