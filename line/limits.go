package line

import (
	"shedbell/line/say"
	"strings"
	"time"
)

// Bound is on which side of a value a limit lies.
type Bound string

// Bounds.
const (
	AtMost  Bound = "at most"
	AtLeast Bound = "at least"
)

// Says is the word for it.
func (b Bound) Says() say.Sentence {
	if b == AtLeast {
		return say.New("bound.at-least")
	}
	return say.New("bound.at-most")
}

// Limit is one published or chosen bound for a reading, with where it comes from
// and what it covers. One for a strength counts for surfaces that were sanitized,
// too; one for a surface in minutes is for how long it stayed wet. A record shows the value beside it; whether a lot may be
// sold is not decided by it.
type Limit struct {
	Kind    EntryKind
	Use     Use    // strength: what the sanitizer is for; empty: any use
	Product string // strength: a word in the product's name; empty: any product
	Bound   Bound
	Value   float64
	Unit    Unit
	Source  string
	Scope   string

	ID string `json:",omitempty"` // of a published one, by which its source and scope are said
}

// published fills in what a published limit says of itself.
func (l Limit) published(id string) Limit {
	l.ID = id
	l.Source, l.Scope = l.SaysSource().String(), l.SaysScope().String()
	return l
}

// SaysSource is where the limit stands.
func (l *Limit) SaysSource() say.Sentence {
	if l.ID == "" {
		return say.Of(l.Source)
	}
	return say.New("limit-source." + l.ID)
}

// SaysScope is what it covers.
func (l *Limit) SaysScope() say.Sentence {
	if l.ID == "" {
		return say.Of(l.Scope)
	}
	return say.New("limit-scope." + l.ID)
}

// KeepFor is the limit of the time that records are kept.
func (l *Limits) KeepFor() Limit {
	return Limit{Kind: "records", Bound: AtLeast, Value: l.Retain(), Unit: UnitYears}.published("retain")
}

// Limits are what the line file says about records. The zero value means the
// defaults.
type Limits struct {
	Location    string  // of the farm, for the heads of records
	RetainYears float64 // how long records are kept; 0: the default
	List        []Limit // in place of the default for the same thing, or beside it
}

// DefaultRetainYears is how long records are kept where nothing else is said, and
// the least that a line file may say.
const DefaultRetainYears = 2

// DefaultLimits are what is shown where the line file says nothing. They are
// starting points: the product's label and the local inspector decide.
func DefaultLimits() []Limit {
	return []Limit{
		Limit{Kind: EntryFridge, Bound: AtMost, Value: 5, Unit: UnitC}.published("food-code"),
		Limit{Kind: EntryStrength, Use: UseWater, Product: "peroxyacetic", Bound: AtMost, Value: 80, Unit: UnitPPM}.published("peracid-food"),
		Limit{Kind: EntryStrength, Use: UseWater, Product: "peroxyacetic", Bound: AtMost, Value: 100, Unit: UnitPPM}.published("peracid-raw"),
		Limit{Kind: EntryStrength, Use: UseWater, Product: "peroxide", Bound: AtMost, Value: 59, Unit: UnitPPM}.published("peroxide-food"),
		Limit{Kind: EntryStrength, Use: UseSurface, Product: "chlor", Bound: AtMost, Value: 200, Unit: UnitPPM}.published("chlorine"),
		Limit{Kind: EntryWaterTest, Bound: AtMost, Value: 0, Unit: UnitCFU}.published("water-test"),
	}
}

// All are the limits in force: the line file's own, then the defaults that it does
// not replace.
func (l *Limits) All() []Limit {
	out := append([]Limit{}, l.List...)
	for _, d := range DefaultLimits() {
		if !replaced(l.List, d) {
			out = append(out, d)
		}
	}
	return out
}

// replaced says whether the line file has its own limit for what d limits.
func replaced(own []Limit, d Limit) bool {
	for _, o := range own {
		if o.Kind == d.Kind && o.Use == d.Use && strings.EqualFold(o.Product, d.Product) && o.Bound == d.Bound {
			return true
		}
	}
	return false
}

// Retain is how many years records are kept.
func (l *Limits) Retain() float64 {
	if l.RetainYears > 0 {
		return l.RetainYears
	}
	return DefaultRetainYears
}

// Beside is a reading beside one limit.
type Beside struct {
	Limit Limit
	Value float64 // in the limit's unit
	Past  bool    // the value lies on the far side of the limit
}

// AllLimits are those of the records with the contact time of the line's own
// stations, which is written down there.
func (s *Site) AllLimits() []Limit {
	out := s.Limits.All()
	if c := s.ContactTime(); c > 0 {
		out = append(out, Limit{Kind: EntrySurface, Use: UseSurface, Bound: AtLeast, Value: c.Minutes(), Unit: UnitMinutes}.published("contact"))
	}
	return out
}

// covers says whether the limit is for such an entry.
func (l *Limit) covers(e *Entry) bool {
	kind := l.Kind == e.Kind || l.Kind == EntryStrength && e.Kind == EntrySurface
	return kind && (l.Use == "" || l.Use == e.Use) && strings.Contains(strings.ToLower(e.Product), strings.ToLower(l.Product))
}

// reading is what of the entry the limit is for, in the limit's unit.
func (l *Limit) reading(e *Entry) (v float64, ok bool) {
	if l.Kind == EntrySurface && l.Unit == UnitMinutes {
		return e.Contact.Minutes(), e.Contact > 0
	}
	if e.Unit == UnitNone {
		return 0, false
	}
	return Convert(e.Value, e.Unit, l.Unit)
}

// Beside puts what an entry says beside every limit that is for it.
func (s *Site) Beside(e *Entry) []Beside { return beside(e, s.AllLimits()) }

// PastLimits are those of a line file that another has followed.
type PastLimits struct {
	Until  int64 // number of the record from which on they did not hold
	Limits []Limit
}

// Beside puts what a kept entry says beside every limit that held when it was made.
func (s *State) Beside(k *KeptEntry) []Beside {
	for i := range s.PastLimits {
		if k.Seq < s.PastLimits[i].Until {
			return beside(&k.Entry, s.PastLimits[i].Limits)
		}
	}
	return s.Site.Beside(&k.Entry)
}

// keepLimits keeps the limits of the line file that a record replaces, as long as an
// entry was made under them.
func (s *State) keepLimits(until int64) {
	var kept []PastLimits
	for _, p := range s.PastLimits {
		if len(s.Entries) > 0 && s.Entries[0].Seq < p.Until {
			kept = append(kept, p)
		}
	}
	if len(s.Entries) > 0 {
		kept = append(kept, PastLimits{Until: until, Limits: s.Site.AllLimits()})
	}
	s.PastLimits = kept
}

func beside(e *Entry, limits []Limit) []Beside {
	var out []Beside
	for _, lim := range limits {
		v, ok := lim.reading(e)
		if !ok || !lim.covers(e) {
			continue
		}
		const tiny = 1e-9 // 41 F is 5 C, whatever binary fractions say
		out = append(out, Beside{Limit: lim, Value: v,
			Past: lim.Bound == AtMost && v > lim.Value+tiny || lim.Bound == AtLeast && v < lim.Value-tiny})
	}
	return out
}

// ContactTime is how long the surfaces of a site have to stay wet: the longest of
// its sanitize stations.
func (s *Site) ContactTime() time.Duration {
	var most time.Duration
	for _, i := range s.StationsOf(Sanitize) {
		most = max(most, s.Stations[i].Contact)
	}
	return most
}
