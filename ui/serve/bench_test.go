package serve

import (
	"fmt"
	"slices"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"shedbell/line"
	"shedbell/line/live"
	"shedbell/ui/app"
	"shedbell/ui/screen"
)

// BenchmarkKeyToFrame is what a key takes at the shed's own board of 200x60 until
// its frame is drawn, alone and with twenty screens over SSH, seven of which hang.
func BenchmarkKeyToFrame(b *testing.B) {
	for _, viewers := range []int{0, 20} {
		b.Run(fmt.Sprintf("viewers=%d", viewers), func(b *testing.B) {
			limits := Usual
			limits.Alive = time.Hour // the hanging ones stay
			s := serveShed(b, limits)
			seat := s.line.Sit(live.SeatOptions{Name: "the board in the shed", Acts: true, Home: true})
			for i := range viewers {
				if i < 7 {
					s.hang()
				} else {
					s.open(s.viewer).shows("Cut PEA 1")
				}
			}
			var m tea.Model = app.New(app.Options{Line: Place{Seat: seat},
				Forecast: func(*line.State, time.Time) screen.Forecast { return screen.Forecast{} }})
			m, _ = m.Update(tea.WindowSizeMsg{Width: 200, Height: 60})
			var took []time.Duration
			for i := 0; b.Loop(); i++ {
				began := time.Now()
				m, _ = m.Update(tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune{rune('1' + i%3)}})
				_ = m.View()
				took = append(took, time.Since(began))
			}
			slices.Sort(took)
			b.ReportMetric(float64(took[len(took)*99/100].Microseconds()), "µs/p99")
		})
	}
}
