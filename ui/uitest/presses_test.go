package uitest_test

import (
	"testing"
	"time"

	"shedbell/line"
	"shedbell/line/linetest"
	"shedbell/ui/screen"
	"shedbell/ui/uitest"
)

// The times are those of the design of the board: Enter twice within a second, another
// key within 0.3 s, 3 s to read what has changed, 3 min and 10 s on another screen.

func opened(t *testing.T) *uitest.Driver {
	sheet := linetest.Sheet()
	return uitest.New(t, uitest.Options{Sheet: &sheet})
}

func progress(d *uitest.Driver, batch int) line.Progress { return d.State().Batch(batch).Step.Progress }

func TestADoubledEnterCountsOnce(t *testing.T) {
	for _, c := range []struct {
		gap   time.Duration
		again bool
	}{{50 * time.Millisecond, false}, {900 * time.Millisecond, false}, {1100 * time.Millisecond, true}} {
		d := opened(t)
		d.Press("enter")
		d.Skip(10 * time.Minute) // cutting takes 9
		d.Press("enter")
		if progress(d, 1) != line.Finished {
			t.Fatal("the cutting did not end")
		}
		d.PressAfter(c.gap, "enter")
		if got := d.State().Batch(1).Step.Place.Station == linetest.Tub; got != c.again {
			t.Errorf("after %s the second Enter counts: %v", c.gap, got)
		}
		if !c.again {
			d.Expect("Enter came twice within a second")
		}
	}
}

func TestAnyOtherKeyTwiceAtOnceCountsOnce(t *testing.T) {
	d := opened(t)
	d.Press("4")
	d.PressAfter(200*time.Millisecond, "4")
	d.Expect("The key came twice at once")
	d.PressAfter(400*time.Millisecond, "4")
	d.Expect("rack a") // the details
	d.Press("0", "esc", "enter")
	d.Skip(10 * time.Minute)
	d.Press("enter", "enter") // into the tub
	before := d.State().Batch(1).Step.Planned
	d.PressAfter(100*time.Millisecond, "+", "+", "+")
	if got := d.State().Batch(1).Step.Planned - before; got != 45*time.Second {
		t.Errorf("three times + made it %s longer", got)
	}
}

// What somebody types comes as quickly as fingers go.
func TestTypingIsNotGuarded(t *testing.T) {
	d := opened(t)
	d.Press("/", "8")
	d.Press("0", "b")
	d.Press(".")
	d.PressAfter(60*time.Millisecond, "1", "1", "1", "1")
	d.ExpectNot("The key came twice")
}

func TestEnterSaysWhatChangedByItself(t *testing.T) {
	d := opened(t)
	d.Expect("Cut PEA 1")
	d.Do(line.Start{Batch: 4, To: line.Anywhere}) // at another screen
	d.Pass(time.Second)
	was := d.State()
	d.PressAfter(time.Second, "enter")
	if d.State().Seq != was.Seq {
		t.Error("Enter did what nobody can have read")
	}
	d.Expect("Just now this changed by itself: Finish cutting RADISH 2", "1 Enter does what stood here: Cut PEA 1")
	d.PressAfter(1100*time.Millisecond, "enter")
	d.Expect("Begun only") // it acts on the new sentence
	d.Do(line.Finish{At: line.Place{}})
	d.Pass(5 * time.Second) // that can be read
	d.Press("enter")
	if d.State().Seq == was.Seq+1 {
		t.Error("Enter does nothing after it could be read")
	}
}

// A cut of ten minutes is not over after two seconds, and may be all the same.
func TestAHastyEndAsksOnce(t *testing.T) {
	d := opened(t)
	d.Press("enter")
	d.Pass(2 * time.Second)
	d.Press("enter")
	d.Expect("Begun only 0:02 ago")
	if progress(d, 1) != line.Running {
		t.Fatal("the cutting has ended")
	}
	d.Press("enter")
	if progress(d, 1) != line.Finished {
		t.Error("the cutting does not end when Enter confirms it")
	}
}

func TestKeysThatWaitedAreNotActedOn(t *testing.T) {
	d := opened(t)
	d.Pass(5 * time.Second)
	d.PressAfter(4*time.Second, "enter") // nothing came through for that long
	d.PressAfter(time.Millisecond, "1", "enter")
	if progress(d, 1) != line.Loaded || d.State().Batch(1).Fate != line.Waiting {
		t.Error("a key was acted on that nobody could see the screen for")
	}
	d.Expect("Pressed while the screen stood still")
	d.Press("enter")
	if progress(d, 1) != line.Running {
		t.Error("the keys do not come back")
	}
}

func TestAnUntouchedScreenGoesBackToTheBoard(t *testing.T) {
	d := opened(t)
	d.Press("/", "7")
	d.Pass(2 * time.Minute)
	d.ExpectNot("Cut PEA 1,")
	d.Pass(time.Minute + time.Second)
	d.Expect("Cut PEA 1,")

	d.Press("/", "9", ".")
	d.Press("d", "r", "i", "p")
	d.Pass(20 * time.Minute)
	d.Expect("drip") // what was typed is not left
}

// An alarm stands on every screen at the same row, calls people back to the board, keeps
// still when it was noted and calls again after five minutes.
func TestAlarmsOnEveryScreen(t *testing.T) {
	d := opened(t)
	d.Work(3)
	d.Pass(4 * time.Minute)
	at := func() string {
		d.Expect("confirm tub blower off")
		return uitest.Row(d.Screen(), screen.AlarmY(screen.Size{W: 80, H: 24}))
	}
	d.Pass(time.Minute)
	board := at()
	for _, keys := range [][]string{{"/"}, {"7"}, {"?"}, {"0", "/", "6"}, {"/", "/", "9", "."}} {
		d.Press(keys...)
		if got := at(); got != board {
			t.Errorf("after %q the alarm row is %q, on the board %q", keys, got, board)
		}
	}
	d.Press("/", "0", "/", "7")
	d.Pass(11 * time.Second)
	d.Expect("7 TRAY WASH")
	d.Press("*")
	d.Expect("noted 07:")
	d.Press("/", "7")
	d.Pass(time.Minute)
	d.ExpectNot("7 TRAY WASH")
	d.Pass(4 * time.Minute)
	d.Expect("* silence")
}

// Work by hand that takes three times as long as usual may be over for long.
func TestWorkByHandAsksWhetherItIsDone(t *testing.T) {
	d := opened(t)
	d.Press("enter")
	usual := (line.Advice{}).HandTime(d.State(), line.Place{}, "pea", 3, "")
	d.Skip(3*usual - 2*time.Second)
	d.ExpectNot("is it done?")
	d.Pass(4 * time.Second)
	d.Expect("PEA 1 at the cutting table for", "is it done?")
}
