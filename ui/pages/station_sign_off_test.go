package pages_test

import (
	"testing"
	"time"

	"shedbell/line"
	"shedbell/line/linetest"
	"shedbell/ui/uitest"
)

// twoPeople is the test shed with somebody who is new.
func twoPeople(o uitest.Options) uitest.Options {
	site, sheet := linetest.Site(), linetest.Sheet()
	site.Crew, sheet.Crew = []string{"Ash", "Rowan"}, nil
	o.Site, o.Sheet = site, &sheet
	return o
}

func TestSignOffInThreeKeys(t *testing.T) {
	d := uitest.New(t, twoPeople(uitest.Options{W: 120, H: 40}))
	d.Press("3", "3", "o")
	d.Expect("Who may run this station alone: spin?", "1 Ash", "2 Rowan", "3 someone else: type the name")
	d.Press("2")
	d.Expect("→ signed by", "1 Ash")
	d.Press("1")
	d.Expect("Rowan may run spin alone, signed off by Ash", "alone", "Rowan (by Ash)")
	if o, ok := d.State().SignedOff("Rowan", line.Spin); !ok || o.SignedBy != "Ash" {
		t.Fatalf("%+v", d.State().SignOffs)
	}
	d.Press("o")
	d.Expect("2 Rowan: already signed off by Ash, 3 Dec 2026")
	d.Press("2")
	d.Expect("no longer alone, because", "stays in the records")
	d.Press("1", "1")
	d.Expect("Rowan may no longer run spin alone, says Ash: not done for a long time")
	d.ExpectNot("Rowan (by Ash)")
	d.TakeBack()
	d.Expect("Rowan (by Ash)")
}

func TestSignOffOfATypedName(t *testing.T) {
	d := uitest.New(t, twoPeople(uitest.Options{}))
	d.Press("3", "3", "o", "3")
	for _, c := range "Elm" {
		d.Press(string(c))
	}
	d.Press("enter", "1")
	d.Expect("Elm may run spin alone, signed off by Ash")
	d.Press("o", "4", "enter")
	d.Expect("Still missing: who")
}

func TestSignOffScreens(t *testing.T) {
	uitest.Golden(t, "sign-off", twoPeople(uitest.Options{}), func(d *uitest.Driver) {
		d.Do(line.SignOff{Person: "Rowan", Station: line.Spin, SignedBy: "Ash"})
		d.Pass(time.Second)
		d.Press("3", "3", "o")
	})
}
