package pages

import (
	"fmt"
	"strconv"

	"shedbell/line"
	"shedbell/ui/canvas"
	"shedbell/ui/screen"
	"shedbell/ui/theme"
	"shedbell/ui/words"
)

// From this width on, the details are beside the list instead of under it.
const (
	stationBesideFrom  = 110
	stationDetailsRows = 9
	stationListMax     = 66 // further apart, a row's name and its clock no longer read as one
)

// Draw draws the list of slots and what there is to know about the chosen one. A
// question takes the place of the details.
func (s *Station) Draw(env *screen.Env, r canvas.Region) {
	n := min(max(s.station, 0), len(env.State.Site.Stations)-1)
	if n != s.station {
		(&Station{station: n}).Draw(env, r)
		return
	}
	st := &env.State.Site.Stations[n]
	body := screen.Page(env, r, fmt.Sprintf("%s   %d %s", env.State.Site.Name, n+1, env.Words.Station(st.Name)), s.summary(env), s.Actions(env))
	items := s.items(env)
	list, details := body, body
	if body.W >= stationBesideFrom {
		w := min(body.W/2, stationListMax)
		list, details = body.Cols(0, w-2), body.Cols(w, body.W-w)
	} else {
		rows := min(len(items), max(body.H-stationDetailsRows-1, min(3, body.H/2)))
		list = body.Rows(0, rows)
		if rows > 0 && body.H > rows+2 {
			body.Rule(rows)
			rows++
		}
		details = body.Rows(rows, body.H-rows)
	}
	if len(items) == 0 {
		list.Put(1, 0, theme.Faint, env.Words.Say("station.nothing"))
	}
	s.drawList(env, list, items)
	if s.asks != nil {
		s.asks.form.Draw(env, details)
		return
	}
	if s.listing {
		s.drawFacts(env, details)
		return
	}
	if len(items) > 0 {
		drawDetails(env, details, items[s.marked(items)])
	}
}

// summary is the station as a whole.
func (s *Station) summary(env *screen.Env) string {
	st := &env.State.Site.Stations[s.station]
	if st.Kind == line.Chill || st.Slots < 2 {
		return ""
	}
	free := 0
	for slot := range st.Slots {
		p := line.Place{Station: s.station, Slot: slot}
		if env.State.StepAt(p) == nil && !env.State.IsBroken(p) {
			free++
		}
	}
	return env.Words.Say("station.free", free, st.Slots)
}

func (s *Station) drawList(env *screen.Env, r canvas.Region, items []stationItem) {
	row := s.marked(items)
	first := 0
	if len(items) > r.H {
		first = min(max(0, row-r.H/2), len(items)-r.H)
	}
	for i := first; i < len(items) && i-first < r.H; i++ {
		s.drawItem(env, r.Rows(i-first, 1), i, items[i], i == row)
	}
}

func (s *Station) drawItem(env *screen.Env, r canvas.Region, i int, it stationItem, here bool) {
	role := theme.Text
	if here {
		role = theme.Chosen
		r.Put(1, 0, theme.Strong, r.Theme().Glyphs.Arrow)
	}
	if i < 9 {
		r.Put(3, 0, theme.Faint, strconv.Itoa(i+1))
	}
	x := 5
	if it.place != line.Nowhere && env.State.Site.Stations[s.station].Slots > 1 {
		r.Put(x, 0, theme.Faint, line.SlotLetter(it.place.Slot))
		x += 3
	}
	what, state, stateRole := it.line(env)
	w := r.PutRight(r.W-1, 0, stateRole, state)
	r.Sub(x, 0, r.W-x-w-3, 1).Put(0, 0, role, what)
}

// line is a row in words: what is there, and its state.
func (it stationItem) line(env *screen.Env) (what, state string, role theme.Role) {
	if it.place == line.Nowhere {
		b := it.batch
		what = env.Words.Caps(b) + ", " + env.Words.Trays(b.Trays)
		if b.Fate == line.Cold {
			return what, env.Words.Say("station.cold", env.Words.TimeOfDay(b.ColdAt, "")), theme.Calm
		}
		return what, env.Words.Say("station.uncut"), theme.Text
	}
	w := env.SlotAt(it.place)
	state, role = env.Words.Slot(w), theme.Text
	broken := env.State.IsBroken(it.place)
	if broken && w.State != words.Broken {
		state += ", " + env.Words.State(words.Broken)
	}
	switch w.State {
	case words.Due, words.Ask, words.WaitsWet:
		role = theme.Soon
	case words.Free:
		role = theme.Faint
	}
	switch {
	case it.batch != nil:
		what = env.Words.Caps(it.batch) + ", " + env.Words.Trays(it.batch.Trays)
	case it.chore != nil:
		what = w.What
		if it.chore.Trays > 0 {
			what += ", " + env.Words.Trays(it.chore.Trays)
		}
	}
	return what, state, role
}

const stationLabelWidth = 9

func drawDetails(env *screen.Env, r canvas.Region, it stationItem) {
	y := 0
	what, state, role := it.line(env)
	if what == "" {
		what = env.Words.Place(env.State, it.place)
	}
	w := r.PutRight(r.W-1, y, role, state)
	r.Sub(1, y, r.W-w-4, 1).Put(0, 0, theme.Strong, what)
	y++
	if step := it.step(); step != nil && step.Active() && step.Planned > 0 && r.H >= stationDetailsRows {
		canvas.CountBar(r.Sub(1, y, min(r.W-2, 60), 1), float64(step.Ran(env.Now))/float64(step.Planned), role)
		y++
	}
	for _, d := range stationDetails(env, it) {
		if y >= r.H {
			return
		}
		r.Put(1, y, theme.Faint, env.Words.Say(d.label))
		y += max(r.Sub(stationLabelWidth+1, y, r.W-stationLabelWidth-2, r.H-y).Wrapped(d.role, d.text), 1)
	}
	if step := it.step(); step != nil && step.Active() && step.Planned > 0 {
		drawClock(r.Rows(y+1, r.H-y-1).Inset(2, 0), words.Left(step.Left(env.Now)), role)
	}
}

// largestClock keeps the drawn clock from outgrowing what is written beside it.
const largestClock = 4

// drawClock draws the countdown to be read from afar, where there is room.
func drawClock(r canvas.Region, text string, role theme.Role) {
	if scale := min(r.LargestBlock(text), largestClock); scale > 0 {
		r.Block(text, scale, role)
	}
}
