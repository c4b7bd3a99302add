package line

import (
	"shedbell/line/say"
	"slices"
	"strings"
	"time"
)

// Effect is what a trouble does to its place.
type Effect string

// Effects of a trouble.
const (
	EffectAnnoys Effect = "annoys"     // the work goes on as before
	EffectSlow   Effect = "slow"       // it takes longer there
	EffectOut    Effect = "out of use" // nothing may be put there until it is mended
)

// WholeStation as a place's slot means every slot of the station.
const WholeStation = -1

// ReportTrouble puts something that broke or annoys on the backlog: a dead fan, a
// clogged drain. With EffectOut the place is out of use until it is mended.
type ReportTrouble struct {
	At          Place // slot WholeStation for the whole station; Nowhere for the shed
	What        string
	Effect      Effect
	SlowPercent int // EffectSlow: how much longer a step takes there, 1 to 900
}

// MendTrouble takes a trouble off the backlog and its place back into use.
type MendTrouble struct {
	ID  int64
	How string
}

// TroubleReported is a trouble on the backlog. Its number is its record's.
type TroubleReported struct {
	At          Place
	Where       string // the place's name, as places change with the line file
	What        string
	Effect      Effect
	SlowPercent int `json:",omitempty"`
}

// TroubleMended takes it off.
type TroubleMended struct {
	ID  int64
	How string `json:",omitempty"`
}

// Trouble is an open item of the backlog.
type Trouble struct {
	ID          int64
	Since       time.Time
	By          string
	At          Place
	Where       string
	What        string
	Effect      Effect
	SlowPercent int
}

// mostTroubles bounds the backlog: nobody works through more.
const mostTroubles = 200

func (c ReportTrouble) decide(d *draft) *Refusal {
	e := TroubleReported{At: c.At, Where: "the shed", What: strings.TrimSpace(c.What), Effect: c.Effect, SlowPercent: c.SlowPercent}
	slots, no := d.troubleSlots(c.At)
	if no == nil {
		no = d.troubleFits(&e, slots)
	}
	if no != nil {
		return no
	}
	if len(slots) > 0 {
		e.Where = d.s.PlaceName(slots[0])
		if c.At.Slot == WholeStation {
			e.Where = d.s.Site.Stations[c.At.Station].Name
		}
	}
	d.emit(e)
	for _, p := range slots {
		if c.Effect == EffectOut && !d.s.IsBroken(p) {
			d.breaks(p, e.What)
		}
	}
	if c.Effect == EffectSlow {
		d.slow(slots, 1+float64(c.SlowPercent)/100)
	}
	d.undo = say.New("undo.trouble", e.Place())
	return nil
}

// slow gives the countdowns that run in slots what is left of them times a factor.
func (d *draft) slow(slots []Place, factor float64) {
	for _, p := range slots {
		b, _ := d.s.Occupant(p)
		if b == nil || b.Step.Progress != Running || b.Step.Planned == 0 {
			continue
		}
		left := b.Step.Left(d.now)
		by := time.Duration(float64(left) * (factor - 1)).Round(time.Second)
		if by = min(by, MaxCountdown-b.Step.Planned); left > 0 && by != 0 {
			d.emit(StepAdjusted{At: p, By: by})
		}
	}
}

// breaks takes a slot out of use. What runs there is held, with its machine off.
func (d *draft) breaks(p Place, why string) {
	if step := d.s.StepAt(p); step != nil && !step.ByHand && (step.Progress == Running || step.Progress == Interrupted) {
		d.emit(StepHeld{At: p})
	}
	d.emit(SlotBroken{At: p, Why: why})
}

// troubleFits checks what somebody says about a trouble.
func (d *draft) troubleFits(e *TroubleReported, slots []Place) *Refusal {
	switch {
	case e.What == "" || unfit(e.What):
		return refuse(RuleValue, "line.trouble-what")
	case len(d.s.Backlog) >= mostTroubles:
		return refuse(RuleValue, "line.backlog-full", mostTroubles)
	case e.Effect == EffectSlow && (e.SlowPercent < 1 || e.SlowPercent > 900):
		return refuse(RuleValue, "line.slower-by", e.SlowPercent)
	case e.Effect != EffectSlow && e.SlowPercent != 0:
		return refuse(RuleValue, "line.not-slow")
	case e.Effect == EffectOut && len(slots) == 0:
		return refuse(RuleValue, "line.out-of-use-where")
	case e.Effect != EffectSlow && e.Effect != EffectOut && e.Effect != EffectAnnoys:
		return refuse(RuleValue, "line.effects", EffectAnnoys, EffectSlow, EffectOut)
	}
	return nil
}

// troubleSlots are the slots that a place of a trouble stands for.
func (d *draft) troubleSlots(at Place) ([]Place, *Refusal) {
	if at == Nowhere {
		return nil, nil
	}
	whole := at.Slot == WholeStation
	if whole {
		at.Slot = 0
	}
	if !d.s.valid(at) {
		return nil, refuse(RuleUnknown, "line.no-place")
	}
	if !whole {
		return []Place{at}, nil
	}
	var out []Place
	for slot := range d.s.Site.Stations[at.Station].Slots {
		out = append(out, Place{at.Station, slot})
	}
	return out, nil
}

func (c MendTrouble) decide(d *draft) *Refusal {
	i := slices.IndexFunc(d.s.Backlog, func(t Trouble) bool { return t.ID == c.ID })
	if i < 0 {
		return refuse(RuleNothing, "line.not-on-backlog")
	}
	if unfit(c.How) {
		return refuse(RuleValue, "line.mended-how")
	}
	t := d.s.Backlog[i]
	d.undo = say.New("undo.mend-trouble", t.What)
	d.emit(TroubleMended{ID: t.ID, How: strings.TrimSpace(c.How)})
	if slots, no := d.troubleSlots(t.At); no == nil && t.Effect == EffectSlow {
		d.slow(slots, 100/float64(100+t.SlowPercent))
	}
	for _, p := range d.s.Broken {
		if t.holds(p) && !d.s.outBesides(t.ID, p) {
			d.emit(SlotMended{At: p})
		}
	}
	return nil
}

// holds says whether a trouble keeps a slot out of use.
func (t *Trouble) holds(p Place) bool { return t.Effect == EffectOut && t.covers(p) }

func (t *Trouble) covers(p Place) bool {
	return t.At.Station == p.Station && (t.At.Slot == p.Slot || t.At.Slot == WholeStation)
}

// outBesides says whether another trouble keeps a slot out of use.
func (s *State) outBesides(id int64, p Place) bool {
	return slices.ContainsFunc(s.Backlog, func(t Trouble) bool { return t.ID != id && t.holds(p) })
}

// mendedBy takes the troubles off that kept nothing but this slot out of use.
func (d *draft) mendedBy(at Place) {
	for i := range d.s.Backlog {
		if t := &d.s.Backlog[i]; t.Effect == EffectOut && t.At == at {
			d.emit(TroubleMended{ID: t.ID})
		}
	}
}

func (e TroubleReported) apply(s *State, r Record) {
	s.Backlog = append(slices.Clone(s.Backlog), Trouble{ID: r.Seq, Since: r.At, By: r.By,
		At: e.At, Where: e.Where, What: e.What, Effect: e.Effect, SlowPercent: e.SlowPercent})
}

func (e TroubleMended) apply(s *State, _ Record) {
	s.Backlog = slices.DeleteFunc(slices.Clone(s.Backlog), func(t Trouble) bool { return t.ID == e.ID })
}

// relayBacklog finds the places of the backlog by name in a changed line file and
// keeps those out of use that were.
func (s *State) relayBacklog() {
	backlog := slices.Clone(s.Backlog)
	for i := range backlog {
		t := &backlog[i]
		whole := t.At.Slot == WholeStation && t.At != Nowhere
		t.At = Nowhere
		for st := range s.Site.Stations {
			if whole && s.Site.Stations[st].Name == t.Where {
				t.At = Place{st, WholeStation}
			}
			for slot := range s.Site.Stations[st].Slots {
				p := Place{st, slot}
				if !whole && s.Site.PlaceName(p) == t.Where {
					t.At = p
				}
				if t.At != Nowhere && t.holds(p) && !s.IsBroken(p) {
					s.Broken = append(s.Broken, p)
				}
			}
		}
	}
	s.Backlog = backlog
}

// Says is the word for it.
func (e Effect) Says() say.Sentence { return say.New(effectIDs[e]) }

var effectIDs = map[Effect]string{EffectAnnoys: "effect.annoys", EffectSlow: "effect.slow", EffectOut: "effect.out"}

// Place is what the place of the trouble is called.
func (e TroubleReported) Place() say.Sentence { return troublePlace(e.At, e.Where) }

func troublePlace(at Place, where string) say.Sentence {
	if at == Nowhere {
		return say.New("line.the-shed")
	}
	return say.Of(say.Station(where))
}
