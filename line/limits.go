package line

import (
	"slices"
	"strings"
	"time"

	"shedbell/line/chemical"
	"shedbell/line/say"
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
	Product string // strength: what is in the product, by any name; empty: any product
	Bound   Bound
	Value   float64
	Unit    Unit
	Source  string
	Scope   string

	ID    string `json:",omitempty"` // of a published one, by which its source and scope are said
	Label string `json:",omitempty"` // of one that a product's label has: the name on it
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
	Location    string      // of the farm, for the heads of records
	RetainYears float64     // how long records are kept; 0: the default
	List        []Limit     // in place of the default for the same thing, or beside it
	Sanitizers  []Sanitizer `json:",omitempty"`
}

// DefaultRetainYears is how long records are kept where nothing else is said, and
// the least that a line file may say.
const DefaultRetainYears = 2

// DefaultLimits are what is shown where the line file says nothing. They are
// starting points: the product's label and the local inspector decide.
func DefaultLimits() []Limit {
	return []Limit{
		Limit{Kind: EntryFridge, Bound: AtMost, Value: 5, Unit: UnitC}.published("food-code"),
		strength(UseWater, chemical.Peracid, 80, "peracid-food"),
		strength(UseWater, chemical.Peroxide, 59, "peroxide-food"),
		strength(UseSurface, chemical.Peracid, 500, "peracid-surface"),
		strength(UseSurface, chemical.Peroxide, 1100, "peroxide-surface"),
		strength(UseSurface, chemical.SodiumHypochlorite, 200, "chlorine"),
		strength(UseSurface, chemical.Quat, 200, "quat-surface"),
		Limit{Kind: EntryWaterTest, Bound: AtMost, Value: 0, Unit: UnitCFU}.published("water-test"),
	}
}

// strength is the most that is published of a chemical for a use.
func strength(use Use, of chemical.ID, ppm float64, id string) Limit {
	return Limit{Kind: EntryStrength, Use: use, Product: string(of), Bound: AtMost, Value: ppm, Unit: UnitPPM}.published(id)
}

// All are the limits in force: the line file's own, then the defaults that it does
// not replace. A looser one stands beside the default.
func (l *Limits) All() []Limit {
	out := append([]Limit{}, l.List...)
	for _, d := range DefaultLimits() {
		if !replaced(l.List, d) {
			out = append(out, d)
		}
	}
	for i := range l.Sanitizers {
		out = append(out, l.Sanitizers[i].limits()...)
	}
	return out
}

// replaced says whether the line file has its own limit for what d limits, which lets
// no more pass.
func replaced(own []Limit, d Limit) bool {
	return slices.ContainsFunc(own, func(o Limit) bool {
		v, ok := Convert(o.Value, o.Unit, d.Unit)
		tight := v <= d.Value
		if d.Bound == AtLeast {
			tight = v >= d.Value
		}
		return ok && tight && o.Kind == d.Kind && o.Use == d.Use && o.Bound == d.Bound &&
			(o.Product == d.Product || d.of(chemical.In(o.Product)))
	})
}

// of says whether the limit is for an active ingredient. Both hypochlorites count as
// available chlorine.
func (l *Limit) of(id chemical.ID) bool {
	own := chemical.In(l.Product)
	return own != chemical.Unknown && (own == id || own.Chlorine() && id.Chlorine())
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

	// None says that no limit is known for the chemical in this use.
	None bool `json:",omitempty"`
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
	if !kind || l.Use != "" && l.Use != e.Use {
		return false
	}
	if l.Label != "" {
		return strings.EqualFold(l.Label, e.Product)
	}
	if l.Product == "" || l.of(e.chemical()) {
		return true
	}
	return chemical.In(l.Product) == chemical.Unknown && strings.Contains(strings.ToLower(e.Product), strings.ToLower(l.Product))
}

// chemical is what is in the product of an entry. Those made before that was kept have
// the product's name only.
func (e *Entry) chemical() chemical.ID {
	if e.Chemical != chemical.Unknown {
		return e.Chemical
	}
	return chemical.In(e.Product)
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
		over := lim.Bound == AtMost && v > lim.Value+tiny
		if e.Kind == EntrySurface && e.Rinsed {
			over = false // the most is for what is not rinsed afterwards
		}
		out = append(out, Beside{Limit: lim, Value: v, Past: over || lim.Bound == AtLeast && v < lim.Value-tiny})
	}
	if e.Kind == EntryStrength && !slices.ContainsFunc(out, func(b Beside) bool { return b.Limit.Product != "" }) {
		out = append(out, Beside{Limit: Limit{Kind: e.Kind, Use: e.Use, Product: e.Product, Unit: e.Unit}, Value: e.Value, None: true})
	}
	return out
}

// unsafe is the limit that a surface of such an entry is beyond: too strong without a
// rinse, or too weak.
func (s *Site) unsafe(e *Entry) (Beside, bool) {
	for _, b := range s.Beside(e) {
		if b.Past && b.Limit.Kind == EntryStrength {
			return b, true
		}
	}
	return Beside{}, false
}

// NeedsRinse says whether surfaces have to be rinsed with drinking water before they
// count as clean, as a sanitizer was read stronger than what may stay on them.
func (s *Site) NeedsRinse(strength *Entry) (Beside, bool) {
	b, ok := s.unsafe(strength)
	return b, ok && b.Limit.Bound == AtMost
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
