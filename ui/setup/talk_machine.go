package setup

import (
	"errors"
	"strings"
)

// starting asks for the start of a motor. A plate often does not say it; then the
// usual is taken, on the careful side.
func (t *talk) starting(part string, i int, isNew bool) {
	m := &t.s.machines[i]
	if m.way() != bySettings {
		t.s.dropSettings(i)
	}
	choices := []string{"no motor in it", "a motor; the plate does not say", "a motor; the plate gives starting amps (LRA)"}
	if m.way() == byHP {
		choices = append(choices, "a motor; the plate gives a code letter")
	}
	pick := 1
	switch {
	case m.letter != "":
		pick = 3
	case m.startingA != 0:
		pick = 2
	case !isNew && m.way() != byHP:
		pick = 0
	}
	was := *m
	tells := func(a answer) []note {
		c := t.s.clone()
		switch x := &c.machines[i]; a.pick {
		case 0:
			x.startingA, x.starting, x.letter = 0, "", ""
		case 1:
			c.guessStart(i)
		}
		return c.aboutMachine(i)
	}
	how := t.choose(question{part: part, title: "How does it start?", choices: choices, pick: pick, tells: tells,
		about: "A motor takes several times its amps for a moment. Where the plate is silent, six times are taken."})
	switch how {
	case 0:
		m.startingA, m.starting, m.letter = 0, "", ""
	case 1:
		t.s.guessStart(i)
	case 2:
		put := func(m *machine, v float64) { m.startingA, m.letter = v, ""; m.keepTime() }
		put(m, t.number(question{part: part, title: "How many starting amps?", check: t.sound(i, put), tells: t.tried(i, put)}, was.startingA, 0.01, 2000, "amps"))
	case 3:
		letter := t.text(question{part: part, title: "Which code letter?", value: was.letter,
			about: "A single letter beside CODE.",
			check: func(s string) error {
				if s = strings.ToUpper(strings.TrimSpace(s)); len(s) != 1 || !strings.Contains("ABCDEFGHJKLMNPRSTU", s) {
					return errors.New("give the letter, A to U without I, O and Q")
				}
				return nil
			}})
		m.startingA, m.letter = 0, strings.ToUpper(letter)
		m.keepTime()
	}
}

func (m *machine) keepTime() {
	if m.starting == "" {
		m.starting = usualStart
	}
}

// habit is how a machine is switched, as four keys of the line file say it.
type habit struct{ alone, cycles, selfOff, staysOn, continuous bool }

var habits = []habit{
	{},
	{alone: true},
	{cycles: true, staysOn: true},
	{selfOff: true},
	{staysOn: true, continuous: true},
}

func (t *talk) runs(part string, i int) {
	m := &t.s.machines[i]
	now := habit{m.alone, m.cycles, m.selfOff, m.staysOn, m.continuous}
	list := habits
	choices := []string{"somebody switches it on and off", "alone: everything that can be off must be off",
		"it starts and stops by itself, as a fridge does", "it stops by itself, as a pump with a timer does", "it is on all day, as lights are"}
	pick := -1
	for k, h := range list {
		if h == now {
			pick = k
		}
	}
	if pick < 0 {
		list, choices = append(habits[:len(habits):len(habits)], now), append(choices, "as the file has it now")
		pick = len(habits)
	}
	set := func(m *machine, h habit) {
		m.alone, m.cycles, m.selfOff, m.staysOn, m.continuous = h.alone, h.cycles, h.selfOff, h.staysOn, h.continuous
	}
	tells := func(a answer) []note {
		c := t.s.clone()
		set(&c.machines[i], list[a.pick])
		return c.aboutMachine(i)
	}
	set(m, list[t.choose(question{part: part, title: "When does it run?", choices: choices, pick: pick, tells: tells})])
}
