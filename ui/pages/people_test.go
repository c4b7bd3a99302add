package pages_test

import (
	"slices"
	"testing"
	"time"

	"shedbell/line"
	"shedbell/line/linetest"
	"shedbell/ui/uitest"
)

func peopleDay() line.Sheet {
	sheet := linetest.Sheet()
	sheet.Crew = []string{"Ash", "Rowan"}
	return sheet
}

func TestPeopleScreen(t *testing.T) {
	sheet := peopleDay()
	uitest.Golden(t, "people", uitest.Options{Sheet: &sheet}, func(d *uitest.Driver) { d.Press("/", ".") })
}

// Two keys open the page, one is the person, one what they do.
func TestPeopleComeAndGo(t *testing.T) {
	sheet := peopleDay()
	d := uitest.New(t, uitest.Options{Sheet: &sheet})
	here := func(want ...string) {
		t.Helper()
		if got := d.State().Here(d.Clock.Now()); !slices.Equal(got, want) {
			t.Errorf("%s: here are %v, want %v", d.Clock.Now().Format(time.TimeOnly), got, want)
		}
	}
	here("Ash", "Rowan")
	d.Press("/", ".", "2", "1") // Rowan leaves
	here("Ash")
	d.Pass(time.Second)
	d.Press("/", ".", "2", "1") // and is back: the phone
	here("Ash", "Rowan")
	d.Press("/", ".", "2", "2") // a break
	here("Ash")
	d.Press("/", ".")
	d.Expect("on a break until")
	d.Press("/")
	d.Skip(16 * time.Minute)
	here("Ash", "Rowan")
	d.Press("/", ".", "3", "1") // somebody who is in no file
	here("Ash", "Rowan", "helper 3")
	d.Press("/", ".", "3", "4", "1", "1", "0", "0", "enter") // until eleven
	if h := d.State().HoursOf("helper 3"); len(h) != 1 || h[0].To.Format("15:04") != "11:00" {
		t.Errorf("helper 3 is here %v", h)
	}
}

// Who goes in the middle of work by hand is asked whose it is now.
func TestWhoGoesHandsTheirWorkOn(t *testing.T) {
	sheet := peopleDay()
	d := uitest.New(t, uitest.Options{Sheet: &sheet})
	d.Press("enter")
	step := func() *line.Step { return &d.State().Batch(1).Step }
	if step().By != "Ash" || step().Progress != line.Running {
		t.Fatalf("cut by %+v", step())
	}
	d.Press("/", ".", "1", "1")
	d.Expect("who goes on with the work at the cutting table")
	d.Press("1")
	if got := d.State().Here(d.Clock.Now()); step().By != "Rowan" || len(got) != 1 {
		t.Errorf("the cut is %s's, here are %v", step().By, got)
	}
	d.Press("/", ".", "2", "1", "1")
	if got := d.State().Here(d.Clock.Now()); step().Progress != line.Held || len(got) != 0 {
		t.Errorf("the cut is %v, here are %v", step().Progress, got)
	}
}
