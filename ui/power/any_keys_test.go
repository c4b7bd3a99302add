package powerui_test

import (
	"testing"
	"time"

	"pgregory.net/rapid"

	"shedbell/line/linetest"
	"shedbell/ui/uitest"
)

// Whatever is pressed at whatever size, every frame fills the terminal, the caution
// stays on it, and no circuit carries more than it may.
func TestAnyKeys(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		sheet := linetest.Sheet()
		o := uitest.Options{Sheet: &sheet, W: 80, H: 24}
		if rapid.Bool().Draw(rt, "barn") {
			o.Site = barn()
		}
		d := uitest.New(rt, o)
		d.Work(rapid.IntRange(0, 40).Draw(rt, "worked"))
		d.Press("/", "1")
		for range rapid.IntRange(1, 60).Draw(rt, "steps") {
			switch rapid.IntRange(0, 7).Draw(rt, "what") {
			case 0:
				d.Resize(rapid.IntRange(1, 220).Draw(rt, "w"), rapid.IntRange(1, 70).Draw(rt, "h"))
			case 1:
				d.Skip(time.Duration(rapid.IntRange(0, 1800).Draw(rt, "seconds")) * time.Second)
			default:
				d.Press(rapid.SampledFrom([]string{"enter", "enter", "enter", "1", "2", "3", "4", "5", "6", "7", "8", "9",
					"+", "-", ".", ".", "up", "down", "x"}).Draw(rt, "key"))
			}
			d.CheckFrame()
			d.CheckAmps()
		}
		d.Resize(60, 20)
		d.Expect("not protection: local code and a licensed electrician decide")
	})
}
