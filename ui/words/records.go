package words

import (
	"fmt"
	"strings"
	"time"
	"unicode"

	"shedbell/line"
	"shedbell/line/say"
)

// recordEvent words what is written down for the records, the backlog and the
// customers.
func (t *Speaker) recordEvent(s *line.State, e line.Event) string {
	switch e := e.(type) {
	case line.EntryMade:
		if e.Entry.Corrects != 0 {
			return t.Say("event.corrected", e.Entry.Corrects, t.Entry(&e.Entry))
		}
		return t.Say("event.entered", t.Entry(&e.Entry))
	case line.TroubleReported:
		return t.Say("event.trouble", e.What, t.TroubleAt(e.Where, e.Effect, e.SlowPercent))
	case line.TroubleMended:
		for i := range s.Backlog {
			if s.Backlog[i].ID == e.ID {
				return t.Say("event.mended", s.Backlog[i].What, s.Backlog[i].Where)
			}
		}
		return t.Say("event.mended-some")
	case line.Sold:
		return t.Say("event.sold", e.Lot, t.Packages(e.Packages), e.Customer)
	case line.CircuitLimited:
		if e.Circuit < len(s.Site.Panel.Circuits) {
			return t.Say("event.limited", say.Circuit(s.Site.Panel.Circuits[e.Circuit].Name), e.EffectiveA)
		}
		return ""
	case line.PackagesThrown:
		return t.Say("event.thrown", e.Lot, t.Packages(e.Packages), e.Why)
	case line.GrowingCounted:
		crop := e.Crop
		if g, ok := s.Growing.Sowing(e.Sowing); ok {
			crop = g.Crop
		}
		return t.Say("event.growing", say.Crop(crop), t.Trays(e.Trays), e.Why)
	case line.OrderTaken:
		return t.Say("event.ordered", e.Customer, t.Amount(e.Packages, e.NetG), say.Crop(e.Crop), t.DueAt(e.Due, e.At))
	case line.OrderCancelled:
		return t.Say("event.order-cancelled")
	case line.SeedUsed:
		return t.Say("event.seed", say.Crop(e.Crop), e.SeedLot)
	case line.PacePinned:
		return t.Say("event.pace-pinned", t.PaceOf(e.Pin.Station, e.Pin.Crop, e.Pin.Person), Clock(e.Pin.Pace.Fixed), Clock(e.Pin.Pace.PerTray))
	case line.PaceUnpinned:
		return t.Say("event.pace-unpinned", t.PaceOf(e.Station, e.Crop, e.Person))
	case line.PaceForgotten:
		return t.Say("event.pace-forgotten", t.PaceOf(e.Station, e.Crop, e.Person))
	case line.TimesKept:
		return t.Say("event.times-kept", len(e.Times))
	case line.MarkAdded:
		return t.Say("event.mark", e.Text)
	case line.HandedOn:
		return t.Say("event.handed-on", e.To)
	case line.SignedOff:
		return t.Say("event.signed-off", e.Person, t.Kind(e.Station), e.SignedBy)
	case line.SignOffRevoked:
		return t.Say("event.sign-off-revoked", e.Person, t.Kind(e.Station), e.SignedBy, e.Why)
	}
	return ""
}

// PaceOf names whose pace it is: a station's, with the crop and the person if there are.
func (t *Speaker) PaceOf(station, crop, person string) string {
	var parts []string
	for _, p := range []string{station, crop, person} {
		if p != "" {
			parts = append(parts, p)
		}
	}
	return strings.Join(parts, ", ")
}

// Entry is a line of the safety records in words: what, where, the reading.
func (t *Speaker) Entry(e *line.Entry) string {
	parts := []string{t.EntryKind(e.Kind)}
	if e.Where != "" {
		parts = append(parts, e.Where)
	}
	if e.Unit != line.UnitNone {
		parts = append(parts, t.Reading(e.Value, e.Unit))
	}
	for _, p := range []string{e.Product, e.Text, e.Day} {
		if p != "" {
			parts = append(parts, p)
		}
	}
	if e.Contact > 0 {
		parts = append(parts, t.Say("record.wet-for", Clock(e.Contact)))
	}
	if e.Rinsed {
		parts = append(parts, t.Say("record.rinsed"))
	}
	return join(parts)
}

// EntryKind is what people call such entries.
func (t *Speaker) EntryKind(k line.EntryKind) string { return t.Say("entry." + string(k)) }

// Reading is a value with its unit.
func (t *Speaker) Reading(v float64, u line.Unit) string { return fmt.Sprintf("%.6g %s", v, t.Unit(u)) }

// Unit is a unit as it is written behind a value; most are symbols and the same in
// every language.
func (t *Speaker) Unit(u line.Unit) string { return t.Sentence(u.Says()) }

// TroubleAt says where a trouble is and what it does there.
func (t *Speaker) TroubleAt(where string, e line.Effect, slowPercent int) string {
	switch e {
	case line.EffectOut:
		return t.Say("record.out-of-use", where)
	case line.EffectSlow:
		return t.Say("record.slow", where, slowPercent)
	}
	return t.Say("record.annoys", where)
}

// Initials are the first letters of a name, as a signature.
func Initials(name string) string {
	var out []rune
	for _, part := range strings.Fields(name) {
		if r := []rune(part)[0]; unicode.IsLetter(r) && len(out) < 6 {
			out = append(out, unicode.ToUpper(r))
		}
	}
	return string(out)
}

// Beside is a reading beside a limit: the value, the limit and where it comes from;
// in full also what it covers. It says on which side the value lies, no more: the
// label and the inspector decide.
func (t *Speaker) Beside(b *line.Beside, full bool) string {
	if b.None {
		return t.Say("record.no-limit")
	}
	key := "record.at-most"
	switch least := b.Limit.Bound == line.AtLeast; {
	case b.Past && least:
		key = "record.under"
	case b.Past:
		key = "record.over"
	case least:
		key = "record.at-least"
	}
	text := t.Say(key, t.Reading(b.Value, b.Limit.Unit), t.Reading(b.Limit.Value, b.Limit.Unit), b.Limit.SaysSource())
	if full {
		text += t.Say("record.covers", b.Limit.SaysScope())
	}
	return text + "."
}

// Amount is what was ordered.
func (t *Speaker) Amount(packages int, netG float64) string {
	if netG > 0 {
		return t.Weight(netG)
	}
	return t.Packages(packages)
}

// Rest is what of an order is still open.
func (t *Speaker) Rest(o *line.SaleOrder) string { return t.Amount(o.Rest()) }

// DueAt is the day on which an order is due, and its time if it has one.
func (t *Speaker) DueAt(day string, at time.Time) string {
	if at.IsZero() {
		return day
	}
	return day + " " + t.TimeOfDay(at, "")
}

// ShortDate is an ISO 8601 date as people write it here, without its year.
func (t *Speaker) ShortDate(iso string) string {
	at, err := time.Parse(time.DateOnly, iso)
	if err != nil {
		return iso
	}
	return t.Date(at, "2 Jan")
}
