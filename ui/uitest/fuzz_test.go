package uitest_test

import (
	"testing"
	"time"
	"unicode/utf8"

	tea "github.com/charmbracelet/bubbletea"

	"shedbell/line/files"
	"shedbell/line/linetest"
	"shedbell/recipes"
	"shedbell/recipes/strictfile/fuzztest"
	"shedbell/ui/theme"
	"shedbell/ui/uitest"
)

// longestTyped bounds an input, so that one takes a few milliseconds.
const longestTyped = 48

// typing reads bytes as what a terminal sends and what happens meanwhile. Valid
// UTF-8 is typed; bytes that are none have the meanings below.
type typing struct{ data []byte }

func (in *typing) next() (b byte) {
	if len(in.data) > 0 {
		b, in.data = in.data[0], in.data[1:]
	}
	return b
}

// message takes the next key or event off the input; a span passes instead where
// there is none.
func (in *typing) message() (tea.Msg, time.Duration) {
	if r, n := utf8.DecodeRune(in.data); r != utf8.RuneError && (r >= ' ' && r != 0x7f) {
		in.data = in.data[n:]
		if r == ' ' {
			return tea.KeyMsg{Type: tea.KeySpace, Runes: []rune{' '}}, 0
		}
		return tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune{r}}, 0
	}
	switch b := in.next(); {
	case b < ' ', b == 0x7f: // Ctrl with a letter, Enter, Tab, Esc, Backspace
		return tea.KeyMsg{Type: tea.KeyType(b)}, 0
	case b < 0xb0: // keys with names: arrows, pages, function keys
		return tea.KeyMsg{Type: tea.KeyRunes - tea.KeyType(b-0x7f), Alt: b&1 == 0}, 0
	case b < 0xc0: // several at once, as from a slow line, or pasted
		n := min(int(b-0xb0), len(in.data))
		runes := []rune(string(in.data[:n]))
		in.data = in.data[n:]
		return tea.KeyMsg{Type: tea.KeyRunes, Runes: runes, Paste: b&1 == 0}, 0
	case b < 0xe0: // another size
		return tea.WindowSizeMsg{Width: 1 + int(in.next()), Height: 1 + int(in.next())%90}, 0
	case b < 0xf0: // nobody looks for a while
		return nil, time.Duration(int(b-0xe0)*int(in.next())) * time.Second
	}
	return nil, time.Second
}

// shed makes the options from the first byte: which shed, whether a day is open,
// how it is coloured.
func shed(how byte) uitest.Options {
	o := uitest.Options{W: 80, H: 24, Theme: theme.Names()[int(how>>4)%len(theme.Names())], ASCII: how&8 != 0}
	if how&1 != 0 {
		book := recipes.Starters()
		o.Site, o.Book, o.Suggest = files.Starter(), &book, files.StarterDay(linetest.Morning)
	}
	if how&2 != 0 {
		sheet := linetest.Sheet()
		if o.Suggest != nil {
			sheet = *o.Suggest
		}
		o.Sheet = &sheet
	}
	if how&4 != 0 {
		o.Forecast = calm
	}
	return o
}

// FuzzAnyKeys: whatever comes from the terminal, nothing panics, every frame fills
// the terminal cell by cell, and no circuit carries more than it may.
func FuzzAnyKeys(f *testing.F) {
	for _, keys := range []string{"\r\r\r", "/1\r+", "/2", "/311\r", "/4\r12\r", "/5\xd0\x10\x08", "/6+++", "/7\r\r", "/8\r\r", "/9", "?", "x\x1b",
		"11.\x1b", "33\rb2", "0d\r3\r\r", "\xb5\r\r\r\r\r", "\xc0\x00\x00\r", "\xeF\xff\r*0", "\u0301菜\u202e\x9b", "\x03\x03"} {
		f.Add(byte(2), byte(9), keys)
		f.Add(byte(7), byte(0), keys)
		f.Add(byte(6), byte(0x83), keys)
	}
	f.Fuzz(func(t *testing.T, how, worked byte, keys string) {
		if len(keys) > longestTyped {
			return
		}
		defer fuzztest.Bound(t)()
		o := shed(how)
		if worked&0x80 != 0 {
			hostile(&o)
		}
		d := uitest.New(t, o)
		d.Work(int(worked) % 64)
		for in := (typing{[]byte(keys)}); len(in.data) > 0 && !d.Quit(); {
			msg, span := in.message()
			switch msg := msg.(type) {
			case tea.WindowSizeMsg:
				d.Resize(msg.Width, msg.Height)
			case tea.KeyMsg:
				d.Send(msg)
			default:
				d.Skip(span)
			}
			d.CheckFrame()
			d.CheckAmps()
		}
	})
}
