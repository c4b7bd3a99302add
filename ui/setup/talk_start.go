package setup

import (
	"math"
	"strings"
	"time"

	"shedbell/line/files"
)

// usualStart is what a motor takes whose plate does not say: about six times its
// running current for 0.6 s (common practice, no source).
const (
	usualStartFactor = 6
	usualStart       = files.StartTime(600 * time.Millisecond)
	mostStartA       = 2000 // as much as the line file takes
)

// guessStart fills in the start of a motor whose plate does not say it.
func (t *talk) guessStart(s *shed, i int) {
	m := &s.machines[i]
	m.StartingA, m.Starting, m.CodeLetter = 0, 0, ""
	if site, faults := t.read(s); len(faults) == 0 {
		m.StartingA, m.Starting = min(mostStartA, math.Ceil(usualStartFactor*site.Panel.Loads[i].WorstA())), usualStart
	}
}

// assumed says whether a machine's start is the usual one, which nobody has read off
// a plate.
func (t *talk) assumed(i int) bool {
	if t.s.machines[i].StartingA == 0 {
		return false
	}
	c := t.s.clone()
	t.guessStart(c, i)
	return c.machines[i].StartingA == t.s.machines[i].StartingA && c.machines[i].Starting == t.s.machines[i].Starting
}

// refit gives machines the usual start whose own is less than what they now take in
// running, after the volts of their circuit have changed.
func (t *talk) refit(s *shed) {
	_, faults := t.read(s)
	var low []int
	for i := range s.machines {
		if len(faultsAt(faults, kindMachine, i, "starting_a")) > 0 {
			s.machines[i].StartingA, s.machines[i].Starting = 0, 0
			low = append(low, i)
		}
	}
	for _, i := range low {
		t.guessStart(s, i)
	}
}

// How a machine starts, in the order of the choices.
const (
	startsNoMotor = iota
	startsUnsaid
	startsAmps
	startsLetter
)

// starting asks for the start of a motor. A plate often does not say it; then the
// usual is taken, on the careful side, and taken again where assumed says that the
// present one was the usual one.
func (t *talk) starting(i int, isNew, assumed bool) {
	m := &t.s.machines[i]
	if m.way() != bySettings {
		t.s.dropSettings(i)
	}
	choices := []string{"none", "unsaid", "amps"}
	if m.way() == byHP {
		choices = append(choices, "letter")
	}
	pick := startsUnsaid
	switch {
	case m.CodeLetter != "":
		pick = startsLetter
	case m.StartingA != 0 && !assumed:
		pick = startsAmps
	case m.StartingA != 0:
	case !isNew && m.way() != byHP:
		pick = startsNoMotor
	}
	was := *m
	set := func(s *shed, how int) {
		switch how {
		case startsNoMotor:
			x := &s.machines[i]
			x.StartingA, x.Starting, x.CodeLetter = 0, 0, ""
		case startsUnsaid:
			t.guessStart(s, i)
		}
	}
	q := t.question("start")
	q.tells = func(a answer) []note {
		c := t.s.clone()
		set(c, a.pick)
		return t.aboutMachine(c, i)
	}
	how := t.choose(q, pick, choices...)
	set(t.s, how)
	switch how {
	case startsAmps:
		t.plateNumber("start-amps", i, was.StartingA, bounds{0.01, mostStartA, "amps"}, func(m *machine, v float64) {
			m.StartingA, m.CodeLetter = v, ""
			m.keepTime()
		})
	case startsLetter:
		m.StartingA, m.CodeLetter = 0, strings.ToUpper(t.text(t.question("code-letter"), was.CodeLetter, t.checkLetter))
		m.keepTime()
	}
}

func (t *talk) checkLetter(s string) error {
	if s = strings.ToUpper(strings.TrimSpace(s)); len(s) != 1 || !strings.Contains("ABCDEFGHJKLMNPRSTU", s) {
		return t.refuse("letter")
	}
	return nil
}

func (m *machine) keepTime() {
	if m.Starting == 0 {
		m.Starting = usualStart
	}
}

// habit is how a machine is switched, as keys of the line file say it.
type habit struct{ alone, cycles, selfOff, staysOn, continuous bool }

var (
	habits     = []habit{{}, {alone: true}, {cycles: true, staysOn: true}, {selfOff: true}, {staysOn: true, continuous: true}}
	habitWords = []string{"switched", "alone", "cycles", "self-off", "all-day"}
)

// runs asks when a machine runs. What the file says stays to choose where it is
// none of the usual.
func (t *talk) runs(i int) {
	m := &t.s.machines[i]
	list, choices := habits, habitWords
	now := habit{m.Alone, m.Cycles, m.SelfOff, m.StaysOn, m.Continuous}
	pick := -1
	for k, h := range list {
		if h == now {
			pick = k
		}
	}
	if pick < 0 {
		pick = len(list)
		list, choices = append(list[:pick:pick], now), append(choices[:pick:pick], "as-file")
	}
	set := func(m *machine, h habit) {
		m.Alone, m.Cycles, m.SelfOff, m.StaysOn, m.Continuous = h.alone, h.cycles, h.selfOff, h.staysOn, h.continuous
	}
	q := t.question("runs")
	q.tells = func(a answer) []note {
		c := t.s.clone()
		set(&c.machines[i], list[a.pick])
		return t.aboutMachine(c, i)
	}
	set(m, list[t.choose(q, pick, choices...)])
}
