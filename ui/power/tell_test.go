package powerui_test

import (
	"testing"
	"time"

	"shedbell/line"
	"shedbell/line/linetest"
)

// What somebody has seen goes in with at most five keys on a number pad, from the power
// screen on, and the board answers with what follows.
func TestSeenByKeys(t *testing.T) {
	d := open(t, 80, 24)
	power := func(load int) line.Record {
		t.Helper()
		records := d.Line.History()
		if on := d.State().Power.Loads[load].On; on {
			t.Logf("load %d is on", load)
		}
		return records[len(records)-1]
	}
	d.Press("/", "1", "3", "enter") // the spinner, as a request
	for _, c := range []struct {
		keys []string
		want line.Event
	}{
		{[]string{"1", ".", "1", "enter"}, line.FoundOn{Load: linetest.Washer}},
		{[]string{"3", ".", "2", "enter"}, line.FoundOff{Load: linetest.Spinner}},
		{[]string{"4", ".", "1", "2", "enter"}, line.FoundOn{Load: linetest.Fans, Setting: 1}},
		{[]string{"5", ".", "6", "enter"}, line.Unplugged{Load: linetest.Fridge}},
		{[]string{"5", ".", "6", "enter"}, line.PluggedIn{Load: linetest.Fridge, Circuit: 1}},
		{[]string{"5", ".", "7", "1", "enter"}, line.PluggedIn{Load: linetest.Fridge, Circuit: 0}},
		{[]string{"4", ".", "4", "enter"}, line.PowerLost{Circuit: 1}},
		{[]string{"4", ".", "4", "enter"}, line.PowerBack{Circuit: 1}},
		{[]string{"4", ".", "5", "enter"}, line.PowerLost{Circuit: 1, Everywhere: true}},
		{[]string{"4", ".", "5", "enter"}, line.PowerBack{Circuit: 1, Everywhere: true}},
	} {
		if len(c.keys) > 5 {
			t.Errorf("%v are %d keys", c.keys, len(c.keys))
		}
		d.Press(c.keys...)
		if got := power(0).Event; got != c.want {
			t.Errorf("%v enter %T %+v, want %T %+v", c.keys, got, got, c.want, c.want)
		}
		if _, on := c.want.(line.FoundOn); on && d.State().Power.Loads[linetest.Spinner].On {
			d.Expect("wet wall carries 21 of 20 A and may trip")
		}
	}
}

// How long ago it became true is moved with - and +, and typed.
func TestSeenEarlier(t *testing.T) {
	d := open(t, 80, 24)
	d.Skip(30 * time.Minute)
	d.Press("/", "1", "2", ".", "1")
	d.Expect("0 min ago")
	d.Press("-", "-", "-", "+")
	d.Expect("[2] min ago")
	d.Press("enter")
	e, _ := d.Line.History()[len(d.Line.History())-1].Event.(line.FoundOn)
	if ago := d.Clock.Now().Sub(e.AsOf).Round(time.Second); ago != 2*time.Minute {
		t.Errorf("found on as of %s ago, want 2 minutes", ago)
	}
	if since := d.State().Power.Loads[linetest.Blower].OnSince; !since.Equal(e.AsOf) {
		t.Errorf("on since %s, said as of %s", since, e.AsOf)
	}
	d.Press("2", ".", "2", "1", "0", "enter")
	d.Press("2", ".", "2", "9", "9", "9", "enter")
	d.Expect("Type a number from 0 to 30 min ago")
}
