package setup

import (
	"errors"
	"strings"

	"shedbell/ui/theme"
)

// run asks everything about a new shed in turn, and then, as for a file that is
// there, what to change, until the person writes or leaves.
func (t *talk) run() {
	if t.s.from == nil {
		t.people()
		t.supply()
		if q := t.question("feeder-there"); t.yes(q, false) {
			t.feeder(0)
		}
		t.addAll(kindCircuit, func() { t.circuit(len(t.s.Circuits)) }, func() []note { return t.aboutCircuit(len(t.s.Circuits) - 1) })
		t.addAll(kindMachine, func() { t.machine(len(t.s.machines)) }, func() []note { return t.aboutMachine(t.s, len(t.s.machines)-1) })
		t.allStations()
	}
	for !t.hub() {
	}
}

// addAll asks for one after the other until there are no more.
func (t *talk) addAll(kind string, add func(), about func() []note) {
	for {
		add()
		if len(t.s.Circuits) >= mostItems || len(t.s.machines) >= mostItems {
			return
		}
		t.about(kind)
		q := t.question("another-" + kind)
		q.tells = func(answer) []note { return about() }
		if !t.yes(q, true) {
			return
		}
	}
}

// The rows of the hub.
const (
	hubPeople = iota
	hubSupply
	hubFeeders
	hubCircuits
	hubMachines
	hubStations
	hubTogether
	hubWrite
	hubLeave
)

var hubRows = []string{"people", "supply", "feeders", "circuits", "machines", "stations", "together", "write", "leave"}

// hub is where all is changed from; true when the talk is over.
func (t *talk) hub() bool {
	t.about("hub")
	q := t.question("hub")
	q.tells = func(answer) []note { return t.problems() }
	switch t.choose(q, hubTogether, hubRows...) {
	case hubPeople:
		t.people()
	case hubSupply:
		t.supply()
	case hubFeeders:
		t.feeders()
	case hubCircuits:
		t.circuits()
	case hubMachines:
		t.machines()
	case hubStations:
		t.stations()
	case hubTogether:
		t.about("together")
		q := t.question("together")
		q.tells = func(answer) []note { return t.together() }
		t.choose(q, 0, "on")
	case hubWrite:
		return t.write()
	case hubLeave:
		t.about("leave")
		return t.yes(t.question("leave"), false)
	}
	return false
}

// problems are what stands in the way of writing.
func (t *talk) problems() []note {
	if _, faults := t.read(t.s); len(faults) > 0 {
		return t.together()
	}
	if out := t.cannotRun(); len(out) > 0 {
		return out
	}
	return []note{{theme.Calm, t.say("told.all-run")}}
}

// write shows what can run together, and takes the file when the person says so.
func (t *talk) write() bool {
	t.about("write")
	changes := t.settle()
	data, err := t.s.proved(t.words)
	switch {
	case err != nil:
		q := t.question("cannot-write")
		q.tells = func(answer) []note {
			if notes := t.together(); !errors.Is(err, errByHand) && notes[0].role == theme.Refuse {
				return notes
			}
			return []note{{theme.Refuse, t.say("told.by-hand")}}
		}
		t.choose(q, 0, "back")
		return false
	case t.s.from != nil && data == t.s.from.doc.src:
		return t.choose(t.question("no-change"), 0, "back", "leave") == 1
	}
	q := t.question("write", t.path)
	if t.s.from != nil {
		q.about = t.say("write.kept")
	}
	q.tells = func(answer) []note { return append(changes, t.together()...) }
	if !t.yes(q, true) {
		return false
	}
	*t.result = result{write: true, data: data}
	return true
}

func (t *talk) people() {
	t.about("people")
	t.s.Name = t.name(t.question("name"), t.s.Name, nil)
	t.s.Crew = splitCrew(t.text(t.question("crew"), strings.Join(t.s.Crew, ", "), t.checkCrew))
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

func (t *talk) checkCrew(s string) error {
	list := splitCrew(s)
	if len(list) == 0 || len(list) > mostItems {
		return t.refuse("nobody")
	}
	for i, n := range list {
		if err := t.checkName(n, list[:i]); err != nil {
			return err
		}
	}
	return nil
}
