package records

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"

	"shedbell/line"
	"shedbell/line/say"
)

// Lot is a lot as it was packed and sold.
type Lot struct {
	Code     string
	Crop     string
	Date     string
	Packed   time.Time
	Packages int
	NetG     float64
	Sold     int
	Thrown   int

	PackagesBy, NetBy line.Source // how they are known: as well as those of its least known batch

	Batches []int
}

// Left is how many packages are neither sold nor thrown away.
func (l *Lot) Left() int { return l.Packages - l.Sold - l.Thrown }

// Lots lists the lots in the order that they were packed.
func (b *Book) Lots() []Lot {
	var out []Lot
	at := map[string]int{}
	for i := range b.Batches {
		bt := &b.Batches[i]
		if bt.Lot == "" || bt.Fate == line.Merged || bt.Fate == line.Scrapped {
			continue
		}
		k, ok := at[bt.Lot]
		if !ok {
			k = len(out)
			at[bt.Lot] = k
			out = append(out, Lot{Code: bt.Lot, Crop: bt.Crop, Date: bt.Date, Packed: bt.Packed})
		}
		l := &out[k]
		l.Packages += bt.Packages
		l.NetG += bt.NetG
		l.PackagesBy, l.NetBy = l.PackagesBy.And(bt.PackagesBy), l.NetBy.And(bt.NetBy)
		l.Batches = append(l.Batches, bt.ID)
	}
	for i := range b.Sales {
		if k, ok := at[b.Sales[i].Sold.Lot]; ok {
			out[k].Sold += b.Sales[i].Sold.Packages
		}
	}
	for _, e := range b.Thrown {
		if k, ok := at[e.Lot]; ok {
			out[k].Thrown += e.Packages
		}
	}
	return out
}

// Trace is one step back and one step forward from a lot.
type Trace struct {
	Lot       Lot
	Batches   []Batch
	Revisions []int // recipe revisions that the batches ran on
	Sowings   []Sowing
	Vessels   []Vessel // waters and baskets
	People    []string
	Packers   []string
	Entries   []line.KeptEntry // safety records about the lot, and of its day
	Sales     []line.Sale
}

// UnknownLotError is returned for a lot that the records do not hold.
type UnknownLotError struct {
	Lot  string
	Near []string // codes that look like it
}

func (e *UnknownLotError) Error() string {
	s := fmt.Sprintf("no lot %q has been packed", e.Lot)
	if len(e.Near) > 0 {
		s += "; known are " + strings.Join(e.Near, ", ")
	}
	return s
}

// lot finds a lot, however its letters are written.
func (b *Book) lot(code string) (Lot, error) {
	code = strings.TrimSpace(code)
	all := b.Lots()
	for _, l := range all {
		if strings.EqualFold(l.Code, code) {
			return l, nil
		}
	}
	e := &UnknownLotError{Lot: code}
	for i := len(all) - 1; i >= 0 && len(e.Near) < 3; i-- {
		if code != "" && (strings.HasPrefix(all[i].Code, code) || strings.HasSuffix(all[i].Code, "-"+code)) {
			e.Near = append(e.Near, all[i].Code)
		}
	}
	if len(e.Near) == 0 && len(all) > 0 {
		e.Near = []string{all[len(all)-1].Code}
	}
	return Lot{}, e
}

// Trace follows a lot one step back and one step forward.
func (b *Book) Trace(code string) (Trace, error) {
	l, err := b.lot(code)
	if err != nil {
		return Trace{}, err
	}
	t := Trace{Lot: l}
	for _, id := range l.Batches {
		t.batch(b, b.Batch(id))
	}
	for i := range b.Entries {
		e := &b.Entries[i]
		if e.Entry.Lot == l.Code || e.Entry.Lot == "" && e.Entry.Made.Format(time.DateOnly) == l.Date {
			t.Entries = append(t.Entries, *e)
		}
	}
	for i := range b.Sales {
		if b.Sales[i].Sold.Lot == l.Code {
			t.Sales = append(t.Sales, b.Sales[i])
		}
	}
	return t, nil
}

func (t *Trace) batch(b *Book, bt *Batch) {
	t.Batches = append(t.Batches, *bt)
	add := func(list *[]string, names ...string) {
		for _, n := range names {
			if n != "" && !slices.Contains(*list, n) {
				*list = append(*list, n)
			}
		}
	}
	add(&t.People, bt.By...)
	add(&t.Packers, bt.Packer)
	if bt.Revision > 0 && !slices.Contains(t.Revisions, bt.Revision) {
		t.Revisions = append(t.Revisions, bt.Revision)
	}
	for _, s := range bt.Seeds {
		t.Sowings = append(t.Sowings, b.Sowings[s])
	}
	for _, v := range bt.Vessels {
		t.Vessels = append(t.Vessels, b.Vessels[v])
	}
}

// Recall is all that shared a tub's water or a basket with a lot.
type Recall struct {
	Lot    Lot
	Shared []SharedLot
	// Further is how many more lots shared water or a basket with those; a recall
	// goes on to them if what is wrong can have travelled twice.
	Further []string
	Sales   []line.Sale // of the lot and of the shared lots
}

// SharedLot is a lot that touched the same water or basket.
type SharedLot struct {
	Lot Lot
	How []say.Sentence // which water, which basket
}

// Recall finds what would have to come back with a lot.
func (b *Book) Recall(code string) (Recall, error) {
	l, err := b.lot(code)
	if err != nil {
		return Recall{}, err
	}
	lots := map[string]Lot{}
	for _, x := range b.Lots() {
		lots[x.Code] = x
	}
	r := Recall{Lot: l}
	near := b.touching(l)
	for _, code := range order(near) {
		r.Shared = append(r.Shared, SharedLot{lots[code], near[code]})
	}
	seen := map[string]bool{l.Code: true}
	for code := range near {
		seen[code] = true
	}
	further := map[string][]say.Sentence{}
	for code := range near {
		for next, how := range b.touching(lots[code]) {
			if !seen[next] {
				further[next] = how
			}
		}
	}
	r.Further = order(further)
	for i := range b.Sales {
		if s := &b.Sales[i]; s.Sold.Lot == l.Code || near[s.Sold.Lot] != nil {
			r.Sales = append(r.Sales, *s)
		}
	}
	return r, nil
}

// touching finds the lots that were in a vessel with a lot, and in which.
func (b *Book) touching(l Lot) map[string][]say.Sentence {
	out := map[string][]say.Sentence{}
	for _, id := range l.Batches {
		for _, v := range b.Batch(id).Vessels {
			vessel := &b.Vessels[v]
			for _, other := range vessel.Batches {
				o := b.Batch(other)
				if o == nil {
					continue
				}
				for o.Fate == line.Merged && b.Batch(o.Into) != nil { // its greens went on in another
					o = b.Batch(o.Into)
				}
				if o.Lot == "" || o.Lot == l.Code {
					continue
				}
				how := vessel.Says()
				same := func(s say.Sentence) bool { return s.String() == how.String() }
				if !slices.ContainsFunc(out[o.Lot], same) {
					out[o.Lot] = append(out[o.Lot], how)
				}
			}
		}
	}
	return out
}

// Says names the vessel and since when it was filled or clean.
func (v *Vessel) Says() say.Sentence {
	since := say.DateTime(v.Since)
	if v.Basket {
		return say.New("record-says.basket-since", v.Place, since)
	}
	return say.New("record-says.water-since", v.Place, since)
}

func order(m map[string][]say.Sentence) []string {
	out := make([]string, 0, len(m))
	for code := range m {
		out = append(out, code)
	}
	slices.SortFunc(out, func(a, b string) int { return cmp.Compare(a, b) })
	return out
}
