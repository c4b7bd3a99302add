package sched

import (
	"errors"
	"fmt"
)

// maxTime bounds every time and weighted sum, so that sums of two stay far
// from the limits of 32 bits.
const maxTime = 1 << 28

// Check reports the first thing in p that makes no sense, such as an index
// out of range or a negative duration. A problem that merely has no solution
// passes.
func (p *Problem) Check() error {
	for r := range p.Resources {
		if err := p.checkResource(r); err != nil {
			return err
		}
	}
	for i := range p.Activities {
		if err := p.checkActivity(i); err != nil {
			return err
		}
	}
	for k, l := range p.Lags {
		if !p.hasPoint(l.From) || !p.hasPoint(l.To) || outOfRange(l.Gap) || !p.hasChoice(l.When) {
			return fmt.Errorf("lag %d: %+v", k, l)
		}
	}
	for k, h := range p.Holds {
		if err := p.checkHold(h); err != nil {
			return fmt.Errorf("hold %d (%s): %w", k, h.Name, err)
		}
	}
	for k, g := range p.Goals {
		for _, t := range g {
			if err := p.checkTerm(t); err != nil {
				return fmt.Errorf("goal %d: %w", k, err)
			}
		}
	}
	if p.Horizon < 0 || outOfRange(p.Horizon) {
		return fmt.Errorf("horizon %d", p.Horizon)
	}
	return nil
}

func outOfRange(t int) bool { return t < -maxTime || t > maxTime }

func (p *Problem) hasPoint(pt Point) bool {
	return pt.Activity >= 0 && pt.Activity < len(p.Activities)
}

func (p *Problem) checkResource(r int) error {
	res := &p.Resources[r]
	if res.Capacity < 0 || res.Capacity > maxTime {
		return fmt.Errorf("resource %d (%s): capacity %d", r, res.Name, res.Capacity)
	}
	for _, b := range res.Blocks {
		if b.From > b.To || b.Units < 0 || outOfRange(b.From) || outOfRange(b.To) {
			return fmt.Errorf("resource %d (%s): block %+v", r, res.Name, b)
		}
	}
	return nil
}

func (p *Problem) hasChoice(c *Choice) bool {
	return c == nil || p.hasPoint(StartOf(c.Activity)) && c.Mode >= 0 && c.Mode < len(p.Activities[c.Activity].Modes)
}

func (p *Problem) checkHold(h Hold) error {
	if !p.hasPoint(h.From) || !p.hasPoint(h.To) {
		return errors.New("no such activity")
	}
	if !p.hasChoice(h.When) {
		return errors.New("no such mode")
	}
	return p.checkDemands(h.Demands)
}

func (p *Problem) checkActivity(i int) error {
	a := &p.Activities[i]
	if len(a.Modes) == 0 {
		return fmt.Errorf("activity %d (%s): no mode", i, a.Name)
	}
	if outOfRange(a.Release) || a.Deadline < 0 || outOfRange(a.Deadline) {
		return fmt.Errorf("activity %d (%s): release %d, deadline %d", i, a.Name, a.Release, a.Deadline)
	}
	if a.Fixed && (a.Start < 0 || outOfRange(a.Start)) {
		return fmt.Errorf("activity %d (%s): fixed at %d", i, a.Name, a.Start)
	}
	for m, mode := range a.Modes {
		if mode.Duration < 0 || outOfRange(mode.Duration) {
			return fmt.Errorf("activity %d (%s) mode %d: duration %d", i, a.Name, m, mode.Duration)
		}
		if err := p.checkDemands(mode.Demands); err != nil {
			return fmt.Errorf("activity %d (%s) mode %d: %w", i, a.Name, m, err)
		}
	}
	return nil
}

func (p *Problem) checkDemands(ds []Demand) error {
	for _, d := range ds {
		if d.Resource < 0 || d.Resource >= len(p.Resources) {
			return fmt.Errorf("demand on resource %d: no such resource", d.Resource)
		}
		if d.Units < 0 || d.Units > maxTime {
			return fmt.Errorf("demand of %d units of %s", d.Units, p.Resources[d.Resource].Name)
		}
	}
	return nil
}

func (p *Problem) checkTerm(t Term) error {
	if t.Weight < 0 || t.Weight > maxTime {
		return fmt.Errorf("weight %d", t.Weight)
	}
	if t.Kind == Makespan {
		return nil
	}
	if t.Kind < Makespan || t.Kind > ModeCost || t.Activity < 0 || t.Activity >= len(p.Activities) || outOfRange(t.Due) {
		return fmt.Errorf("term %+v", t)
	}
	if t.Kind == Wait && (t.Other < 0 || t.Other >= len(p.Activities)) ||
		t.Kind == ModeCost && (t.Other < 0 || t.Other >= len(p.Activities[t.Activity].Modes)) {
		return fmt.Errorf("term %+v: no such activity or mode", t)
	}
	return nil
}

// goals are the goals with the default made explicit.
func (p *Problem) goals() []Goal {
	if len(p.Goals) == 0 {
		return []Goal{{{Kind: Makespan, Weight: 1}}}
	}
	return p.Goals
}

// horizon is a latest finish that some best schedule keeps: past every block,
// release and fixed start, the activities one after the other, each with its
// longest duration or lag.
func (p *Problem) horizon() int {
	if p.Horizon > 0 {
		return p.Horizon
	}
	base, sum := 0, 0
	longest := make([]int, len(p.Activities))
	for i := range p.Activities {
		a := &p.Activities[i]
		base = max(base, a.Release)
		if a.Fixed {
			base = max(base, a.Start)
		}
		for _, m := range a.Modes {
			longest[i] = max(longest[i], m.Duration)
		}
	}
	reach := append([]int(nil), longest...)
	for _, l := range p.Lags {
		from := l.From.Activity
		d := l.Gap
		if l.From.Finish {
			d += longest[from]
		}
		reach[from] = max(reach[from], d)
	}
	for _, d := range reach {
		sum += d
	}
	for _, r := range p.Resources {
		for _, b := range r.Blocks {
			if b.Units > 0 {
				base = max(base, b.To)
			}
		}
	}
	return min(base+sum, maxTime)
}

// Values measures a schedule in each goal.
func (p *Problem) Values(s Schedule) []int {
	goals := p.goals()
	out := make([]int, len(goals))
	finish := func(i int) int { return s.Start[i] + p.Activities[i].Modes[s.Mode[i]].Duration }
	for k, g := range goals {
		for _, t := range g {
			v := 0
			switch t.Kind {
			case Makespan:
				for i := range p.Activities {
					v = max(v, finish(i))
				}
			case Tardiness:
				v = max(0, finish(t.Activity)-t.Due)
			case Wait:
				v = s.Start[t.Other] - finish(t.Activity)
			case Finish:
				v = finish(t.Activity)
			case ModeCost:
				if s.Mode[t.Activity] == t.Other {
					v = 1
				}
			}
			out[k] += t.Weight * v
		}
	}
	return out
}
