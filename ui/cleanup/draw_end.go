package cleanup

import (
	"strconv"
	"strings"

	"shedbell/line"
	"shedbell/line/say"
	"shedbell/ui/screen"
	"shedbell/ui/theme"
)

// drawSow lists what is to be sown now, and what the orders to come need.
func drawSow(env *screen.Env, d *day, p *panel) {
	row := func(role theme.Role, crop, trays, seed, more string) {
		if p.y >= p.r.H {
			return
		}
		line := p.rest()
		line.Sub(0, 0, 14, 1).Put(0, 0, role, crop)
		line.Sub(14, 0, 10, 1).PutRight(9, 0, role, trays)
		line.Sub(24, 0, 11, 1).PutRight(10, 0, role, seed)
		line.Sub(36, 0, max(line.W-36, 0), 1).Put(0, 0, theme.Faint, more)
		p.y++
	}
	t := d.t
	row(theme.Faint, t.Say("cleanup.sow-now"), t.Say("cleanup.trays"), t.Say("cleanup.seed"), t.Say("cleanup.seed-lot"))
	for _, it := range d.s.Sowing {
		if it.Trays == 0 {
			continue
		}
		seed, lot := t.Say("cleanup.not-known"), t.Say("cleanup.not-known")
		if r, ok := d.s.Recipe(it.Crop); ok && r.SeedG > 0 {
			seed = d.t.Weight(r.SeedG * float64(it.Trays))
		}
		if l, ok := d.s.SeedOf(it.Crop); ok {
			lot = l.SeedLot
		}
		row(theme.Text, d.t.Crop(it.Crop), strconv.Itoa(it.Trays), seed, lot)
	}
	needs := d.s.Needs(env.Now)
	if len(needs) > 0 {
		row(theme.Faint, t.Say("cleanup.for-orders"), t.Say("cleanup.trays"), t.Say("cleanup.seed"), t.Say("cleanup.by-and-due"))
	}
	for i := range needs {
		n := &needs[i]
		by := t.Say("cleanup.sow-by", n.SowBy, n.Due)
		switch {
		case n.Late:
			by = t.Say("cleanup.late", by)
		case len(n.Missing) > 0:
			by = t.Say("cleanup.lacks", say.Join(n.Missing, ", "))
		}
		row(theme.Text, t.Crop(n.Crop), strconv.Itoa(n.SowTrays), t.Weight(n.SeedG), by)
	}
	if n := d.s.Trays.Sanitized; d.s.SowLeft() > 0 && d.chore(line.SowTrays) == nil {
		p.put(theme.Text, t.Say("cleanup.clean-wait", n))
	}
}

func drawHandOver(d *day, p *panel) {
	var open []string
	all, _ := d.progress()
	for s := range HandOver {
		if all[s] != Done {
			open = append(open, s.name(d.t))
		}
	}
	if len(open) > 0 {
		p.put(theme.Soon, d.t.Say("cleanup.not-done", strings.Join(open, ", ")))
	}
	p.put(theme.Text, d.t.Say("cleanup.opens-note"))
	if text := d.draft(); text != "" {
		p.put(theme.Faint, d.t.Say("cleanup.begins-with", text))
	}
}
