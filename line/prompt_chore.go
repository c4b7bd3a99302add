package line

import "slices"

// chores prompts for the end of running chores and for the next one of the
// clean-up, in its order: trays, surfaces, sowing.
func (a *adviser) chores() {
	s := a.s
	for i := range s.Chores {
		a.runningChore(&s.Chores[i])
	}
	switch {
	case s.DayDone():
		a.offer(Prompt{Act: ActClose, From: Nowhere, To: Nowhere, At: a.now, Command: CloseDay{}, rank: rankClose})
		return
	case a.greensAhead():
		return // amps and hands belong to the greens
	case s.Trays.Dirty > 0:
		a.chore(WashTrays, TrayWash)
		return
	case s.Unfinished() > 0 || slices.ContainsFunc(s.Chores, func(c Chore) bool { return c.Kind != SowTrays }):
		return
	case s.Trays.Washed > 0 || s.Clean.IsZero():
		a.chore(SanitizeAll, Sanitize)
	case s.SowLeft() > 0:
		a.chore(SowTrays, Sow)
	}
}

// greensAhead says whether greens still have to pass a machine.
func (a *adviser) greensAhead() bool {
	for i := range a.s.Batches {
		b := &a.s.Batches[i]
		if b.Fate == Waiting {
			return true
		}
		if b.Fate == OnLine {
			if k := a.kind(b.Step.Place); k < Dry || k == Dry && b.Step.Progress != Finished {
				return true
			}
		}
	}
	return false
}

func (a *adviser) chore(c ChoreKind, k Kind) {
	to, free := a.in.FreeSlotOf(k, 0)
	if !free {
		return
	}
	cmd := StartChore{Kind: c, To: to, ByHand: a.s.IsBroken(to)}
	if c == SowTrays {
		if cmd.Crop = a.toSow(); cmd.Crop == "" {
			return // somebody is at all that is left
		}
	}
	cmd.Trays = a.share(&cmd)
	d, no := Decide(a.s, cmd, a.now)
	p := Prompt{Act: ActChore, Chore: c, From: Nowhere, To: to, At: a.now, ByHand: cmd.ByHand,
		Hands: a.in.Site.HandsAtStart(to.Station), Command: cmd, rank: rankChore}
	if no == nil {
		if e, ok := d.Events[0].(ChoreStarted); ok {
			p.Trays, p.Crop = e.Trays, e.Crop
		}
	}
	a.offer(p)
}

// toSow is the next crop of which there are trays that nobody is sowing yet.
func (a *adviser) toSow() string {
	for _, it := range a.s.Sowing {
		if a.unsown(it) > 0 {
			return it.Crop
		}
	}
	return ""
}

func (a *adviser) unsown(it SowItem) int {
	for i := range a.s.Chores {
		if c := &a.s.Chores[i]; c.Kind == SowTrays && c.Crop == it.Crop {
			it.Trays -= c.Trays
		}
	}
	return it.Trays
}

// share is how many trays a person takes on where others are free to do the same at
// other places; 0 for all that there are.
func (a *adviser) share(c *StartChore) int {
	st := &a.s.Site.Stations[c.To.Station]
	trays := 0
	switch c.Kind {
	case WashTrays:
		trays = a.s.Trays.Dirty
	case SowTrays:
		for _, it := range a.s.Sowing {
			if it.Crop == c.Crop {
				trays = min(max(0, a.unsown(it)), a.s.Trays.Sanitized)
				break
			}
		}
	}
	places := 0
	a.eachSlot(st.Kind, func(p Place, _ *Batch) {
		if a.s.StepAt(p) == nil {
			places++
		}
	})
	_, busy := a.handsFree()
	parts := min(places, len(a.s.Crew)-busy)
	sharing := c.Kind == SowTrays && len(a.s.Chores) > 0 // the last may not take what others have
	if st.Hands != HandsThroughout || trays < 1 || parts < 2 && !sharing {
		return 0
	}
	parts = max(1, parts)
	return min((trays+parts-1)/parts, st.SlotTrays)
}

func (a *adviser) runningChore(c *Chore) {
	st := &c.Step
	p := Prompt{Act: ActFinish, Chore: c.Kind, Trays: c.Trays, Crop: c.Crop, From: st.Place, To: Nowhere,
		Hands: a.s.Site.HandsAtEnd(st.Place.Station), Command: Finish{At: st.Place}, rank: rankMachine}
	switch {
	case st.Progress != Running:
		p.Act, p.At, p.To = ActResume, a.now, st.Place
		p.ByHand = a.s.IsBroken(st.Place) && !st.ByHand
		p.Command = Resume{At: st.Place, ByHand: p.ByHand}
	case st.Planned > 0:
		p.At, _ = st.DueAt()
	default:
		p.At, p.rank = a.handEnd(st, c.Crop, c.Trays), rankHand
	}
	a.offer(p)
}
