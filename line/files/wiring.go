package files

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"shedbell/line/say"
	"shedbell/power"
	"shedbell/power/breaker"
	"shedbell/power/iec"
	"shedbell/power/nec"
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

// Words of the line file, in the order of power's own constants.
var (
	legWords      = []string{"a", "b", "both"}
	supplyWords   = []string{"120", "120/240", "230"}
	standardWords = []string{"UL 489", "IEC B", "IEC C", "IEC D"}
)

func (c *checker) panel(file *LineFile) power.Panel {
	p := power.Panel{VoltageV: file.Voltage, AmbientC: file.AmbientC, DeratePerK: file.DeratePerC}
	c.number("voltage", file.Voltage, 90, 260, "fault.unit-volts")
	c.number("ambient_c", file.AmbientC, -30, 70, "fault.unit-degrees")
	c.number("derate_per_c", file.DeratePerC, 0.001, 0.05, "fault.unit-share")
	if c.given("supply") {
		p.Supply = power.Supply(slices.Index(supplyWords, file.Supply) + 1)
		c.supplyVolts(file, p.Supply)
	}
	c.feeders(file, &p)
	c.circuits(file, &p)
	circuits := namesOf(file.Circuits, func(f *CircuitEntry) string { return f.Name })
	c.names(namesOf(file.Loads, func(f *LoadEntry) string { return f.Name }),
		func(i int) string { return fmt.Sprintf("load[%d].name", i) })
	for i := range file.Loads {
		p.Loads = append(p.Loads, c.load(i, &file.Loads[i], circuits, &p))
	}
	for i := range p.Circuits {
		c.thick(fmt.Sprintf("circuit[%d].", i), &p, i, circuits)
	}
	return p
}

// supplyVolts checks that the volts are those of the supply, from one leg to
// neutral.
func (c *checker) supplyVolts(file *LineFile, supply power.Supply) {
	from, to := 110.0, 127.0
	switch {
	case supply == power.SupplyUnstated:
		c.fault("supply", say.New("fault.unknown-supply"), say.New("fault.write-120"))
		return
	case !c.given("voltage"):
		return
	case supply == power.Single230:
		from, to = 220, 240
	}
	if file.Voltage < from || file.Voltage > to {
		c.fault("voltage", say.New("fault.not-volts", file.Supply), say.New("fault.give-volts", from, to))
	}
}

// standard reads what a breaker is built after. On 230 V there is no usual one:
// the letter decides how soon a starting motor trips it.
func (c *checker) standard(path, word string, p *power.Panel) power.Standard {
	at := path + "breaker"
	switch {
	case c.given(at) && len(word) == 1 && slices.Contains(standardWords, "IEC "+word):
		c.fault(at, say.New("fault.standard-not"), say.New("fault.write-name-q", "IEC "+word))
	case c.given(at):
		return power.Standard(max(0, c.index(at, word, say.New("fault.unknown-breaker"), standardWords)))
	case c.missing(at) && p.VoltageV >= 200 && c.given("voltage"):
		c.fault(at, say.New("fault.kind-breaker"), say.New("fault.add-breaker"))
	}
	return power.UL489
}

// maker reads the earliest times on the curve of a breaker's maker.
func (c *checker) maker(path string, curve *breaker.Curve, pairs [][]float64) []breaker.Point {
	key := path + "trips_not_before"
	if c.given(key) && len(pairs) == 0 {
		c.fault(key, say.New("fault.empty"), say.New("fault.write-points"))
	}
	var out []breaker.Point
	for i, pair := range pairs {
		at := fmt.Sprintf("%s[%d]", key, i)
		if len(pair) != 2 {
			c.fault(at, say.New("fault.pair-of", len(pair)), say.New("fault.write-points"))
			return nil
		}
		out = append(out, breaker.Point{Multiple: pair[0], Seconds: pair[1]})
	}
	i, wrong, latest := curve.Wrong(out)
	at := fmt.Sprintf("%s[%d]", key, i)
	switch wrong {
	case breaker.NoMaker:
		c.fault(at, say.New("fault.out-range"), say.New("fault.give-multiple", curve.Hold, breaker.MostMultiple))
	case breaker.NoOrder:
		c.fault(at, say.New("fault.points-order"), say.New("fault.order-points"))
	case breaker.TooLate:
		c.fault(at, say.New("fault.points-late"), say.New("fault.give-seconds", math.Floor(latest*10)/10))
	}
	return out
}

func namesOf[T any](list []T, name func(*T) string) []string {
	out := make([]string, len(list))
	for i := range list {
		out[i] = name(&list[i])
	}
	return out
}

func (c *checker) feeders(file *LineFile, p *power.Panel) {
	c.names(namesOf(file.Feeders, func(f *FeederEntry) string { return f.Name }),
		func(i int) string { return fmt.Sprintf("feeder[%d].name", i) })
	for i, f := range file.Feeders {
		path := fmt.Sprintf("feeder[%d].", i)
		c.number(path+"breaker_a", f.BreakerA, 1, mostBreakerA, "fault.unit-amps")
		std := c.standard(path, f.Breaker, p)
		p.Feeders = append(p.Feeders, power.Feeder{Name: f.Name, RatingA: f.BreakerA, Breaker: std,
			Maker: c.maker(path, breaker.For(std, f.BreakerA), f.NotBefore)})
	}
}

func (c *checker) circuits(file *LineFile, p *power.Panel) {
	feeders := namesOf(file.Feeders, func(f *FeederEntry) string { return f.Name })
	c.names(namesOf(file.Circuits, func(f *CircuitEntry) string { return f.Name }),
		func(i int) string { return fmt.Sprintf("circuit[%d].name", i) })
	for i, f := range file.Circuits {
		path := fmt.Sprintf("circuit[%d].", i)
		c.number(path+"breaker_a", f.BreakerA, 1, mostBreakerA, "fault.unit-amps")
		c.number(path+"receptacle_a", f.ReceptacleA, 5, 125, "fault.unit-amps-socket")
		c.number(path+"effective_a", f.EffectiveA, 1, mostBreakerA, "fault.unit-amps")
		if c.given(path+"effective_a") && f.EffectiveA > f.BreakerA && c.given(path+"breaker_a") {
			c.fault(path+"effective_a", say.New("fault.more-than"), say.New("fault.give-less", f.BreakerA))
		}
		if c.given(path + "feeder") {
			c.index(path+"feeder", f.Feeder, say.New("fault.unknown-feeder"), feeders)
		}
		std := c.standard(path, f.Breaker, p)
		p.Circuits = append(p.Circuits, power.Circuit{
			Name: f.Name, RatingA: f.BreakerA, Feeder: f.Feeder, Leg: c.leg(path+"leg", f.Leg, p.Supply),
			Breaker: std, Maker: c.maker(path, breaker.For(std, f.BreakerA), f.NotBefore), Rated100: f.Rated100, EffectiveA: f.EffectiveA,
			ReceptacleA: f.ReceptacleA, GFCI: f.GFCI, GroundFault: f.GroundFault, NeutralWith: f.NeutralWith,
			Wire: c.wire(path, &f),
		})
	}
}

func (c *checker) leg(path, word string, supply power.Supply) power.Leg {
	if !c.given(path) {
		return power.LegNone
	}
	if supply == power.Single120 || supply == power.Single230 {
		c.fault(path, say.New("fault.supply-two"), say.New("fault.remove-write-supply"))
		return power.LegNone
	}
	return power.Leg(c.index(path, word, say.New("fault.unknown-leg"), legWords) + 1)
}

func (c *checker) load(i int, f *LoadEntry, circuits []string, p *power.Panel) power.Load {
	path := fmt.Sprintf("load[%d].", i)
	if strings.ContainsAny(f.Name, ",:") {
		c.fault(path+"name", say.New("fault.has-comma"), say.New("fault.use-letters"))
	}
	circuit := max(0, c.index(path+"circuit", f.Circuit, say.New("fault.unknown-circuit"), circuits))
	settings := c.settings(path, f, circuitV(p, circuit))
	l := power.Load{
		Name: f.Name, Circuit: circuit, Settings: settings,
		StartingA: f.StartingA, StartingTime: time.Duration(f.Starting),
		SelfOff: f.SelfOff, Alone: f.Alone, Cycles: f.Cycles, StaysOn: f.StaysOn,
		Continuous: f.Continuous, HardWired: f.HardWired, Wet: f.Wet, Light: f.Light,
		Cord: power.Cord{AWG: f.CordAWG, MM2: f.CordMM2, LengthM: f.CordM},
	}
	c.starting(path, f, l.WorstA())
	c.cord(path, f)
	if f.Alone && (f.StaysOn || f.Cycles) {
		c.fault(path+"runs_alone", say.New("fault.load-that"), say.New("fault.remove-two"))
	}
	return l
}

// switchSettings reads the settings of a machine with a switch, in the order of
// the file.
func (c *checker) switchSettings(path string, f *LoadEntry) []power.Setting {
	table := path + "settings"
	if len(f.Settings) == 0 && c.given(table) {
		c.fault(table, say.New("fault.empty"), say.New("fault.write-like-low"))
	}
	out := make([]power.Setting, 0, len(f.Settings))
	for name, a := range f.Settings {
		out = append(out, power.Setting{Name: name, AmpsA: a})
	}
	place := func(s power.Setting) (l, col int) {
		l, col, _ = c.where.At(keyPath(table, s.Name))
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
			c.fault(at, say.New("fault.not-name"), say.New("fault.write-word"))
		case len([]rune(s.Name)) > longestName:
			c.fault(at, say.New("fault.name-too"), say.New("fault.use-most-characters", longestName))
		case seen[fold]:
			c.fault(at, say.New("fault.there-twice-but"), say.New("fault.give-each"))
		}
		seen[fold] = true
	}
}

// amps checks a running current.
func (c *checker) amps(path, name string, a float64) {
	if a == 0 && c.given(path) {
		c.fault(path, say.New("fault.cannot-run", name), say.New("fault.read-amps-its-nameplate"))
		return
	}
	c.number(path, a, 0.01, mostAmpsA, "fault.unit-amps")
}

// cord checks the flexible cord to the plug. Only the sizes that the code has
// amps and ohms for are taken.
func (c *checker) cord(path string, f *LoadEntry) {
	size, length := path+"cord_awg", path+"cord_m"
	_, noAmps := nec.CordMaxA(f.CordAWG)
	_, noOhms := nec.DropV(f.CordAWG, 0, 0)
	if c.given(size) && (noAmps != nil || noOhms != nil) {
		c.fault(size, say.New("fault.not-size"), say.New("fault.give-18"))
	}
	c.number(length, f.CordM, 0.1, 200, "fault.unit-metres")
	if area := path + "cord_mm2"; c.oneSize(size, area) {
		if _, ok := iec.CordMaxA(f.CordMM2); !ok || f.CordMM2 > 4 {
			c.fault(area, say.New("fault.not-size"), say.New("fault.give-mm2-cord"))
		}
	} else {
		c.belongs(path, "cord_m", "cord_awg")
	}
}

// oneSize says whether the size of a wire or cord is given in square millimetres; it is
// not given in AWG as well.
func (c *checker) oneSize(awg, mm2 string) bool {
	if c.given(awg) && c.given(mm2) {
		c.fault(mm2, say.New("fault.two-sizes"), say.New("fault.keep-one"))
	}
	return c.given(mm2)
}

// wire checks the wire of a circuit. Only the sizes that the tables have are taken.
func (c *checker) wire(path string, f *CircuitEntry) power.Cord {
	size, area, method := path+"wire_awg", path+"wire_mm2", path+"wire_method"
	metric := c.oneSize(size, area)
	if _, _, _, ok := nec.WireMaxA(f.WireAWG); c.given(size) && !ok {
		c.fault(size, say.New("fault.not-wire"), say.New("fault.give-awg-wire"))
	}
	if _, ok := iec.WireMaxA(f.WireMM2, ""); metric && (!ok || f.WireMM2 > 10) {
		c.fault(area, say.New("fault.not-wire"), say.New("fault.give-mm2-wire"))
	}
	c.number(path+"wire_m", f.WireM, 0.1, 500, "fault.unit-metres")
	if c.given(method) {
		c.index(method, f.WireMethod, say.New("fault.unknown-method"), iec.Methods)
	}
	if !metric {
		c.belongs(path, "wire_method", "wire_mm2")
		c.belongs(path, "wire_m", "wire_awg")
	}
	return power.Cord{AWG: f.WireAWG, MM2: f.WireMM2, LengthM: f.WireM, Method: f.WireMethod}
}

// thick faults a wire that could get too hot without its breaker seeing it, and a neutral
// shared with nothing.
func (c *checker) thick(path string, p *power.Panel, i int, circuits []string) {
	x := &p.Circuits[i]
	key := path + "wire_awg"
	if x.Wire.MM2 != 0 {
		key = path + "wire_mm2"
	}
	if most, ok := p.WireMaxA(i); ok && c.given(key) && c.sound(path+"breaker_a") && x.RatingA > most {
		c.fault(key, say.New("fault.wire-thin", x.RatingA), say.New("fault.fit-breaker", most))
	}
	if at := path + "neutral_with"; c.given(at) {
		others := slices.Concat(circuits[:i], circuits[i+1:])
		c.index(at, x.NeutralWith, say.New("fault.unknown-circuit"), others)
	}
}

// starting checks the two halves of a starting current, which only mean something
// together. A code letter stands for the amps.
func (c *checker) starting(path string, f *LoadEntry, worstA float64) {
	current, letter, length := path+"starting_a", path+"code_letter", path+"starting"
	if c.given(current) && c.given(letter) {
		c.fault(letter, say.New("fault.starting-code"), say.New("fault.keep-one"))
		return
	}
	c.number(current, f.StartingA, 0.01, mostStartA, "fault.unit-amps")
	if d := time.Duration(f.Starting); c.given(length) && (d <= 0 || d > longestStart) {
		c.fault(length, say.New("fault.out-range"), say.New("fault.give-starting"))
	}
	switch known := c.given(current) || c.given(letter); {
	case known && c.missing(length):
		c.fault(length, say.New("fault.starting-amps"), say.New("fault.add-starting"))
	case c.given(length) && c.missing(current) && c.missing(letter):
		c.fault(current, say.New("fault.starting-without"), say.New("fault.add-starting-30"))
	case c.given(current) && f.StartingA < worstA:
		c.fault(current, say.New("fault.less-than-its"), say.New("fault.give-more-remove", worstA))
	}
}
