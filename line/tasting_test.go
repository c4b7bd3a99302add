package line_test

import (
	"strings"
	"testing"
	"time"

	"shedbell/line"
	"shedbell/line/linetest"
	"shedbell/recipes"
)

// pack takes a batch from the growing trays to the packing table and finishes
// there, each countdown as long as it says, spins 20 s longer.
func (sh *shed) pack(id int) {
	sh.do(line.Start{Batch: id, To: line.Anywhere})
	for range 4 { // cut, wash, spin, dry
		sh.toEnd(id)
		sh.do(line.Advance{Batch: id, To: line.Anywhere})
	}
	sh.pass(5 * time.Minute)
	sh.do(line.Finish{At: sh.s.Batch(id).Step.Place})
}

// toEnd lets a batch's countdown run out.
func (sh *shed) toEnd(id int) {
	step := &sh.s.Batch(id).Step
	if left := step.Left(sh.now); step.Planned > 0 && left > 0 {
		sh.pass(left)
	}
	if step.Place.Station == linetest.Spin {
		sh.pass(20 * time.Second)
	}
}

func (sh *shed) coolAll() {
	for i := range sh.s.Batches {
		b := &sh.s.Batches[i]
		switch {
		case b.Fate == line.OnLine && b.Lot != "":
			sh.do(line.Start{Batch: b.ID, To: line.Anywhere})
		case b.Fate == line.Waiting:
			sh.do(line.Scrap{Batch: b.ID, Reason: "hot"})
		}
	}
}

func scores(w recipes.Score) recipes.Tasting {
	return recipes.Tasting{Wetness: w, Bruising: 1, By: "Ash"}
}

// A tasting is bound to the times that really ran: what was added, what was held
// and what ran over.
func TestTastingIsBoundToWhatRan(t *testing.T) {
	sh := openShed(t)
	sh.do(line.ReadAir{TempC: 24, RHPercent: 71})
	sh.do(line.Start{Batch: 1, To: line.Anywhere})
	sh.do(line.Advance{Batch: 1, To: line.Anywhere})
	sh.refused(line.TasteBatch{Batch: 1, Tasting: scores(3)}, line.RuleOrder)
	tub, rack := at(linetest.Tub, 0), at(linetest.Rack, 0)
	sh.pass(time.Minute)
	sh.do(line.Hold{At: tub}) // two minutes that do not count
	sh.pass(2 * time.Minute)
	sh.do(line.Resume{At: tub})
	sh.toEnd(1)
	sh.do(line.Advance{Batch: 1, To: line.Anywhere})
	sh.pass(time.Minute)
	sh.do(line.Hold{At: at(linetest.Spin, 0)})
	sh.do(line.Restart{At: at(linetest.Spin, 0)}) // the minute was spun all the same
	sh.toEnd(1)
	sh.do(line.Advance{Batch: 1, To: line.Anywhere})
	sh.do(line.Adjust{At: rack, By: 90 * time.Second})
	r, _ := sh.s.Recipe("pea")
	r.Dry, r.By, r.Why = 25*time.Minute, "Ash", "a test" // the step keeps its own
	sh.do(line.Revise{Recipe: r})
	sh.toEnd(1)
	sh.do(line.Advance{Batch: 1, To: line.Anywhere})
	sh.do(line.Finish{At: at(linetest.Pack, 0)})
	sh.do(line.TasteBatch{Batch: 1, Tasting: scores(4)})

	got := sh.s.Tastings[0]
	want := recipes.Ran{Batch: "pea 1 of 2026-12-03", Lot: "2026-12-03-001", Crop: "pea", Revision: 1,
		Soak: 3 * time.Minute, Drain: 30 * time.Second, Spin: 5*time.Minute + 20*time.Second, SpinRamp: 40 * time.Second,
		Dry: 19*time.Minute + 30*time.Second, Fan: "medium", Air: recipes.Air{TempC: 24, RHPercent: 71}, Packed: sh.now}
	if got.Ran != want {
		t.Errorf("bound to\n%+v, want\n%+v", got.Ran, want)
	}
	if got.Stage != recipes.AfterPacking || !got.At.Equal(sh.now) || got.Wetness != 4 {
		t.Errorf("%+v", got)
	}
	sh.do(line.Undo{})
	if len(sh.s.Tastings) != 0 {
		t.Error("the tasting was not taken back")
	}
}

func TestLotsOfEarlierDaysCanBeTasted(t *testing.T) {
	sh := openShed(t)
	sh.pack(1)
	lot := sh.s.Batch(1).Lot
	sh.coolAll()
	sh.do(line.CloseDay{})
	for _, tc := range []struct {
		later time.Duration
		name  string
		stage recipes.Stage
	}{
		{24 * time.Hour, lot, recipes.NextDay},
		{72 * time.Hour, "Pea 1 of 2026-12-03", recipes.LastOpened},
	} {
		sh.pass(tc.later)
		sh.do(line.TasteBatch{Name: tc.name, Tasting: recipes.Tasting{Wetness: 3, DaysKept: 4}})
		got := sh.s.Tastings[len(sh.s.Tastings)-1]
		if got.Ran.Lot != lot || got.Stage != tc.stage || got.Ran.Dry != 18*time.Minute {
			t.Errorf("%s: %+v", tc.name, got)
		}
	}
	sheet := linetest.Sheet()
	sheet.Date = "2026-12-07"
	sh.do(line.OpenDay{Sheet: sheet}) // "pea 1" now means today's
	sh.refused(line.TasteBatch{Name: "pea 1", Tasting: scores(3)}, line.RuleOrder)
	sh.do(line.TasteBatch{Name: lot, Tasting: scores(3)})
}

func TestBadTastingsAreRefused(t *testing.T) {
	sh := openShed(t)
	sh.pack(1)
	for _, tc := range []struct {
		name string
		c    line.TasteBatch
		rule string
		say  string
	}{
		{"unknown lot", line.TasteBatch{Name: "2026-12-03-009", Tasting: scores(3)}, line.RuleUnknown, `"2026-12-03-009" is not known; known are 2026-12-03-001`},
		{"unknown number", line.TasteBatch{Batch: 77, Tasting: scores(3)}, line.RuleUnknown, "no batch 77"},
		{"not packed", line.TasteBatch{Name: "radish 1", Tasting: scores(3)}, line.RuleOrder, "radish 1 is not packed"},
		{"nothing judged", line.TasteBatch{Batch: 1}, line.RuleValue, "nothing was judged"},
		{"score of 6", line.TasteBatch{Batch: 1, Tasting: scores(6)}, line.RuleValue, "give 1 to 5"},
		{"heavier when dried", line.TasteBatch{Batch: 1, Tasting: recipes.Tasting{Wetness: 3,
			Weights: recipes.Weights{AfterSpinG: 900, AfterDryG: 1200}}}, line.RuleValue, "1.20 kg"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			before := sh.s
			no := sh.refused(tc.c, tc.rule)
			if !strings.Contains(no.Error(), tc.say) {
				t.Errorf("%q does not say %q", no.Error(), tc.say)
			}
			if sh.s != before {
				t.Error("a refused tasting left something behind")
			}
		})
	}
}

// The list of batches of earlier days is bounded, and keeps the latest.
func TestPastIsBounded(t *testing.T) {
	sh := openShed(t)
	sh.pack(1)
	sh.coolAll()
	full := *sh.s
	for i := range line.PastBatches {
		full.Past = append(full.Past, line.PackedBatch{ID: -i, Ran: recipes.Ran{Batch: "old"}})
	}
	sh.s = &full
	sh.do(line.CloseDay{})
	if n := len(sh.s.Past); n != line.PastBatches {
		t.Fatalf("%d batches are kept, want %d", n, line.PastBatches)
	}
	if p, ok := sh.s.LastPacked(); !ok || p.ID != 1 {
		t.Errorf("the last one is %+v, want batch 1", p)
	}
}

// BenchmarkTastingWhenFull applies one more tasting to a state that holds as many
// as are kept.
func BenchmarkTastingWhenFull(b *testing.B) {
	s := line.NewState(linetest.Site(), linetest.Book())
	e := line.TastingMade{Batch: 1, Tasting: scores(3)}
	for i := range line.KeptTastings {
		s = line.Apply(s, line.Record{Seq: int64(i + 1), Event: e})
	}
	for b.Loop() {
		line.Apply(s, line.Record{Seq: s.Seq + 1, Event: e})
	}
}
