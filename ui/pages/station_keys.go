package pages

import (
	"shedbell/line"
	"shedbell/ui/screen"
)

// Keys lists what can be pressed, with why not where it does nothing.
func (s *Station) Keys(env *screen.Env) []screen.Binding {
	if s.asks {
		return s.packing.Keys()
	}
	if s.ask != nil {
		return s.ask.keys()
	}
	it := s.chosen(env)
	noStep, noTime, noHalt := stepReasons(it)
	noDo := ""
	if _, tries := it.attempt(env.State); !tries && it.prompt(env) == nil {
		noDo = "station.no-next"
	}
	hold := keyStationHold
	if step := it.step(); step != nil && (step.Progress == line.Held || step.Progress == line.Interrupted) {
		hold = screen.Bind(".", "does.go-on", ".", "h", "H")
	}
	noBatch, noSplit, noMerge := batchReasons(env, it)
	broken, noBroken := keyStationBroken, ""
	switch {
	case it.place == line.Nowhere:
		noBroken = "station.no-place"
	case env.State.IsBroken(it.place):
		broken = screen.Bind("b", "station.back-in-use", "b", "B")
	case it.step() != nil && it.step().Progress == line.Running:
		noBroken = "station.runs"
	}
	noMove := ""
	if len(s.items(env)) < 2 {
		noMove = "station.one-place"
	}
	keys := []screen.Binding{
		keyStationDo.Unless(noDo), keyStationPick.Unless(noMove), keyStationTime.Unless(noTime), hold.Unless(noStep), keyStationAgain.Unless(noHalt),
		keyStationSplit.Unless(noSplit), keyStationMerge.Unless(noMerge), keyStationScrap.Unless(noBatch), broken.Unless(noBroken),
		keyStationUndo.Undo(env), keyStationArrows, keyStationSignOff,
	}
	if _, why, ok := s.noFans(env, it); ok {
		keys = append(keys, keyStationNoFans.Unless(why))
	}
	return keys
}

// stepReasons say why a row's step cannot be held, changed or started again.
func stepReasons(it stationItem) (noStep, noTime, noHalt string) {
	step := it.step()
	if step == nil || !step.Active() {
		no := "why.nothing-runs"
		return no, no, no
	}
	if step.Planned == 0 {
		noTime = "why.by-hand"
	}
	if step.Progress == line.Running {
		noHalt = "station.runs-it"
	}
	return "", noTime, noHalt
}

// batchReasons say why a row's batch cannot be scrapped, split or merged.
func batchReasons(env *screen.Env, it stationItem) (noBatch, noSplit, noMerge string) {
	b := it.batch
	switch {
	case b == nil:
		no := "station.no-greens"
		return no, no, no
	case b.Fate != line.Waiting && b.Fate != line.OnLine:
		no := "station.off-line"
		return no, no, no
	case b.Fate == line.OnLine && b.Step.Active():
		noSplit = "station.still-split"
		noMerge = "station.still-merge"
		return "", noSplit, noMerge
	}
	if b.Trays < 2 {
		noSplit = "station.one-tray"
	}
	if len(mergePartners(env.State, b)) == 0 {
		noMerge = env.Words.Say("station.no-partner", b.Crop)
	}
	return "", noSplit, noMerge
}

// mergePartners lists the batches that a batch could be merged into: same crop, same
// step, both standing still.
func mergePartners(s *line.State, b *line.Batch) []*line.Batch {
	var out []*line.Batch
	for i := range s.Batches {
		o := &s.Batches[i]
		if o.ID == b.ID || o.Crop != b.Crop || o.Fate != b.Fate {
			continue
		}
		if b.Fate == line.OnLine {
			kind := func(x *line.Batch) line.Kind { return s.Site.Stations[x.Step.Place.Station].Kind }
			if o.Step.Active() || o.Step.Progress != b.Step.Progress || kind(o) != kind(b) {
				continue
			}
		}
		out = append(out, o)
	}
	return out
}
