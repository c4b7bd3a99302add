package board_test

import (
	"testing"
	"time"

	"shedbell/line"
	"shedbell/line/linetest"
	"shedbell/ui/screen"
	"shedbell/ui/uitest"
)

// Who is new reads every prompt in full, except where somebody has signed them off.
func TestPromptsAreShortWhereSignedOff(t *testing.T) {
	sheet := linetest.Sheet()
	d := uitest.New(t, uitest.Options{Sheet: &sheet, Prefs: screen.Prefs{Trainee: true}})
	d.Expect("Cut PEA 1", "Never cut towards your hand")
	d.Do(line.SignOff{Person: "Ash", Station: line.Cut, SignedBy: "Rowan"})
	d.Pass(time.Second)
	d.Expect("Cut PEA 1", "Ash runs this station alone: signed off.")
	d.ExpectNot("Never cut towards your hand")
	d.Press("enter")
	d.Skip(10 * time.Minute)
	d.Press("enter")
	d.Expect("Put PEA 1 into the tub", "Never") // not signed off there
	d.Press("enter")
	d.Expect("CAUTION")
	d.Press("esc")
	d.Do(line.SignOff{Person: "Ash", Station: line.Wash, SignedBy: "Rowan"})
	d.Pass(time.Second)
	d.Press("enter")
	d.ExpectNot("CAUTION")
	d.Expect("PEA 1 started at the tub")
}
