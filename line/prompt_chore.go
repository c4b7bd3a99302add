package line

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
	case s.Unfinished() > 0 || len(s.Chores) > 0:
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
