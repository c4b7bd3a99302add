package pages

import (
	tea "github.com/charmbracelet/bubbletea"

	"shedbell/line"
	"shedbell/ui/form"
	"shedbell/ui/screen"
)

// Station shows one station in full: every slot with its batch, recipe and times, and
// what can be done to each.
type Station struct {
	station int
	row     int // the chosen row
	batch   int // the batch in it when it was chosen, which the mark follows; 0: none
	asks    *question
	listing bool       // what may have happened is listed
	packing *form.Form // begun and not sent
	packed  int        // the batch that it is about
	presses screen.Presses
}

// NewStation makes the screen.
func NewStation() *Station { return &Station{} }

// Update answers a message.
func (s *Station) Update(env *screen.Env, msg tea.Msg) tea.Cmd {
	switch msg := msg.(type) {
	case screen.OpenMsg:
		s.open(env, msg.About)
	case screen.ResultMsg:
		if msg.Refusal == nil {
			s.asks = nil
			if _, packed := msg.Command.(line.Finish); packed {
				s.packing = nil
			}
		}
	}
	return nil
}

func (s *Station) open(env *screen.Env, about line.Place) {
	*s = Station{station: min(max(about.Station, 0), len(env.State.Site.Stations)-1)}
	s.choose(env, 0)
	for i, it := range s.items(env) {
		if it.place == about {
			s.choose(env, i)
		}
	}
}

// choose marks a row.
func (s *Station) choose(env *screen.Env, row int) {
	items := s.items(env)
	s.row, s.batch = min(max(row, 0), max(len(items)-1, 0)), 0
	if s.row < len(items) && items[s.row].batch != nil {
		s.batch = items[s.row].batch.ID
	}
}

// marked is the chosen row as it stands: rows move when a batch does, and a key
// must not meet another batch than the one that was chosen.
func (s *Station) marked(items []stationItem) int {
	for i, it := range items {
		if s.batch != 0 && it.batch != nil && it.batch.ID == s.batch {
			return i
		}
	}
	return min(max(s.row, 0), max(len(items)-1, 0))
}

// stationItem is a row of the screen: a slot, or a batch that waits before the station or
// has left it.
type stationItem struct {
	place line.Place // Nowhere for a batch without a slot
	batch *line.Batch
	chore *line.Chore
}

// items lists the rows. The cutting table has the uncut batches behind its slots;
// the cold, whose places are many and alike, has the batches that are in it.
func (s *Station) items(env *screen.Env) []stationItem {
	var out []stationItem
	state := env.State
	st := &state.Site.Stations[s.station]
	if st.Kind != line.Chill {
		for slot := range st.Slots {
			it := stationItem{place: line.Place{Station: s.station, Slot: slot}}
			it.batch, it.chore = state.Occupant(it.place)
			out = append(out, it)
		}
	}
	for i := range state.Batches {
		b := &state.Batches[i]
		if st.Kind == line.Cut && b.Fate == line.Waiting || st.Kind == line.Chill && b.Fate == line.Cold {
			out = append(out, stationItem{place: line.Nowhere, batch: b})
		}
	}
	return out
}

// chosen is the row that the keys act on.
func (s *Station) chosen(env *screen.Env) stationItem {
	items := s.items(env)
	if len(items) == 0 {
		return stationItem{place: line.Nowhere}
	}
	return items[s.marked(items)]
}

// step is the row's step, or nil.
func (it stationItem) step() *line.Step {
	switch {
	case it.place == line.Nowhere:
		return nil
	case it.batch != nil:
		return &it.batch.Step
	case it.chore != nil:
		return &it.chore.Step
	}
	return nil
}

// prompt is the next step of a row, if it has one.
func (it stationItem) prompt(env *screen.Env) *line.Prompt {
	for i := range env.Prompt {
		p := &env.Prompt[i]
		switch {
		case it.batch != nil && p.Batch == it.batch.ID:
			return p
		case it.batch == nil && it.place != line.Nowhere && (p.From == it.place || p.To == it.place):
			return p
		}
	}
	return nil
}

// attempt is what Enter tries where no step is prompted, so that a person who asks
// hears from the line why not.
func (it stationItem) attempt(s *line.State) (line.Command, bool) {
	if step := it.step(); step != nil && step.Active() {
		if step.Progress != line.Running {
			return line.Resume{At: it.place}, true // what its sentence says; never its end
		}
		return line.Finish{At: it.place}, true
	}
	if b := it.batch; b != nil {
		_, more := s.NextKind(b)
		return line.Start{Batch: b.ID, To: line.Anywhere}, more
	}
	if it.place == line.Nowhere {
		return nil, false
	}
	chores := map[line.Kind]line.ChoreKind{line.TrayWash: line.WashTrays, line.Sanitize: line.SanitizeAll, line.Sow: line.SowTrays}
	kind, ok := chores[s.Site.Stations[it.place.Station].Kind]
	return line.StartChore{Kind: kind, To: it.place}, ok
}
