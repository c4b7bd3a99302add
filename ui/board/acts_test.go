package board_test

import (
	"testing"
	"time"

	"shedbell/line"
	"shedbell/line/linetest"
	"shedbell/ui/uitest"
)

// One key hands the board on to the next person on the line, and what is done from
// then on and stands in nobody's lane is recorded for them.
func TestHandOn(t *testing.T) {
	d := uitest.New(t, uitest.Options{})
	d.Press("w")
	d.Expect("nobody else is on the line")
	d.Do(line.OpenDay{Sheet: linetest.Sheet()})
	d.Do(line.SetCrew{Names: []string{"Ash", "Rowan"}})
	d.Pass(time.Second)
	d.Press("w")
	d.Expect("Now recording for Rowan")
	by := func(want string) {
		t.Helper()
		history := d.Line.History()
		if by := history[len(history)-1].By; by != want {
			t.Errorf("recorded for %s, want %s", by, want)
		}
	}
	d.Press("enter") // what stands in Ash's lane
	by("Ash")
	d.Do(line.AddNote{Text: "the hose drips"})
	by("Rowan")
	d.Press("w")
	d.Expect("Now recording for Ash")
}
