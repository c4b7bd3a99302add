package plan

import (
	"slices"

	"shedbell/line"
)

// fits says whether a crop may be washed in a tub's water.
func (m *Model) fits(t *tub, crop string) bool {
	if t.limit > 0 && t.batches >= t.limit {
		return false
	}
	return !slices.ContainsFunc(t.crops, func(c string) bool { return m.state.Sheet.KeptApart(c, crop) })
}

// freshWater chooses the tub for a batch that is still to be washed, and has its
// water changed first where none fits.
func (p *placer) freshWater(j int) {
	jb := &p.m.jobs[j]
	for k := range jb.stages {
		st := &jb.stages[k]
		if st.kind != line.Wash || jb.batch == 0 || st.first() == none {
			continue
		}
		if st.at != line.Nowhere {
			return // its water was checked when it was put in
		}
		best := none
		_, planned := p.changed[jb.batch]
		for _, i := range st.stations {
			if planned || !p.m.fits(&p.tubs[i], jb.crop) {
				continue
			}
			if best == none || len(p.slots[i].use) < len(p.slots[best].use) {
				best = i
			}
		}
		if best == none {
			for _, i := range st.stations {
				if best == none || len(p.slots[i].use) < len(p.slots[best].use) {
					best = i
				}
			}
			p.changeWater(best, j)
		}
		p.s.station[j][k] = best
	}
}

// changeWater puts a change of water after the last wash in a tub.
func (p *placer) changeWater(station, job int) {
	t := &p.tubs[station]
	s := max(len(p.slots[station].use), p.last[station], p.changed[p.m.jobs[job].batch].drain)
	var c change
	for {
		s = p.hands.earliest(s, t.drain)
		from := s + t.drain
		refill := p.hands.earliest(max(from+t.run, p.changed[p.m.jobs[job].batch].refill), t.refill)
		c = change{station: station, drain: s, refill: refill, end: refill + t.refill, beforeJob: job}
		load := p.m.site.Stations[station].DrainLoad
		if load == line.NoLoad {
			break
		}
		free := p.ampsFree(load, 0, from, c.end)
		if free == none || free > farAway {
			p.switchOn(load, 0, from, c.end)
			break
		}
		s += max(1, free-from)
	}
	p.hands.add(c.drain, c.drain+t.drain, 1)
	p.hands.add(c.refill, c.end, 1)
	p.slots[station].add(c.drain, c.end, len(p.m.slots[station]))
	p.last[station] = c.end
	t.batches, t.crops = 0, nil
	p.s.changes = append(p.s.changes, c)
}
