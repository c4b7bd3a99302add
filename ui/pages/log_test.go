package pages_test

import (
	"fmt"
	"testing"
	"time"

	"shedbell/line"
	"shedbell/line/linetest"
	"shedbell/ui/uitest"
)

// morning runs the first batch as far as the tub, with an undo and a refusal.
func morning(t *testing.T, o uitest.Options) *uitest.Driver {
	sheet := linetest.Sheet()
	o.Sheet = &sheet
	d := uitest.New(t, o)
	someWork(d)
	return d
}

func someWork(d *uitest.Driver) {
	d.Press("enter") // start cutting pea 1
	d.Skip(10 * time.Minute)
	d.Press("enter")
	d.TakeBack()
	d.Press("enter") // done, undone, done
	d.Skip(time.Minute)
	d.Press("enter") // into the tub
	d.Line.Do(line.Split{Batch: 2, Trays: 3})
	d.Do(line.AddNote{Text: "the hose at the tub drips again, and the bucket under it was full when the morning began; a washer is on order"})
	d.Skip(30 * time.Second)
}

func TestLogScreens(t *testing.T) {
	sheet := linetest.Sheet()
	uitest.Golden(t, "log", uitest.Options{Sheet: &sheet}, func(d *uitest.Driver) {
		someWork(d)
		d.Press("l")
	})
}

func TestWordsOfTheDay(t *testing.T) {
	d := morning(t, uitest.Options{W: 120, H: 40})
	d.Press("l")
	d.ExpectLine("07:30:00", "Ash", "Day opened: 18 trays in 6 batches")
	d.ExpectLine("PEA 1 started at the cutting table")
	d.ExpectLine("07:40:00", "PEA 1 done at the cutting table")
	d.ExpectLine("Put right: cutting table finished, pea 1. It was not done.")
	d.ExpectLine("PEA 1 started at the tub, 3:30")
	d.ExpectLine("Refused. Not now: pea 2 has 3 trays")
}

func TestRefusalsOnly(t *testing.T) {
	d := morning(t, uitest.Options{})
	d.Press("l", ".")
	d.Expect("log, 1 refusal", "Refused. Not now:", ". everything")
	d.ExpectNot("Day opened")
	d.Press(".")
	d.Expect("Day opened")
}

func TestRecordsAppearAsTheyCome(t *testing.T) {
	d := morning(t, uitest.Options{})
	d.Press("l")
	d.ExpectNot("Note: a second note")
	d.Do(line.AddNote{Text: "a second note"})
	d.Pass(time.Second)
	d.Expect("Note: a second note")
}

func TestLogScrolling(t *testing.T) {
	d := morning(t, uitest.Options{W: 60, H: 20})
	for i := range 40 {
		d.Do(line.AddNote{Text: fmt.Sprintf("note %d.", i)})
	}
	d.Pass(time.Second) // the screen looks once a second at what others do
	d.Press("l")
	d.Expect("note 39.")
	d.Press("-")
	d.ExpectNot("note 39.")
	d.Expect("1 newer below")
	for range 60 {
		d.Press("-")
	}
	d.Expect("Day opened")
	d.Press("pgdown")
	d.ExpectNot("Day opened")
	d.Press("enter")
	d.Expect("note 39.")
	d.Press("home")
	d.Expect("Day opened")
}

// A day opened since begins the log again.
func TestLogNextDay(t *testing.T) {
	d := morning(t, uitest.Options{})
	d.Press("l")
	for i := range d.State().Batches {
		d.Do(line.Scrap{Batch: d.State().Batches[i].ID, Reason: "a trial"})
	}
	d.Do(line.CloseDay{})
	sheet := linetest.Sheet()
	sheet.Crops = sheet.Crops[:1]
	d.Do(line.OpenDay{Sheet: sheet})
	d.Pass(time.Second)
	d.Expect("log, 1 entry", "Day opened: 6 trays in 2 batches")
}

// What was recorded on yesterday's line is read with yesterday's line, whatever the line
// file has lost since.
func TestLogAfterTheLineFileChanged(t *testing.T) {
	d := morning(t, uitest.Options{W: 120, H: 40})
	d.Do(line.SwitchOn{Load: linetest.Fans, Setting: 2})
	d.Do(line.SwitchOff{Load: linetest.Fans})
	d.Do(line.MarkTripped{Circuit: 2})
	d.Do(line.ResetBreaker{Circuit: 2})
	for i := range d.State().Batches {
		d.Do(line.Scrap{Batch: d.State().Batches[i].ID, Reason: "a trial"})
	}
	d.Do(line.CloseDay{})
	site := linetest.Site()
	site.Stations[linetest.Rack].Name, site.Stations[linetest.Tub].Name = "shelf", "bath"
	site.Panel.Circuits = site.Panel.Circuits[:2]
	site.Panel.Loads = site.Panel.Loads[:linetest.Lights]
	site.Panel.Loads[linetest.Fans].Settings = site.Panel.Loads[linetest.Fans].Settings[:1]
	d.Do(line.LayLine{Site: *site})
	d.Pass(time.Second)
	d.Press("enter", "l") // the first leaves the end of the day
	d.ExpectLine("rack fans on, high")
	d.ExpectLine("Breaker of", "lights", "tripped")
	d.ExpectLine("PEA 1 started at the tub, 3:30")
	d.ExpectLine("Line set up: Test shed")
}
