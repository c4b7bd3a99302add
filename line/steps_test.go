package line_test

import (
	"reflect"
	"strings"
	"testing"
	"time"

	"shedbell/line"
	"shedbell/line/linetest"
)

func TestAdvanceIsAllOrNothing(t *testing.T) {
	sh := openShed(t)
	sh.washed()
	sh.do(line.SwitchOn{Load: linetest.Drain})
	sh.do(line.MarkBroken{At: at(linetest.Spin, 0)})
	before := sh.s
	sh.refused(line.Advance{Batch: 1, To: line.Anywhere}, line.RuleBroken)
	sh.refused(line.Advance{Batch: 1, To: at(linetest.Spin, 0)}, line.RuleBroken)
	if sh.s != before || !sh.s.Power.Loads[linetest.Blower].On {
		t.Error("a refused advance left something behind")
	}
}

func TestUndoAfterTheDayIsClosed(t *testing.T) {
	sh := openShed(t)
	for id := 1; id <= 6; id++ {
		sh.do(line.Scrap{Batch: id, Reason: "too hot"})
	}
	dirty := sh.s.Trays.Dirty
	sh.do(line.CloseDay{})
	if sh.s.Sheet != nil || sh.s.Trays.Dirty != dirty || dirty != 18 {
		t.Errorf("18 dirty trays became %d when the day was closed", sh.s.Trays.Dirty)
	}
	sh.refused(line.StartChore{Kind: line.WashTrays, To: line.Anywhere}, line.RuleDay)
	sh.do(line.Undo{})
	if sh.s.Sheet == nil || len(sh.s.Batches) != 6 {
		t.Error("undo did not open the day again")
	}
	sh.do(line.CloseDay{})
	sh.pass(24 * time.Hour)
	sh.do(line.OpenDay{Sheet: linetest.Sheet()})
	if sh.s.Trays.Dirty != 18 {
		t.Errorf("the next day finds %d dirty trays, want 18", sh.s.Trays.Dirty)
	}
}

func TestWaterIsPromisedToLoadedBatches(t *testing.T) {
	site := linetest.Site()
	site.Stations[linetest.Tub].Slots = 2
	site.Stations[linetest.Tub].WaterBatches = 1
	site.Stations[linetest.Cut].Slots = 3
	sh := &shed{t: t, s: line.NewState(site, linetest.Book()), now: linetest.Morning}
	sh.do(line.OpenDay{Sheet: linetest.Sheet()})
	for _, id := range []int{1, 2, 3} {
		sh.do(line.Start{Batch: id, To: line.Anywhere})
		sh.do(line.Finish{At: at(linetest.Cut, id-1)})
	}
	sh.do(line.Split{Batch: 1, Trays: 1}) // the part stands in the tub
	part := sh.s.LastID
	sh.refused(line.Start{Batch: 2, To: at(linetest.Tub, 1)}, line.RuleWater)
	sh.refused(line.Start{Batch: 3, To: at(linetest.Tub, 1)}, line.RuleApart)
	sh.do(line.Start{Batch: part, To: line.Anywhere})
	sh.do(line.MarkBroken{At: at(linetest.Tub, 1)})
	sh.refused(line.Start{Batch: 2, To: at(linetest.Tub, 1)}, line.RuleBroken)
}

func TestSplitMovesOnWhereTheStationHasOnePlace(t *testing.T) {
	sh := openShed(t)
	sh.washed()
	sh.refused(line.Split{Batch: 1, Trays: 1}, line.RuleOrder)
	sh.do(line.Finish{At: at(linetest.Tub, 0)})
	wet := sh.s.Batch(1).WetSince
	sh.do(line.Split{Batch: 1, Trays: 1})
	part := sh.s.Batch(sh.s.LastID)
	if part.Trays != 1 || part.Step.Progress != line.Loaded || part.Step.Place != at(linetest.Spin, 0) || !part.WetSince.Equal(wet) {
		t.Errorf("part %+v", part)
	}
	sh.pass(2 * time.Minute)
	sh.do(line.Start{Batch: part.ID, To: line.Anywhere})
	if part := sh.s.Batch(part.ID); part.WetSoFar != 2*time.Minute {
		t.Errorf("the part waited wet %s, want 2m", part.WetSoFar)
	}
}

func TestMergeTakesTheLongerWetWait(t *testing.T) {
	site := linetest.Site()
	site.Stations[linetest.Tub].Slots, site.Stations[linetest.Cut].Slots = 2, 2
	site.Stations[linetest.Tub].SlotTrays = 6
	sh := &shed{t: t, s: line.NewState(site, linetest.Book()), now: linetest.Morning}
	sh.do(line.OpenDay{Sheet: linetest.Sheet()})
	for _, id := range []int{1, 2} {
		sh.do(line.Start{Batch: id, To: line.Anywhere})
		sh.do(line.Advance{Batch: id, To: at(linetest.Tub, id-1)})
		sh.pass(time.Minute)
	}
	sh.pass(5 * time.Minute)
	sh.do(line.Finish{At: at(linetest.Tub, 1)})
	sh.do(line.Finish{At: at(linetest.Tub, 0)})
	first := sh.s.Batch(1).WetSince
	sh.do(line.Merge{From: 1, Into: 2})
	from, into := sh.s.Batch(1), sh.s.Batch(2)
	if from.Fate != line.Merged || from.Trays != 0 || !from.WetSince.IsZero() || into.Trays != 6 || !into.WetSince.Equal(first) {
		t.Errorf("from %+v into %+v", from, into)
	}
}

func TestSanitizerContactCannotBeCutShort(t *testing.T) {
	sh := openShed(t)
	r, _ := sh.s.Recipe("pea")
	r.SanitizerContact = 2 * time.Minute
	r.By, r.Why = "Ash", "a test"
	sh.do(line.Revise{Recipe: r})
	sh.do(line.Start{Batch: 1, To: line.Anywhere})
	sh.do(line.Advance{Batch: 1, To: line.Anywhere})
	sh.pass(time.Minute)
	tub := at(linetest.Tub, 0)
	sh.refused(line.Finish{At: tub}, line.RuleContact)
	sh.refused(line.Advance{Batch: 1, To: line.Anywhere}, line.RuleContact)
	sh.refused(line.Adjust{At: tub, By: -2 * time.Minute}, line.RuleContact)
	sh.pass(time.Minute)
	sh.do(line.Finish{At: tub})

	sh.do(line.StartChore{Kind: line.SanitizeAll, To: line.Anywhere})
	sanitize := at(linetest.Sanitize, 0)
	sh.refused(line.Adjust{At: sanitize, By: -time.Second}, line.RuleContact)
	sh.pass(9*time.Minute + 59*time.Second)
	sh.refused(line.Finish{At: sanitize}, line.RuleContact)
	sh.pass(time.Second)
	sh.do(line.Finish{At: sanitize})
	sh.do(line.Start{Batch: 1, To: line.Anywhere})
	if !sh.s.Clean.IsZero() {
		t.Error("the surfaces count as clean although greens are on them again")
	}
}

func TestInterruptedStepCountsUntilAnswered(t *testing.T) {
	sh := openShed(t)
	sh.washed()
	sh.pass(-3 * time.Minute) // 30 seconds after the start
	sh.do(line.Recover{LastBeat: sh.now.Add(time.Hour)})
	tub := at(linetest.Tub, 0)
	step := sh.s.Batch(1).Step
	if step.Progress != line.Interrupted || !step.Stopped.Equal(sh.now) || !sh.s.Power.Loads[linetest.Blower].On {
		t.Fatalf("%+v", step)
	}
	sh.refused(line.SwitchOff{Load: linetest.Blower}, line.RuleOrder)
	sh.do(line.Adjust{At: tub, By: time.Minute})
	sh.pass(2 * time.Minute)
	sh.do(line.Hold{At: tub}) // its machine is off, what to do comes later
	if sh.s.Power.Loads[linetest.Blower].On {
		t.Error("the blower counts although it was confirmed off")
	}
	sh.do(line.Resume{At: tub})
	if left := sh.s.Batch(1).Step.Left(sh.now); left != 4*time.Minute {
		t.Errorf("left %s, want 4m: 30 s of 4m30s ran for certain", left)
	}
	if text, ok := sh.s.CanUndo(); !ok || !strings.Contains(text.String(), "pea 1") {
		t.Errorf("undo %q", text)
	}
}

func TestNothingLeftToSowIn(t *testing.T) {
	sheet := linetest.Sheet()
	sheet.Sow = []line.SowItem{{Crop: "pea", Trays: 30}}
	sh := &shed{t: t, s: line.NewState(linetest.Site(), linetest.Book()), now: linetest.Morning}
	sh.do(line.OpenDay{Sheet: sheet})
	for i := range sh.s.Batches {
		sh.do(line.Scrap{Batch: i + 1, Reason: "too hot"})
	}
	for _, c := range []struct {
		kind line.ChoreKind
		at   int
	}{{line.WashTrays, linetest.TrayWash}, {line.SanitizeAll, linetest.Sanitize}, {line.SowTrays, linetest.Sow}} {
		sh.do(line.StartChore{Kind: c.kind, To: line.Anywhere})
		sh.pass(20 * time.Minute)
		sh.do(line.Finish{At: at(c.at, 0)})
	}
	if !sh.s.DayDone() || sh.s.Trays.Sown != 18 || sh.s.SowLeft() != 12 {
		t.Errorf("done %v, %+v, %d left to sow", sh.s.DayDone(), sh.s.Trays, sh.s.SowLeft())
	}
}

// Apply cannot fail, whatever a damaged journal holds.
func TestApplySurvivesRecordsOfWhatIsNotThere(t *testing.T) {
	far := line.Place{Station: 99, Slot: 99}
	s := linetest.Open()
	for _, e := range []line.Event{
		line.BatchLoaded{Batch: 1, At: far}, line.BatchLoaded{Batch: 99}, line.StepStarted{Batch: 1, At: far, Load: 99},
		line.StepStarted{Batch: 1, At: at(1, 0), Load: 99}, line.StepFinished{Batch: 2}, line.StepFinished{Batch: 99},
		line.BatchCooled{Batch: 2, At: far}, line.StepAdjusted{At: far}, line.StepHeld{At: far}, line.StepResumed{At: far},
		line.BatchSplit{From: 2, At: far}, line.BatchMerged{From: 2, Into: 2}, line.BatchMerged{From: 2, Into: 99},
		line.BatchScrapped{Batch: 99}, line.ChoreStarted{ID: 1, At: far, Load: 99}, line.ChoreFinished{ID: 99},
		line.LoadSwitched{Load: 99, On: true}, line.LoadSwitched{Load: -1}, line.BreakerTripped{Circuit: 99}, line.BreakerReset{Circuit: -1},
		line.SlotBroken{At: far}, line.SlotMended{At: far}, line.WatchLost{}, line.Undone{}, line.DayClosed{}, line.StepFinished{Batch: 1},
	} {
		s = line.Apply(s, line.Record{Seq: s.Seq + 1, At: linetest.Morning, Event: e})
	}
	if len(line.Alarms(s, linetest.Morning)) != 0 {
		t.Error("alarms about nothing")
	}
}

func TestClockThatRunsBackDoesNotReachTheJournal(t *testing.T) {
	sh := openShed(t)
	sh.pass(-time.Hour)
	d, no := line.Decide(sh.s, line.AddNote{Text: "wet floor"}, sh.now)
	if no != nil {
		t.Fatal(no)
	}
	if r := d.Records(sh.s, sh.now, "Ash")[0]; r.At.Before(sh.s.At) {
		t.Errorf("a record of %s after one of %s", r.At, sh.s.At)
	}
}

func TestCallersSlicesAreNotKept(t *testing.T) {
	sheet := linetest.Sheet()
	s, records, no := line.Do(line.NewState(linetest.Site(), linetest.Book()), line.OpenDay{Sheet: sheet}, linetest.Morning, "Ash")
	if no != nil {
		t.Fatal(no)
	}
	sheet.Crops[0].Trays, sheet.Crew[0] = 99, "Elm"
	if want := linetest.Sheet(); !reflect.DeepEqual(*s.Sheet, want) || records[0].Event.(line.DayOpened).Sheet.Crew[0] != "Ash" {
		t.Errorf("the open day changed with the caller's sheet: %+v", s.Sheet)
	}
}

func TestRevisionsAreKeptBySteps(t *testing.T) {
	sh := openShed(t)
	sh.do(line.Start{Batch: 1, To: line.Anywhere})
	sh.do(line.Advance{Batch: 1, To: line.Anywhere})
	r, _ := sh.s.Recipe("pea")
	r.Soak = 10 * time.Minute
	r.By, r.Why = "Ash", "a test"
	sh.do(line.Revise{Recipe: r})
	if step := sh.s.Batch(1).Step; step.Revision != 1 || step.Planned != 3*time.Minute+30*time.Second {
		t.Errorf("%+v", step)
	}
	if got, _ := sh.s.Recipe("pea"); got.Revision != 2 || !got.At.Equal(sh.now) {
		t.Errorf("%+v", got)
	}
}
