package pages

import (
	"strconv"

	tea "github.com/charmbracelet/bubbletea"

	"shedbell/line"
	"shedbell/ui/act"
	"shedbell/ui/canvas"
	"shedbell/ui/form"
	"shedbell/ui/screen"
	"shedbell/ui/theme"
)

// What may have happened to greens and machines, on a letter each and, on the number pad,
// behind / on the digit of its place in the list.
var (
	keyStationFacts   = act.Key("/", "station.facts", "/")
	keyStationDropped = act.Key("d", "station.fact-dropped", "d", "D")
	keyStationCounted = act.Key("c", "station.fact-counted", "c", "C")
	keyStationEarly   = act.Key("e", "station.fact-early", "e", "E")
	keyStationWrong   = act.Key("v", "station.fact-wrong", "v", "V")
	keyStationTooWet  = act.Key("g", "station.fact-too-wet", "g", "G")
	keyStationSkip    = act.Key("l", "station.fact-skip", "l", "L")
	keyStationDrained = act.Key("w", "station.fact-drained", "w", "W")
)

// facts lists them for the chosen row.
func (s *Station) facts(env *screen.Env, it stationItem) act.Table {
	hand, ok := s.byHand(env, it)
	if !ok {
		hand = keyStationByHand.Unless("station.no-machine")
	}
	drained := keyStationDrained.Send(line.DrainTub{Station: s.station})
	if env.State.Site.Stations[s.station].Kind != line.Wash {
		drained = keyStationDrained.Unless("station.no-tub")
	}
	if b := it.batch; b != nil {
		return act.Table{
			keyStationDropped.Send(line.DropTrays{Batch: b.ID, Trays: 1, Reason: env.Words.Say(scrapReasons[0])}),
			keyStationCounted.Send(line.CountTrays{Batch: b.ID, Trays: b.Trays%line.MaxDayTrays + 1}).First(func() { s.asks = askCount(env, b) }),
			early(env, it), s.wrong(env, it), keyStationTooWet.Send(line.Again{Batch: b.ID, Kind: line.Spin}), hand,
			keyStationSkip.Send(line.Skip{Batch: b.ID, Reason: env.Words.Say(brokenReasons[0])}).First(func() { s.asks = askSkip(env, b) }),
			s.broken(env, it.place), drained,
		}
	}
	none := act.Table{keyStationDropped, keyStationCounted, keyStationEarly, keyStationWrong, keyStationTooWet}.Unless("station.no-greens")
	return append(none, hand, keyStationSkip.Unless("station.no-greens"), s.broken(env, it.place), drained)
}

// early takes greens out before their time. Where the sanitizer's contact time is not
// over they are only held.
func early(env *screen.Env, it stationItem) act.Action {
	if step := it.step(); step == nil || !step.Active() || env.State.Site.Stations[it.place.Station].Kind == line.Pack {
		return keyStationEarly.Unless("station.not-under-way")
	}
	out := line.Finish{At: it.place}
	if _, no := line.Decide(env.State, out, env.Now); no != nil && no.Rule == line.RuleContact && it.step().Progress == line.Running {
		return keyStationEarly.Send(line.Hold{At: it.place})
	}
	return keyStationEarly.Send(out)
}

// wrong says that greens are in another place of the kind than the books have them in.
func (s *Station) wrong(env *screen.Env, it stationItem) act.Action {
	if it.place == line.Nowhere {
		return keyStationWrong.Unless("station.no-place")
	}
	var to []line.Place
	for _, i := range env.State.Site.StationsOf(env.State.Site.Stations[s.station].Kind) {
		for slot := range env.State.Site.Stations[i].Slots {
			p := line.Place{Station: i, Slot: slot}
			if _, no := line.Decide(env.State, line.Move{Batch: it.batch.ID, To: p}, env.Now); no == nil {
				to = append(to, p)
			}
		}
	}
	if len(to) == 0 {
		return keyStationWrong.Unless("station.one-place")
	}
	return keyStationWrong.Send(line.Move{Batch: it.batch.ID, To: to[0]}).First(func() { s.asks = askMove(env, it.batch, to) })
}

func askMove(env *screen.Env, b *line.Batch, to []line.Place) *question {
	row := form.Row{Name: answer, Label: "station.into", Kind: form.Choice}
	for _, p := range to {
		row.Choices = append(row.Choices, env.Words.Place(env.State, p))
	}
	return &question{form.Ask(env, env.Words.Say("station.ask-move", env.Words.Caps(b)), "station.move-swaps", row), func(f *form.Form) line.Command {
		i, _ := f.Choice(answer)
		return line.Move{Batch: b.ID, To: to[i]}
	}}
}

func askCount(env *screen.Env, b *line.Batch) *question {
	count := func(f *form.Form) line.Command { return line.CountTrays{Batch: b.ID, Trays: f.Int(answer)} }
	row := form.Row{Name: answer, Label: "station.are-there", Kind: form.Whole, Unit: "station.trays",
		Check: func(f *form.Form) string { return act.Refused(&env.Context, count(f)) }}
	return &question{form.Ask(env, env.Words.Say("station.ask-count", env.Words.Caps(b), env.Words.Trays(b.Trays)), "", row), count}
}

func askSkip(env *screen.Env, b *line.Batch) *question {
	return &question{form.Ask(env, env.Words.Say("station.ask-skip", env.Words.Caps(b)), "", whyRow(brokenReasons)),
		func(f *form.Form) line.Command { return line.Skip{Batch: b.ID, Reason: f.Text(answer)} }}
}

// factKeys are the keys while the list is open.
func (s *Station) factKeys(env *screen.Env) act.Table {
	facts := s.facts(env, s.chosen(env))
	leave := func() tea.Cmd { s.listing = false; return nil }
	return act.Table{
		act.Choose(&env.Context, "station.facts-choose", len(facts), func(i int) tea.Cmd {
			s.listing = false
			cmd, _ := facts[i:i+1].Press(&env.Context, tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune(facts[i].Keys()[0])})
			return cmd
		}),
		act.Key("0", "does.back", "0", "esc", "/").Run(leave),
	}
}

func (s *Station) drawFacts(env *screen.Env, r canvas.Region) {
	facts := s.facts(env, s.chosen(env))
	if r.H > len(facts) {
		r.Put(1, 0, theme.Strong, env.Words.Say("station.facts-title"))
		r = r.Rows(1, r.H-1)
	}
	for i, a := range facts {
		row, role := r.Rows(i, 1), theme.Text
		why := a.WhyNot(&env.Context)
		if why != "" {
			role = theme.Faint
		}
		row.Put(1, 0, role, strconv.Itoa(i+1))
		x := 4 + row.Put(4, 0, role, env.Words.Say(a.Help().Desc)) + 2
		row.Sub(x, 0, max(r.W-x-1, 0), 1).Put(0, 0, theme.Faint, why)
	}
}
