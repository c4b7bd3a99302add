package line

import (
	"time"

	"shedbell/line/say"
)

// What somebody saw in the shed. It is entered as it is, whatever the interlock holds of
// it, as of the instant from which on it was so; zero is now. What happened after that
// instant is worked out again.

// MarkOn says that a load was found on; Meter, that its meter says so and nobody else.
type MarkOn struct {
	Load, Setting int
	AsOf          time.Time
	Meter         bool
}

// MarkOff says that a load was found off.
type MarkOff struct {
	Load int
	AsOf time.Time
}

// MarkUnplugged says that a load's plug is out.
type MarkUnplugged struct {
	Load int
	AsOf time.Time
}

// MarkPlugged says that a load's plug is in again, or in an outlet of another circuit.
type MarkPlugged struct {
	Load, Circuit int
	AsOf          time.Time
}

// MarkPowerLost says that a circuit, or the whole shed, lost its power with no breaker
// out.
type MarkPowerLost struct {
	Circuit    int
	Everywhere bool
	AsOf       time.Time
}

// MarkPowerBack says that the power is back.
type MarkPowerBack struct {
	Circuit    int
	Everywhere bool
	AsOf       time.Time
}

// FoundOn is a load found on since AsOf: held steps that it serves go on.
type FoundOn struct {
	Load, Setting int
	AsOf          time.Time `json:",omitzero"`
	Meter         bool      `json:",omitempty"` // nobody has seen it
}

// FoundOff is a load found off since AsOf: steps that it serves are held.
type FoundOff struct {
	Load int
	AsOf time.Time `json:",omitzero"`
}

// Unplugged is a load without a plug in an outlet: nothing is kept free for it.
type Unplugged struct {
	Load int
	AsOf time.Time `json:",omitzero"`
}

// PluggedIn is a load's plug in an outlet of that circuit, until somebody says
// otherwise.
type PluggedIn struct {
	Load, Circuit int
	AsOf          time.Time `json:",omitzero"`
}

// PowerLost is a circuit, or all of them, without power.
type PowerLost struct {
	Circuit    int
	Everywhere bool      `json:",omitempty"`
	AsOf       time.Time `json:",omitzero"`
}

// PowerBack ends that. What was on when it went counts as on until somebody says what
// it does.
type PowerBack struct {
	Circuit    int
	Everywhere bool      `json:",omitempty"`
	AsOf       time.Time `json:",omitzero"`
}

// longestAgo is how old a fact may be while no day is open.
const longestAgo = 24 * time.Hour

// asOf checks since when a fact is said to be true: not from later on, and not from
// before the day.
func (d *draft) asOf(at time.Time) (time.Time, *Refusal) {
	from := d.s.Opened
	if d.s.Sheet == nil {
		from = d.now.Add(-longestAgo)
	}
	switch at = at.Round(0); {
	case at.IsZero():
		return at, nil
	case at.After(d.now):
		return at, refuse(RuleValue, "line.fact-later", say.Time(at))
	case at.Before(from):
		return at, refuse(RuleValue, "line.fact-earlier", say.Time(at), say.Time(from))
	}
	return at, nil
}

// when is the instant from which on a recorded fact is true.
func (r *Record) when(asOf time.Time) time.Time {
	if asOf.IsZero() || asOf.After(r.At) {
		return r.At.Round(0)
	}
	return asOf
}

// load names a load that there is, for a fact about it.
func (d *draft) fact(load int, asOf time.Time) (say.Load, time.Time, *Refusal) {
	if !d.s.hasLoad(load) {
		return "", asOf, refuse(RuleUnknown, "line.no-load")
	}
	at, no := d.asOf(asOf)
	return say.Load(d.s.Site.Panel.Loads[load].Name), at, no
}

func (c MarkOn) decide(d *draft) *Refusal {
	name, at, no := d.fact(c.Load, c.AsOf)
	if no != nil {
		return no
	}
	if c.Setting < 0 || c.Setting >= len(d.s.Site.Panel.Loads[c.Load].Settings) {
		return refuse(RuleUnknown, "line.no-load-or-setting")
	}
	d.undo = say.New("undo.found-on", name)
	d.rescale(c.Load, c.Setting)
	d.emit(FoundOn{c.Load, c.Setting, at, c.Meter})
	return nil
}

func (c MarkOff) decide(d *draft) *Refusal {
	name, at, no := d.fact(c.Load, c.AsOf)
	if no != nil {
		return no
	}
	d.undo = say.New("undo.found-off", name)
	d.emit(FoundOff{c.Load, at})
	return nil
}

func (c MarkUnplugged) decide(d *draft) *Refusal {
	name, at, no := d.fact(c.Load, c.AsOf)
	if no == nil {
		no = d.hasPlug(c.Load, name)
	}
	if no != nil {
		return no
	}
	d.undo = say.New("undo.unplugged", name)
	d.emit(Unplugged{c.Load, at})
	return nil
}

func (c MarkPlugged) decide(d *draft) *Refusal {
	name, at, no := d.fact(c.Load, c.AsOf)
	if no == nil {
		no = d.hasPlug(c.Load, name)
	}
	if no != nil {
		return no
	}
	p := &d.s.Site.Panel
	if !d.s.hasCircuit(c.Circuit) {
		return refuse(RuleUnknown, "line.no-circuit")
	}
	if is, was := p.CircuitV(c.Circuit), p.CircuitV(p.Loads[c.Load].Circuit); is != was {
		return refuse(RuleValue, "line.other-volts", say.Circuit(p.Circuits[c.Circuit].Name), say.Volts(is), name, say.Volts(was))
	}
	d.emit(PluggedIn{c.Load, c.Circuit, at}) // no undo moves a plug
	return nil
}

func (d *draft) hasPlug(load int, name say.Load) *Refusal {
	if d.s.Site.Panel.Loads[load].HardWired {
		return refuse(RuleValue, "line.no-plug", name)
	}
	return nil
}

func (c MarkPowerLost) decide(d *draft) *Refusal {
	says, at, no := d.supply(c.Circuit, c.Everywhere, c.AsOf)
	if no != nil {
		return no
	}
	d.undo = say.New("undo.power-lost", says)
	d.emit(PowerLost{c.Circuit, c.Everywhere, at})
	return nil
}

func (c MarkPowerBack) decide(d *draft) *Refusal {
	says, at, no := d.supply(c.Circuit, c.Everywhere, c.AsOf)
	if no != nil {
		return no
	}
	d.undo = say.New("undo.power-back", says)
	d.emit(PowerBack{c.Circuit, c.Everywhere, at})
	return nil
}

// supply names what lost its power or has it back.
func (d *draft) supply(circuit int, everywhere bool, asOf time.Time) (says say.Sentence, at time.Time, no *Refusal) {
	says = say.New("interlock.everywhere")
	if !everywhere {
		if says, no = d.breaker(circuit, ""); no != nil {
			return says, asOf, no
		}
	}
	at, no = d.asOf(asOf)
	return says, at, no
}

// supplied lists the circuits that a loss of power is about.
func (s *State) supplied(circuit int, everywhere bool) []int {
	if !everywhere {
		return []int{circuit}
	}
	out := make([]int, len(s.Site.Panel.Circuits))
	for i := range out {
		out[i] = i
	}
	return out
}
