package setup

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"shedbell/line"
	"shedbell/line/files"
	"shedbell/power"
	"shedbell/recipes/strictfile"
	"shedbell/ui/theme"
)

// note is one thing that the interlock or the reader says about the answers.
type note struct {
	role theme.Role
	text string
}

// read judges the answers as the line file's own reader does. What has not been
// asked yet is filled in, so that only what was answered is at fault.
func (s *shed) read() (*line.Site, []strictfile.Fault) {
	c := s.clone()
	if c.name == "" {
		c.name = "Shed"
	}
	if len(c.crew) == 0 {
		c.crew = []string{"Somebody"}
	}
	if len(c.circuits) == 0 {
		c.circuits = []circuit{{name: "first", breakerA: 15, breaker: c.usualBreaker()}}
	}
	if len(c.machines) == 0 {
		c.machines = []machine{{name: "lamp", circuit: c.circuits[0].name, amps: 0.1}}
	}
	if len(c.stations) == 0 {
		c.stations = usualStations(4)
	}
	c.settle()
	out, err := c.text()
	if err != nil {
		out = c.file()
	}
	return files.ReadLine("line.toml", []byte(out))
}

func (s *shed) usualBreaker() string {
	if s.supply == "230" || s.voltage > 180 {
		return "IEC B"
	}
	return ""
}

// faultsOf are the first faults of one table in words, without their place.
func faultsOf(faults []strictfile.Fault, prefix string) []note {
	var out []note
	for _, f := range faults {
		if strings.HasPrefix(f.Key, prefix) {
			out = append(out, note{theme.Refuse, f.Problem + "; " + f.Mend + "."})
		}
	}
	return out
}

// morning is an instant for judging a start on cold breakers.
var morning = time.Date(2000, 1, 1, 8, 0, 0, 0, time.UTC)

// aboutMachine says at once whether a machine can run on its circuit, and what
// its start does there.
func (s *shed) aboutMachine(i int) []note {
	site, faults := s.read()
	if len(faults) > 0 {
		return faultsOf(faults, fmt.Sprintf("load[%d].", i))
	}
	p := &site.Panel
	l := &p.Loads[i]
	worst := 0
	for k := range l.Settings {
		if l.Settings[k].AmpsA > l.Settings[worst].AmpsA {
			worst = k
		}
	}
	st := staying(p, i)
	v := p.Judge(st, power.Ask{Load: i, Setting: worst}, morning)
	if !v.Allowed {
		var why power.Speech
		for _, r := range v.Reasons {
			why = append(why, r.Says...)
		}
		return []note{{theme.Refuse, fmt.Sprintf("%s cannot run there. %s", l.Name, append(why, v.WayOut...))}}
	}
	out := []note{{theme.Calm, fmt.Sprintf("%s takes %.1f A. %q then carries %.1f of %.4g A.", l.Name, l.WorstA(), p.Circuits[l.Circuit].Name, v.AmpsAfter, v.LimitA)}}
	if l.StartingA > 0 {
		text := fmt.Sprintf("Its start takes %.4g A for %.2g s: ", l.StartingA, l.StartingTime.Seconds())
		if v.Margin == power.Never || v.Margin > time.Hour {
			text += "the breaker holds."
		} else {
			text += fmt.Sprintf("the breaker holds; a start %.1f s longer could trip it.", v.Margin.Seconds())
		}
		out = append(out, note{theme.Text, text})
	}
	if clash := clashes(p, st, i, worst); len(clash) > 0 {
		out = append(out, note{theme.Soon, "Not together with " + listed(clash) + "."})
	}
	for _, f := range p.Findings() {
		if f.Load == i {
			out = append(out, note{theme.Soon, "Worth a second look: " + f.Says.String()})
		}
	}
	return out
}

// staying is the state with everything on that is never switched off, but for one
// load.
func staying(p *power.Panel, but int) power.State {
	s := power.NewState(p)
	for i := range p.Loads {
		if l := &p.Loads[i]; i != but && l.StaysOn && !l.Cycles {
			s = s.Switched(p, i, power.Status{On: true, Since: morning.Add(-time.Hour)}, morning.Add(-time.Hour))
		}
	}
	return s
}

// clashes are the machines beside which a load may not start, each on at its
// lowest setting.
func clashes(p *power.Panel, s power.State, load, setting int) []string {
	var out []string
	for i := range p.Loads {
		if i == load || p.Loads[i].StaysOn || p.Loads[i].Cycles {
			continue
		}
		low := 0
		for k, st := range p.Loads[i].Settings {
			if st.AmpsA < p.Loads[i].Settings[low].AmpsA {
				low = k
			}
		}
		on := s.Switched(p, i, power.Status{On: true, Setting: low, Since: morning.Add(-time.Minute)}, morning.Add(-time.Minute))
		if !p.Allows(on, power.Ask{Load: load, Setting: setting}, morning) {
			out = append(out, p.Loads[i].Name)
		}
	}
	return out
}

// aboutCircuit says what is worth a second look about a circuit.
func (s *shed) aboutCircuit(i int) []note {
	site, faults := s.read()
	if len(faults) > 0 {
		return faultsOf(faults, fmt.Sprintf("circuit[%d].", i))
	}
	var out []note
	for _, f := range site.Panel.Findings() {
		if f.Circuit == i && f.Load < 0 {
			out = append(out, note{theme.Soon, f.Says.String()})
		}
	}
	return out
}

// mostSets bounds the sets listed of a circuit, the fullest first.
const mostSets = 3

// together is what may run at once, and what is worth a second look.
func (s *shed) together() []note {
	site, faults := s.read()
	if len(faults) > 0 {
		out := []note{{theme.Refuse, "Not right yet:"}}
		for _, f := range faults {
			out = append(out, note{theme.Refuse, "  " + s.whose(f) + ": " + f.Problem + "; " + f.Mend})
		}
		return out
	}
	p := &site.Panel
	var out []note
	for c := range p.Circuits {
		sets, complete := p.MaximalSets(c)
		if len(sets) == 0 {
			continue
		}
		out = append(out, note{theme.Strong, fmt.Sprintf("On %q at once, fullest first, of %.4g A:", p.Circuits[c].Name, p.LimitA(c))})
		for _, set := range sets[:min(mostSets, len(sets))] {
			out = append(out, note{theme.Text, fmt.Sprintf("  %s (%.1f A)", uses(p, set.Uses), set.AmpsA)})
		}
		if len(sets) > mostSets || !complete {
			out = append(out, note{theme.Faint, "  and more; check lists them"})
		}
	}
	for i := range p.Loads {
		if worst := slices.MaxFunc(s.aboutMachine(i), func(a, b note) int { return bit(a.role == theme.Refuse) - bit(b.role == theme.Refuse) }); worst.role == theme.Refuse {
			out = append(out, worst)
		}
	}
	for _, f := range p.Findings() {
		out = append(out, note{theme.Soon, "Worth a second look: " + f.Says.String()})
	}
	return append(out, note{theme.Faint, caution})
}

const caution = "This is advice to a person, no protective device. Local code and a licensed electrician decide."

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

// whose names what a fault is about.
func (s *shed) whose(f strictfile.Fault) string {
	var kind string
	var i int
	if n, _ := fmt.Sscanf(strings.NewReplacer("[", " ", "]", " ").Replace(f.Key), "%s %d", &kind, &i); n < 2 {
		return f.Key
	}
	switch {
	case kind == "circuit" && i < len(s.circuits):
		return s.circuits[i].name
	case kind == "load" && i < len(s.machines):
		return s.machines[i].name
	case kind == "station" && i < len(s.stations):
		return s.stations[i].name
	}
	return f.Key
}

func listed(names []string) string {
	if len(names) < 2 {
		return strings.Join(names, "")
	}
	return strings.Join(names[:len(names)-1], ", ") + " and " + names[len(names)-1]
}

// usualStart is what a motor takes whose plate does not say: about six times its
// running current for 0.6 s (common practice, no source).
const (
	usualStartFactor = 6
	usualStart       = "0.6s"
	mostStartA       = 2000 // as much as the line file takes
)

// guessStart fills in the start of a motor whose plate does not say it.
func (s *shed) guessStart(i int) {
	m := &s.machines[i]
	m.startingA, m.starting, m.letter = 0, "", ""
	if site, faults := s.read(); len(faults) == 0 {
		m.startingA, m.starting = min(mostStartA, math.Ceil(usualStartFactor*site.Panel.Loads[i].WorstA())), usualStart
	}
}
