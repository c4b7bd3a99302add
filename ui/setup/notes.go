package setup

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"shedbell/line"
	"shedbell/line/files"
	"shedbell/line/say"
	"shedbell/power"
	"shedbell/recipes/strictfile"
	"shedbell/ui/theme"
)

// note is one thing that the interlock or the reader says about the answers.
type note struct {
	role theme.Role
	text string
}

// read judges answers as the line file's own reader does. What has not been asked
// yet is filled in, so that only what was answered is at fault.
func (t *talk) read(s *shed) (*line.Site, []strictfile.Fault) {
	c := s.clone()
	if c.Name == "" {
		c.Name = "Shed"
	}
	if len(c.Crew) == 0 {
		c.Crew = []string{"Somebody"}
	}
	if len(c.Circuits) == 0 {
		c.Circuits = []files.CircuitEntry{{Name: "first", BreakerA: 15, Breaker: c.usualBreaker()}}
	}
	if len(c.machines) == 0 {
		c.machines = []machine{{LoadEntry: files.LoadEntry{Name: "lamp", Circuit: c.Circuits[0].Name, Amps: 0.1}}}
	}
	if len(c.Stations) == 0 {
		c.Stations = usualStations(4)
	}
	c.makeRoom()
	out, err := c.text(t.words)
	if err != nil {
		out = c.file(t.words)
	}
	return files.ReadLine("line.toml", []byte(out))
}

// faultsAt are the faults of one table, or of one key in it.
func faultsAt(faults []strictfile.Fault, kind string, i int, key string) []strictfile.Fault {
	at := fmt.Sprintf("%s[%d].%s", kind, i, key)
	return slices.DeleteFunc(slices.Clone(faults), func(f strictfile.Fault) bool {
		return !strings.HasPrefix(f.Key, at) || key != "" && f.Key != at
	})
}

// faultsOf are the faults of one table in words, without their place.
func (t *talk) faultsOf(faults []strictfile.Fault, kind string, i int) []note {
	var out []note
	for _, f := range faultsAt(faults, kind, i, "") {
		out = append(out, note{theme.Refuse, t.fault(f)})
	}
	return out
}

// fault is a fault of the line file in the language of the questions, as far as a
// question can lead to it; others are the reader's own words.
func (t *talk) fault(f strictfile.Fault) string {
	key := "setup-fault." + f.Key[strings.LastIndexByte(f.Key, '.')+1:]
	if t.words.Has(key) {
		return t.words.Say(key)
	}
	return t.words.Say("setup-fault.other", f.Problem, f.Mend)
}

// morning is an instant for judging a start on cold breakers.
var morning = time.Date(2000, 1, 1, 8, 0, 0, 0, time.UTC)

// aboutMachine says at once whether a machine can run on its circuit, and what
// its start does there.
func (t *talk) aboutMachine(s *shed, i int) []note {
	site, faults := t.read(s)
	if len(faults) > 0 {
		return t.faultsOf(faults, kindMachine, i)
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
		return []note{{theme.Refuse, t.cannot(l.Name, &v)}}
	}
	out := []note{{theme.Calm, t.say("told.takes", l.Name, l.WorstA(), p.Circuits[l.Circuit].Name, v.AmpsAfter, v.LimitA)}}
	if l.StartingA > 0 {
		lasts := l.StartingTime.Seconds()
		text := t.say("told.start-holds", l.StartingA, lasts)
		if v.Margin != power.Never && v.Margin <= time.Hour {
			text = t.say("told.start-close", l.StartingA, lasts, v.Margin.Seconds())
		}
		out = append(out, note{theme.Text, text})
	}
	if clash := clashes(p, st, i, worst); len(clash) > 0 {
		out = append(out, note{theme.Soon, t.say("told.not-with", t.listed(clash))})
	}
	return append(out, t.findings(p, func(f power.Finding) bool { return f.Load == i })...)
}

// cannot is why the interlock would never let a machine run.
func (t *talk) cannot(name string, v *power.Verdict) string {
	var why say.Speech
	for _, r := range v.Reasons {
		why = append(why, r.Says...)
	}
	return t.say("told.cannot", name, t.words.Speech(append(why, v.WayOut...)))
}

// findings are worth a second look.
func (t *talk) findings(p *power.Panel, about func(power.Finding) bool) []note {
	var out []note
	for _, f := range p.Findings() {
		if about(f) {
			out = append(out, note{theme.Soon, t.say("told.second-look", t.words.Sentence(f.Says))})
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
func (t *talk) aboutCircuit(i int) []note {
	site, faults := t.read(t.s)
	if len(faults) > 0 {
		return t.faultsOf(faults, kindCircuit, i)
	}
	return t.findings(&site.Panel, func(f power.Finding) bool { return f.Circuit == i && f.Load < 0 })
}

// listed writes names with commas and an "and".
func (t *talk) listed(names []string) string { return t.words.Value(say.Names(names)) }
