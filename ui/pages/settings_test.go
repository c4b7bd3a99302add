package pages_test

import (
	"testing"

	"shedbell/line/linetest"
	"shedbell/ui/uitest"
)

func TestSettingsScreens(t *testing.T) {
	uitest.Golden(t, "settings", uitest.Options{}, func(d *uitest.Driver) { d.Press("/", "8") })
}

// Every choice is one digit away, shows at once, and goes round.
func TestSettingsEveryChoiceIsOneKey(t *testing.T) {
	sheet := linetest.Sheet()
	d := uitest.New(t, uitest.Options{Sheet: &sheet})
	d.Press("/", "8")
	d.Expect("24 hours", "metric: g, kg")
	d.Press("3", "4", "5")
	d.Expect("12 hours", "US: oz, lb")
	d.Press("0")
	d.Expect("7:30 am", "Right when") // the clock, and the prompt in full
	d.Press("/", "8", "2", "0")
	d.Expect("Bien cuando")
	d.Press("/", "8", "2", "5", "3", "0")
	d.ExpectNot("Bien cuando", "Right when", "7:30 am")
}
