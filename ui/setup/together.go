package setup

import (
	"strings"

	"shedbell/power"
	"shedbell/recipes/strictfile"
	"shedbell/ui/theme"
)

// mostSets bounds the sets listed of a circuit, the fullest first.
const mostSets = 3

// together is what may run at once, and what is worth a second look.
func (t *talk) together() []note {
	site, faults := t.read(t.s)
	if len(faults) > 0 {
		out := []note{{theme.Refuse, t.say("told.not-right")}}
		for _, f := range faults {
			out = append(out, note{theme.Refuse, t.whose(f)})
		}
		return out
	}
	p := &site.Panel
	var out []note
	for c := range p.Circuits {
		out = append(out, t.setsOf(p, c)...)
	}
	out = append(out, t.cannotRun()...)
	out = append(out, t.findings(p, func(power.Finding) bool { return true })...)
	return append(out, note{theme.Faint, t.say("told.caution")})
}

// setsOf is what may run at once on one circuit.
func (t *talk) setsOf(p *power.Panel, circuit int) []note {
	sets, complete := p.MaximalSets(circuit)
	if len(sets) == 0 {
		return nil
	}
	out := []note{{theme.Strong, t.say("told.at-once", p.Circuits[circuit].Name, p.LimitA(circuit))}}
	for _, set := range sets[:min(mostSets, len(sets))] {
		out = append(out, note{theme.Text, t.say("told.set", uses(p, set.Uses), set.AmpsA)})
	}
	if len(sets) > mostSets || !complete {
		out = append(out, note{theme.Faint, t.say("told.more-sets")})
	}
	return out
}

// cannotRun are the machines that the interlock would never let run.
func (t *talk) cannotRun() []note {
	var out []note
	for i := range t.s.machines {
		for _, n := range t.aboutMachine(t.s, i) {
			if n.role == theme.Refuse {
				out = append(out, n)
			}
		}
	}
	return out
}

func uses(p *power.Panel, list []power.Use) string {
	out := make([]string, len(list))
	for i, u := range list {
		l := &p.Loads[u.Load]
		out[i] = l.Name
		if len(l.Settings) > 1 {
			out[i] += ":" + l.Settings[u.Setting].Name
		}
	}
	return strings.Join(out, " + ")
}

// whose is a fault with the name of what it is about.
func (t *talk) whose(f strictfile.Fault) string {
	for _, kind := range kinds {
		for i, name := range t.s.namesOf(kind) {
			if len(faultsAt([]strictfile.Fault{f}, kind, i, "")) > 0 {
				return t.say("told.fault", name, t.fault(f))
			}
		}
	}
	return t.say("told.fault", f.Key, t.fault(f))
}
