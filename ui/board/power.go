package board

import (
	"strings"

	"shedbell/ui/canvas"
	"shedbell/ui/screen"
	"shedbell/ui/theme"
)

// drawCircuits draws a bar for each circuit; the limit is a post in the bar and
// the room is in words. With two rows a circuit, the second says what is on.
func drawCircuits(env *screen.Env, r canvas.Region) {
	p := &env.State.Site.Panel
	rows := 1
	if r.H >= 2*len(p.Circuits) {
		rows = 2
	}
	nameW := 0
	for i := range p.Circuits {
		nameW = max(nameW, canvas.Width(env.Words.Circuit(p.Circuits[i].Name)))
	}
	nameW = min(nameW, max(8, r.W/5))
	for c := range p.Circuits {
		y := c * rows
		if y == r.H-1 && c < len(p.Circuits)-1 {
			r.Put(1, y, theme.Faint, env.Words.Say("board.more-circuits", len(p.Circuits)-c))
			return
		}
		drawCircuit(env, r.Rows(y, rows), c, nameW)
	}
}

func drawCircuit(env *screen.Env, r canvas.Region, c, nameW int) {
	p := &env.State.Site.Panel
	limit := p.LimitA(c)
	running, kept := p.Running(env.State.Power, c, env.Now), p.Reserved(env.State.Power, c, env.Now)
	start := max(0, p.Starting(env.State.Power, c, env.Now))
	r.Sub(1, 0, nameW, 1).Put(0, 0, theme.Text, env.Words.Circuit(p.Circuits[c].Name))
	figures := env.Words.Say("board.amps", running+kept, limit)
	room := env.Words.Say("board.room", max(0, limit-running-kept))
	switch {
	case start > 0.05:
		room = env.Words.Say("board.starting", running+kept+start)
	case kept > 0:
		room = env.Words.Say("board.kept", kept)
	}
	role := theme.Text
	if env.State.Power.Open(c) {
		figures, room, role = env.Words.Say("board.tripped"), env.Words.Say("board.reset"), theme.Urgent
	}
	textW := 15 + 11
	barW := min(r.W-nameW-textW-4, 60)
	if barW >= 8 {
		canvas.AmpsBar(r.Sub(nameW+2, 0, barW, 1), canvas.Amps{Running: running, Kept: kept, Start: start, Limit: limit})
	} else {
		barW = 0
	}
	x := nameW + 2 + barW + 1
	r.Sub(x, 0, 15, 1).PutRight(15, 0, role, figures)
	r.Put(x+17, 0, theme.Faint, room)
	if on := loadsOn(env, c); on != "" {
		if r.H > 1 {
			r.Put(nameW+2, 1, theme.Faint, on)
		} else if at := x + 17 + 12; r.W-at > 12 {
			r.Put(at, 0, theme.Faint, on)
		}
	}
}

// loadsOn lists what draws on a circuit.
func loadsOn(env *screen.Env, c int) string {
	p := &env.State.Site.Panel
	var on []string
	for i := range p.Loads {
		if p.Loads[i].Circuit != c || !env.State.Power.Drawing(p, i, env.Now) {
			continue
		}
		name := env.Words.Load(p.Loads[i].Name)
		if len(p.Loads[i].Settings) > 1 {
			name += " " + p.Loads[i].Settings[env.State.Power.Loads[i].Setting].Name
		}
		if env.State.Power.Loads[i].InDoubt {
			name += "?"
		}
		on = append(on, name)
	}
	if len(on) == 0 {
		return ""
	}
	return env.Words.Say("board.on", strings.Join(on, ", "))
}
