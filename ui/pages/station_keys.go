package pages

import (
	"slices"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"shedbell/line"
	"shedbell/line/say"
	"shedbell/ui/act"
	"shedbell/ui/screen"
)

var (
	keyStationDo      = act.Key("Enter", "station.next-step", "enter", " ")
	keyStationMore    = act.Key("+ -", "station.time", "+", "=")
	keyStationLess    = act.Key("-", "station.time", "-").Hidden()
	keyStationHold    = act.Key(".", "does.hold", ".", "h", "H")
	keyStationAgain   = act.Key("a", "station.again", "a", "A")
	keyStationSplit   = act.Key("s", "station.split", "s", "S")
	keyStationMerge   = act.Key("m", "station.merge", "m", "M")
	keyStationScrap   = act.Key("x", "station.scrap", "x", "X")
	keyStationBroken  = act.Key("b", "station.broken", "b", "B")
	keyStationArrows  = act.Key("arrows", "station.elsewhere", "up", "down", "left", "right", "j", "k", "tab")
	keyStationSignOff = act.Key("o", "sign-off.key", "o", "O")
	keyStationByHand  = act.Key("n", "station.by-hand", "n", "N")
	keyStationNoFans  = act.Key("f", "station.no-fans", "f", "F")
)

// Actions is what can be done to the chosen row.
func (s *Station) Actions(env *screen.Env) act.Table {
	if s.asks != nil {
		return s.asks.actions(env, s)
	}
	if s.listing {
		return s.factKeys(env)
	}
	s.station = min(max(s.station, 0), len(env.State.Site.Stations)-1) // the line file may have changed
	it := s.chosen(env)
	kind := env.State.Site.Stations[s.station].Kind
	all := act.Table{s.doIt(env, it), keyStationFacts.Do(func() { s.listing = true }), s.choice(env), s.adjust(env, it, keyStationMore, 1), s.adjust(env, it, keyStationLess, -1), hold(it),
		keyStationAgain.Send(line.Restart{At: it.place}).First(func() { s.asks = askAgain(env, it) })}
	all = append(all, s.batchKeys(env, it)...)
	all = append(all, s.broken(env, it.place), screen.KeyUndo,
		keyStationArrows.Take(func(k tea.KeyMsg) tea.Cmd { return s.move(env, k.String()) }),
		keyStationSignOff.Acting().Do(func() { s.asks = askSignOff(env, kind) }))
	if hand, ok := s.byHand(env, it); ok {
		all = append(all, hand)
	}
	for _, a := range s.facts(env, it) {
		all = append(all, a.Hidden()) // behind /; those that are shown stand before
	}
	return all
}

// doIt does the row's next step, or tries what could be done there.
func (s *Station) doIt(env *screen.Env, it stationItem) act.Action {
	p := it.prompt(env)
	if p == nil {
		if c, ok := it.attempt(env.State); ok {
			return keyStationDo.Send(c)
		}
		return keyStationDo.Unless("station.no-next")
	}
	do := keyStationDo.Next(&env.Context, p)
	if it.batch != nil && it.batch.Step.Active() && env.State.Site.Stations[s.station].Kind == line.Pack {
		return do.Do(func() { s.asks = s.askPacked(env, it.batch) })
	}
	return do
}

func (s *Station) choice(env *screen.Env) act.Action {
	n := len(s.items(env))
	pick := act.Choose(&env.Context, "does.choose", n, func(i int) tea.Cmd {
		if i == s.marked(s.items(env)) {
			return act.NotHere(&env.Context, "why.chosen")
		}
		s.choose(env, i)
		return nil
	})
	if n < 2 {
		return pick.Unless("station.one-place")
	}
	return pick
}

// move goes to another row, or to the station beside.
func (s *Station) move(env *screen.Env, key string) tea.Cmd {
	row, rows, n := s.marked(s.items(env)), len(s.items(env)), len(env.State.Site.Stations)
	switch {
	case key == "left":
		s.station = (s.station + n - 1) % n
		s.choose(env, 0)
	case key == "right":
		s.station = (s.station + 1) % n
		s.choose(env, 0)
	case rows < 2:
		return act.NotHere(&env.Context, "station.one-place")
	case key == "up" || key == "k":
		s.choose(env, (row+rows-1)%rows)
	default:
		s.choose(env, (row+1)%rows)
	}
	return nil
}

func (s *Station) adjust(env *screen.Env, it stationItem, key act.Action, sign int) act.Action {
	return key.Send(line.Adjust{At: it.place, By: time.Duration(sign) * screen.PressStep}).
		Run(func() tea.Cmd { return act.Do(line.Adjust{At: it.place, By: s.presses.Step(env, sign)}) })
}

func hold(it stationItem) act.Action {
	if step := it.step(); step != nil && (step.Progress == line.Held || step.Progress == line.Interrupted) {
		return keyStationHold.Does("does.go-on").Send(line.Resume{At: it.place})
	}
	return keyStationHold.Send(line.Hold{At: it.place})
}

// batchKeys act on the row's batch as a whole.
func (s *Station) batchKeys(env *screen.Env, it stationItem) act.Table {
	b := it.batch
	if b == nil {
		no := "station.no-greens"
		return act.Table{keyStationSplit.Unless(no), keyStationMerge.Unless(no), keyStationScrap.Unless(no)}
	}
	return act.Table{
		keyStationSplit.Send(line.Split{Batch: b.ID, Trays: max(b.Trays/2, 1)}).First(func() { s.asks = askSplit(env, b) }),
		s.merge(env, b),
		keyStationScrap.Send(line.Scrap{Batch: b.ID, Reason: scrapReasons[0]}).First(func() { s.asks = askScrap(env, b) }),
	}
}

// merge offers the batches with which the line allows it. Where there are none, another
// of the crop says why not.
func (s *Station) merge(env *screen.Env, b *line.Batch) act.Action {
	into := func(o *line.Batch) line.Command { return line.Merge{From: b.ID, Into: o.ID} }
	var with []*line.Batch
	var other *line.Batch
	for i := range env.State.Batches {
		o := &env.State.Batches[i]
		if o.ID == b.ID || o.Crop != b.Crop {
			continue
		}
		if _, no := line.Decide(env.State, into(o), env.Now); no == nil {
			with = append(with, o)
		}
		other = o
	}
	switch {
	case len(with) > 0:
		return keyStationMerge.Send(into(with[0])).First(func() { s.asks = askMerge(env, b, with) })
	case other != nil:
		return keyStationMerge.Send(into(other)).First(func() {})
	}
	return keyStationMerge.Unless(env.Words.Say("station.no-partner", say.Crop(b.Crop)))
}

// broken takes a place out of use, or back into it.
func (s *Station) broken(env *screen.Env, p line.Place) act.Action {
	key := keyStationBroken.Send(line.MarkBroken{At: p, Why: brokenReasons[0]})
	switch {
	case p == line.Nowhere:
		return keyStationBroken.Unless("station.no-place")
	case env.State.IsBroken(p):
		key = keyStationBroken.Does("station.back-in-use").Send(line.MarkMended{At: p})
	}
	return key.First(func() { s.asks = askBroken(env, p) })
}

// byHand has people stand in for the machine: for the batch in the chosen place, or for
// the one that waits for it. ok is false where no machine is.
func (s *Station) byHand(env *screen.Env, it stationItem) (a act.Action, ok bool) {
	state := env.State
	st := &state.Site.Stations[s.station]
	key := keyStationByHand
	if st.Kind == line.Dry {
		key = keyStationNoFans
	}
	switch {
	case st.Load == line.NoLoad || !st.Kind.ForGreens():
		return a, false
	case st.Kind == line.Dry && state.Power.Loads[st.Load].On:
		return key.Unless("station.fans-run"), true
	case it.batch != nil && it.batch.Step.Active():
		return key.Send(line.Resume{At: it.place, ByHand: true}), true
	case it.batch != nil:
		return key.Send(line.Start{Batch: it.batch.ID, To: it.place, ByHand: true}), true
	}
	waits := func(b line.Batch) bool {
		next, more := state.NextKind(&b)
		return more && next == st.Kind && b.Fate == line.OnLine && b.Step.Progress == line.Finished
	}
	if i := slices.IndexFunc(state.Batches, waits); i >= 0 {
		return key.Send(line.Start{Batch: state.Batches[i].ID, To: it.place, ByHand: true}), true
	}
	return key.Unless("station.nothing-waits"), true
}
