package pages_test

import (
	"strings"
	"testing"
	"time"

	"shedbell/line"
	"shedbell/line/linetest"
	"shedbell/ui/screen"
	"shedbell/ui/uitest"
)

// practising opens the test shed's day to practise on.
func practising(o uitest.Options) uitest.Options {
	sheet := linetest.Sheet()
	o.Sheet, o.Practice = &sheet, true
	return o
}

// makeMistakes lifts pea 1 too early, is refused once, comes late to the spinner, and cuts
// while greens wait wet.
func makeMistakes(d *uitest.Driver) {
	d.Press("enter")
	d.Skip(10 * time.Minute)
	d.Press("enter", "enter", "enter") // done; the caution; into the tub
	d.Skip(time.Minute)
	d.Do(line.Advance{Batch: 1, To: line.Anywhere})
	d.Pass(time.Second)
	d.Press("7", "enter")
	d.Press("esc")
	d.Skip(8 * time.Minute)
	d.Do(line.Finish{At: line.Place{Station: linetest.Spin}})
	d.Skip(16 * time.Minute)
	d.Press("1", "enter")
	d.Pass(time.Second)
}

func inSpanish(o uitest.Options) uitest.Options {
	o.Prefs = screen.Prefs{Language: "es"}
	return o
}

func TestPracticeScreens(t *testing.T) {
	o := practising(uitest.Options{})
	uitest.Golden(t, "practice", o, func(d *uitest.Driver) {
		makeMistakes(d)
		d.Press("p")
	})
	uitest.Golden(t, "practice-begun", o, func(*uitest.Driver) {})
	uitest.Golden(t, "practice-said", o, makeMistakes)
	uitest.Golden(t, "practice-faultless", o, faultless)
	sheet := linetest.Sheet()
	uitest.Golden(t, "practice-offer", uitest.Options{Sheet: &sheet, Demo: true}, func(d *uitest.Driver) { d.Press("/", "a") })
}

// faultless follows the sentence to the day's end.
func faultless(d *uitest.Driver) {
	for range 400 {
		d.Work(1)
		if d.State().DayDone() {
			break
		}
	}
	d.Press("enter")
}

func TestEachMistakeIsSaidAtOnce(t *testing.T) {
	d := uitest.New(t, practising(uitest.Options{}))
	d.Expect("practice, no mistake", "Practice has begun")
	d.Press("enter")
	d.Skip(10 * time.Minute)
	d.Press("enter", "enter", "enter", "enter") // cut; the caution; into the tub; pea 2 is cut meanwhile
	d.Skip(time.Minute)
	d.Press("2", "enter")
	d.Expect("too early")
	d.ExpectNot("Practice: PEA 1")
	d.Press("enter", "enter") // all the same; the caution is read
	d.Expect("Practice: PEA 1 came out of the tub 2:30 too early: grit stays", "practice, 1 mistake")
	d.Press("8", "enter") // the surfaces are not to be sanitized now, and the lesson stays to be read
	d.Skip(5 * time.Minute)
	d.ExpectNot("over for 2:")
	d.Skip(time.Minute + 10*time.Second)
	d.Expect("Practice: PEA 1 was over by 2:0")
	d.Press("p")
	d.Expect("practice", "Mistakes so far", "(not over yet)", "next time", "Listen for the bell")
	d.Press("enter", "esc")
	d.Expect("Stop the spinner")
}

// The refusal with its way out stays on the board, and stands in the list in the
// language of the board.
func TestARefusalKeepsItsWayOut(t *testing.T) {
	d := uitest.New(t, inSpanish(practising(uitest.Options{})))
	d.Press("7", "enter")
	d.ExpectNot("1 error") // there is no tray to wash yet: a slip of the finger
	d.Press("esc", "enter")
	d.Skip(10 * time.Minute)
	d.Press("enter", "enter", "enter") // the tub's blower runs
	d.Skip(time.Minute)
	d.Press("7", "enter")
	d.Press("enter") // the caution about the jet
	d.Expect("Ahora no:", "Apague soplador", "1 error")
	d.Press("p")
	d.Expect("rechazado, y con razón:", "Apague soplador")
	if strings.Contains(d.Screen(), "Switch off") {
		t.Errorf("English in the Spanish list:\n%s", d.Screen())
	}
}

func TestFaultlessDayIsPraised(t *testing.T) {
	d := uitest.New(t, practising(uitest.Options{}))
	faultless(d)
	d.Expect("practice", "The practice day is over: no mistake.", "Faultless")
	d.Press("enter") // pressed once too often
	d.Expect("Faultless")
	d.Press("0")
	d.Expect("No day is open")
}

// Taking an early lift back at once takes the mistake back.
func TestUndoneIsNoMistake(t *testing.T) {
	d := uitest.New(t, practising(uitest.Options{}))
	d.Press("enter")
	d.Skip(10 * time.Minute)
	d.Press("enter", "enter", "enter")
	d.Skip(time.Minute)
	d.Do(line.Advance{Batch: 1, To: line.Anywhere})
	d.Pass(time.Second)
	d.Expect("practice, 1 mistake")
	d.TakeBack()
	d.Expect("practice, no mistake")
}

// In a plain demo, practice begins from its screen; on the real line there is none.
func TestPracticeIsOfferedInTheDemoOnly(t *testing.T) {
	sheet := linetest.Sheet()
	d := uitest.New(t, uitest.Options{Sheet: &sheet, Demo: true})
	d.ExpectNot("practice")
	d.Press("/", "-", "-", "-", "-")
	d.ExpectLine("→ a  practice")
	d.Press("enter")
	d.Expect("Nothing can break", "Enter start practising")
	d.Press("enter")
	d.Expect("practice, no mistake", "Never") // and the prompts are in full
	d = uitest.New(t, uitest.Options{Sheet: &sheet})
	d.Press("/")
	d.ExpectNot("practice")
}
