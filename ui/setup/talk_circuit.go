package setup

import (
	"slices"

	"shedbell/line/files"
	"shedbell/ui/theme"
)

// circuits asks which breaker to change, to add or to take away.
func (t *talk) circuits() {
	t.about(kindCircuit)
	i, remove := t.oneOf("circuits", t.s.namesOf(kindCircuit), len(t.s.Circuits) > 1)
	if !remove {
		t.circuit(i)
		return
	}
	i = t.goes("circuit-goes", t.s.namesOf(kindCircuit), func(i int) []note {
		on := t.s.machinesOn(i)
		if len(on) == 0 {
			return []note{{theme.Calm, t.say("told.nothing-on-it")}}
		}
		return []note{{theme.Text, t.say("told.on-it", t.listed(on))}}
	})
	if i >= 0 {
		t.circuitGoes(i)
	}
}

// machinesOn names what is on a circuit.
func (s *shed) machinesOn(circuit int) []string {
	var out []string
	for i := range s.machines {
		if s.machines[i].Circuit == s.Circuits[circuit].Name {
			out = append(out, s.machines[i].Name)
		}
	}
	return out
}

// circuitGoes takes a breaker away; its machines go to another one.
func (t *talk) circuitGoes(i int) {
	to := ""
	if len(t.s.machinesOn(i)) > 0 {
		others := without(t.s.namesOf(kindCircuit), i)
		to = others[t.among(t.question("machines-to"), others, 0)]
	}
	t.s.renameCircuit(i, to)
	t.s.takeAway(kindCircuit, i)
	t.refit(t.s)
}

// circuit asks about one breaker; with the index after the last it is a new one.
func (t *talk) circuit(i int) {
	t.part = t.say("part.circuit-of", i+1)
	if i == len(t.s.Circuits) {
		t.s.Circuits = append(t.s.Circuits, files.CircuitEntry{BreakerA: 20, Breaker: t.s.usualBreaker()})
	}
	c := &t.s.Circuits[i]
	isNew := c.Name == ""
	t.s.renameCircuit(i, t.name(t.question("circuit"), c.Name, without(t.s.namesOf(kindCircuit), i)))
	t.breaker(&c.BreakerA, &c.Breaker)
	t.feeds(c, isNew)
	if t.s.Supply == "120/240" {
		legs := []string{"", "a", "b", "both"}
		c.Leg = legs[t.choose(t.question("leg"), max(0, slices.Index(legs, c.Leg)), "unknown", "a", "b", "both")]
		t.refit(t.s)
	}
	t.outlets(c)
	c.GFCI = t.yes(t.either("gfci", "rcd"), c.GFCI || isNew)
}

// feeds asks which feeder a breaker hangs on, where there is one.
func (t *talk) feeds(c *files.CircuitEntry, isNew bool) {
	if len(t.s.Feeders) == 0 {
		return
	}
	list := t.s.namesOf(kindFeeder)
	pick := slices.Index(list, c.Feeder)
	switch {
	case pick < 0 && isNew:
		pick = 0
	case pick < 0:
		pick = len(list)
	}
	pick = t.among(t.question("feeds"), list, pick, "none")
	if c.Feeder = ""; pick < len(list) {
		c.Feeder = list[pick]
	}
}

func (t *talk) outlets(c *files.CircuitEntry) {
	if t.s.Supply == european {
		return
	}
	q := t.question("outlets")
	q.choices = []string{t.say("outlets.unknown"), t.say("outlets.a15"), t.say("outlets.a20")}
	stamped := []float64{0, 15, 20}
	pick := slices.Index(stamped, c.ReceptacleA)
	if pick < 0 {
		pick = len(stamped)
		stamped = append(stamped, c.ReceptacleA)
		q.choices = append(q.choices, t.say("outlets.as-file", c.ReceptacleA))
	}
	c.ReceptacleA = stamped[t.choose(q, pick)]
}
