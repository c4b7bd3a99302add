package app_test

import (
	"strings"
	"testing"
	"time"

	"shedbell/line"
	"shedbell/line/files"
	"shedbell/recipes"
	"shedbell/ui/uitest"
)

func playing(t *testing.T) *uitest.Driver {
	book := recipes.Starters()
	start := time.Date(2026, 12, 3, 7, 30, 0, 0, time.UTC)
	return uitest.New(t, uitest.Options{Site: files.Starter(), Book: &book, Sheet: files.StarterDay(start), Start: start, Demo: true, Plays: true})
}

// TestADayPlaysByItself to its end, with a refusal on the way that says what to do, and
// nothing is lost.
func TestADayPlaysByItself(t *testing.T) {
	d := playing(t)
	d.Expect("plays by itself")
	refused, captions := false, 0
	for d.State().Sheet != nil {
		if d.Clock.Now().Sub(d.State().Sheet.Start) > 8*time.Hour {
			t.Fatalf("the day does not end:\n%s", d.Screen())
		}
		d.Pass(10 * time.Second)
		screen := strings.Join(strings.Fields(d.Screen()), " ")
		refused = refused || strings.Contains(screen, "reached for the pressure washer") && strings.Contains(screen, "witch off")
		if strings.Contains(screen, "handwork") || strings.Contains(screen, "contact time on the label") {
			captions++
		}
	}
	if !refused || captions == 0 {
		t.Errorf("a refusal was explained: %t; captions seen: %d", refused, captions)
	}
}

// TestAnyKeyTakesOver: it only stops the players; the clock stands until the next key,
// which is the person's. Another key gives the day back.
func TestAnyKeyTakesOver(t *testing.T) {
	d := playing(t)
	d.Pass(3 * time.Minute)
	before := d.State().Seq
	d.Press("enter")
	if d.State().Seq != before {
		t.Errorf("taking over has done something")
	}
	d.Expect("yours now")
	d.Pass(10 * time.Minute)
	if working(d) != before {
		t.Errorf("somebody plays on after a person has taken over")
	}
	d.Press("enter")
	d.Expect("plays by itself")
	d.Pass(10 * time.Minute)
	if working(d) == before {
		t.Errorf("nobody plays on")
	}
	d.Press("x", "w")
	d.ExpectNot("plays by itself", "yours now")
	d.Press("g")
	d.Expect("plays by itself")
}

// working is the newest record that is no alarm.
func working(d *uitest.Driver) int64 {
	last := int64(0)
	for _, r := range d.Line.History() {
		switch r.Event.(type) {
		case line.StepStarted, line.StepFinished, line.ChoreStarted, line.ChoreFinished, line.BatchCooled:
			last = r.Seq
		}
	}
	return max(last, 0)
}
