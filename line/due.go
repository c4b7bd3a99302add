package line

import (
	"cmp"
	"slices"
	"time"

	"shedbell/line/say"
)

// Allotment is what brings an order that is due today: what is cold of its crop, then
// what is furthest on the line, then what still stands uncut. Orders that are due first
// take first.
type Allotment struct {
	Order   SaleOrder
	Batches []int     // that bring it and are not cold yet
	ColdAt  time.Time // when the last of it got cold; zero while some of it is not
	ShortG  float64   // what nothing brings, in grams
}

// Allotments lists the orders that are due at a time of the open day, the first due in
// front.
func (s *State) Allotments() []Allotment {
	var out []Allotment
	for _, o := range s.Orders {
		if s.dueToday(&o) {
			out = append(out, Allotment{Order: o})
		}
	}
	if len(out) == 0 {
		return nil
	}
	slices.SortStableFunc(out, func(a, b Allotment) int { return a.Order.At.Compare(b.Order.At) })
	order := make([]*Batch, len(s.Batches))
	left := make(map[int]float64, len(s.Batches))
	for i := range s.Batches {
		order[i] = &s.Batches[i]
		left[s.Batches[i].ID] = s.grams(&s.Batches[i]) * s.unsold(s.Batches[i].Lot)
	}
	slices.SortStableFunc(order, func(a, b *Batch) int { return cmp.Compare(s.wayOn(b), s.wayOn(a)) })
	for i := range out {
		a := &out[i]
		need := s.ordered(&a.Order)
		for _, b := range order {
			if b.Crop != a.Order.Crop || left[b.ID] <= 0 || need <= 0 {
				continue
			}
			take := min(need, left[b.ID])
			left[b.ID] -= take
			need -= take
			if b.Fate != Cold {
				a.Batches = append(a.Batches, b.ID)
			}
			a.ColdAt = later(a.ColdAt, b.ColdAt)
		}
		if a.ShortG = need; need > 0 || len(a.Batches) > 0 {
			a.ColdAt = time.Time{}
		}
	}
	return out
}

// wayOn is how far a batch has come.
func (s *State) wayOn(b *Batch) int {
	switch b.Fate {
	case Cold:
		return int(kindCount)
	case OnLine:
		return int(s.Site.Stations[b.Step.Place.Station].Kind)
	}
	return -1
}

// grams is what a batch brings, by the recipe while it is not packed.
func (s *State) grams(b *Batch) float64 {
	if b.Fate == Scrapped || b.Fate == Merged {
		return 0
	}
	r, _ := s.Recipe(b.Crop)
	if b.Lot == "" {
		return r.YieldG * float64(b.Trays)
	}
	return max(b.NetG, float64(b.Packages)*r.PackageG)
}

// ordered is what an order asks for, in grams.
func (s *State) ordered(o *SaleOrder) float64 {
	packages, netG := o.Rest()
	if o.NetG > 0 {
		return max(0, o.NetG-o.FilledG)
	}
	r, _ := s.Recipe(o.Crop)
	return netG + r.PackageG*float64(packages)
}

// unsold is the share of a lot that has not been sold; all of what is in none.
func (s *State) unsold(lot string) float64 {
	left, ok := s.LotLeft(lot)
	if !ok {
		return 1
	}
	return float64(max(0, left)) / float64(max(1, left+s.gone(lot)))
}

// settleDues has each batch due by what it is needed for first: its line of the day
// sheet, or an order.
func (s *State) settleDues() {
	due := make(map[int]time.Time, len(s.Batches))
	for _, a := range s.Allotments() {
		for _, id := range a.Batches {
			if _, earlier := due[id]; !earlier {
				due[id] = a.Order.At
			}
		}
	}
	own := false
	for i := range s.Batches {
		b := &s.Batches[i]
		at := b.SheetDue
		if by, ok := due[b.ID]; ok && (at.IsZero() || by.Before(at)) {
			at = by
		}
		if b.Fate != Cold && !at.Equal(b.Due) { // what is cold keeps what it was for
			if !own {
				s.Batches, own = slices.Clone(s.Batches), true
				b = &s.Batches[i]
			}
			b.Due = at
		}
	}
}

// NoteRisk says that nine days in ten a due time is not kept, or is again. A forecast
// finds it, and the line keeps it, so that people are alerted and the records tell.
type NoteRisk struct{ Risk Risk }

// Risk is a due time that is likely to be missed.
type Risk struct {
	Crop  string
	Due   time.Time
	Sure  time.Time     `json:",omitzero"`  // by when it is cold in nine days of ten; zero: in time after all
	First time.Time     `json:",omitzero"`  // the same if what is due goes first; zero: that does not save it
	Costs time.Duration `json:",omitempty"` // how much longer the day takes then
}

// Slack is how long before its due time it is cold nine days in ten; below zero, how
// much later.
func (r *Risk) Slack() time.Duration { return r.Due.Sub(r.Sure) }

// RiskNoted is a risk that has come up or gone.
type RiskNoted struct{ Risk Risk }

// riskMoves is by how much a risk has to change to be noted again.
const riskMoves = time.Minute

// StandingRisk is a risk with when it came up.
type StandingRisk struct {
	Risk
	Since time.Time
}

func (c NoteRisk) decide(d *draft) *Refusal {
	i := slices.IndexFunc(d.s.Risks, func(r StandingRisk) bool { return r.Crop == c.Risk.Crop && r.Due.Equal(c.Risk.Due) })
	switch {
	case d.s.Sheet == nil:
		return refuse(RuleDay, "line.no-day")
	case !writable(c.Risk.Sure) || !writable(c.Risk.Due) || !writable(c.Risk.First):
		return refuse(RuleValue, "line.due-year", say.Crop(printable(c.Risk.Crop)), c.Risk.Due.Year())
	case c.Risk.Sure.IsZero() && i < 0, i >= 0 && c.Risk.Sure.Sub(d.s.Risks[i].Sure).Abs() < riskMoves && d.s.Risks[i].First.IsZero() == c.Risk.First.IsZero():
		return refuse(RuleNothing, "line.so-already")
	case !c.Risk.Sure.IsZero() && !c.Risk.Sure.After(c.Risk.Due):
		return refuse(RuleValue, "line.no-risk", say.Crop(printable(c.Risk.Crop)))
	}
	d.emit(RiskNoted(c))
	return nil
}

func (e RiskNoted) apply(s *State, r Record) {
	since := r.At
	var rest []StandingRisk
	for _, o := range s.Risks {
		if o.Crop == e.Risk.Crop && o.Due.Equal(e.Risk.Due) {
			since = o.Since
			continue
		}
		rest = append(rest, o)
	}
	if !e.Risk.Sure.IsZero() {
		rest = append(rest, StandingRisk{e.Risk, since})
	}
	s.Risks = rest
}

// lateAlarms are the due times that are likely to be missed, as long as something of
// them is not cold.
func (s *State) lateAlarms() []Alarm {
	var out []Alarm
	for _, r := range s.Risks {
		for i := range s.Batches {
			b := &s.Batches[i]
			if b.Crop == r.Crop && b.Due.Equal(r.Due) && (b.Fate == Waiting || b.Fate == OnLine) {
				out = append(out, Alarm{Kind: AlarmLate, Priority: Soon, Place: Nowhere, Batch: b.ID, Circuit: -1, Load: NoLoad, Since: r.Since, Until: r.Due})
				break
			}
		}
	}
	return out
}

// RiskOf is the risk that an alarm is about.
func (s *State) RiskOf(a *Alarm) (Risk, bool) {
	for _, r := range s.Risks {
		if b := s.Batch(a.Batch); b != nil && r.Crop == b.Crop && r.Due.Equal(a.Until) {
			return r.Risk, true
		}
	}
	return Risk{}, false
}
