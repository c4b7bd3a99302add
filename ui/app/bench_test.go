package app_test

import (
	"testing"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/muesli/termenv"

	"shedbell/line"
	"shedbell/line/linetest"
	"shedbell/line/live"
	"shedbell/ui/app"
	"shedbell/ui/theme"
)

// busyLine is a line in the middle of a day.
func busyLine(b *testing.B) *live.Line {
	b.Helper()
	clock := linetest.NewManual(linetest.Morning)
	l, _, err := live.Open(&linetest.Memory{}, linetest.Site(), linetest.Book(), clock, "Ash")
	if err != nil {
		b.Fatal(err)
	}
	b.Cleanup(func() { l.Close() })
	l.Do(line.OpenDay{Sheet: linetest.Sheet()})
	for range 40 {
		prompts := line.Prompts(l.State(), clock.Now(), nil)
		if len(prompts) == 0 {
			break
		}
		if wait := prompts[0].At.Sub(clock.Now()); wait > 0 {
			clock.Advance(wait)
		}
		l.Do(prompts[0].Command)
	}
	return l
}

func model(b *testing.B, w, h int) tea.Model {
	var m tea.Model = app.New(app.Options{Line: busyLine(b), Theme: theme.Options{Name: theme.Dark, Profile: termenv.TrueColor}})
	m, _ = m.Update(tea.WindowSizeMsg{Width: w, Height: h})
	return m
}

// BenchmarkFrame is one frame of the board; the target is 5 ms at 200x60.
func BenchmarkFrame(b *testing.B) {
	for _, size := range []struct {
		name string
		w, h int
	}{{"80x24", 80, 24}, {"200x60", 200, 60}, {"300x90", 300, 90}} {
		b.Run(size.name, func(b *testing.B) {
			m := model(b, size.w, size.h)
			b.ReportAllocs()
			for b.Loop() {
				_ = m.View()
			}
		})
	}
}

// BenchmarkKey is a key that changes what the board shows, with the frame after it.
func BenchmarkKey(b *testing.B) {
	m := model(b, 200, 60)
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		key := tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune{rune('1' + i%5)}}
		var cmd tea.Cmd
		m, cmd = m.Update(key)
		for cmd != nil {
			msg := cmd()
			if _, many := msg.(tea.BatchMsg); many {
				break
			}
			m, cmd = m.Update(msg)
		}
		_ = m.View()
	}
}
