package setup

import (
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// circuit asks about one breaker; with the index after the last it is a new one.
func (t *talk) circuit(i int) {
	part := fmt.Sprintf("breakers: %d", i+1)
	if i == len(t.s.circuits) {
		t.s.circuits = append(t.s.circuits, circuit{breakerA: 20, breaker: t.s.usualBreaker()})
	}
	c := &t.s.circuits[i]
	isNew := c.name == ""
	all := names(t.s.circuits, func(c circuit) string { return c.name })
	called := t.text(question{part: part, title: "Which outlets hang on this breaker?", value: c.name, check: checkName(without(all, i)),
		about: "A short name for them, such as: wet wall. Switch the breaker off and see what goes dead."})
	t.s.renameCircuit(i, called)
	c.breakerA = t.number(question{part: part, title: "Which number is on its handle?", digits: true,
		about: "The amps, such as 15 or 20."}, c.breakerA, 1, 400, "amps")
	if t.s.supply == "230" {
		letters := []string{"IEC B", "IEC C", "IEC D"}
		pick := t.choose(question{part: part, title: "Which letter stands before that number?", choices: []string{"B", "C", "D"},
			pick: max(0, slices.Index(letters, c.breaker))})
		c.breaker = letters[pick]
	}
	if t.s.supply == "120/240" {
		legs := []string{"", "a", "b", "both"}
		c.leg = legs[t.choose(question{part: part, title: "Which leg is it on?", pick: max(0, slices.Index(legs, c.leg)),
			about:   "Rows of a panel change legs: 1st row a, 2nd row b, and so on. A handle two rows high is on both.",
			choices: []string{"nobody knows", "a", "b", "both, 240 V"}})]
	}
	t.outlets(part, c)
	preset := c.gfci || isNew
	c.gfci = t.yes(question{part: part, title: "Is it protected by a GFCI (RCD)?",
		about: "There is a TEST button on the breaker or on the outlet. Outlets where it is wet need one."}, preset)
}

func (t *talk) outlets(part string, c *circuit) {
	if t.s.supply == "230" {
		return
	}
	stamped := []float64{0, 15, 20}
	pick := slices.Index(stamped, c.receptacleA)
	choices := []string{"nobody knows", "15 A", "20 A (one slot is a T)"}
	if pick < 0 {
		stamped, choices = append(stamped, c.receptacleA), append(choices, number(c.receptacleA)+" A, as the file says")
		pick = len(stamped) - 1
	}
	c.receptacleA = stamped[t.choose(question{part: part, title: "What is stamped on its outlets?", choices: choices, pick: pick})]
}

// renameCircuit keeps the machines on their circuit.
func (s *shed) renameCircuit(i int, to string) {
	from := s.circuits[i].name
	s.circuits[i].name = to
	for k := range s.machines {
		if from != "" && s.machines[k].circuit == from {
			s.machines[k].circuit = to
		}
	}
}

func (s *shed) renameMachine(i int, to string) {
	from := s.machines[i].name
	s.machines[i].name = to
	for k := range s.stations {
		st := &s.stations[k]
		if from != "" && st.load == from {
			st.load = to
		}
		if from != "" && st.drain == from {
			st.drain = to
		}
	}
}

// What a plate may give, in the order of the choices.
const (
	byAmps = iota
	byWatts
	byHP
	bySettings
)

func (m *machine) way() int {
	switch {
	case m.watts != 0:
		return byWatts
	case m.hp != 0:
		return byHP
	case len(m.settings) > 0:
		return bySettings
	}
	return byAmps
}

// machine asks about one machine; with the index after the last it is a new one.
// The interlock judges it while the plate is typed.
func (t *talk) machine(i int) {
	part := fmt.Sprintf("machines: %d", i+1)
	if i == len(t.s.machines) {
		t.s.machines = append(t.s.machines, machine{})
	}
	m := &t.s.machines[i]
	isNew := m.name == ""
	all := names(t.s.machines, func(m machine) string { return m.name })
	called := t.text(question{part: part, title: "What is the machine called?", value: m.name, check: checkName(without(all, i)),
		about: "Such as: spinner. Everything that draws current counts, also lights and fridge."})
	t.s.renameMachine(i, called)
	circuits := names(t.s.circuits, func(c circuit) string { return c.name })
	m.circuit = circuits[t.choose(question{part: part, title: "Which breaker is it on?", choices: circuits,
		pick: max(0, slices.Index(circuits, m.circuit))})]
	t.plate(part, i)
	if !(m.way() == byWatts && m.factor == 1) {
		t.starting(part, i, isNew)
	} else {
		m.startingA, m.starting = 0, ""
	}
	t.runs(part, i)
	m.wet = t.yes(question{part: part, title: "Does water get to it?", about: "Where it does, hands and plugs stay dry, and a GFCI (RCD) protects it."}, m.wet)
	m.hardWired = !t.yes(question{part: part, title: "Has it a plug?", tells: t.judged(i)}, !m.hardWired)
}

// judged tells what the interlock says about a machine as it is.
func (t *talk) judged(i int) func(answer) []note {
	return func(answer) []note { return t.s.aboutMachine(i) }
}

// tried tells what the interlock says about a machine once a number is put in.
func (t *talk) tried(i int, put func(m *machine, v float64)) func(answer) []note {
	return func(a answer) []note {
		v, err := strconv.ParseFloat(strings.TrimSpace(a.text), 64)
		if err != nil || !(v > 0) {
			return nil
		}
		c := t.s.clone()
		put(&c.machines[i], v)
		return c.aboutMachine(i)
	}
}

// sound refuses a number that the line file's reader would.
func (t *talk) sound(i int, put func(m *machine, v float64)) func(string) error {
	return func(s string) error {
		v, _ := strconv.ParseFloat(strings.TrimSpace(s), 64)
		c := t.s.clone()
		put(&c.machines[i], v)
		_, faults := c.read()
		if notes := faultsOf(faults, fmt.Sprintf("load[%d].", i)); len(notes) > 0 {
			return errors.New(strings.TrimSuffix(notes[0].text, "."))
		}
		return nil
	}
}

func (m *machine) clear() {
	m.amps, m.watts, m.factor, m.hp, m.letter, m.settings = 0, 0, 0, 0, "", nil
	m.startingA, m.starting = 0, ""
}

func (t *talk) plate(part string, i int) {
	m := &t.s.machines[i]
	way := t.choose(question{part: part, title: "What does its plate say?", pick: m.way(),
		about:   "Amps are best. Where there are several, take the largest; for a fridge the one at its worst.",
		choices: []string{"amps (A)", "watts (W)", "horsepower (hp)", "it has a switch with several settings"}})
	old := *m
	if m.way() != way {
		letter, starting := m.letter, m.startingA
		from := m.starting
		m.clear()
		m.startingA, m.starting = starting, from
		if letter != "" {
			m.startingA, m.starting = 0, ""
		}
	}
	switch way {
	case byAmps:
		put := func(m *machine, v float64) { m.amps = v; m.fitStart(v) }
		put(m, t.number(question{part: part, title: "How many amps?", check: t.sound(i, put), tells: t.tried(i, put)}, old.amps, 0.01, 400, "amps"))
	case byWatts:
		t.watts(part, i, &old)
	case byHP:
		put := func(m *machine, v float64) { m.hp = v; m.startingA, m.starting, m.letter = 0, "", "" }
		before := *m
		put(m, t.number(question{part: part, title: "How many horsepower?", about: "Such as 0.5 for 1/2. The amps are those of the code's table.",
			check: t.sound(i, put), tells: t.tried(i, put)}, old.hp, 0.05, 10, "hp"))
		if m.hp == before.hp {
			*m = before
		}
	case bySettings:
		t.settings(part, i, &old)
	}
}

// fitStart drops a start that takes less than running does; it is asked anew.
func (m *machine) fitStart(runningA float64) {
	if m.startingA != 0 && m.startingA < runningA {
		m.startingA, m.starting = 0, ""
	}
}

func (t *talk) watts(part string, i int, old *machine) {
	m := &t.s.machines[i]
	m.factor = 1
	heats := t.yes(question{part: part, title: "Does it only heat or light?", about: "A motor or a compressor takes more amps for its watts."},
		old.watts == 0 || old.factor == 1)
	if !heats {
		preset := old.factor
		if preset == 0 || preset == 1 {
			preset = 0.7
		}
		m.factor = t.number(question{part: part, title: "Which power factor does the plate give?",
			about: "Beside cos or PF. Where there is none, 0.7 is careful."}, preset, 0.1, 0.99, "")
	}
	put := func(m *machine, v float64) { m.watts = v; m.startingA, m.starting = 0, "" }
	before := *m
	m.watts = 100
	v := t.number(question{part: part, title: "How many watts does it take in?", check: t.sound(i, put), tells: t.tried(i, put)}, old.watts, 5, 20000, "watts")
	*m = before
	m.watts = v
	if v != old.watts || m.factor != old.factor {
		m.startingA, m.starting = 0, ""
	}
}

func (t *talk) settings(part string, i int, old *machine) {
	m := &t.s.machines[i]
	var named, given []string
	for _, s := range old.settings {
		named, given = append(named, s.name), append(given, number(s.amps))
	}
	about := "The amps of each with / between them, such as 1.6/4.2 for low and high, or 1.6/2.8/4.2."
	if len(named) > 0 {
		about = "The amps of " + listed(named) + ", with / between them."
	}
	put := func(m *machine, text string) error {
		list, err := splitSettings(text, named)
		m.settings = list
		return err
	}
	tries := func(text string) (*shed, error) {
		c := t.s.clone()
		err := put(&c.machines[i], text)
		for _, s := range c.machines[i].settings {
			c.machines[i].fitStart(s.amps)
		}
		return c, err
	}
	typed := t.text(question{part: part, title: "How many amps at each setting?", about: about, value: strings.Join(given, "/"), digits: true,
		check: func(s string) error {
			c, err := tries(s)
			if err != nil {
				return err
			}
			_, faults := c.read()
			if notes := faultsOf(faults, fmt.Sprintf("load[%d].", i)); len(notes) > 0 {
				return errors.New(strings.TrimSuffix(notes[0].text, "."))
			}
			return nil
		},
		tells: func(a answer) []note {
			if c, err := tries(a.text); err == nil {
				return c.aboutMachine(i)
			}
			return nil
		}})
	_ = put(m, typed)
	for _, s := range m.settings {
		m.fitStart(s.amps)
	}
	t.s.dropSettings(i)
}

// splitSettings reads amps parted by slashes; without names they are low, medium
// and high.
func splitSettings(text string, named []string) ([]setting, error) {
	parts := strings.Split(strings.TrimSpace(text), "/")
	if len(named) == 0 {
		switch len(parts) {
		case 2:
			named = []string{"low", "high"}
		case 3:
			named = []string{"low", "medium", "high"}
		}
	}
	if len(parts) != len(named) {
		return nil, fmt.Errorf("give the amps of %s with / between them", cmpOr(listed(named), "two or three settings"))
	}
	out := make([]setting, len(parts))
	for i, p := range parts {
		v, err := strconv.ParseFloat(strings.TrimSpace(p), 64)
		if err != nil || !(v >= 0.01 && v <= 400) {
			return nil, errors.New("give 0.01 to 400 amps for each")
		}
		out[i] = setting{named[i], v}
	}
	return out, nil
}

func cmpOr(a, b string) string {
	if a == "" {
		return b
	}
	return a
}

// dropSettings takes a setting away from stations that the machine has no more.
func (s *shed) dropSettings(i int) {
	m := &s.machines[i]
	for k := range s.stations {
		st := &s.stations[k]
		has := slices.ContainsFunc(m.settings, func(x setting) bool { return x.name == st.setting })
		if st.load == m.name && st.setting != "" && !has {
			st.setting = ""
		}
	}
}
