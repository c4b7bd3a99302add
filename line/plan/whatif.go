package plan

import (
	"context"
	"slices"
	"time"

	"shedbell/line"
	"shedbell/line/say"
	"shedbell/power"
)

// variant is the same day with one more of something.
type variant struct {
	what  say.Sentence
	state *line.State
}

// askAll plans the rest of the day with one more of each thing that a grower could
// get, and says how much earlier it would end.
func askAll(ctx context.Context, s *line.State, now time.Time, p *Plan, opt Options) []Saving {
	var out []Saving
	for _, v := range variants(s) {
		if ctx.Err() != nil {
			break
		}
		finish, bound, err := ask(ctx, v.state, now, p, opt)
		if err != nil {
			continue
		}
		if finish.After(p.Finish) {
			finish = p.Finish // what there is now would still do
		}
		out = append(out, Saving{What: v.what, Finish: finish, Saves: p.Finish.Sub(finish),
			Least: max(0, p.LowerBound.Sub(finish)), Most: max(0, p.Finish.Sub(bound))})
	}
	return out
}

func ask(ctx context.Context, s *line.State, now time.Time, p *Plan, opt Options) (finish, bound time.Time, err error) {
	part, cancel := context.WithTimeout(ctx, opt.WhatIf)
	defer cancel()
	opt.Previous, opt.OnBetter = nil, nil
	h, err := begin(part, s, now, opt)
	if err != nil {
		return time.Time{}, time.Time{}, err
	}
	h.ends = true
	h.run(part, opt.WhatIf)
	return h.m.instant(h.best.values.finish), h.m.instant(min(h.bound, h.best.values.finish)), nil
}

func variants(s *line.State) []variant {
	hand := *s
	hand.Crew = append(slices.Clone(s.Crew), "one more")
	out := []variant{{say.New("plan-why.one-more-pair-hands"), &hand}}
	for _, q := range []struct {
		kind line.Kind
		what func(station string) say.Sentence
	}{
		{line.Cut, func(name string) say.Sentence { return say.New("plan-why.one-more-place", name) }},
		{line.Wash, func(name string) say.Sentence { return say.New("plan-why.one-more-place-2", name) }},
		{line.Spin, func(name string) say.Sentence { return say.New("plan-why.one-more-basket", name) }},
		{line.Dry, func(name string) say.Sentence { return say.New("plan-why.one-more-shelf", name) }},
		{line.Pack, func(name string) say.Sentence { return say.New("plan-why.one-more-place", name) }},
	} {
		for _, i := range s.Site.StationsOf(q.kind) {
			c := withSite(s)
			c.Site.Stations[i].Slots++
			out = append(out, variant{q.what(s.Site.Stations[i].Name), c})
		}
	}
	if v, ok := ownCircuit(s); ok {
		out = append(out, v)
	}
	return out
}

// withSite is the state with a line of its own to change.
func withSite(s *line.State) *line.State {
	c, site := *s, *s.Site
	site.Stations = slices.Clone(site.Stations)
	site.Panel.Circuits = slices.Clone(site.Panel.Circuits)
	site.Panel.Loads = slices.Clone(site.Panel.Loads)
	c.Site = &site
	return &c
}

// ownCircuit gives the load that needs most room a 20 A circuit of its own: one
// that runs alone, which it then need not, or else the hungriest of the stations'.
func ownCircuit(s *line.State) (variant, bool) {
	const newA = 20
	pick, most := none, 0.0
	for i := range s.Site.Stations {
		load := s.Site.Stations[i].Load
		if load == line.NoLoad {
			continue
		}
		a := s.Site.Panel.Loads[load].WorstA()
		if s.Site.Panel.Loads[load].Alone {
			a += 1000
		}
		if a > most {
			pick, most = load, a
		}
	}
	if pick == none {
		return variant{}, false
	}
	c := withSite(s)
	p := &c.Site.Panel
	p.Circuits = append(p.Circuits, power.Circuit{Name: "a new one", RatingA: newA})
	p.Loads[pick].Circuit, p.Loads[pick].Alone = len(p.Circuits)-1, false
	if s.Power.OpenCircuits != nil {
		c.Power.OpenCircuits = append(slices.Clone(s.Power.OpenCircuits), false)
	}
	c.Power.Heat = nil
	return variant{say.New("plan-why.circuit-own", p.Loads[pick].Name), c}, true
}
