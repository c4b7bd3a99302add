package power

import (
	"fmt"
	"slices"
	"strings"
	"time"
)

// Judge answers whether the load may start at the asked setting at the instant
// now. For a load that is already on, the setting's current replaces the old.
func (p *Panel) Judge(s State, q Ask, now time.Time) Verdict {
	v, rules := p.weigh(s, q, now)
	if v.Allowed {
		return v
	}
	if !rules.unknown {
		v.SwitchOff = p.switchOff(s, q, now)
		v.Earliest, v.Confirm = p.earliest(s, q, now)
	}
	p.explain(&v, rules, s, q, now)
	return v
}

// bites says which rules refuse the start.
type bites struct{ rating, alone, unknown bool }

// weigh applies the rules without words or ways out.
func (p *Panel) weigh(s State, q Ask, now time.Time) (Verdict, bites) {
	l := &p.Loads[q.Load]
	c := &p.Circuits[l.Circuit]
	asked := l.Settings[q.Setting].AmpsA
	was := p.countedA(s, q.Load, now)
	will := asked
	if l.Cycles && !s.Loads[q.Load].DeclaredOff {
		will = max(will, l.WorstA())
	}
	v := Verdict{Circuit: c.Name, AmpsNow: p.Amps(s, l.Circuit, now), LimitA: c.RatingA}
	v.AmpsAfter = v.AmpsNow - was + will
	var b bites
	b.unknown = asked <= 0
	b.rating = v.AmpsAfter > c.RatingA+slackA && v.AmpsAfter > v.AmpsNow+slackA
	if !s.Drawing(p, q.Load, now) {
		b.alone = p.aloneConflict(s, q.Load, now)
	}
	v.Allowed = !b.unknown && !b.rating && !b.alone
	return v, b
}

// aloneConflict says whether a start would put a load that runs alone together
// with something else.
func (p *Panel) aloneConflict(s State, load int, now time.Time) bool {
	l := &p.Loads[load]
	for i := range p.Loads {
		o := &p.Loads[i]
		if i == load || !s.Drawing(p, i, now) {
			continue
		}
		if l.Alone && !o.StaysOn || o.Alone && !l.StaysOn && !l.Cycles {
			return true
		}
	}
	return false
}

// switchOff finds the smallest set of loads whose switching off lets the load
// start, the first in name order among equals; nil when nothing helps.
func (p *Panel) switchOff(s State, q Ask, now time.Time) []int {
	var can []int
	for i := range p.Loads {
		if i != q.Load && !p.Loads[i].StaysOn && !s.Loads[i].Spoils && s.Drawing(p, i, now) {
			can = append(can, i)
		}
	}
	slices.SortFunc(can, func(a, b int) int { return strings.Compare(p.Loads[a].Name, p.Loads[b].Name) })
	for size := 1; size <= len(can); size++ {
		if set := p.tryOff(s, q, now, can, size); set != nil {
			return set
		}
	}
	return nil
}

func (p *Panel) tryOff(s State, q Ask, now time.Time, can []int, size int) []int {
	if size == 0 {
		if v, _ := p.weigh(s, q, now); v.Allowed {
			return []int{}
		}
		return nil
	}
	for k := 0; k+size <= len(can); k++ {
		rest := p.tryOff(s.Switched(p, can[k], Status{}, now), q, now, can[k+1:], size-1)
		if rest != nil {
			return append([]int{can[k]}, rest...)
		}
	}
	return nil
}

// earliest is the first instant at which the start fits when every running
// countdown ends in a confirmed switching off, with the loads that somebody has
// to confirm by then.
func (p *Panel) earliest(s State, q Ask, now time.Time) (time.Time, []int) {
	var ends []time.Time
	for i := range p.Loads {
		if u := s.Loads[i].Until; s.Drawing(p, i, now) && !u.IsZero() && i != q.Load {
			if u.Before(now) {
				u = now
			}
			ends = append(ends, u)
		}
	}
	slices.SortFunc(ends, time.Time.Compare)
	for _, t := range ends {
		off := s
		var confirm []int
		for i := range p.Loads {
			u := s.Loads[i].Until
			if i == q.Load || !s.Drawing(p, i, now) || u.IsZero() || u.After(t) {
				continue
			}
			off = off.Switched(p, i, Status{}, t)
			if !p.Loads[i].SelfOff {
				confirm = append(confirm, i)
			}
		}
		if v, _ := p.weigh(off, q, t); v.Allowed {
			return t, confirm
		}
	}
	return time.Time{}, nil
}

// explain puts the refusal into words.
func (p *Panel) explain(v *Verdict, b bites, s State, q Ask, now time.Time) {
	l := &p.Loads[q.Load]
	if b.unknown {
		v.Reasons = append(v.Reasons, Reason{RuleUnknown,
			fmt.Sprintf("%s has no amps at %q. Read its nameplate and enter them.", l.Name, l.Settings[q.Setting].Name)})
	}
	out := p.wayOut(v, now)
	if b.rating {
		v.Reasons = append(v.Reasons, Reason{RuleRating, fmt.Sprintf("%q would carry %.1f of %.4g A: %.1f A now plus %.1f A.%s",
			v.Circuit, v.AmpsAfter, v.LimitA, v.AmpsNow, v.AmpsAfter-v.AmpsNow, out)})
	}
	if b.alone {
		v.Reasons = append(v.Reasons, Reason{RuleAlone, fmt.Sprintf("%s%s", p.aloneText(s, q.Load, now), out)})
	}
}

func (p *Panel) aloneText(s State, load int, now time.Time) string {
	l := &p.Loads[load]
	if !l.Alone {
		for i := range p.Loads {
			if p.Loads[i].Alone && s.Drawing(p, i, now) {
				return fmt.Sprintf("%s runs alone and is on.", p.Loads[i].Name)
			}
		}
	}
	var on []int
	for i := range p.Loads {
		if i != load && s.Drawing(p, i, now) && (!p.Loads[i].StaysOn || p.Loads[i].Alone) {
			on = append(on, i)
		}
	}
	return fmt.Sprintf("%s runs alone. On now: %s.", l.Name, p.names(on))
}

// wayOut says what to switch off and when the start fits by itself.
func (p *Panel) wayOut(v *Verdict, now time.Time) string {
	var b strings.Builder
	if len(v.SwitchOff) > 0 {
		b.WriteString(" Switch off " + p.names(v.SwitchOff))
	}
	wait := ""
	switch {
	case v.Earliest.IsZero():
	case !v.Earliest.After(now):
		wait = "confirm that " + p.names(v.Confirm) + " is off"
	default:
		wait = "wait until " + v.Earliest.Format("15:04")
	}
	switch {
	case wait == "":
	case b.Len() > 0:
		b.WriteString(", or " + wait)
	default:
		b.WriteString(" " + strings.ToUpper(wait[:1]) + wait[1:])
	}
	if b.Len() == 0 {
		return " Nothing that may be switched off makes room."
	}
	return b.String() + "."
}

// names joins load names as a person would say them.
func (p *Panel) names(loads []int) string {
	var b strings.Builder
	for k, i := range loads {
		switch {
		case k > 0 && k == len(loads)-1:
			b.WriteString(" and ")
		case k > 0:
			b.WriteString(", ")
		}
		b.WriteString(p.Loads[i].Name)
	}
	return b.String()
}
