package setup

import (
	"slices"
	"strings"

	"shedbell/line/files"
	"shedbell/power/nec"
	"shedbell/ui/theme"
)

const european = "230"

var supplies = []string{"120", "120/240", european}

func (t *talk) supply() {
	t.about("supply")
	now := max(0, slices.Index(supplies, t.s.Supply))
	if t.s.Supply == "" && t.s.Voltage > 180 {
		now = slices.Index(supplies, european)
	}
	pick := t.choose(t.question("supply"), now, "v120", "v240", "v230")
	if pick != now || t.s.from == nil {
		t.s.setSupply(supplies[pick])
		t.refit(t.s)
	}
}

// setSupply changes what follows from the supply: the volts, the legs, and what a
// breaker is built after. On 230 V the letter B is taken, the careful one.
func (s *shed) setSupply(supply string) {
	s.Supply, s.Voltage = supply, 120
	if supply == european {
		s.Voltage = 230
	}
	fits := func(breaker string) string {
		if strings.HasPrefix(breaker, "IEC") == (supply == european) {
			return breaker
		}
		return s.usualBreaker()
	}
	for i := range s.Circuits {
		c := &s.Circuits[i]
		if c.Breaker = fits(c.Breaker); supply != "120/240" {
			c.Leg = ""
		}
	}
	for i := range s.Feeders {
		s.Feeders[i].Breaker = fits(s.Feeders[i].Breaker)
	}
	for i := range s.machines {
		m := &s.machines[i]
		if _, known := nec.Thinner(m.CordMM2); supply != european && m.CordMM2 != 0 && !known {
			m.setCord(0, false) // thinner than any cord that the rules there know: it is asked again
		}
	}
}

func (s *shed) usualBreaker() string {
	if s.Supply == european || s.Voltage > 180 {
		return "IEC B"
	}
	return ""
}

// breaker asks what is on a breaker's handle.
func (t *talk) breaker(amps *float64, standard *string) {
	*amps = t.number(t.question("handle"), *amps, bounds{1, 400, "amps"})
	if t.s.Supply == european {
		letters := []string{"IEC B", "IEC C", "IEC D"}
		*standard = letters[t.choose(t.question("letter"), max(0, slices.Index(letters, *standard)), "b", "c", "d")]
	}
}

// feeders asks which feeder to change, to add or to take away.
func (t *talk) feeders() {
	t.about(kindFeeder)
	i, remove := t.oneOf("feeders", t.s.namesOf(kindFeeder), len(t.s.Feeders) > 0)
	if !remove {
		t.feeder(i)
		return
	}
	i = t.goes("feeder-goes", t.s.namesOf(kindFeeder), func(i int) []note {
		return []note{{theme.Text, t.say("told.straight", t.listed(t.s.circuitsOf(i)))}}
	})
	if i >= 0 {
		t.s.renameFeeder(i, "")
		t.s.takeAway(kindFeeder, i)
	}
}

// circuitsOf names what hangs on a feeder.
func (s *shed) circuitsOf(feeder int) []string {
	var out []string
	for i := range s.Circuits {
		if s.Circuits[i].Feeder == s.Feeders[feeder].Name {
			out = append(out, s.Circuits[i].Name)
		}
	}
	return out
}

// feeder asks about one; with the index after the last it is a new one.
func (t *talk) feeder(i int) {
	t.about(kindFeeder)
	if i == len(t.s.Feeders) {
		t.s.Feeders = append(t.s.Feeders, files.FeederEntry{BreakerA: 60, Breaker: t.s.usualBreaker()})
	}
	f := &t.s.Feeders[i]
	isNew := f.Name == ""
	t.s.renameFeeder(i, t.name(t.question("feeder"), f.Name, without(t.s.namesOf(kindFeeder), i)))
	t.breaker(&f.BreakerA, &f.Breaker)
	if isNew && len(t.s.Circuits) > 0 && t.yes(t.question("feeder-all"), true) {
		for k := range t.s.Circuits {
			t.s.Circuits[k].Feeder = f.Name
		}
	}
}

// either asks a question in the words of the supply: what a device is called differs.
func (t *talk) either(key, on230V string) question {
	if t.s.Supply == european {
		return t.question(on230V)
	}
	return t.question(key)
}
