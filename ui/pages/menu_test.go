package pages_test

import (
	"testing"

	"shedbell/line/linetest"
	"shedbell/ui/act"
	"shedbell/ui/pages"
	"shedbell/ui/screen"
	"shedbell/ui/uitest"
	"shedbell/ui/words"
)

func TestMenuScreens(t *testing.T) {
	sheet := linetest.Sheet()
	uitest.Golden(t, "menu", uitest.Options{Sheet: &sheet}, func(d *uitest.Driver) { d.Press("/", "+") })
}

func TestMenuDigitsOpen(t *testing.T) {
	sheet := linetest.Sheet()
	d := uitest.New(t, uitest.Options{Sheet: &sheet})
	d.Press("/")
	d.Expect("other screens", "7 log")
	d.Press("7")
	d.Expect("log, 1 entry")
	d.Press("0")
	d.Expect("Cut PEA 1")
}

func TestEnterOpensTheMarkedOne(t *testing.T) {
	sheet := linetest.Sheet()
	d := uitest.New(t, uitest.Options{Sheet: &sheet})
	d.Press("/", "-", "-", "enter") // the mark goes round from the first to the last but one
	d.Expect("Test shed   settings")
	d.Press("0")
	d.Expect("Cut PEA 1")
}

func TestMenuUnknownDigit(t *testing.T) {
	env := &screen.Env{Context: act.Context{Words: words.English()}, Screens: []screen.Name{screen.Power, screen.Help}}
	msg := pages.NewMenu().Update(env, uitest.Key("9"))()
	if say, ok := msg.(screen.SayMsg); !ok || say.Text != "There is no screen 9." {
		t.Errorf("said %+v", msg)
	}
}
