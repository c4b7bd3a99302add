package line

import (
	"slices"
	"time"

	"shedbell/recipes"
)

// flow is when machines, shelves and hands are expected to come free, after the
// greens that are wet already have had theirs.
type flow struct {
	hands     []time.Time   // per person
	spin, dry []time.Time   // per slot
	late      time.Duration // how much too long wet greens would wait, all together
}

// lookAhead books machines, shelves and hands for the greens that are wet already,
// while one person more is tied up for a while.
func (a *adviser) lookAhead(tiedUp time.Duration) flow {
	hands, _ := a.handsFree()
	person := earliest(hands)
	*person = person.Add(tiedUp)
	f := flow{hands: hands, spin: a.spinFree(), dry: a.shelvesFree(hands)}
	for _, b := range a.wetAhead() {
		a.pass(b, &f)
	}
	return f
}

// sparesHands says whether a person can be tied up by cutting without making wet
// greens wait for a shelf, because nobody packs what is dry.
func (a *adviser) sparesHands() bool {
	if a.spares == nil {
		work := time.Duration(0)
		for i := range a.in.Site.Stations {
			if st := &a.in.Site.Stations[i]; st.Kind == Cut {
				work = max(work, a.advice.HandTime(a.in, Place{i, WholeStation}, "", min(st.SlotTrays, a.s.Site.BatchTrays()), ""))
			}
		}
		ok := work == 0 || len(a.wetAhead()) == 0 || a.lookAhead(work).late <= a.lookAhead(0).late
		a.spares = &ok
	}
	return *a.spares
}

// flows says whether a batch put into the tub now would find its spinner and its
// shelf in time, so that its greens do not wait wet longer than half of what the
// recipe allows. Batches that are wet already go first.
func (a *adviser) flows(b *Batch) bool {
	r, ok := a.s.RecipeOf(b)
	if !ok {
		return true // Decide says what is wrong
	}
	if a.flow == nil {
		f := a.lookAhead(0)
		a.flow = &f
	}
	slack := r.MaxWetWait / 2
	washed := a.now.Add(r.WashTime())
	if len(a.flow.spin) > 0 && r.Spin > 0 {
		free := *earliest(a.flow.spin)
		if free.Sub(washed) > slack {
			return false
		}
		spin, _ := a.spinTime(b, &r)
		washed = later(washed, free).Add(spin)
	}
	return len(a.flow.dry) == 0 || r.Dry == 0 || earliest(a.flow.dry).Sub(washed) <= slack
}

// eachSlot calls f with every slot of a kind that is in use and with what stands
// there, nil where it is free.
func (a *adviser) eachSlot(k Kind, f func(Place, *Batch)) {
	at := make(map[Place]*Batch)
	for i := range a.s.Batches {
		if b := &a.s.Batches[i]; b.Fate == OnLine && a.kind(b.Step.Place) == k {
			at[b.Step.Place] = b
		}
	}
	for i := range a.s.Site.Stations {
		if a.s.Site.Stations[i].Kind != k {
			continue
		}
		for slot := range a.s.Site.Stations[i].Slots {
			if p := (Place{i, slot}); !a.in.IsBroken(p) {
				f(p, at[p])
			}
		}
	}
}

func (a *adviser) spinFree() []time.Time {
	var out []time.Time
	a.eachSlot(Spin, func(_ Place, b *Batch) {
		free := a.now
		if b != nil {
			if at, ok := b.Step.DueAt(); ok {
				free = later(free, at)
			} else if b.Step.Progress == Running {
				free = later(free, a.handEnd(&b.Step, b.Crop, b.Trays))
			}
		}
		out = append(out, free)
	})
	return out
}

// spinTime is how long a spin takes, and whether a person is tied up by it.
func (a *adviser) spinTime(b *Batch, r *recipes.Recipe) (t time.Duration, byHand bool) {
	if i, ok := a.in.Site.first(Spin); ok {
		t = a.advice.HandTime(a.in, Place{i, WholeStation}, b.Crop, b.Trays, "")
	}
	return max(t, r.Spin), t > 0
}

// shelvesFree is when each shelf should come free: when its greens are dry and
// there is a place and a person to pack them.
func (a *adviser) shelvesFree(hands []time.Time) []time.Time {
	tables := a.tablesFree()
	var out []time.Time
	var dry []*Batch
	a.eachSlot(Dry, func(_ Place, b *Batch) {
		if b == nil {
			out = append(out, a.now)
			return
		}
		dry = append(dry, b)
	})
	dryAt := func(b *Batch) time.Time {
		if at, ok := b.Step.DueAt(); ok {
			return later(a.now, at)
		}
		switch b.Step.Progress {
		case Held, Interrupted:
			return a.now.Add(max(0, b.Step.Left(a.now)))
		case Loaded:
			if r, ok := a.s.Recipe(b.Crop); ok {
				return a.now.Add(PlannedTime(a.s, b, b.Step.Place, &r, a.setting(b, b.Step.Place)))
			}
		}
		return a.now
	}
	slices.SortStableFunc(dry, func(x, y *Batch) int { return dryAt(x).Compare(dryAt(y)) })
	for _, b := range dry {
		leaves := dryAt(b)
		if len(tables) > 0 {
			table, person := earliest(tables), earliest(hands)
			leaves = later(leaves, later(*table, *person))
			*table = leaves.Add(a.packTime(b))
			*person = *table
		}
		out = append(out, leaves)
	}
	return out
}

// packTime is how long packing a batch takes the table and a person, from lifting
// it off its shelf until it is in the cold.
func (a *adviser) packTime(b *Batch) time.Duration {
	site := a.in.Site
	t := site.HandsAtEnd(b.Step.Place.Station) + site.Stations[b.Step.Place.Station].Walk
	if i, ok := site.first(Pack); ok {
		t += site.HandsAtStart(i) + a.advice.HandTime(a.s, Place{i, WholeStation}, b.Crop, b.Trays, "") + site.HandsAtEnd(i) + site.Stations[i].Walk
	}
	if i, ok := site.first(Chill); ok {
		t += site.HandsAtStart(i)
	}
	return t
}

// dryTime is how long a batch keeps a shelf, with the hands at both ends.
func (a *adviser) dryTime(b *Batch, r *recipes.Recipe) time.Duration {
	i, ok := a.s.Site.first(Dry)
	if !ok {
		return 0
	}
	at := Place{i, 0}
	if free, ok := a.in.FreeSlotOf(Dry, b.Trays); ok {
		at = free
	}
	return PlannedTime(a.s, b, at, r, a.setting(b, at)) + a.s.Site.HandsAtStart(i) + a.s.Site.HandsAtEnd(i)
}

// tablesFree is when each place at the packing table should come free.
func (a *adviser) tablesFree() []time.Time {
	var out []time.Time
	a.eachSlot(Pack, func(_ Place, b *Batch) {
		free := a.now
		if b != nil && b.Step.Progress == Running {
			free = later(free, a.handEnd(&b.Step, b.Crop, b.Trays))
		}
		out = append(out, free)
	})
	return out
}

// handsFree is when each person of the day should be through with the work by hand that
// goes on, or comes, and how many pieces of it there are.
func (a *adviser) handsFree() (hands []time.Time, busy int) {
	hands = a.s.comesFree(a.now)
	count := func(step *Step, crop string, trays int) {
		if step.Progress != Running || a.s.Site.StationOf(step).Hands != HandsThroughout {
			return
		}
		if end := a.handEnd(step, crop, trays); end.After(step.Started) {
			busy++
			free := earliest(hands)
			*free = later(*free, end)
		}
	}
	for i := range a.s.Batches {
		if b := &a.s.Batches[i]; b.Fate == OnLine {
			count(&b.Step, b.Crop, b.Trays)
		}
	}
	for i := range a.s.Chores {
		count(&a.s.Chores[i].Step, a.s.Chores[i].Crop, a.s.Chores[i].Trays)
	}
	return hands, busy
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
func (a *adviser) pass(b *Batch, f *flow) {
	r, ok := a.s.RecipeOf(b)
	if !ok {
		return
	}
	wait := func(from, to time.Time) {
		waited := max(0, to.Sub(from)) + a.s.WetWait(b, a.now)
		f.late += max(0, waited-r.MaxWetWait*3/4)
	}
	at := a.now
	if due, ok := b.Step.DueAt(); ok {
		at = later(at, due)
	}
	if a.kind(b.Step.Place) == Wash && len(f.spin) > 0 && r.Spin > 0 {
		slot := earliest(f.spin)
		spin, byHand := a.spinTime(b, &r)
		start := later(at, *slot)
		if byHand {
			start = later(start, *earliest(f.hands))
			*earliest(f.hands) = start.Add(spin)
		}
		wait(at, start)
		at = start.Add(spin)
		*slot = at
	}
	if len(f.dry) > 0 && r.Dry > 0 {
		slot := earliest(f.dry)
		wait(at, *slot)
		*slot = later(at, *slot).Add(a.dryTime(b, &r))
	}
}

// earliest is the first instant of a list that is not empty.
func earliest(list []time.Time) *time.Time {
	first := &list[0]
	for i := range list {
		if list[i].Before(*first) {
			first = &list[i]
		}
	}
	return first
}

func later(a, b time.Time) time.Time {
	if a.After(b) {
		return a
	}
	return b
}
