package pages_test

import (
	"testing"

	"shedbell/line/linetest"
	"shedbell/ui/uitest"
)

func TestSettingsScreens(t *testing.T) {
	uitest.Golden(t, "settings", uitest.Options{}, func(d *uitest.Driver) { d.Press("/", "8") })
}

// Every choice counts as soon as it is made, by one digit, and stays.
func TestSettingsEveryChoiceCountsAtOnce(t *testing.T) {
	sheet := linetest.Sheet()
	d := uitest.New(t, uitest.Options{Sheet: &sheet})
	d.Press("/", "8")
	d.Press("+", "+", "2") // a clock of 12 hours
	d.ExpectLine("7:30 am")
	d.Press("2", "1") // US units, prompts in full
	d.Press("+", "2", "1")
	d.Press("/")
	d.Expect("7:30 am", "Right when")
	d.Press("/", "8")
	d.ExpectLine("units", "US: oz, lb")
	d.Press("+", "2", "/")
	d.Expect("Bien cuando")
	d.Press("/", "8", "+", "1", "1", "1", "2", "/")
	d.ExpectNot("Bien cuando", "Right when", "7:30 am")
}

// The hours of silence are typed; what is no time is not taken over.
func TestSettingsHoursOfSilence(t *testing.T) {
	sheet := linetest.Sheet()
	d := uitest.New(t, uitest.Options{Sheet: &sheet, W: 100, H: 40})
	d.Press("/", "8", "+", "+", "+", "+", "+", "+")
	d.Press("2", "2", "3", "0", "enter")
	d.Expect("never silent")
	d.Press("6", "enter", "/", "/", "8")
	d.ExpectLine("silent from", "22:30")
	d.ExpectLine("silent until", "06:00")
	d.Press("-", "+", "+", "+", "+", "+", "+", "9", "9", "9", "9", "/", "/", "8")
	d.ExpectLine("silent from", "22:30")
}
