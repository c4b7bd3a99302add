package line_test

import (
	"slices"
	"strings"
	"testing"
	"time"

	"shedbell/line"
	"shedbell/line/linetest"
	"shedbell/power"
)

// overload is what a breaker carries too much of, and what to switch off.
func (sh *shed) overload() (amps, limit float64, off []int) {
	p := &sh.s.Site.Panel
	for _, o := range p.Overloads(sh.s.Power, sh.now) {
		return o.AmpsA, o.LimitA, p.Relief(sh.s.Power, &o, sh.now)
	}
	return 0, 0, nil
}

// kinds are the alarms there are.
func (sh *shed) kinds() []line.AlarmKind {
	var out []line.AlarmKind
	for _, a := range line.Alarms(sh.s, sh.now) {
		out = append(out, a.Kind)
	}
	return out
}

// A jet washer of 14 A started by hand beside a spinner of 7 A is too much for 20 A:
// the board says so and what to switch off. At 1.05 times its rating the quickest UL
// 489 breaker of the model trips in 48 s from cold (ln(1.1025/0.1025) times 20.2 s).
func TestWasherFoundOnBesideTheSpinner(t *testing.T) {
	sh := spinning(t)
	sh.now = sh.now.Add(time.Minute)
	sh.refused(line.SwitchOn{Load: linetest.Washer}, "rating")
	sh.do(line.MarkOn{Load: linetest.Washer})
	if a := carried(sh.s, 0, sh.now); a != 21 {
		t.Errorf("the circuit carries %.1f A, want 21", a)
	}
	amps, limit, off := sh.overload()
	if amps != 21 || limit != 20 || !slices.Equal(off, []int{linetest.Spinner}) || !slices.Contains(sh.kinds(), line.AlarmOverload) {
		t.Errorf("%.1f of %.1f A, switch off %v, alarms %v", amps, limit, off, sh.kinds())
	}
	sh.refused(line.SwitchOn{Load: linetest.Blower}, "rating")
	sh.do(line.MarkOff{Load: linetest.Spinner})
	if slices.Contains(sh.kinds(), line.AlarmOverload) {
		t.Error("without the spinner it is still too much")
	}
	if b := sh.s.Batch(1); b.Step.Progress != line.Held || b.WetSince != sh.now {
		t.Errorf("the step in the spinner that was found off is %+v, wet since %s", b.Step, b.WetSince)
	}
}

// What draws amps that nobody knows lets nothing else start on its circuit.
func TestFoundOnWithUnknownAmps(t *testing.T) {
	site := linetest.Site()
	site.Panel.Loads[linetest.Drain].Settings[0].AmpsA = 0
	sh := &shed{t: t, s: opened(t, site), now: linetest.Morning}
	sh.do(line.MarkOn{Load: linetest.Drain})
	sh.refused(line.SwitchOn{Load: linetest.Spinner}, power.RuleUnknown)
	sh.do(line.SwitchOn{Load: linetest.Fans})
	sh.do(line.MarkOff{Load: linetest.Drain})
	sh.do(line.SwitchOn{Load: linetest.Spinner})
}

// A fridge of 6 A is kept room for as long as its plug is in, and where it is.
func TestFridgeUnpluggedAndElsewhere(t *testing.T) {
	sh := &shed{t: t, s: opened(t, linetest.Site()), now: linetest.Morning}
	amps := func() (out [2]float64) {
		for c := range out {
			out[c] = sh.s.Site.Panel.Amps(sh.s.Power, c, sh.now)
		}
		return out
	}
	for _, c := range []struct {
		fact line.Command
		want [2]float64
	}{
		{line.MarkUnplugged{Load: linetest.Fridge}, [2]float64{0, 0}},
		{line.MarkPlugged{Load: linetest.Fridge, Circuit: 0}, [2]float64{6, 0}},
		{line.SwitchOn{Load: linetest.Spinner}, [2]float64{13, 0}},
		{line.MarkPlugged{Load: linetest.Fridge, Circuit: 1}, [2]float64{7, 6}},
	} {
		sh.now = sh.now.Add(time.Minute)
		sh.do(c.fact)
		if got := amps(); got != c.want {
			t.Errorf("after %T %+v the circuits carry %v A, want %v", c.fact, c.fact, got, c.want)
		}
	}
	if sh.s.File != nil || sh.s.Site.Panel.Loads[linetest.Fridge].Circuit != 1 {
		t.Error("back where the line file has it, the fridge is still elsewhere")
	}
	sh.do(line.MarkPlugged{Load: linetest.Fridge, Circuit: 0})
	sh.do(line.SwitchOff{Load: linetest.Spinner})
	sh.do(line.Undo{})
	if c := sh.s.Site.Panel.Loads[linetest.Fridge].Circuit; c != 0 {
		t.Errorf("undoing another entry took the plug to circuit %d", c)
	}
}

// An outage of 20 minutes: the machines that were on are asked about first, then the
// steps go on, one key each, the one that starts with most first. The time without
// power is not run time.
func TestOutageOfTwentyMinutes(t *testing.T) {
	sh := spinning(t)
	sh.do(line.SwitchOn{Load: linetest.Fans, Setting: 1})
	sh.now = sh.now.Add(time.Minute)
	ran := sh.s.Batch(1).Step.Ran(sh.now)
	sh.do(line.MarkPowerLost{Everywhere: true})
	if got := sh.kinds(); !slices.Equal(got, []line.AlarmKind{line.AlarmNoPower}) {
		t.Errorf("an outage makes the alarms %v", got)
	}
	if got := sh.refused(line.Resume{At: at(linetest.Spin, 0)}, power.RuleTripped).Error(); !strings.Contains(got, "no power") {
		t.Errorf("the refusal says %q", got)
	}
	if got := sh.asks(); !slices.Equal(got, []int{linetest.Spinner, linetest.Fans}) {
		t.Errorf("without power the board asks about %v", got)
	}
	sh.do(line.MarkOff{Load: linetest.Spinner})
	sh.now = sh.now.Add(20 * time.Minute)
	sh.do(line.MarkPowerBack{Everywhere: true})
	if on := []bool{sh.on(linetest.Spinner), sh.on(linetest.Fans), sh.on(linetest.Lights)}; on[0] || !on[1] || !on[2] {
		t.Errorf("with the power back spinner, fans and lights are %v, want off, on, on", on)
	}
	if got := sh.asks(); !slices.Equal(got, []int{linetest.Fans}) {
		t.Errorf("then it asks about %v", got)
	}
	sh.do(line.Prompts(sh.s, sh.now, nil)[0].Command)
	sh.do(line.Prompts(sh.s, sh.now, nil)[0].Command)
	step := sh.s.Batch(1).Step
	if step.Progress != line.Running || step.Ran(sh.now) != ran || !sh.on(linetest.Spinner) || sh.on(linetest.Fans) {
		t.Errorf("after one key each: %+v, ran %s of which %s before", step, step.Ran(sh.now), ran)
	}
}

// A fact is refused for when it is said to be true, not for what it says.
func TestFactsThatMakeNoSense(t *testing.T) {
	site := linetest.Site()
	site.Panel.Loads[linetest.Lights].HardWired = true
	site.Panel.Circuits = append(site.Panel.Circuits, power.Circuit{Name: "range", RatingA: 40, Leg: power.LegBoth})
	sh := &shed{t: t, s: opened(t, site), now: linetest.Morning.Add(time.Hour)}
	sh.refused(line.MarkOn{Load: 99}, line.RuleUnknown)
	sh.refused(line.MarkOn{Load: 0, Setting: 7}, line.RuleUnknown)
	sh.refused(line.MarkOff{Load: -1}, line.RuleUnknown)
	sh.refused(line.MarkPlugged{Load: linetest.Fridge, Circuit: 9}, line.RuleUnknown)
	sh.refused(line.MarkPowerLost{Circuit: 9}, line.RuleUnknown)
	sh.refused(line.MarkPowerBack{Circuit: -1}, line.RuleUnknown)
	sh.refused(line.MarkOn{Load: 0, AsOf: sh.now.Add(time.Second)}, line.RuleValue)
	sh.refused(line.MarkOff{Load: 0, AsOf: linetest.Morning.Add(-time.Second)}, line.RuleValue)
	sh.refused(line.MarkTripped{AsOf: sh.now.Add(time.Hour)}, line.RuleValue)
	sh.refused(line.MarkUnplugged{Load: linetest.Lights}, line.RuleValue)
	sh.refused(line.MarkPlugged{Load: linetest.Fridge, Circuit: 3}, line.RuleValue)
	for _, c := range []line.Command{line.MarkOff{Load: 0}, line.MarkOn{Load: 0}, line.MarkOn{Load: 0}, line.MarkPowerBack{},
		line.MarkPowerLost{}, line.MarkPowerLost{}, line.MarkUnplugged{Load: linetest.Fridge}, line.MarkUnplugged{Load: linetest.Fridge}} {
		sh.do(c)
	}
}

// The board was rebooted and the machines ran on: found on since before that, a step
// has run all the time.
func TestRebootedBoard(t *testing.T) {
	sh := spinning(t)
	started := sh.s.Batch(1).Step.Started
	sh.now = sh.now.Add(2 * time.Minute)
	sh.do(line.Recover{LastBeat: sh.now.Add(-time.Minute)})
	sh.do(line.MarkOn{Load: linetest.Spinner, AsOf: started})
	if step := sh.s.Batch(1).Step; step.Progress != line.Running || step.Ran(sh.now) != sh.now.Sub(started) || step.Paused != 0 {
		t.Errorf("%+v has run %s of %s", step, step.Ran(sh.now), sh.now.Sub(started))
	}
}

// A machine that a meter has found on and nobody has entered is an alarm until somebody
// says what it does.
func TestFoundOnByItsMeter(t *testing.T) {
	found := func() *shed {
		sh := spinning(t)
		sh.do(line.MarkOn{Load: linetest.Washer, Meter: true})
		sh.now = sh.now.Add(10 * time.Second)
		return sh
	}
	if sh := found(); !slices.Contains(sh.kinds(), line.AlarmFoundOn) || carried(sh.s, 0, sh.now) != 21 {
		t.Errorf("alarms %v, carried %g A", sh.kinds(), carried(sh.s, 0, sh.now))
	}
	for what, c := range map[string]line.Command{"found on": line.MarkOn{Load: linetest.Washer}, "found off": line.MarkOff{Load: linetest.Washer}, "unplugged": line.MarkUnplugged{Load: linetest.Washer}, "switched off": line.SwitchOff{Load: linetest.Washer}} {
		sh := found()
		sh.now = sh.now.Add(time.Minute)
		if sh.do(c); slices.Contains(sh.kinds(), line.AlarmFoundOn) {
			t.Errorf("%s, and the alarm stays", what)
		}
	}
	sh := spinning(t)
	sh.do(line.MarkOn{Load: linetest.Washer})
	if slices.Contains(sh.kinds(), line.AlarmFoundOn) {
		t.Error("a person has said so, and there is an alarm")
	}
}
