package records

import (
	"slices"
	"strings"
	"time"

	"shedbell/line"
)

// SignOff is a person who was signed off for the stations of a kind, whether it
// stands or has been taken back.
type SignOff struct {
	Seq       int64
	Person    string
	Station   line.Kind
	SignedBy  string
	At        time.Time
	Revoked   time.Time // zero: it stands
	RevokedBy string
	Why       string // it was taken back
}

// Stands says that it has not been taken back.
func (s *SignOff) Stands() bool { return s.Revoked.IsZero() }

func (r *Reader) signedOff(e line.SignedOff, rec line.Record) {
	r.book.SignOffs = append(r.book.SignOffs, SignOff{Seq: rec.Seq, Person: r.name(e.Person), Station: e.Station, SignedBy: r.name(e.SignedBy), At: rec.At})
}

func (r *Reader) signOffRevoked(e line.SignOffRevoked, rec line.Record) {
	for i := range r.book.SignOffs {
		if s := &r.book.SignOffs[i]; s.Stands() && s.Station == e.Station && strings.EqualFold(s.Person, e.Person) {
			s.Revoked, s.RevokedBy, s.Why = rec.At, r.name(e.SignedBy), e.Why
		}
	}
}

// Signed lists the sign-offs that an inspector would ask for: all that stood or were
// given or taken back on a day of the filter, by person and station.
func (b *Book) Signed() []SignOff {
	out := slices.DeleteFunc(slices.Clone(b.SignOffs), func(s SignOff) bool {
		given, ended := s.At.Format(time.DateOnly), s.Revoked.Format(time.DateOnly)
		return b.Filter.To != "" && given > b.Filter.To || b.Filter.From != "" && !s.Stands() && ended < b.Filter.From
	})
	slices.SortStableFunc(out, func(x, y SignOff) int {
		if c := strings.Compare(strings.ToLower(x.Person), strings.ToLower(y.Person)); c != 0 {
			return c
		}
		if x.Station != y.Station {
			return int(x.Station) - int(y.Station)
		}
		return x.At.Compare(y.At)
	})
	return out
}
