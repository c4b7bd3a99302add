package line

import (
	"math"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"shedbell/line/chemical"
	"shedbell/line/say"
)

// mostText is the longest text of an entry, in bytes.
const mostText = 1000

// unfit says whether a text is too long for the records, or could not be read back
// from them as it is because it is no UTF-8.
func unfit(s string) bool { return len(s) > mostText || !utf8.ValidString(s) }

func (c MakeEntry) decide(d *draft) *Refusal {
	e := c.Entry
	spec, ok := e.Kind.Spec()
	if !ok {
		return refuse(RuleUnknown, "line.entry-kind", printable(string(e.Kind)))
	}
	for _, text := range []*string{&e.By, &e.Initials, &e.Where, &e.Product, &e.ProductLot, &e.Lot, &e.Text, &e.Day} {
		*text = strings.TrimSpace(*text)
		if unfit(*text) {
			return refuse(RuleValue, "line.entry-text", mostText)
		}
	}
	if e.Where == "" && spec.placed {
		if i, found := d.s.Site.first(spec.station); found && len(d.s.Site.StationsOf(spec.station)) == 1 {
			e.Where = d.s.Site.Stations[i].Name
		}
	}
	if e.Chemical == chemical.Unknown {
		e.Chemical = d.s.Site.Limits.Holds(e.Product)
	}
	for _, check := range []func(*Entry, EntrySpec) *Refusal{d.pointsBack, d.timely, signedEntry, reading, d.complete} {
		if no := check(&e, spec); no != nil {
			return no
		}
	}
	d.emit(EntryMade{Entry: e})
	return nil
}

func (c TickSurface) decide(d *draft) *Refusal {
	for i := range d.s.Chores {
		if step := &d.s.Chores[i].Step; d.s.Chores[i].Kind == SanitizeAll {
			return refuse(RuleContact, "line.contact-left", clock(step.Left(d.now)))
		}
	}
	if d.s.Clean.IsZero() {
		return refuse(RuleOrder, "line.surface-contact")
	}
	strength, ok := d.s.SurfaceStrength()
	if !ok {
		return refuse(RuleOrder, "line.surface-strength")
	}
	if other, clash := d.s.Clash(strength.Entry.chemical(), strength.Seq); clash {
		return refuse(RuleOrder, "line.never-together", other.Entry.Product, strength.Entry.Product)
	}
	switch b, unsafe := d.s.Site.unsafe(&strength.Entry); {
	case unsafe && b.Limit.Bound == AtLeast:
		return refuse(RuleOrder, "line.surface-weak", b.Value, b.Limit.Unit, b.Limit.Value)
	case unsafe && !c.Entry.Rinsed:
		return refuse(RuleOrder, "line.surface-rinse", b.Value, b.Limit.Unit, b.Limit.Value)
	}
	return MakeEntry(c).decide(d)
}

// SurfaceStrength is the day's last reading of the sanitizer for surfaces.
func (s *State) SurfaceStrength() (KeptEntry, bool) {
	for i := len(s.Entries) - 1; i >= 0 && !s.Entries[i].At.Before(s.Opened); i-- {
		if e := &s.Entries[i]; e.Corrected == 0 && e.Entry.Kind == EntryStrength && e.Entry.Use == UseSurface {
			return *e, true
		}
	}
	return KeptEntry{}, false
}

// Clash is the day's last reading before a record, zero: of all, of a chemical that must
// not meet another one, with no cleaning entered since, which rinses it off.
func (s *State) Clash(with chemical.ID, before int64) (KeptEntry, bool) {
	for i := len(s.Entries) - 1; i >= 0 && !s.Entries[i].At.Before(s.Opened); i-- {
		e := &s.Entries[i]
		switch {
		case before > 0 && e.Seq >= before && e.Entry.Kind != EntryCleaning:
		case e.Entry.Kind == EntryCleaning:
			return KeptEntry{}, false
		case e.Corrected == 0 && e.Entry.Kind == EntryStrength && chemical.Never(with, e.Entry.chemical()):
			return *e, true
		}
	}
	return KeptEntry{}, false
}

// Sanitizer is what the surfaces are sanitized with: by the last reading of its strength,
// and peroxide where nobody has read one.
func (s *State) Sanitizer() chemical.ID {
	for i := len(s.Entries) - 1; i >= 0; i-- {
		if e := &s.Entries[i]; e.Corrected == 0 && e.Entry.Kind == EntryStrength && e.Entry.Use == UseSurface {
			return e.Entry.chemical()
		}
	}
	return chemical.Peroxide
}

// pointsBack checks the entries that this one points to. A correction of a
// correction points to the first entry, so that all of them are found from there.
func (d *draft) pointsBack(e *Entry, _ EntrySpec) *Refusal {
	if e.About != 0 {
		if _, ok := d.s.EntryNo(e.About); !ok {
			return refuse(RuleUnknown, "line.entry-no-about", e.About)
		}
	}
	if e.Corrects == 0 {
		return nil
	}
	first, ok := d.s.EntryNo(e.Corrects)
	if ok && first.Entry.Corrects != 0 {
		e.Corrects = first.Entry.Corrects
		if root, known := d.s.EntryNo(e.Corrects); known {
			first = root
		}
	}
	switch {
	case !ok:
		return refuse(RuleUnknown, "line.entry-no-first", e.Corrects)
	case first.Entry.Kind != e.Kind:
		return refuse(RuleOrder, "line.entry-other-kind", first.Seq,
			first.Entry.Kind, e.Kind)
	}
	if e.Made.IsZero() {
		e.Made = first.Entry.Made
	}
	return nil
}

// timely lets no entry pass for made at the time when it was not. Both instants
// are kept: what the entry says, and when it was entered.
func (d *draft) timely(e *Entry, _ EntrySpec) *Refusal {
	if e.Made.IsZero() {
		e.Made = d.now
	}
	ago := d.now.Sub(e.Made)
	switch {
	case ago < -time.Minute:
		return refuse(RuleValue, "line.entry-future", say.DateTime(e.Made))
	case ago > OldestEntry:
		return refuse(RuleValue, "line.entry-old", say.Date(e.Made))
	case ago > LateAfter && !e.Late && e.Corrects == 0:
		return refuse(RuleValue, "line.entry-late", clock(ago))
	}
	e.Late = ago > LateAfter
	return nil
}

func signedEntry(e *Entry, _ EntrySpec) *Refusal {
	n := utf8.RuneCountInString(e.Initials)
	if n == 0 {
		return refuse(RuleValue, "line.entry-sign")
	}
	if n > 6 || strings.ContainsFunc(e.Initials, func(r rune) bool { return !unicode.IsLetter(r) && r != '.' }) {
		return refuse(RuleValue, "line.entry-initials", printable(e.Initials))
	}
	return nil
}

// reading checks the value: there where it is needed, with a unit of its kind,
// and one that can be meant.
func reading(e *Entry, spec EntrySpec) *Refusal {
	if e.Unit == UnitNone {
		if spec.Reading || e.Value != 0 {
			return refuse(RuleValue, "line.entry-unit", unitList(spec.Units))
		}
		return nil
	}
	fits := false
	for _, u := range spec.Units {
		fits = fits || u == e.Unit
	}
	if !fits {
		return refuse(RuleValue, "line.entry-wrong-unit", spec.Kind, Unit(printable(string(e.Unit))), unitList(spec.Units))
	}
	low, high := e.Unit.Bounds()
	if !(e.Value >= low && e.Value <= high) || math.IsInf(e.Value, 0) {
		return refuse(RuleValue, "line.entry-value", e.Value, e.Unit, low, high, e.Unit)
	}
	return nil
}

// Bounds are what an instrument in a shed can show: the water freezes well above
// the lowest, nothing is stronger than pure.
func (u Unit) Bounds() (low, high float64) {
	switch u {
	case UnitC:
		return -40, 60
	case UnitF:
		return -40, 140
	case UnitPPM:
		return 0, 1e6
	case UnitPercent:
		return 0, 100
	case UnitMinutes:
		return 0, 24 * 60
	case UnitTrays:
		return 0, MaxDayTrays
	}
	return 0, 1e9
}

func unitList(units []Unit) any {
	if len(units) == 0 {
		return say.New("line.entry-no-value")
	}
	return say.Or(say.Names(units))
}

// complete checks what else an entry of its kind has to say.
func (d *draft) complete(e *Entry, spec EntrySpec) *Refusal {
	if e.Kind == EntryStrength && e.Use == "" {
		e.Use = UseWater
	}
	if e.Kind == EntrySurface {
		e.Use = UseSurface
	}
	switch {
	case e.Where == "" && e.Kind != EntryReview:
		return refuse(RuleValue, "line.entry-where")
	case spec.Product && e.Product == "":
		return refuse(RuleValue, "line.entry-sanitizer")
	case spec.Text && e.Text == "":
		return refuse(RuleValue, "line.entry-words")
	case e.Use != "" && e.Use != UseWater && e.Use != UseSurface:
		return refuse(RuleValue, "line.entry-use", UseWater, UseSurface)
	case e.Contact < 0 || e.Contact > MaxCountdown:
		return refuse(RuleValue, "line.entry-contact", clock(e.Contact))
	}
	if e.Kind != EntryReview {
		return nil
	}
	day, err := time.Parse(time.DateOnly, e.Day)
	if err != nil {
		return refuse(RuleValue, "line.review-day", say.Date(d.now))
	}
	if e.Day > d.now.Format(time.DateOnly) || day.Year() < 2000 {
		return refuse(RuleValue, "line.review-future", printable(e.Day))
	}
	return nil
}

// printable takes control characters out of what a refusal repeats.
func printable(s string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsControl(r) || r == utf8.RuneError {
			return '?'
		}
		return r
	}, s)
}
