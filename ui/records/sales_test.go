package recordsui_test

import (
	"strings"
	"testing"
	"time"

	"shedbell/line"
	"shedbell/ui/act"
	"shedbell/ui/uitest"
)

// Once a customer is known, three keys on the records screen say who got a lot: the
// lots, the sale, and that all of it went there.
func TestSaleInThreeKeys(t *testing.T) {
	d := open(t, uitest.Options{})
	days(d, 1)
	for _, crop := range d.State().Book.Crops() {
		d.Do(line.TakeOrder{Customer: "Corner kitchen", Crop: crop, Packages: 2, Due: d.Clock.Now().Format(time.DateOnly)})
	}
	open := len(d.State().Orders)
	d.Pass(time.Second)
	d.Press("/", "4")
	d.Press("4", "6", "enter")
	s := d.State()
	if len(s.Sales) != 1 || s.Sales[0].Sold.Customer != "Corner kitchen" || s.Sales[0].Sold.Packages < 2 {
		t.Fatalf("sales %+v\n%s", s.Sales, d.Screen())
	}
	sold := s.Sales[0].Sold
	if left, ok := s.LotLeft(sold.Lot); !ok || left != 0 {
		t.Errorf("%d packages of %s are left", left, sold.Lot)
	}
	if len(s.Orders) != open-1 {
		t.Errorf("not the one order that it fills is closed: %+v", s.Orders)
	}
	d.Press("6") // nothing is left to sell
	d.Expect("it's all sold")
	d.Press("enter", "pgdown") // the trace goes forward to the customer
	d.Expect("Corner kitchen")
}

func TestSaleOfMoreThanThereIsIsRefused(t *testing.T) {
	d := open(t, uitest.Options{})
	days(d, 1)
	d.Press("/", "4", "4", "6")
	typeIn(d, "the inn")
	d.Press("enter")
	typeIn(d, "999") // in place of the number that stands there
	d.Press("enter")
	d.Expect("Type a number from 1 to")
	if n := len(d.State().Sales); n != 0 {
		t.Errorf("%d sales", n)
	}
	d.Press("esc", "0")
}

func TestOrderIsTakenAndCancelled(t *testing.T) {
	d := open(t, uitest.Options{})
	d.Press("4", "7")
	typeIn(d, "the inn")
	d.Press("enter", "enter", "enter", "enter") // the crop and the day as they stand, and no time
	d.Press("1", "2", "enter", "enter")
	o := d.State().Orders
	if len(o) != 1 || o[0].Customer != "the inn" || o[0].Packages != 12 || o[0].Due != d.Clock.Now().AddDate(0, 0, 7).Format(time.DateOnly) {
		t.Fatalf("orders %+v", o)
	}
	d.Press("8")
	d.Expect("the inn, 12 packages of pea")
	d.Press("enter")
	if n := len(d.State().Orders); n != 0 {
		t.Errorf("%d orders", n)
	}
	d.Press("8")
	d.Expect("no open orders")
}

// A change that somebody notes stands on the time axis before the next day, from the top
// of the chart to its bottom.
func TestChangeStandsOnTheTimeAxis(t *testing.T) {
	d := open(t, uitest.Options{})
	days(d, 3)
	trend := func() int {
		d.Pass(time.Second)
		d.Press("0", "/", "4", "2")
		d.Send(act.SayMsg{}) // the foot says what was done last, and must not be taken for the chart
		return strings.Count(d.Screen(), "┃")
	}
	if n := trend(); n != 0 {
		t.Fatalf("%d rows of a change that nobody noted:\n%s", n, d.Screen())
	}
	d.Resize(60, 20)
	d.Press("6")
	d.Expect("/ leave") // a form can be left from where it is drawn smallest
	d.Resize(80, 24)
	d.Press("enter")
	days(d, 2)
	if n := trend(); n < 5 {
		t.Errorf("the chart does not show the change:\n%s", d.Screen())
	}
}
