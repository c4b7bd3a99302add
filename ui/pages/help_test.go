package pages_test

import (
	"testing"

	"shedbell/line/linetest"
	"shedbell/ui/uitest"
)

func TestHelpScreens(t *testing.T) {
	sheet := linetest.Sheet()
	uitest.Golden(t, "help", uitest.Options{Sheet: &sheet}, func(d *uitest.Driver) { d.Press("?") })
}

func TestSaysWhyAKeyDoesNothing(t *testing.T) {
	sheet := linetest.Sheet()
	d := uitest.New(t, uitest.Options{Sheet: &sheet, W: 120, H: 40})
	d.Press("?")
	d.Expect("help: the board", "Does nothing now, because", "no countdown runs; choose")
	d.Press("x")
	d.Press("enter", "1", "?") // cutting runs now, by hand
	d.Expect("cutting table is done by hand and has")
}

func TestAnyKeyGoesBackToWhereItWasOpened(t *testing.T) {
	sheet := linetest.Sheet()
	for _, key := range []string{"0", "/", "?", "q", "enter", "7", "esc"} {
		d := uitest.New(t, uitest.Options{Sheet: &sheet, W: 120, H: 40})
		d.Press("l", "?")
		d.Expect("help: the log", "refusals only")
		d.Press(key)
		d.Expect("log, 1 entry")
		if d.Quit() {
			t.Errorf("%s left the program", key)
		}
	}
}

func TestHelpScrollsWhereItIsLong(t *testing.T) {
	sheet := linetest.Sheet()
	d := uitest.New(t, uitest.Options{Sheet: &sheet, W: 60, H: 20})
	d.Press("?")
	d.Expect("Works now", "more below")
	d.ExpectNot("the breaker")
	for range 60 {
		d.Press("+")
	}
	d.Expect("the breaker")
	d.ExpectNot("more below", "Works now")
	d.Press("pgup", "pgup", "pgup", "pgup")
	d.Expect("Works now")
}
