package line

import (
	"shedbell/line/say"
	"slices"
	"strings"
	"time"
)

// SignOff says that a person may run the stations of a kind alone. Somebody else
// answers for it.
type SignOff struct {
	Person   string
	Station  Kind
	SignedBy string
}

// RevokeSignOff takes a sign-off back with a reason. What was signed stays in the
// journal.
type RevokeSignOff struct {
	Person   string
	Station  Kind
	SignedBy string // who takes it back
	Why      string
}

// SignedOff is a sign-off. Its instant is its record's.
type SignedOff struct {
	Person   string
	Station  Kind
	SignedBy string
}

// SignOffRevoked ends one.
type SignOffRevoked struct {
	Person   string
	Station  Kind
	SignedBy string
	Why      string
}

// KeptSignOff is a sign-off that stands.
type KeptSignOff struct {
	SignedOff
	Seq int64 // number of its record
	At  time.Time
}

// SignedOff says since when a person may run the stations of a kind alone; ok is
// false while nobody has signed for it.
func (s *State) SignedOff(person string, k Kind) (kept KeptSignOff, ok bool) {
	for _, o := range s.SignOffs {
		if o.Station == k && strings.EqualFold(o.Person, person) {
			return o, true
		}
	}
	return KeptSignOff{}, false
}

// Dangerous says whether work at stations of a kind can hurt: current beside water, a
// drum, a jet, chemicals. Who is not signed off for it is not sent there where somebody
// else is.
func (k Kind) Dangerous() bool { return k == Wash || k == Spin || k == TrayWash || k == Sanitize }

// longestName is the longest name of a person, in bytes.
const longestName = 60

// signature trims and checks who is concerned and who answers for it.
func (d *draft) signature(person, by *string, k Kind) *Refusal {
	*person, *by = strings.TrimSpace(printable(*person)), strings.TrimSpace(printable(*by))
	switch {
	case len(*person) > longestName || len(*by) > longestName:
		return refuse(RuleValue, "line.name-long", longestName)
	case *person == "":
		return refuse(RuleValue, "line.name-person")
	case *by == "":
		return refuse(RuleValue, "line.name-signer")
	case strings.EqualFold(*person, *by):
		return refuse(RuleValue, "line.signs-for-self")
	case !d.s.Site.has(k):
		return refuse(RuleUnknown, "line.no-station")
	}
	return nil
}

func (c SignOff) decide(d *draft) *Refusal {
	if no := d.signature(&c.Person, &c.SignedBy, c.Station); no != nil {
		return no
	}
	if o, ok := d.s.SignedOff(c.Person, c.Station); ok {
		return refuse(RuleNothing, "line.signed-off-already", say.Person(o.Person), o.Station, say.Person(o.SignedBy), say.Date(o.At))
	}
	d.undo = say.New("undo.sign-off", say.Person(c.Person), c.Station)
	d.emit(SignedOff(c))
	return nil
}

func (c RevokeSignOff) decide(d *draft) *Refusal {
	if no := d.signature(&c.Person, &c.SignedBy, c.Station); no != nil {
		return no
	}
	c.Why = strings.TrimSpace(printable(c.Why))
	if c.Why == "" || unfit(c.Why) {
		return refuse(RuleValue, "line.revoke-why")
	}
	if _, ok := d.s.SignedOff(c.Person, c.Station); !ok {
		return refuse(RuleNothing, "line.not-signed-off", say.Person(c.Person), c.Station)
	}
	d.undo = say.New("undo.revoke", say.Person(c.Person), c.Station)
	d.emit(SignOffRevoked(c))
	return nil
}

func (e SignedOff) apply(s *State, r Record) {
	s.SignOffs = append(slices.Clone(s.SignOffs), KeptSignOff{SignedOff: e, Seq: r.Seq, At: r.At})
}

func (e SignOffRevoked) apply(s *State, _ Record) {
	s.SignOffs = slices.DeleteFunc(slices.Clone(s.SignOffs), func(o KeptSignOff) bool {
		return o.Station == e.Station && strings.EqualFold(o.Person, e.Person)
	})
}
