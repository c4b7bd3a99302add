package setup

import (
	"errors"
	"fmt"
	"strconv"
	"strings"
	"time"

	"shedbell/ui/theme"
)

// talk is one course of questions with what has come of it.
type talk struct {
	ask    func(question) answer
	s      *shed
	path   string
	result *result
}

// result is how a talk ended.
type result struct {
	write bool
	data  string // the new file, when write is set
}

// Words that answer yes and no, in the order of their keys.
var yesNo = []string{"yes", "no"}

func (t *talk) choose(q question) int { return t.ask(q).pick }

func (t *talk) yes(q question, preset bool) bool {
	q.choices, q.pick = yesNo, 1-bit(preset)
	return t.choose(q) == 0
}

func (t *talk) text(q question) string { return strings.TrimSpace(t.ask(q).text) }

// number asks for a number within bounds.
func (t *talk) number(q question, preset, from, to float64, unit string) float64 {
	q.digits = true
	if preset != 0 {
		q.value = number(preset)
	}
	further := q.check
	q.check = func(s string) error {
		v, err := strconv.ParseFloat(strings.TrimSpace(s), 64)
		if err != nil || !(v >= from && v <= to) {
			return fmt.Errorf("give %g to %g %s", from, to, unit)
		}
		if further != nil {
			return further(s)
		}
		return nil
	}
	v, _ := strconv.ParseFloat(t.text(q), 64)
	return v
}

func (t *talk) whole(q question, preset, from, to int, unit string) int {
	q.check = func(s string) error {
		if _, err := strconv.Atoi(strings.TrimSpace(s)); err != nil {
			return fmt.Errorf("give a whole number from %d to %d", from, to)
		}
		return nil
	}
	return int(t.number(q, float64(preset), float64(from), float64(to), unit))
}

// seconds asks for a time, typed in whole seconds.
func (t *talk) seconds(q question, preset time.Duration, from, to int) time.Duration {
	return time.Duration(t.whole(q, int(preset/time.Second), from, to, "seconds")) * time.Second
}

// longest is as many characters as the line file takes for a name.
const longest = 40

// checkName is for a name that must be nobody else's.
func checkName(others []string) func(string) error {
	return func(s string) error {
		s = strings.TrimSpace(s)
		switch {
		case s == "":
			return errors.New("give it a name")
		case len([]rune(s)) > longest:
			return fmt.Errorf("use at most %d characters", longest)
		case strings.ContainsAny(s, ",:"):
			return errors.New("use letters, digits, spaces and hyphens")
		}
		for _, o := range others {
			if strings.EqualFold(o, s) {
				return fmt.Errorf("%q is there already; give it a name of its own", o)
			}
		}
		return nil
	}
}

// run asks everything about a new shed in turn, and then, as for a file that is
// there, what to change, until the person writes or leaves.
func (t *talk) run() {
	if t.s.from == nil {
		t.people()
		t.supply()
		t.addAll("breaker", func() { t.circuit(len(t.s.circuits)) }, func() []note { return t.s.aboutCircuit(len(t.s.circuits) - 1) })
		t.addAll("machine", func() { t.machine(len(t.s.machines)) }, func() []note { return t.s.aboutMachine(len(t.s.machines) - 1) })
		t.allStations()
	}
	for !t.hub() {
	}
}

// addAll asks for one after the other until there are no more.
func (t *talk) addAll(what string, add func(), about func() []note) {
	for {
		add()
		if len(t.s.circuits) >= mostItems || len(t.s.machines) >= mostItems {
			return
		}
		if !t.yes(question{part: what + "s", title: "Is there another " + what + "?", tells: func(answer) []note { return about() }}, true) {
			return
		}
	}
}

// mostItems is where a list is ended for good.
const mostItems = 40

// The rows of the hub.
const (
	hubPeople = iota
	hubSupply
	hubCircuits
	hubMachines
	hubStations
	hubTogether
	hubWrite
	hubLeave
)

// hub is where all is changed from; true when the talk is over.
func (t *talk) hub() bool {
	q := question{part: "what next", title: "What do you want to see or change?", pick: hubTogether,
		choices: []string{"name and people", "supply", "breakers and outlets", "machines", "stations",
			"what can run together", "write the line file", "leave, nothing written"}}
	q.tells = func(answer) []note { return t.problems() }
	switch t.choose(q) {
	case hubPeople:
		t.people()
	case hubSupply:
		t.supply()
	case hubCircuits:
		t.circuit(t.oneOf("breakers", "Which breaker?", names(t.s.circuits, func(c circuit) string { return c.name })))
	case hubMachines:
		t.machine(t.oneOf("machines", "Which machine?", names(t.s.machines, func(m machine) string { return m.name })))
	case hubStations:
		t.oneStation()
	case hubTogether:
		t.choose(question{part: "what can run together", title: "What can run together", choices: []string{"go on"},
			tells: func(answer) []note { return t.s.together() }})
	case hubWrite:
		return t.write()
	case hubLeave:
		return t.yes(question{part: "leave", title: "Leave with nothing written?"}, false)
	}
	return false
}

// problems are what stands in the way of writing.
func (t *talk) problems() []note {
	if _, faults := t.s.read(); len(faults) > 0 {
		return t.s.together()
	}
	var out []note
	for i := range t.s.machines {
		for _, n := range t.s.aboutMachine(i) {
			if n.role == theme.Refuse {
				out = append(out, n)
			}
		}
	}
	if len(out) == 0 {
		return []note{{theme.Calm, "Every machine can run on its circuit."}}
	}
	return out
}

// oneOf lets one be chosen, or a new one, which has the index after the last.
func (t *talk) oneOf(part, title string, list []string) int {
	if len(list) < mostItems {
		list = append(list, "a new one")
	}
	return t.choose(question{part: part, title: title, choices: list})
}

func names[T any](list []T, name func(T) string) []string {
	out := make([]string, len(list))
	for i, v := range list {
		out[i] = name(v)
	}
	return out
}

// without is the list but for one place.
func without(list []string, i int) []string {
	var out []string
	for k, s := range list {
		if k != i {
			out = append(out, s)
		}
	}
	return out
}

func (t *talk) write() bool {
	changes := t.s.settle()
	data, err := t.s.proved()
	q := question{part: "write"}
	if err != nil {
		q.title, q.choices = "This cannot be written yet", []string{"go back and change it"}
		q.tells = func(answer) []note {
			if notes := t.s.together(); len(notes) > 0 && notes[0].role == theme.Refuse {
				return notes
			}
			return []note{{theme.Refuse, err.Error() + "."}}
		}
		t.choose(q)
		return false
	}
	if t.s.from != nil && data == t.s.from.doc.src {
		q.title, q.choices = "Nothing is different from the file", []string{"go back", "leave, nothing written"}
		return t.choose(q) == 1
	}
	q.title = "Write " + t.path + "?"
	if t.s.from != nil {
		q.about = "The present file is kept beside it."
	}
	q.tells = func(answer) []note { return append(changes, t.problems()...) }
	if !t.yes(q, true) {
		return false
	}
	*t.result = result{write: true, data: data}
	return true
}

func (t *talk) people() {
	t.s.name = t.text(question{part: "name and people", title: "What is the shed called?", value: t.s.name, check: checkName(nil),
		about: "The board shows the name on top."})
	list := t.text(question{part: "name and people", title: "Who works here?", value: strings.Join(t.s.crew, ", "),
		about: "First names with commas between them. Who is there on a day is said on that day.", check: checkCrew})
	t.s.crew = splitCrew(list)
}

func splitCrew(s string) []string {
	var out []string
	for _, n := range strings.Split(s, ",") {
		if n = strings.TrimSpace(n); n != "" {
			out = append(out, n)
		}
	}
	return out
}

func checkCrew(s string) error {
	list := splitCrew(s)
	if len(list) == 0 || len(list) > mostItems {
		return errors.New("name at least one person")
	}
	for i, n := range list {
		if err := checkName(list[:i])(n); err != nil {
			return err
		}
	}
	return nil
}

var supplies = []string{"120", "120/240", "230"}

func (t *talk) supply() {
	now := 0
	for i, s := range supplies {
		if s == t.s.supply || t.s.supply == "" && t.s.voltage > 180 && s == "230" {
			now = i
		}
	}
	pick := t.choose(question{part: "supply", title: "Which supply does the panel have?", pick: now,
		about:   "It is written on the panel's door or on the meter. Do not open the panel for it.",
		choices: []string{"120 V, two wires", "120/240 V, two legs and neutral", "230 V, two wires"}})
	if pick != now || t.s.from == nil {
		t.s.setSupply(supplies[pick])
	}
}

// setSupply changes what follows from the supply: the volts, the legs, and what a
// breaker is built after. On 230 V the letter B is taken, the careful one.
func (s *shed) setSupply(supply string) {
	s.supply, s.voltage = supply, 120
	if supply == "230" {
		s.voltage = 230
	}
	for i := range s.circuits {
		c := &s.circuits[i]
		if supply != "120/240" {
			c.leg = ""
		}
		if european := strings.HasPrefix(c.breaker, "IEC"); european != (supply == "230") {
			c.breaker = s.usualBreaker()
		}
	}
}
