package line

import (
	"cmp"
	"slices"
	"strings"
	"time"

	"shedbell/line/say"
	"shedbell/recipes"
)

// PastBatches is how many batches of earlier days can still be tasted: some two
// months of a small shed. KeptTastings bounds what suggestions are made from.
const (
	PastBatches  = 400
	KeptTastings = 2000
)

// TasteBatch judges a packed batch, of this day or an earlier one. What it is
// bound to, Tasting.Ran, is filled in here.
type TasteBatch struct {
	Batch   int    // the batch's number; 0: look it up by name
	Name    string // a lot, or the name of a batch
	Tasting recipes.Tasting
}

// TastingMade is a tasting, bound to how its batch ran.
type TastingMade struct {
	Batch   int
	Tasting recipes.Tasting
}

// PackedBatch is a batch that can be tasted, with how it ran.
type PackedBatch struct {
	ID       int
	Trays    int
	Packages int
	NetG     float64
	NetBy    Source
	Ran      recipes.Ran
}

// Packed lists the batches that can be tasted, the one packed last at the end.
func (s *State) Packed() []PackedBatch {
	today := s.packedToday()
	out := make([]PackedBatch, 0, len(s.Past)+len(today))
	return append(append(out, s.Past...), today...)
}

func (s *State) packedToday() []PackedBatch {
	var out []PackedBatch
	for i := range s.Batches {
		b := &s.Batches[i]
		if b.Lot == "" || b.Ran == nil || b.Fate != OnLine && b.Fate != Cold {
			continue
		}
		ran := *b.Ran
		ran.Crop, ran.Lot = b.Crop, b.Lot
		date, _, _ := cutLast(b.Lot, "-")
		ran.Batch = b.Name() + " of " + date
		out = append(out, PackedBatch{ID: b.ID, Trays: b.Trays, Packages: b.Packages, NetG: b.NetG, NetBy: b.NetBy, Ran: ran})
	}
	slices.SortStableFunc(out, func(a, b PackedBatch) int {
		return cmp.Or(a.Ran.Packed.Compare(b.Ran.Packed), cmp.Compare(a.ID, b.ID))
	})
	return out
}

// LastPacked is the batch that was packed last; false when none can be tasted.
func (s *State) LastPacked() (PackedBatch, bool) {
	all := s.packedToday()
	if len(all) == 0 {
		all = s.Past
	}
	if len(all) == 0 {
		return PackedBatch{}, false
	}
	return all[len(all)-1], true
}

func cutLast(s, sep string) (before, after string, found bool) {
	if i := strings.LastIndex(s, sep); i >= 0 {
		return s[:i], s[i+len(sep):], true
	}
	return s, "", false
}

// TastingsOf lists the tastings of a batch, oldest first.
func (s *State) TastingsOf(ran *recipes.Ran) []recipes.Tasting {
	var out []recipes.Tasting
	for i := range s.Tastings {
		if s.Tastings[i].Ran.Batch == ran.Batch {
			out = append(out, s.Tastings[i])
		}
	}
	return out
}

func (c TasteBatch) decide(d *draft) *Refusal {
	packed := d.s.Packed()
	found, no := d.findPacked(c, packed)
	if no != nil {
		return no
	}
	t := c.Tasting
	t.At = d.now
	if t.Stage == "" {
		t.Stage = stageOf(packed[found].Ran.Packed, d.now)
	}
	t, err := recipes.Bind(t, packed[found].Ran.Batch, []recipes.Ran{packed[found].Ran})
	if err != nil {
		return refuse(RuleValue, "refusal.because", err)
	}
	d.undo = say.New("undo.taste", t.Ran.Called())
	d.emit(TastingMade{Batch: packed[found].ID, Tasting: t})
	return nil
}

// findPacked looks the batch up, by number or by what people call it.
func (d *draft) findPacked(c TasteBatch, packed []PackedBatch) (int, *Refusal) {
	if c.Batch != 0 {
		if i := slices.IndexFunc(packed, func(p PackedBatch) bool { return p.ID == c.Batch }); i >= 0 {
			return i, nil
		}
		if b := d.s.Batch(c.Batch); b != nil {
			return 0, refuse(RuleOrder, "line.taste-unpacked", b.Label())
		}
		return 0, refuse(RuleUnknown, "line.taste-no-batch", c.Batch)
	}
	name := strings.TrimSpace(c.Name)
	for i := len(d.s.Batches) - 1; i >= 0; i-- { // today's are called by their short name
		if b := &d.s.Batches[i]; strings.EqualFold(b.Name(), name) {
			c.Batch = b.ID
			return d.findPacked(c, packed)
		}
	}
	all := make([]recipes.Ran, len(packed))
	for i := range packed {
		all[i] = packed[i].Ran
	}
	bound, err := recipes.Bind(recipes.Tasting{Wetness: 3}, name, all)
	if err != nil {
		return 0, refuse(RuleUnknown, "refusal.because", err)
	}
	return slices.IndexFunc(packed, func(p PackedBatch) bool { return p.Ran.Batch == bound.Ran.Batch }), nil
}

// stageOf is when a tasting was made, by how long ago the batch was packed.
func stageOf(packed, now time.Time) recipes.Stage {
	switch days := int(midnight(now).Sub(midnight(packed.In(now.Location()))).Hours()+12) / 24; days {
	case 0:
		return recipes.AfterPacking
	case 1:
		return recipes.NextDay
	}
	return recipes.LastOpened
}

func midnight(t time.Time) time.Time {
	return time.Date(t.Year(), t.Month(), t.Day(), 0, 0, 0, 0, t.Location())
}

// The list is copied, as an earlier state may go another
// way.
func (e TastingMade) apply(s *State, _ Record) {
	kept := s.Tastings
	if len(kept) >= KeptTastings {
		kept = kept[len(kept)-KeptTastings+1:]
	}
	s.Tastings = append(slices.Clip(kept), e.Tasting)
}

// keepPacked remembers the packed batches of a day that ends.
func (s *State) keepPacked() {
	past := s.Packed()
	s.Past = past[max(0, len(past)-PastBatches):]
}

// noteRan adds what a batch's step has run, before it ends or begins afresh, to
// what the batch has been through. A machine that switches itself off has not run
// longer than its countdown.
func (s *State) noteRan(b *Batch, at time.Time) {
	step := &b.Step
	st := &s.Site.Stations[step.Place.Station]
	if !step.Active() || st.Kind != Wash && st.Kind != Spin && st.Kind != Dry {
		return
	}
	ran := recipes.Ran{}
	if b.Ran != nil {
		ran = *b.Ran
	}
	took := step.Ran(at)
	if step.ByHand && st.Kind == Spin {
		return // nobody knows what spin that was worth
	}
	if s.hasLoad(step.Load) && s.Site.Panel.Loads[step.Load].SelfOff && st.Kind == Spin {
		took = min(took, step.Planned)
	}
	r, _ := s.Book.Revision(b.Crop, step.Revision)
	ran.Revision = step.Revision
	switch st.Kind {
	case Wash:
		drain := min(r.Drain, took)
		rinse := min(r.Rinse, took-drain)
		ran.Drain, ran.Rinse, ran.Soak = ran.Drain+drain, ran.Rinse+rinse, ran.Soak+took-drain-rinse
	case Spin:
		ran.Spin, ran.SpinRamp = ran.Spin+took, ran.SpinRamp+min(r.WithDefaults().SpinRamp, took)
	case Dry:
		ran.Dry, ran.Fan = ran.Dry+took, s.fanOf(st, step)
		ran.Air, _ = s.AirNow(at)
	}
	b.Ran = &ran
}

// fanOf is the fan setting that a dry step runs at: empty where the station has no
// fans to speak of, off where it does without them.
func (s *State) fanOf(st *Station, step *Step) string {
	switch {
	case s.hasLoad(step.Load):
		return s.Site.Panel.Loads[step.Load].Settings[step.Setting].Name
	case st.Load != NoLoad:
		return recipes.FanOff
	}
	return ""
}

// notePacked says when a batch was packed.
func (b *Batch) notePacked(at time.Time) {
	ran := recipes.Ran{}
	if b.Ran != nil {
		ran = *b.Ran
	}
	ran.Packed = at
	b.Ran = &ran
}

// recipeFaults puts what is wrong with a recipe into one refusal.
func recipeFaults(faults []recipes.Fault) *Refusal {
	parts := make([]say.Sentence, len(faults))
	for i, f := range faults {
		parts[i] = say.New("line.recipe-fault", say.New("recipes-setting."+strings.ReplaceAll(f.Key, "_", "-")), f.Problem, f.Mend)
	}
	return refuse(RuleValue, "refusal.because", say.Join(parts, "; "))
}
