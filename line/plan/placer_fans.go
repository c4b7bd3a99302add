package plan

import (
	"slices"

	"shedbell/line"
)

// chooseFan picks the setting for a stay on a rack that begins at an instant: that
// of greens who dry there then or soon after, or else the one preferred.
func (p *placer) chooseFan(j, k, begin int) int {
	m := p.m
	station := p.s.station[j][k]
	load := m.site.Stations[station].Load
	if load == line.NoLoad {
		return 0
	}
	set := m.ownFan(j, station)
	if p.prefer != nil && slices.Contains(m.fans[load], p.prefer[j]) {
		set = p.prefer[j]
	}
	at := p.banks[load]
	for t := begin; t < min(len(at), begin+m.jobs[j].stages[k].runAt[fanAt{load, set}]); t++ {
		if other := int(at[t]) - 1; other >= 0 {
			if slices.Contains(m.fans[load], other) {
				set = other
			}
			break
		}
	}
	return set
}

// fansClash is the first instant of [from, to) at which a bank runs at another
// setting, or none.
func (p *placer) fansClash(load, setting, from, to int) int {
	at := p.banks[load]
	for t := from; t < min(to, len(at)); t++ {
		if at[t] != 0 && int(at[t]) != setting+1 {
			return t
		}
	}
	return none
}

// keepFans notes at which setting a bank runs in [from, to).
func (p *placer) keepFans(load, setting, from, to int) {
	at := p.banks[load]
	for len(at) < to {
		at = append(at, 0)
	}
	for t := from; t < to; t++ {
		at[t] = uint8(setting + 1)
	}
	p.banks[load] = at
}
