package pages_test

import (
	"testing"
	"time"

	"shedbell/line"
	"shedbell/line/linetest"
	"shedbell/ui/uitest"
)

func at(station, slot int) line.Place { return line.Place{Station: station, Slot: slot} }

// busyRack brings pea 1 and pea 2 onto the rack and radish 1 into the spinner, and
// takes a shelf out of use.
func busyRack(d *uitest.Driver) {
	d.Do(line.MarkBroken{At: at(linetest.Rack, 3), Why: "a part is broken"})
	for id := 1; id <= 2; id++ {
		d.Do(line.Start{Batch: id, To: line.Anywhere})
		d.Skip(10 * time.Minute)
		d.Do(line.Advance{Batch: id, To: line.Anywhere})
		d.Skip(4 * time.Minute)
		d.Do(line.Advance{Batch: id, To: line.Anywhere})
		d.Skip(4 * time.Minute)
		d.Do(line.Advance{Batch: id, To: line.Anywhere})
		d.Skip(time.Minute)
	}
}

func openStation(t *testing.T, w, h int) *uitest.Driver {
	sheet := linetest.Sheet()
	return uitest.New(t, uitest.Options{Sheet: &sheet, W: w, H: h})
}

func TestStationScreens(t *testing.T) {
	sheet := linetest.Sheet()
	o := uitest.Options{Sheet: &sheet}
	uitest.Golden(t, "station-rack", o, func(d *uitest.Driver) {
		busyRack(d)
		d.Press("4", "4", "4")
	})
	uitest.Golden(t, "station-cut", o, func(d *uitest.Driver) { d.Press("1", "1", "3") })
	uitest.Golden(t, "station-scrap", o, func(d *uitest.Driver) { d.Press("1", "1", "3", "x") })
	uitest.Golden(t, "station-cold", o, func(d *uitest.Driver) { d.Press("6", "6") })
}

func TestDetailsOfARunningStep(t *testing.T) {
	d := openStation(t, 120, 40)
	busyRack(d)
	d.Press("4", "4", "4")
	d.Expect("4 rack", "1 of 4 free")
	d.ExpectLine("1 a", "PEA 1, 3 trays", "due")
	d.ExpectLine("2 b", "PEA 2, 3 trays", "17:00 left")
	d.ExpectLine("4 d", "out of use")
	d.Press("2")
	d.Expect("started 08:07 by Ash, planned 18:00, ran 1:00, due at 08:25")
	d.Expect("revision 1: soak 3:00, drain 0:30, spin 4:00, dry 18:00, fans medium", "rack fans on, medium")
	d.Press("4")
	d.Expect("Out of use since 07:30: a part is broken")
}

func TestTimeHoldAndStartAgain(t *testing.T) {
	d := openStation(t, 80, 24)
	busyRack(d)
	d.Press("4", "4", "4", "2", "+")
	d.ExpectLine("PEA 2", "17:15 left")
	d.Press("-", "-")
	d.ExpectLine("PEA 2", "16:45 left")
	d.Press("a")
	d.Expect("Not now: pea 2 is running. Hold it first.")
	d.Press(".")
	d.ExpectLine("PEA 2", "held, 16:45")
	d.Press("a")
	d.Expect("Restart PEA 2 from the beginning?", "The 1:00 it has run won't count")
	d.Press("/")
	d.ExpectNot("from the beginning")
	d.ExpectLine("PEA 2", "held, 16:45")
	d.Press("a", "enter")
	d.ExpectLine("PEA 2", "17:45 left")
	d.TakeBack()
	d.ExpectLine("PEA 2", "held, 16:45")
}

// Enter before the time asks once, and another row's Enter does not answer it.
func TestEnterTooEarlyAsks(t *testing.T) {
	d := openStation(t, 80, 24)
	busyRack(d)
	d.Press("4", "4", "4", "2", "enter")
	d.Expect("17:00 too early. Enter again to do it anyway.")
	d.Press("1", "enter", "2")
	d.ExpectLine("PEA 1", "waits")
	d.ExpectLine("PEA 2", "17:00 left")
	d.Press("enter", "enter")
	d.ExpectLine("PEA 2", "waits")
}

func TestSplitAndMergeUncutTrays(t *testing.T) {
	d := openStation(t, 80, 26)
	d.Press("1", "1")
	d.ExpectLine("3", "PEA 2, 3 trays", "uncut")
	d.Press("3", "s")
	d.Expect("How many of the 3 trays of PEA 2 to split off?")
	d.Press("1", "enter")
	d.ExpectLine("PEA 2, 2 trays")
	d.ExpectLine("PEA 3, 1 tray")
	d.Press("3", "m")
	d.Expect("Merge PEA 2, 2 trays, into which batch?", "1 PEA 3, 1 tray", "1 choose")
	d.ExpectNot("1 PEA 1") // together they are more than fit
	d.Press("1")
	d.ExpectLine("PEA 3, 3 trays")
	d.ExpectNot("PEA 2, 2 trays")
}

// What the line refuses is no offer, and the reason is the line's.
func TestMergeSaysWhatTheLineSays(t *testing.T) {
	d := openStation(t, 80, 24)
	d.Press("1", "1", "3")
	d.ExpectNot("m merge")
	d.Press("m")
	d.Expect("together they are 6 trays and only 4 fit")
	d.ExpectNot("into which batch")
}

// Rows move up when the first batch goes to the table, and the mark goes with it.
func TestMarkFollowsTheBatch(t *testing.T) {
	d := openStation(t, 80, 24)
	d.Press("1", "1", "2", "enter")
	d.ExpectLine("→ 1", "PEA 1", "min left")
	d.Press("x")
	d.Expect("Scrap PEA 1, 3 trays?")
	d.Press("/")
	d.TakeBack()
	d.ExpectLine("→ 2", "PEA 1", "uncut")
}

func TestStationSplitRefused(t *testing.T) {
	d := openStation(t, 80, 24)
	d.Press("1", "1", "3", "s", "7", "enter")
	d.Expect("Not now: pea 2 has 3 trays; you can split off 1 to 2.")
	d.ExpectLine("PEA 2, 3 trays")
}

func TestScrapAsksWhyOnce(t *testing.T) {
	d := openStation(t, 80, 24)
	d.Press("1", "1", "2", "x")
	d.Expect("Scrap PEA 1, 3 trays? Say why.", "1 dropped", "5 something else")
	d.Press("/")
	d.ExpectLine("PEA 1, 3 trays")
	d.Press("x", "2")
	d.Expect("PEA 1 scrapped: spoiled")
	if e := scrapped(d); e.Batch != 1 || e.Reason != "spoiled" {
		t.Errorf("%+v, want scrapped as spoiled", e)
	}
}

// scrapped is the record of what was scrapped last.
func scrapped(d *uitest.Driver) line.BatchScrapped {
	history := d.Line.History()
	e, _ := history[len(history)-1].Event.(line.BatchScrapped)
	return e
}

func TestStationOwnReason(t *testing.T) {
	d := openStation(t, 80, 24)
	d.Press("1", "1", "2", "x", "5", "enter")
	d.Expect("Still missing: why")
	d.Press("q", "u", "?", "0", "/", "enter")
	if e := scrapped(d); e.Batch != 1 || e.Reason != "qu?0/" {
		t.Errorf("%+v, want scrapped for the reason that was typed", e)
	}
}

func TestOutOfUseAndBack(t *testing.T) {
	d := openStation(t, 80, 24)
	d.Press("4", "4", "3", "b")
	d.Expect("Take the rack c out of use? Say why.")
	d.Press("2")
	d.ExpectLine("3 c", "out of use")
	d.Expect("Out of use since 07:30: leaks", "b back in use")
	d.Press("b")
	d.Expect("Is the rack c working again?")
	d.Press("enter")
	d.ExpectLine("3 c", "free")
}

func TestPackingAsksForPackagesAndWeight(t *testing.T) {
	d := openStation(t, 80, 24)
	busyRack(d)
	d.Do(line.Finish{At: at(linetest.Rack, 0)})
	d.Do(line.Start{Batch: 1, To: line.Anywhere})
	d.Skip(10 * time.Minute)
	d.Press("5", "5", "enter")
	d.Expect("PEA 1 packed, 125 g a package", "Enter takes 7 packages", "(875 g)") // 3 trays of 300 g in packages of 125 g
	d.Press("6", "/")
	d.ExpectNot("a package")
	d.Press("enter")
	d.Expect("[6", "(750 g)") // as it was left
	d.Press("enter")
	d.Expect("Enter takes 750 g")
	d.Press("enter")
	if b := d.State().Batch(1); b.Packages != 6 || b.NetG != 750 {
		t.Errorf("%d packages of %g g in all, want 6 of 750", b.Packages, b.NetG)
	}
	d.Expect("6 packages, 750 g, lot 2026-12-03-001")
	d.Press("enter", "right")
	d.Expect("6 fridge")
	d.ExpectLine("PEA 1, 3 trays", "cold")
}

// Where nothing is prompted, Enter asks the line, which says why not.
func TestEnterWithoutAPromptIsRefusedInWords(t *testing.T) {
	d := openStation(t, 80, 24)
	d.Press("7", "7", "enter")
	d.Expect("7 tray wash", "Not now: no tray is ready for tray wash")
	d.Press("left", "left", "left", "enter") // the rack's first shelf, empty
	d.Expect("4 rack", "Not here: it has no next step now.")
	d.Press("left", "left", "left", "2", "enter", "2", "enter")
	d.Expect("1 cutting table", "Not now: no free place at cut for pea 2")
}

func TestStationsBeside(t *testing.T) {
	d := openStation(t, 80, 24)
	d.Press("1", "1", "left")
	d.Expect("9 sowing bench")
	d.Press("right", "right")
	d.Expect("2 tub", "has washed 0 batches of 4")
	d.Press("0")
	d.Expect("Cut PEA 1")
}
