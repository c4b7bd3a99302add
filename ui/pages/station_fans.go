package pages

import (
	"shedbell/line"
	"shedbell/recipes"
	"shedbell/ui/screen"
)

var keyStationNoFans = screen.Bind("f", "station.no-fans", "f", "F")

// noFans starts drying on a bank whose fans are dead: the batch in the chosen
// place, or the one that waits for it. Its countdown is far longer. why says what is
// in the way; ok is false where no fans are.
func (s *Station) noFans(env *screen.Env, it stationItem) (c line.Command, why string, ok bool) {
	state := env.State
	st := &state.Site.Stations[s.station]
	if st.Kind != line.Dry || st.Load == line.NoLoad {
		return nil, "", false
	}
	if state.Power.Loads[st.Load].On {
		return nil, "station.fans-run", true
	}
	if it.batch != nil {
		if it.batch.Step.Progress != line.Loaded {
			return nil, env.Words.Say("station.is-there", it.batch.Name()), true
		}
		return line.Start{Batch: it.batch.ID, To: it.place, Setting: recipes.FanOff}, "", true
	}
	for i := range state.Batches {
		b := &state.Batches[i]
		if next, more := state.NextKind(b); more && next == line.Dry && b.Fate == line.OnLine && b.Step.Progress == line.Finished {
			return line.Start{Batch: b.ID, To: it.place, Setting: recipes.FanOff}, "", true
		}
	}
	return nil, "station.nothing-to-dry", true
}
