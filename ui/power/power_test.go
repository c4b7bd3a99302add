package powerui_test

import (
	"testing"
	"time"

	"shedbell/line"
	"shedbell/line/linetest"
	"shedbell/ui/uitest"
)

func open(t *testing.T, w, h int) *uitest.Driver {
	sheet := linetest.Sheet()
	return uitest.New(t, uitest.Options{Sheet: &sheet, W: w, H: h})
}

// busy has the morning's work done and a machine switched on by hand.
func busy(d *uitest.Driver) {
	d.Work(20)
	d.Do(line.SwitchOn{Load: linetest.Blower})
	d.Skip(4 * time.Minute)
	d.Press("/", "1")
}

func TestScreens(t *testing.T) {
	sheet := linetest.Sheet()
	o := uitest.Options{Sheet: &sheet}
	uitest.Golden(t, "power/busy", o, func(d *uitest.Driver) {
		busy(d)
		d.Press("4")
	})
	uitest.Golden(t, "power/refused", o, func(d *uitest.Driver) {
		busy(d)
		d.Press("1", "enter")
	})
	uitest.Golden(t, "power/asked", o, func(d *uitest.Driver) {
		busy(d)
		d.Press("2", ".")
	})
	uitest.Golden(t, "power/tripped", o, func(d *uitest.Driver) {
		busy(d)
		d.Press("3", ".", "3", "enter")
		d.Skip(time.Minute)
	})
}

// intoTub brings pea 1 into the tub by the board's keys.
func intoTub(d *uitest.Driver) {
	d.Press("enter") // cut
	d.Skip(10 * time.Minute)
	d.Press("enter") // cut done
	d.Skip(10 * time.Second)
	d.Press("enter") // into the tub, blower on
	d.Skip(time.Minute)
}

// Check value: a washer of 14 A beside a blower of 5.8 A (common practice, no
// source). It runs alone, so it waits until the blower is confirmed off.
func TestWasherWaitsUntilTheBlowerIsConfirmedOff(t *testing.T) {
	d := open(t, 120, 40)
	intoTub(d)
	d.Press("/", "1", "1", "enter")
	d.Expect("Not now: the pressure washer can't start", "runs alone. On now: tub blower", "room 14.2")
	if d.State().Power.Loads[linetest.Washer].On {
		t.Fatal("the washer is on beside the blower")
	}
	d.Skip(3 * time.Minute) // the countdown is over, but zero is not off
	d.ExpectLine("2 tub blower", "due 0:")
	d.Press("enter")
	d.Expect("Not now: the pressure washer can't start", "onfirm that tub blower is off")
	d.Press("2", "enter") // it serves a step, so the step has to end
	d.Expect("1 running step needs the tub blower. Finish or hold it first", "PEA 1 at the tub")
	d.Press("0", "2", ".") // held: the blower is confirmed off
	d.Press("/", "1", "1")
	d.Expect("Switch the pressure washer on, then Enter: 14 A")
	d.Press("enter")
	if !d.State().Power.Loads[linetest.Washer].On {
		t.Fatalf("the washer is not on:\n%s", d.Screen())
	}
	d.ExpectLine("1 pressure washer", "14 A")
	d.ExpectLine("14.0 of 20 A")
}

// The same with a blower that was switched on by hand, all with digits and Enter.
func TestSwitchByNumberPad(t *testing.T) {
	d := open(t, 80, 24)
	d.Press("/", "1", "2", "enter")
	d.ExpectLine("2 tub blower", "on since 07:30")
	d.Press("1", "enter")
	d.Expect("Switch off tub blower", `"wet wall"`)
	d.Press("2", "enter")
	d.ExpectLine("2 tub blower", "off")
	d.Press("1", "enter")
	d.ExpectLine("1 pressure washer", "on since 07:30")
	d.Press("0")
	d.ExpectNot("pressure washer is refused", "Enter confirm off")
}

// After a trip everything on the circuit is off, the step is held with what it
// certainly ran, and nothing starts there until the breaker is reset.
func TestTripByKeys(t *testing.T) {
	d := open(t, 80, 24)
	intoTub(d)
	d.Skip(150 * time.Second)
	d.Press("enter") // out of the tub, into the spinner for 4:00
	d.Skip(time.Minute)
	d.Press("/", "1", "6", "enter") // the drain pump by hand
	spin := line.Place{Station: linetest.Spin}
	ran := d.State().StepAt(spin).Ran(d.Clock.Now())
	d.Press("3", ".")
	d.Expect(`3 breaker of "wet wall" tripped`)
	d.Press("3")
	if d.State().Power.Open(0) {
		t.Fatal("the trip was taken over before it was confirmed")
	}
	d.Press("enter")
	d.Expect("on then: spinner for 1:00, drain pump for 0:00")
	d.Expect("no power, breaker tripped", "tripped reset it", "Held: PEA 1 at the spinner, ran 1:00 of 4:00")
	for _, load := range []int{linetest.Washer, linetest.Blower, linetest.Spinner, linetest.Drain} {
		if d.State().Power.Loads[load].On {
			t.Errorf("load %d is on behind a tripped breaker", load)
		}
	}
	if !d.State().Power.Loads[linetest.Fridge].On {
		t.Error("the fridge on another circuit went off")
	}
	d.Skip(5 * time.Minute)
	step := d.State().StepAt(spin)
	if step.Progress != line.Held || step.Ran(d.Clock.Now()) != ran {
		t.Errorf("the step is %+v, want held after %s", step, ran)
	}
	d.Press("enter", "0", "3", ".") // neither from here nor from the board
	d.Expect("has tripped. Find out why, then reset it")
	if p := d.State().StepAt(spin).Progress; p != line.Held {
		t.Errorf("progress %d behind a tripped breaker", p)
	}
	d.Press("/", "1", "3", ".")
	d.Expect(`3 breaker of "wet wall" reset`, "licensed electrician")
	d.Press("3", "enter", "0", "3", ".")
	step = d.State().StepAt(spin)
	if step.Progress != line.Running || step.Left(d.Clock.Now()) != 4*time.Minute-ran {
		t.Errorf("after reset and resume %+v, %s left", step, step.Left(d.Clock.Now()))
	}
	e, ok := lastTrip(d)
	if !ok || e.Found == nil || len(e.Found.On) != 2 || e.Found.On[0].Load != linetest.Spinner || e.Found.On[0].For != time.Minute {
		t.Errorf("the journal keeps %+v", e.Found)
	}
}

func lastTrip(d *uitest.Driver) (line.BreakerTripped, bool) {
	records := d.Line.History()
	for i := len(records) - 1; i >= 0; i-- {
		if e, ok := records[i].Event.(line.BreakerTripped); ok {
			return e, true
		}
	}
	return line.BreakerTripped{}, false
}

func TestTripIsAskedOnce(t *testing.T) {
	d := open(t, 80, 24)
	d.Press("/", "1", "4", ".", "/")
	d.Expect("4 rack fans")
	d.ExpectNot("tripped")
	d.Press(".", "esc")
	if d.State().Power.Open(1) {
		t.Error("tripped although the answer was no")
	}
	d.Press("5", "enter")
	d.Expect("fridge: is it off?", "meant to stay on")
	d.Press("0", "/")
	if !d.State().Power.Loads[linetest.Fridge].On {
		t.Error("the fridge is off although the answer was no")
	}
	d.Press("enter", "enter")
	d.ExpectLine("5 fridge", "off, 6.0 A reserved")
	d.ExpectLine("cold wall", "6.0 of 20 A")
}

func TestSettings(t *testing.T) {
	d := open(t, 80, 24)
	d.Press("/", "1", "4")
	d.Expect("Switch the rack fans on at low, then Enter: 1.6 A")
	d.Press("4", "4")
	d.Expect("at high, then Enter: 4.2 A")
	d.Press("4", "+")
	d.Expect("at medium, then Enter: 2.8 A")
	d.Press("enter")
	if st := d.State().Power.Loads[linetest.Fans]; !st.On || st.Setting != 1 {
		t.Fatalf("the fans are %+v, want on at medium", st)
	}
	d.Press("-")
	d.Expect("Set the rack fans to low, then Enter: 1.6 A")
	d.Press("enter", "enter")
	if d.State().Power.Loads[linetest.Fans].On {
		t.Error("the fans are still on")
	}
	d.Press("2", "+")
	d.Expect("Not here: tub blower has only one setting")
}
