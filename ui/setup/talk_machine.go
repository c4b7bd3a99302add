package setup

import (
	"errors"
	"slices"
	"strconv"
	"strings"

	"shedbell/ui/theme"
)

// machines asks which machine to change, to add or to take away.
func (t *talk) machines() {
	t.about(kindMachine)
	i, remove := t.oneOf("machines", t.s.namesOf(kindMachine), len(t.s.machines) > 1)
	if !remove {
		t.machine(i)
		return
	}
	i = t.goes("machine-goes", t.s.namesOf(kindMachine), func(i int) []note {
		if at := t.s.stationsWith(i); len(at) > 0 {
			return []note{{theme.Text, t.say("told.without", t.listed(at))}}
		}
		return []note{{theme.Calm, t.say("told.no-station")}}
	})
	if i >= 0 {
		t.s.renameMachine(i, "")
		t.s.takeAway(kindMachine, i)
	}
}

// stationsWith names the stations that need a machine.
func (s *shed) stationsWith(machine int) []string {
	var out []string
	for i := range s.Stations {
		if st := &s.Stations[i]; st.Load == s.machines[machine].Name || st.DrainLoad == s.machines[machine].Name {
			out = append(out, st.Name)
		}
	}
	return out
}

// machine asks about one machine; with the index after the last it is a new one.
// The interlock judges it while the plate is typed.
func (t *talk) machine(i int) {
	t.part = t.say("part.load-of", i+1)
	if i == len(t.s.machines) {
		t.s.machines = append(t.s.machines, machine{})
	}
	m := &t.s.machines[i]
	isNew, assumed := m.Name == "", t.assumed(i)
	t.s.renameMachine(i, t.name(t.question("machine"), m.Name, without(t.s.namesOf(kindMachine), i)))
	circuits := t.s.namesOf(kindCircuit)
	m.Circuit = circuits[t.among(t.question("on-circuit"), circuits, max(0, slices.Index(circuits, m.Circuit)))]
	t.refit(t.s)
	t.plate(i)
	if m.way() == byWatts && m.PowerFactor == 1 {
		m.StartingA, m.Starting = 0, 0
	} else {
		t.starting(i, isNew, assumed)
	}
	t.runs(i)
	m.Wet = t.yes(t.either("wet", "wet-230"), m.Wet)
	q := t.question("plug")
	q.tells = t.judged(i)
	if m.HardWired = !t.yes(q, !m.HardWired); m.HardWired {
		m.CordAWG, m.CordMM2, m.CordM = 0, 0, 0
		return
	}
	t.cord(i)
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
	case m.Watts != 0:
		return byWatts
	case m.HP != 0:
		return byHP
	case len(m.settings) > 0:
		return bySettings
	}
	return byAmps
}

// judged tells what the interlock says about a machine as it is.
func (t *talk) judged(i int) func(answer) []note {
	return func(answer) []note { return t.aboutMachine(t.s, i) }
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
		return t.aboutMachine(c, i)
	}
}

// sound refuses a number that the line file's reader would.
func (t *talk) sound(i int, put func(m *machine, v float64)) func(string) error {
	return func(s string) error {
		v, _ := strconv.ParseFloat(strings.TrimSpace(s), 64)
		c := t.s.clone()
		put(&c.machines[i], v)
		return t.faultOf(c, i)
	}
}

// faultOf is the first fault of a machine.
func (t *talk) faultOf(s *shed, i int) error {
	_, faults := t.read(s)
	if notes := t.faultsOf(faults, kindMachine, i); len(notes) > 0 {
		return errors.New(notes[0].text)
	}
	return nil
}

// plateNumber asks for one number of the plate and puts it in.
func (t *talk) plateNumber(key string, i int, preset float64, b bounds, put func(m *machine, v float64)) {
	q := t.question(key)
	q.check, q.tells = t.sound(i, put), t.tried(i, put)
	put(&t.s.machines[i], t.number(q, preset, b))
}

func (t *talk) plate(i int) {
	m := &t.s.machines[i]
	way := t.choose(t.question("plate"), m.way(), "amps", "watts", "hp", "settings")
	old := *m
	if m.way() != way {
		m.forget()
	}
	switch way {
	case byAmps:
		t.plateNumber("amps", i, old.Amps, bounds{0.01, 400, "amps"}, func(m *machine, v float64) { m.Amps = v; m.fitStart(v) })
	case byWatts:
		t.watts(i, &old)
	case byHP:
		before := *m
		t.plateNumber("hp", i, old.HP, bounds{0.05, 10, "hp"}, func(m *machine, v float64) {
			m.HP, m.StartingA, m.Starting, m.CodeLetter = v, 0, 0, ""
		})
		if m.HP == before.HP {
			*m = before
		}
	case bySettings:
		t.settings(i, &old)
	}
}

// forget drops the running current. A start that was given in amps stays.
func (m *machine) forget() {
	if m.CodeLetter != "" {
		m.StartingA, m.Starting = 0, 0
	}
	m.Amps, m.Watts, m.PowerFactor, m.HP, m.CodeLetter, m.settings = 0, 0, 0, 0, "", nil
}

// fitStart drops a start that takes less than running does; it is asked again.
func (m *machine) fitStart(runningA float64) {
	if m.StartingA != 0 && m.StartingA < runningA {
		m.StartingA, m.Starting = 0, 0
	}
}

func (t *talk) watts(i int, old *machine) {
	m := &t.s.machines[i]
	m.PowerFactor = 1
	if heats := t.yes(t.question("heats"), old.Watts == 0 || old.PowerFactor == 1); !heats {
		preset := 0.7
		if old.PowerFactor != 0 && old.PowerFactor != 1 {
			preset = old.PowerFactor
		}
		m.PowerFactor = t.number(t.question("factor"), preset, bounds{0.1, 0.99, "factor"})
	}
	same := m.PowerFactor == old.PowerFactor
	t.plateNumber("watts", i, old.Watts, bounds{5, 20000, "watts"}, func(m *machine, v float64) {
		if m.Watts = v; !same || v != old.Watts {
			m.StartingA, m.Starting = 0, 0
		}
	})
}

func (t *talk) settings(i int, old *machine) {
	var named, given []string
	for _, s := range old.settings {
		named, given = append(named, s.name), append(given, number(s.amps))
	}
	q := t.question("positions")
	q.unit, q.parts = t.say("unit.amps"), named
	if len(named) == 0 {
		q.parts, q.needed = usualSettings, []bool{true, false, true}
	}
	put := func(s *shed, text string) error {
		m := &s.machines[i]
		list, err := t.splitSettings(text, named)
		if m.settings = list; err != nil {
			return err
		}
		for _, st := range list {
			m.fitStart(st.amps)
		}
		return nil
	}
	q.digits = true
	q.tells = func(a answer) []note {
		c := t.s.clone()
		if put(c, a.text) != nil {
			return nil
		}
		return t.aboutMachine(c, i)
	}
	typed := t.text(q, strings.Join(given, "/"), func(text string) error {
		c := t.s.clone()
		if err := put(c, text); err != nil {
			return err
		}
		return t.faultOf(c, i)
	})
	_ = put(t.s, typed)
	t.s.dropSettings(i)
}

// splitSettings reads amps parted by slashes; without names they are low, medium
// and high, as recipes call the fans.
func (t *talk) splitSettings(text string, named []string) ([]setting, error) {
	parts := strings.Split(strings.TrimSpace(text), "/")
	switch {
	case len(named) == 0 && len(parts) == 2:
		named = []string{"low", "high"}
	case len(named) == 0:
		named = usualSettings
	}
	out := make([]setting, len(parts))
	for i, p := range parts {
		v, err := strconv.ParseFloat(strings.TrimSpace(p), 64)
		if err != nil || len(parts) != len(named) || !(v >= 0.01 && v <= 400) {
			return nil, t.refuse("each-setting")
		}
		out[i] = setting{named[i], v}
	}
	return out, nil
}

// usualSettings are what a machine with a switch has, the middle one not always.
var usualSettings = []string{"low", "medium", "high"}

// dropSettings takes a setting away from stations that the machine has no more.
func (s *shed) dropSettings(i int) {
	m := &s.machines[i]
	for k := range s.Stations {
		st := &s.Stations[k]
		has := slices.ContainsFunc(m.settings, func(x setting) bool { return x.name == st.Setting })
		if st.Load == m.Name && st.Setting != "" && !has {
			st.Setting = ""
		}
	}
}
