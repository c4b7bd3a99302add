package line_test

import (
	"reflect"
	"testing"
	"time"

	"shedbell/line"
	"shedbell/line/linetest"
	"shedbell/power"
)

// spinning has batch 1 in the spinner, which has just been started.
func spinning(t *testing.T) *shed {
	sh := openShed(t)
	for range 3 { // cut, wash, spin
		sh.pass(5 * time.Minute)
		sh.do(line.Advance{Batch: 1, To: line.Anywhere})
	}
	sh.pass(20 * time.Second)
	return sh
}

func (sh *shed) on(load int) bool { return sh.s.Power.Loads[load].On }

// asks lists the machines that the prompts ask about.
func (sh *shed) asks() []int {
	var out []int
	for _, p := range line.Prompts(sh.s, sh.now, nil) {
		if p.Act == line.ActConfirm {
			out = append(out, p.Load)
		}
	}
	return out
}

// Check value: a washer of 14 A beside a spinner of 7 A is 21 A on 20 (common
// practice, no source).
func TestUndoneStartKeepsTheWasherOff(t *testing.T) {
	sh := spinning(t)
	sh.do(line.Undo{}) // the move from the tub: the blower goes on, the spinner may
	if step := sh.s.Batch(1).Step; step.Place.Station != linetest.Tub || step.Progress != line.Running {
		t.Errorf("the books say %+v", step)
	}
	if a := carried(sh.s, 0, sh.now); a != 12.8 {
		t.Errorf("the wet wall counts %.1f A, want 5.8 and 7", a)
	}
	sh.do(line.Hold{At: at(linetest.Tub, 0)})
	washer := line.SwitchOn{Load: linetest.Washer}
	sh.refused(washer, power.RuleRating)
	sh.pass(time.Hour)
	sh.refused(washer, power.RuleRating)
	if got := sh.asks(); !reflect.DeepEqual(got, []int{linetest.Spinner}) {
		t.Errorf("the board asks about %v", got)
	}
	sh.do(line.Prompts(sh.s, sh.now, nil)[0].Command)
	sh.do(washer)
	if sh.on(linetest.Spinner) || len(sh.asks()) > 0 {
		t.Error("the answer was not taken")
	}
}

func TestStartAgainConfirmsAndCountsOnce(t *testing.T) {
	sh := spinning(t)
	for range 3 {
		sh.do(line.Undo{})
		sh.pass(5 * time.Second)
		sh.do(line.Advance{Batch: 1, To: line.Anywhere})
		if a := carried(sh.s, 0, sh.now); a != 7 || len(sh.asks()) > 0 {
			t.Fatalf("the wet wall counts %.1f A, want 7; asked about %v", a, sh.asks())
		}
	}
}

func TestUndoneStopCountsAsOn(t *testing.T) {
	for name, stop := range map[string]line.Command{
		"finish": line.Finish{At: at(linetest.Spin, 0)}, "hold": line.Hold{At: at(linetest.Spin, 0)},
		"move": line.Advance{Batch: 1, To: line.Anywhere}, "trip": line.MarkTripped{Circuit: 0},
		"scrap": line.Scrap{Batch: 1, Reason: "on the floor"},
	} {
		t.Run(name, func(t *testing.T) {
			sh := spinning(t)
			sh.pass(4 * time.Minute)
			sh.do(stop)
			if sh.on(linetest.Spinner) {
				t.Fatal("the spinner is still on")
			}
			sh.pass(time.Minute)
			sh.do(line.Undo{})
			if step := sh.s.Batch(1).Step; step.Progress != line.Running || !sh.on(linetest.Spinner) || carried(sh.s, 0, sh.now) != 7 {
				t.Errorf("step %+v, spinner %+v", step, sh.s.Power.Loads[linetest.Spinner])
			}
			if want := name == "move"; sh.on(linetest.Fans) != want || (len(sh.asks()) > 0) != want {
				t.Errorf("fans on %v, asked about %v", sh.on(linetest.Fans), sh.asks())
			}
			sh.refused(line.SwitchOn{Load: linetest.Washer}, power.RuleRating)
		})
	}
	sh := openShed(t)
	sh.do(line.SwitchOn{Load: linetest.Blower})
	sh.do(line.SwitchOff{Load: linetest.Blower})
	sh.do(line.Undo{})
	if !sh.on(linetest.Blower) || len(sh.asks()) > 0 {
		t.Errorf("after the undo of a switching off: %+v", sh.s.Power.Loads[linetest.Blower])
	}
	sh.do(line.Undo{})
	if !sh.on(linetest.Blower) || len(sh.asks()) != 1 {
		t.Errorf("after the undo of a switching on: %+v", sh.s.Power.Loads[linetest.Blower])
	}
}

// A bank that serves several slots is not in doubt while it serves one of them; its
// setting may be.
func TestUndoOnASharedBank(t *testing.T) {
	sh := openShed(t)
	sh.dry(1) // pea, at medium: 2.8 A
	sh.pass(time.Minute)
	sh.do(line.SwitchOn{Load: linetest.Fans, Setting: 2})
	sh.pass(time.Minute)
	sh.do(line.Undo{})
	fans := sh.s.Power.Loads[linetest.Fans]
	if setting, on := fans.InBooks(); !on || setting != 1 || fans.Setting != 2 || sh.s.Batch(1).Step.Setting != 1 {
		t.Fatalf("fans %+v, step %+v", fans, sh.s.Batch(1).Step)
	}
	if a := carried(sh.s, 1, sh.now); a != 10.2 {
		t.Errorf("the cold wall counts %.1f A, want 6 of the fridge and 4.2 of the fans at high", a)
	}
	sh.dry(2) // comes onto the bank as it is by the books, which says nothing of its setting
	if b := sh.s.Batch(2); b.Step.Setting != 1 || len(sh.asks()) != 1 {
		t.Errorf("batch 2 %+v, asked about %v", b.Step, sh.asks())
	}
	sh.do(line.Prompts(sh.s, sh.now, nil)[0].Command)
	if fans = sh.s.Power.Loads[linetest.Fans]; fans.InDoubt || fans.Setting != 1 || len(sh.asks()) > 0 {
		t.Errorf("after the answer %+v", fans)
	}
	sh.do(line.Undo{}) // the answer
	sh.do(line.Undo{}) // the start of batch 2
	if fans = sh.s.Power.Loads[linetest.Fans]; !fans.On || fans.Setting != 2 || !fans.InDoubt {
		t.Errorf("after two undos %+v", fans)
	}
}

// In journals of earlier versions an undo came back to all of the state before.
func TestUndoOfEarlierJournals(t *testing.T) {
	sh := openShed(t)
	for range 2 {
		sh.pass(5 * time.Minute)
		sh.do(line.Advance{Batch: 1, To: line.Anywhere})
	}
	before := sh.s
	sh.pass(5 * time.Minute)
	sh.do(line.Advance{Batch: 1, To: line.Anywhere})
	sh.pass(time.Minute)
	e, err := line.DecodeEvent("undone", []byte(`{"Text":"moving on of pea 1"}`))
	if err != nil {
		t.Fatal(err)
	}
	after := line.Apply(sh.s, line.Record{Seq: sh.s.Seq + 1, Group: sh.s.Seq + 1, At: sh.now, Event: e})
	if !reflect.DeepEqual(after.Power, before.Power) || !reflect.DeepEqual(after.Batches, before.Batches) {
		t.Errorf("power %+v, was %+v", after.Power, before.Power)
	}
}

// Fans that have switched themselves off may run on for what was put beside by
// mistake; putting something beside again says that they do.
func TestUndoOnABankThatHasSwitchedItselfOff(t *testing.T) {
	sh := openShed(t)
	site := *sh.s.Site
	site.Panel = linetest.Panel()
	site.Panel.Loads[linetest.Fans].SelfOff = true
	sh.s = line.NewState(&site, linetest.Book())
	sh.do(line.OpenDay{Sheet: linetest.Sheet()})
	sh.dry(1)
	sh.dry(2) // 18 minutes at medium; batch 1 is due five of them earlier
	sh.pass(2 * time.Minute)
	sh.do(line.Hold{At: at(linetest.Rack, 1)})
	sh.pass(20 * time.Minute)
	if carried(sh.s, 1, sh.now) != 6 {
		t.Fatalf("the fans still run: %+v", sh.s.Power.Loads[linetest.Fans])
	}
	sh.do(line.Resume{At: at(linetest.Rack, 1)})
	sh.pass(time.Minute)
	sh.do(line.Undo{})
	if fans := sh.s.Power.Loads[linetest.Fans]; carried(sh.s, 1, sh.now) != 8.8 || !fans.PerhapsOff() || len(sh.asks()) > 0 {
		t.Errorf("after the undo %+v, asked about %v", fans, sh.asks())
	}
	sh.do(line.Resume{At: at(linetest.Rack, 1)})
	if fans := sh.s.Power.Loads[linetest.Fans]; carried(sh.s, 1, sh.now) != 8.8 || fans.InDoubt {
		t.Errorf("started again %+v", fans)
	}
}

// More time for a held step starts no machine.
func TestMoreTimeForAHeldStep(t *testing.T) {
	sh := openShed(t)
	site := *sh.s.Site
	site.Panel = linetest.Panel()
	site.Panel.Loads[linetest.Blower].SelfOff = true
	sh.s = line.NewState(&site, linetest.Book())
	sh.do(line.OpenDay{Sheet: linetest.Sheet()})
	sh.do(line.Start{Batch: 1, To: line.Anywhere})
	sh.pass(10 * time.Minute)
	sh.do(line.Advance{Batch: 1, To: line.Anywhere})
	sh.pass(time.Minute)
	sh.do(line.Hold{At: at(linetest.Tub, 0)})
	sh.do(line.Resume{At: at(linetest.Tub, 0)})
	sh.do(line.Undo{}) // the blower may run, until its time is up
	sh.pass(time.Hour)
	sh.do(line.Adjust{At: at(linetest.Tub, 0), By: time.Minute})
	if a := carried(sh.s, 0, sh.now); a != 0 {
		t.Errorf("the wet wall counts %.1f A", a)
	}
}
