package pages

import (
	"strconv"
	"time"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"

	"shedbell/line"
	"shedbell/ui/form"
	"shedbell/ui/screen"
	"shedbell/ui/words"
)

// Station shows one station in full: every slot with its batch, recipe and times, and
// what can be done to each.
type Station struct {
	station int
	row     int // the chosen row
	batch   int // the batch in it when it was chosen, which the mark follows; 0: none
	ask     *stationAsk
	packing *form.Form // begun and not sent
	packed  int        // the batch that it is about
	asks    bool       // it is shown
	early   line.Place // Enter was pressed here before its time; again confirms
	earlyAt time.Time
	presses screen.Presses
}

// NewStation makes the screen.
func NewStation() *Station { return &Station{} }

var (
	keyStationPick    = screen.Bind("1-9", "does.choose", "1", "2", "3", "4", "5", "6", "7", "8", "9")
	keyStationDown    = screen.Bind("down", "station.next-one", "down", "j", "tab")
	keyStationUp      = screen.Bind("up", "station.one-before", "up", "k")
	keyStationDo      = screen.Bind("Enter", "station.next-step", "enter", " ")
	keyStationTime    = screen.Bind("+ -", "station.time", "+", "=", "-")
	keyStationHold    = screen.Bind(".", "does.hold", ".", "h", "H")
	keyStationAgain   = screen.Bind("a", "station.again", "a", "A")
	keyStationSplit   = screen.Bind("s", "station.split", "s", "S")
	keyStationMerge   = screen.Bind("m", "station.merge", "m", "M")
	keyStationScrap   = screen.Bind("x", "station.scrap", "x", "X")
	keyStationBroken  = screen.Bind("b", "station.broken", "b", "B")
	keyStationUndo    = screen.Bind("u", "does.undo", "u", "U")
	keyStationNearby  = screen.Bind("right", "station.beside", "left", "right")
	keyStationArrows  = screen.Bind("arrows", "station.elsewhere", "up", "down", "left", "right")
	keyStationExit    = screen.Bind("0", "does.back", "0", "esc")
	keyStationHelp    = screen.Bind("?", "does.help", "?")
	keyStationAnswer  = screen.Bind("0-9", "does.answer", "0", "1", "2", "3", "4", "5", "6", "7", "8", "9")
	keyStationConfirm = screen.Bind("Enter", "does.confirm", "enter")
	keyStationNo      = screen.Bind("0", "does.leave-it", "0", "esc")
)

// Typing says that a question is open, which takes digits and letters.
func (s *Station) Typing() bool { return s.ask != nil || s.asks }

// Update answers a message.
func (s *Station) Update(env *screen.Env, msg tea.Msg) tea.Cmd {
	switch msg := msg.(type) {
	case screen.OpenMsg:
		s.open(env, msg.About)
	case screen.ResultMsg:
		if _, ok := msg.Command.(line.Finish); ok && msg.Refusal == nil {
			s.packing, s.asks = nil, false
		}
	case tea.KeyMsg:
		s.station = min(max(s.station, 0), len(env.State.Site.Stations)-1)
		if s.asks {
			return s.packs(env, msg)
		}
		if s.ask != nil {
			next, cmd := s.ask.pressed(env, msg)
			s.ask = next
			return cmd
		}
		return s.pressed(env, msg)
	}
	return nil
}

// packs answers a key while it is asked what a batch was packed into.
func (s *Station) packs(env *screen.Env, k tea.KeyMsg) tea.Cmd {
	out, cmd := s.packing.Update(env, k)
	switch out {
	case form.Left:
		s.asks = false
	case form.Sent:
		if b := env.State.Batch(s.packed); b != nil {
			return screen.Do(form.FinishPacking(s.packing, b.Step.Place))
		}
	}
	return cmd
}

func (s *Station) open(env *screen.Env, about line.Place) {
	*s = Station{station: min(max(about.Station, 0), len(env.State.Site.Stations)-1), early: line.Nowhere}
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

func (s *Station) pressed(env *screen.Env, k tea.KeyMsg) tea.Cmd {
	it := s.chosen(env)
	for _, b := range s.Keys(env) {
		if b.Why != "" && key.Matches(k, b.Binding) {
			return b.NotHere(env.Words)
		}
	}
	switch {
	case key.Matches(k, keyStationPick.Binding):
		return s.pick(env, k.String())
	case key.Matches(k, keyStationDown.Binding):
		s.choose(env, s.marked(s.items(env))+1)
	case key.Matches(k, keyStationUp.Binding):
		s.choose(env, s.marked(s.items(env))-1)
	case key.Matches(k, keyStationNearby.Binding):
		s.beside(env, k.String() == "right")
	case key.Matches(k, keyStationDo.Binding):
		return s.doIt(env, it)
	case key.Matches(k, keyStationTime.Binding):
		sign := 1
		if k.String() == "-" {
			sign = -1
		}
		return screen.Do(line.Adjust{At: it.place, By: s.presses.Step(env, sign)})
	case key.Matches(k, keyStationHold.Binding):
		if it.step().Progress == line.Running {
			return screen.Do(line.Hold{At: it.place})
		}
		return screen.Do(line.Resume{At: it.place})
	case key.Matches(k, keyStationUndo.Binding):
		return screen.Do(line.Undo{})
	case key.Matches(k, keyStationNoFans.Binding):
		if c, why, ok := s.noFans(env, it); ok && why == "" {
			return screen.Do(c)
		}
		return nil
	}
	s.question(env, it, k)
	return nil
}

// question opens the question that a key asks.
func (s *Station) question(env *screen.Env, it stationItem, k tea.KeyMsg) {
	switch {
	case key.Matches(k, keyStationAgain.Binding):
		s.ask = askAgain(env, it)
	case key.Matches(k, keyStationSplit.Binding):
		s.ask = askSplit(env, it.batch)
	case key.Matches(k, keyStationMerge.Binding):
		s.ask = askMerge(env, it.batch, mergePartners(env.State, it.batch))
	case key.Matches(k, keyStationScrap.Binding):
		s.ask = askScrap(env, it.batch)
	case key.Matches(k, keyStationBroken.Binding):
		s.ask = askBroken(env, it.place)
	case key.Matches(k, keyStationSignOff.Binding):
		s.ask = askSignOff(env, env.State.Site.Stations[s.station].Kind)
	}
}

func (s *Station) pick(env *screen.Env, digit string) tea.Cmd {
	n, _ := strconv.Atoi(digit)
	if n > len(s.items(env)) {
		return screen.Say(env.Words.Say("station.no-number", digit))
	}
	s.choose(env, n-1)
	return nil
}

func (s *Station) beside(env *screen.Env, right bool) {
	n := len(env.State.Site.Stations)
	step := n - 1
	if right {
		step = 1
	}
	s.station = (s.station + step) % n
	s.choose(env, 0)
}

// doIt does the row's next step. Before its time it asks once, since a machine
// that is stopped early cannot be un-stopped.
func (s *Station) doIt(env *screen.Env, it stationItem) tea.Cmd {
	p := it.prompt(env)
	if p == nil {
		c, _ := it.attempt(env.State)
		return screen.Do(c)
	}
	left := p.At.Sub(env.Now)
	timed := it.step() != nil && it.step().Planned > 0
	again := s.early == it.place && env.Now.Sub(s.earlyAt) < env.OnWall(screen.MeantFor)
	if left > time.Second && timed && !again {
		s.early, s.earlyAt = it.place, env.Now
		return screen.Ask(env.Words.Say("board.too-early", words.Left(left)))
	}
	s.early = line.Nowhere
	if it.batch != nil && it.batch.Step.Active() && env.State.Site.Stations[s.station].Kind == line.Pack {
		if s.packing == nil || s.packed != it.batch.ID {
			s.packing, s.packed = form.Packed(env, it.batch), it.batch.ID
		}
		s.asks = true
		return nil
	}
	return screen.Do(p.Command)
}
