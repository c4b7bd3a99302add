package line

import (
	"slices"
	"time"
)

// flows says whether a batch put into the tub now would find its spinner and its
// shelf in time, so that its greens do not wait wet longer than half of what the
// recipe allows. Batches that are wet already go first.
func (a *adviser) flows(b *Batch) bool {
	r, ok := a.s.Recipe(b.Crop)
	if !ok {
		return true // Decide says what is wrong
	}
	slack := r.MaxWetWait / 2
	spin := a.freeTimes(Spin)
	dry := a.freeTimes(Dry)
	for _, other := range a.wetAhead() {
		a.pass(other, spin, dry)
	}
	washed := a.now.Add(r.WashTime())
	if len(spin) > 0 && r.Spin > 0 {
		slices.SortFunc(spin, time.Time.Compare)
		if spin[0].Sub(washed) > slack {
			return false
		}
		washed = later(washed, spin[0]).Add(r.Spin)
	}
	if len(dry) > 0 && r.Dry > 0 {
		slices.SortFunc(dry, time.Time.Compare)
		if dry[0].Sub(washed) > slack {
			return false
		}
	}
	return true
}

// freeTimes is when each slot of a kind is expected to come free.
func (a *adviser) freeTimes(k Kind) []time.Time {
	var out []time.Time
	for i := range a.s.Site.Stations {
		st := &a.s.Site.Stations[i]
		if st.Kind != k {
			continue
		}
		for slot := range st.Slots {
			p := Place{i, slot}
			if a.s.IsBroken(p) {
				continue
			}
			free := a.now
			if step := a.s.StepAt(p); step != nil {
				if at, ok := step.DueAt(); ok {
					free = later(free, at)
				}
			}
			out = append(out, free)
		}
	}
	return out
}

// wetAhead lists the batches that still need the spinner or a shelf and are wet
// already, the most advanced first.
func (a *adviser) wetAhead() []*Batch {
	var out []*Batch
	for i := range a.s.Batches {
		b := &a.s.Batches[i]
		if b.Fate != OnLine {
			continue
		}
		k := a.kind(b.Step.Place)
		if k == Spin || k == Wash && b.Step.Progress != Loaded {
			out = append(out, b)
		}
	}
	slices.SortStableFunc(out, func(x, y *Batch) int {
		return int(a.kind(y.Step.Place)) - int(a.kind(x.Step.Place))
	})
	return out
}

// pass books the spinner and a shelf for a batch that goes first.
func (a *adviser) pass(b *Batch, spin, dry []time.Time) {
	r, ok := a.s.Recipe(b.Crop)
	if !ok {
		return
	}
	at := a.now
	if due, ok := b.Step.DueAt(); ok {
		at = later(at, due)
	}
	if a.kind(b.Step.Place) == Wash && len(spin) > 0 && r.Spin > 0 {
		slices.SortFunc(spin, time.Time.Compare)
		at = later(at, spin[0]).Add(r.Spin)
		spin[0] = at
	}
	if len(dry) > 0 && r.Dry > 0 {
		slices.SortFunc(dry, time.Time.Compare)
		dry[0] = later(at, dry[0]).Add(r.Dry)
	}
}

func later(a, b time.Time) time.Time {
	if a.After(b) {
		return a
	}
	return b
}

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
	to, free := a.s.FreeSlotOf(k, 0)
	if !free {
		return
	}
	cmd := StartChore{Kind: c, To: to}
	d, no := Decide(a.s, cmd, a.now)
	p := Prompt{Act: ActChore, Chore: c, From: Nowhere, To: to, At: a.now,
		Hands: a.s.Site.HandsAtStart(to.Station), Command: cmd, rank: rankChore}
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
		p.Act, p.At, p.Command, p.To = ActResume, a.now, Resume{At: st.Place}, st.Place
	case st.Planned > 0:
		p.At, _ = st.DueAt()
	default:
		p.At, p.rank = st.Started.Add(a.s.Site.HandTime(st.Place.Station, c.Trays)), rankHand
	}
	a.offer(p)
}
