package files

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"

	"shedbell/power"
)

// The widest values that a small shed can have; anything beyond is a slip of the
// finger (common practice, no source).
const (
	mostBreakerA = 400
	mostAmpsA    = 400
	mostStartA   = 2000
	longestStart = 30 * time.Second
)

// onSetting is the one setting of a load that only runs one way.
const onSetting = "on"

var legWords = []string{"a", "b", "both"}

func (c *checker) panel(file *lineFile) power.Panel {
	p := power.Panel{VoltageV: file.Voltage}
	c.number("voltage", file.Voltage, 90, 260, "volts")
	c.feeders(file, &p)
	c.circuits(file, &p)
	circuits := namesOf(file.Circuits, func(f *fileCircuit) string { return f.Name })
	c.names(namesOf(file.Loads, func(f *fileLoad) string { return f.Name }),
		func(i int) string { return fmt.Sprintf("load[%d].name", i) })
	for i := range file.Loads {
		p.Loads = append(p.Loads, c.load(i, &file.Loads[i], circuits))
	}
	return p
}

func namesOf[T any](list []T, name func(*T) string) []string {
	out := make([]string, len(list))
	for i := range list {
		out[i] = name(&list[i])
	}
	return out
}

func (c *checker) feeders(file *lineFile, p *power.Panel) {
	c.names(namesOf(file.Feeders, func(f *fileFeeder) string { return f.Name }),
		func(i int) string { return fmt.Sprintf("feeder[%d].name", i) })
	for i, f := range file.Feeders {
		c.number(fmt.Sprintf("feeder[%d].breaker_a", i), f.Breaker, 1, mostBreakerA, "amps")
		p.Feeders = append(p.Feeders, power.Feeder{Name: f.Name, RatingA: f.Breaker})
	}
}

func (c *checker) circuits(file *lineFile, p *power.Panel) {
	feeders := namesOf(file.Feeders, func(f *fileFeeder) string { return f.Name })
	c.names(namesOf(file.Circuits, func(f *fileCircuit) string { return f.Name }),
		func(i int) string { return fmt.Sprintf("circuit[%d].name", i) })
	for i, f := range file.Circuits {
		path := fmt.Sprintf("circuit[%d].", i)
		c.number(path+"breaker_a", f.Breaker, 1, mostBreakerA, "amps")
		if c.given(path + "feeder") {
			c.index(path+"feeder", f.Feeder, "feeder", feeders)
		}
		leg := power.LegNone
		if c.given(path + "leg") {
			leg = power.Leg(c.index(path+"leg", f.Leg, "leg", legWords) + 1)
		}
		p.Circuits = append(p.Circuits, power.Circuit{Name: f.Name, RatingA: f.Breaker, Feeder: f.Feeder, Leg: leg})
	}
}

func (c *checker) load(i int, f *fileLoad, circuits []string) power.Load {
	path := fmt.Sprintf("load[%d].", i)
	if strings.ContainsAny(f.Name, ",:") {
		c.fault(path+"name", "has a comma or a colon", "use letters, digits, spaces and hyphens")
	}
	l := power.Load{
		Name: f.Name, Circuit: max(0, c.index(path+"circuit", f.Circuit, "circuit", circuits)),
		StartingA: f.StartingA, StartingTime: time.Duration(f.Starting),
		SelfOff: f.SelfOff, Alone: f.Alone, Cycles: f.Cycles, StaysOn: f.StaysOn,
	}
	l.Settings = c.settings(path, f)
	c.starting(path, f, l.WorstA())
	if f.Alone && (f.StaysOn || f.Cycles) {
		c.fault(path+"runs_alone", "a load that stays on or starts by itself cannot run alone", "remove one of the two keys")
	}
	return l
}

// settings reads the running amps. An unknown current is a fault, never zero: a
// breaker would find out what the file kept silent.
func (c *checker) settings(path string, f *fileLoad) []power.Setting {
	amps, table := path+"amps", path+"settings"
	switch {
	case c.where.Has(amps) && c.where.Has(table):
		c.fault(table, "amps and settings are both there", "keep amps for a machine that runs one way, settings for one with a switch")
	case c.where.Has(amps):
		c.amps(amps, f.Name, f.Amps)
		return []power.Setting{{Name: onSetting, AmpsA: f.Amps}}
	case c.where.Has(table) && len(f.Settings) == 0:
		c.fault(table, "empty", "write it like { low = 1.6, high = 4.2 }")
	case !c.where.Has(table):
		c.fault(amps, fmt.Sprintf("%q has no amps, and unknown is not zero", f.Name), "read the amps on its nameplate and add amps = ...")
	}
	out := make([]power.Setting, 0, len(f.Settings))
	for name, a := range f.Settings {
		out = append(out, power.Setting{Name: name, AmpsA: a})
	}
	place := func(s power.Setting) (l, col int) {
		l, col, _ = c.where.At(keyPath(path+"settings", s.Name))
		return l, col
	}
	slices.SortFunc(out, func(a, b power.Setting) int {
		la, ca := place(a)
		lb, cb := place(b)
		return cmp.Or(cmp.Compare(la, lb), cmp.Compare(ca, cb), strings.Compare(a.Name, b.Name))
	})
	c.settingNames(path, f.Name, out)
	return out
}

func (c *checker) settingNames(path, load string, settings []power.Setting) {
	seen := map[string]bool{}
	for _, s := range settings {
		at := keyPath(path+"settings", s.Name)
		c.amps(at, load+" "+s.Name, s.AmpsA)
		fold := strings.ToLower(s.Name)
		switch {
		case s.Name == "" || strings.TrimSpace(s.Name) != s.Name || strings.ContainsAny(s.Name, ",:"):
			c.fault(at, "not a name for a setting", "write one word, like low")
		case len([]rune(s.Name)) > longestName:
			c.fault(at, "the name is too long", fmt.Sprintf("use at most %d characters", longestName))
		case seen[fold]:
			c.fault(at, "there twice but for the case", "give each setting a name of its own")
		}
		seen[fold] = true
	}
}

// amps checks a running current.
func (c *checker) amps(path, name string, a float64) {
	if a == 0 && c.given(path) {
		c.fault(path, fmt.Sprintf("%q cannot run on nothing", name), "read the amps on its nameplate; unknown is not zero")
		return
	}
	c.number(path, a, 0.01, mostAmpsA, "amps")
}

// starting checks the two halves of a starting current, which only mean something
// together.
func (c *checker) starting(path string, f *fileLoad, worstA float64) {
	current, length := path+"starting_a", path+"starting"
	c.number(current, f.StartingA, 0.01, mostStartA, "amps")
	if d := time.Duration(f.Starting); c.given(length) && (d <= 0 || d > longestStart) {
		c.fault(length, "out of range", `give "0.1s" to "30s"`)
	}
	switch {
	case c.given(current) && c.missing(length):
		c.fault(length, "starting_a without how long it lasts", `add starting = "0.6s"`)
	case c.given(length) && c.missing(current):
		c.fault(current, "starting without its amps", "add starting_a = 30, or remove starting")
	case c.given(current) && f.StartingA < worstA:
		c.fault(current, "less than its running amps", fmt.Sprintf("give %g or more, or remove it", worstA))
	}
}
