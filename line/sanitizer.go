package line

import (
	"slices"
	"strings"
	"time"

	"shedbell/line/chemical"
)

// Sanitizer is a product as its label has it, chosen once in the line file. What is in it
// decides its limits and cautions, whatever it is called.
type Sanitizer struct {
	Name     string // on the label
	Holds    chemical.ID
	StockPPM float64       // of what is in the bottle; 0: not said
	Uses     []Use         // what the label is for
	LeastPPM float64       // by the label, once mixed; 0: not said
	MostPPM  float64       // the same
	Contact  time.Duration // how long the label has surfaces stay wet; 0: not said
	Expires  string        // ISO 8601 date, the last on which it may be used; empty: not said
}

// Sanitizer is a product of the line file, by its name.
func (l *Limits) Sanitizer(name string) (Sanitizer, bool) {
	i := slices.IndexFunc(l.Sanitizers, func(s Sanitizer) bool { return strings.EqualFold(s.Name, strings.TrimSpace(name)) })
	if i < 0 {
		return Sanitizer{}, false
	}
	return l.Sanitizers[i], true
}

// Holds is what is in a product: as the line file has it, else by its name.
func (l *Limits) Holds(product string) chemical.ID {
	if s, ok := l.Sanitizer(product); ok {
		return s.Holds
	}
	return chemical.In(product)
}

// For are the products for a use.
func (l *Limits) For(use Use) []Sanitizer {
	return slices.DeleteFunc(slices.Clone(l.Sanitizers), func(s Sanitizer) bool { return !slices.Contains(s.Uses, use) })
}

// limits are what a product's label says of its strength and contact time.
func (s *Sanitizer) limits() (out []Limit) {
	add := func(kind EntryKind, use Use, b Bound, v float64, unit Unit) {
		if v > 0 {
			out = append(out, Limit{Kind: kind, Use: use, Product: string(s.Holds), Label: s.Name, Bound: b, Value: v, Unit: unit}.published("label"))
		}
	}
	for _, use := range s.Uses {
		add(EntryStrength, use, AtLeast, s.LeastPPM, UnitPPM)
		add(EntryStrength, use, AtMost, s.MostPPM, UnitPPM)
		if use == UseSurface {
			add(EntrySurface, use, AtLeast, s.Contact.Minutes(), UnitMinutes)
		}
	}
	return out
}

// ContactTime is how long the surfaces have to stay wet with what was mixed last: as its
// label and the sanitize stations have it, whichever is longer. Before anything is mixed it
// is the longest of what there is.
func (s *State) ContactTime() time.Duration { return max(s.Site.ContactTime(), s.labelContact()) }

func (s *State) labelContact() (most time.Duration) {
	mixed, ok := s.SurfaceStrength()
	for _, one := range s.Site.Limits.For(UseSurface) {
		if !ok || strings.EqualFold(one.Name, mixed.Entry.Product) {
			most = max(most, one.Contact)
		}
	}
	return most
}

// Expired says whether an entry was made with a product past its date, as the line file has
// it.
func (l *Limits) Expired(e *Entry) (Sanitizer, bool) {
	s, ok := l.Sanitizer(e.Product)
	return s, ok && s.Expires != "" && e.Made.Format(time.DateOnly) > s.Expires
}
