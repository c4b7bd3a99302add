package board

import (
	"fmt"
	"slices"
	"strings"

	"shedbell/line"
	"shedbell/ui/canvas"
	"shedbell/ui/screen"
	"shedbell/ui/theme"
	"shedbell/ui/words"
)

// drawStations draws the stations as cards in the order of the flow: greens from
// left to right in the upper row, trays and surfaces in the lower one.
func (b *Board) drawStations(env *screen.Env, r canvas.Region, l Layout) {
	var greens, chores []int
	for i := range env.State.Site.Stations {
		if env.State.Site.Stations[i].Kind.ForGreens() {
			greens = append(greens, i)
		} else {
			chores = append(chores, i)
		}
	}
	upper := r.H
	if len(chores) > 0 {
		upper = max(r.H-lowerRows(r.H), 4)
	}
	b.drawRow(env, r.Rows(0, upper), greens)
	b.drawRow(env, r.Rows(upper, r.H-upper), chores)
}

func lowerRows(h int) int {
	if h >= 14 {
		return 5
	}
	return 3
}

// drawRow shares the width out: a station with several slots gets twice the room.
func (b *Board) drawRow(env *screen.Env, r canvas.Region, stations []int) {
	shares := 0
	for _, i := range stations {
		shares += share(env.State, i)
	}
	if shares == 0 {
		return
	}
	x, given := 0, 0
	for _, i := range stations {
		given += share(env.State, i)
		next := given * r.W / shares
		b.drawCard(env, r.Sub(x+1, 0, next-x-2, r.H), i)
		x = next
	}
}

func share(s *line.State, station int) int {
	st := &s.Site.Stations[station]
	if st.Slots > 1 && st.Kind != line.Chill {
		return 3
	}
	return 2
}

func (b *Board) drawCard(env *screen.Env, r canvas.Region, station int) {
	st := &env.State.Site.Stations[station]
	role := theme.Strong
	if env.Focus.Set && env.Focus.Place.Station == station {
		role = theme.Chosen
	}
	title := env.Words.Station(st.Name)
	if canvas.Width(title)+2 > r.W {
		title = env.Words.Kind(st.Kind) // "4 dry" reads better than "4 drying ra~"
	}
	r.Put(0, 0, role, fmt.Sprintf("%d %s", station+1, title))
	body := r.Rows(1, r.H-1)
	switch {
	case st.Kind == line.Chill:
		drawCold(env, body)
	case !st.Kind.ForGreens() && env.State.StepAt(line.Place{Station: station}) == nil:
		drawWaitingTrays(env, body, st.Kind)
	case st.Slots > 1:
		drawSlots(env, body, station)
	default:
		drawSlot(env, body, line.Place{Station: station})
	}
}

// drawSlot draws the one slot of a station over several rows.
func drawSlot(env *screen.Env, r canvas.Region, p line.Place) {
	w := env.SlotAt(p)
	if w.What == "" {
		r.Put(0, 0, theme.Faint, env.Words.Slot(w))
		if n := waitingFor(env, p.Station); n != "" {
			r.Put(0, 1, theme.Faint, n)
		}
		return
	}
	r.Put(0, 0, theme.Strong, w.What)
	y := 1
	if text := env.Words.Slot(w); canvas.Width(text) <= r.W {
		r.Put(0, y, slotRole(env, p, w), text)
	} else { // a word and its clock, one under the other
		word, clock, _ := cutLast(text)
		r.Put(0, y, slotRole(env, p, w), word)
		y++
		r.Put(0, y, slotRole(env, p, w), clock)
	}
	if y++; y >= r.H {
		return
	}
	if w.Timed {
		canvas.CountBar(r.Rows(y, 1), w.Done, slotRole(env, p, w))
		drawClock(r.Rows(y+2, r.H-y-2), w, slotRole(env, p, w))
	} else if w.Trays > 0 {
		r.Put(0, y, theme.Faint, env.Words.Trays(w.Trays))
	}
}

// drawClock draws a countdown in large digits where a card has room for them.
func drawClock(r canvas.Region, w words.Slot, role theme.Role) {
	digits := words.Left(w.Time)
	if scale := canvas.LargestScale(digits, r.W, r.H-1); w.State == words.Running && scale > 0 {
		canvas.Digits(r, digits, min(scale, 2), role)
	}
}

// cutLast cuts a text at its last space.
func cutLast(text string) (before, after string, found bool) {
	if i := strings.LastIndexByte(text, ' '); i >= 0 {
		return text[:i], text[i+1:], true
	}
	return text, "", false
}

// drawSlots draws a station with several slots, a row each.
func drawSlots(env *screen.Env, r canvas.Region, station int) {
	slots := env.State.Site.Stations[station].Slots
	for slot := range slots {
		if slot == r.H-1 && slots > r.H {
			r.Put(0, slot, theme.Faint, env.Words.Say("board.more", slots-slot))
			return
		}
		p := line.Place{Station: station, Slot: slot}
		w := env.SlotAt(p)
		role := slotRole(env, p, w)
		letter := theme.Faint
		if env.Focus.Set && env.Focus.Place == p {
			letter = theme.Chosen
		}
		r.Put(0, slot, letter, line.SlotLetter(slot))
		if w.What == "" {
			r.Put(2, slot, theme.Faint, env.Words.Slot(w))
			continue
		}
		short := env.Words.SlotShort(w)
		r.PutRight(r.W, slot, role, short)
		r.Sub(2, slot, r.W-3-canvas.Width(short), 1).Put(0, 0, theme.Text, w.What)
	}
}

func slotRole(env *screen.Env, p line.Place, w words.Slot) theme.Role {
	switch w.State {
	case words.Due, words.Ask:
		return theme.Soon
	case words.WaitsWet:
		if b, _ := env.State.Occupant(p); b != nil {
			if r, ok := env.State.Recipe(b.Crop); ok && w.Time > r.MaxWetWait {
				return theme.Urgent
			}
		}
		return theme.Soon
	case words.Running:
		if k := env.State.Site.Stations[p.Station].Kind; k == line.Dry {
			return theme.Dried
		}
		return theme.Wet
	}
	return theme.Text
}

// waitingFor says what stands before an empty station.
func waitingFor(env *screen.Env, station int) string {
	s := env.State
	if s.Site.Stations[station].Kind != line.Cut {
		return ""
	}
	trays := 0
	for i := range s.Batches {
		if s.Batches[i].Fate == line.Waiting {
			trays += s.Batches[i].Trays
		}
	}
	if trays == 0 {
		return ""
	}
	return env.Words.Say("board.to-cut", trays)
}

func drawCold(env *screen.Env, r canvas.Region) {
	cold, all := coldTrays(env.State)
	r.Put(0, 0, theme.Calm, env.Words.Trays(cold))
	if all > 0 {
		r.Put(0, 1, theme.Faint, env.Words.Say("board.of", all))
	}
	var grams float64
	packages := 0
	for i := range env.State.Batches {
		grams += env.State.Batches[i].NetG
		packages += env.State.Batches[i].Packages
	}
	if packages > 0 && r.H > 3 {
		r.Put(0, 2, theme.Faint, env.Words.Packs(packages))
		r.Put(0, 3, theme.Faint, env.Words.Weight(grams))
	}
}

func drawWaitingTrays(env *screen.Env, r canvas.Region, k line.Kind) {
	t := env.State.Trays
	n, what := 0, "board.waiting"
	switch k {
	case line.TrayWash:
		n = t.Dirty
	case line.Sanitize:
		n = t.Washed
		if n == 0 && !env.State.Clean.IsZero() {
			r.Put(0, 0, theme.Calm, env.Words.Say("board.clean", env.Words.TimeOfDay(env.State.Clean, "")))
			return
		}
	case line.Sow:
		n, what = env.State.SowLeft(), "board.to-sow"
	}
	if n == 0 {
		r.Put(0, 0, theme.Faint, env.Words.Say("slot.free"))
		return
	}
	r.Put(0, 0, theme.Text, env.Words.Say(what, n))
}

// drawList is the stations where there is no room for cards: the countdowns with
// the nearest first, then what is done by hand or waits.
func (b *Board) drawList(env *screen.Env, r canvas.Region) {
	var rows []line.Place
	for i := range env.State.Site.Stations {
		rows = append(rows, occupied(env.State, i)...)
	}
	slices.SortStableFunc(rows, func(x, y line.Place) int { return urgency(env, x) - urgency(env, y) })
	for y, p := range rows {
		if y == r.H-1 && len(rows) > r.H {
			r.Put(1, y, theme.Faint, env.Words.Say("board.more", len(rows)-y))
			return
		}
		w := env.SlotAt(p)
		role := theme.Text
		if env.Focus.Set && env.Focus.Place == p {
			role = theme.Chosen
		}
		text := env.Words.Slot(w)
		r.PutRight(r.W-1, y, slotRole(env, p, w), text)
		r.Sub(1, y, r.W-3-canvas.Width(text), 1).Put(0, 0, role, fmt.Sprintf("%d %s  %s", p.Station+1, env.Words.Place(env.State, p), w.What))
	}
	if len(rows) == 0 {
		r.Put(1, 0, theme.Faint, env.Words.Say("board.nothing"))
	}
}

// urgency sorts slots: seconds left where a countdown runs, far behind otherwise.
func urgency(env *screen.Env, p line.Place) int {
	w := env.SlotAt(p)
	if w.Timed {
		return int(w.Time.Seconds())
	}
	if w.State == words.WaitsWet || w.State == words.Ask {
		return -int(w.Time.Seconds())
	}
	return 1 << 20
}
