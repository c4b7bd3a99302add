package pages_test

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"shedbell/line"
	"shedbell/line/linetest"
	"shedbell/ui/uitest"
)

// TestDayOverShowsWhatTheRecordsSay: once a day is closed, its trays, hours and rate
// stand beside the day before, and the better of the two is said to be the best.
func TestDayOverShowsWhatTheRecordsSay(t *testing.T) {
	sheet := linetest.Sheet()
	d := uitest.New(t, uitest.Options{Sheet: &sheet, W: 120, H: 40})
	rates := make([]string, 0, 2)
	for i := range 2 {
		opened := d.Clock.Now()
		d.Work(300)
		d.Skip(time.Duration(1-i) * time.Hour) // the first day has an hour more
		took := d.Clock.Now().Sub(opened)
		d.Do(line.CloseDay{})
		d.Pass(2 * time.Second)
		rates = append(rates, fmt.Sprintf("%.1f", float64(sheet.Trays())/took.Hours()))
		d.Expect("the day is closed", "TRAYS AN HOUR", "WHERE THE TIME WENT", "Busiest:", "trays", "hours")
		for _, rate := range rates {
			d.Expect(rate)
		}
		if best := strings.Contains(d.Screen(), "The best of the last 2 days."); best != (i == 1) {
			t.Errorf("day %d is the best: %t\n%s", i+1, best, d.Screen())
		}
		if i == 0 {
			d.Press("enter")
			d.ExpectNot("the day is closed")
			d.Clock.Advance(24 * time.Hour)
			sheet.Start = d.Clock.Now()
			sheet.Date = sheet.Start.Format(time.DateOnly)
			d.Do(line.OpenDay{Sheet: sheet})
		}
	}
}
