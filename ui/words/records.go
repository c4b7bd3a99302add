package words

import (
	"fmt"
	"strings"
	"unicode"

	"shedbell/line"
)

// recordEvent words what is written down for the records, the backlog and the
// customers.
func recordEvent(s *line.State, e line.Event) (string, bool) {
	switch e := e.(type) {
	case line.EntryMade:
		text := "Entered: " + Entry(&e.Entry)
		if e.Entry.Corrects != 0 {
			text = fmt.Sprintf("Entry %d corrected: %s", e.Entry.Corrects, Entry(&e.Entry))
		}
		return text, true
	case line.TroubleReported:
		return fmt.Sprintf("On the backlog: %s, %s", e.What, TroubleAt(e.Where, e.Effect, e.SlowPercent)), true
	case line.TroubleMended:
		for i := range s.Backlog {
			if s.Backlog[i].ID == e.ID {
				return fmt.Sprintf("Mended: %s, %s", s.Backlog[i].What, s.Backlog[i].Where), true
			}
		}
		return "Mended", true
	case line.Sold:
		return fmt.Sprintf("Lot %s: %s to %s", e.Lot, Count(e.Packages, "package", "packages"), e.Customer), true
	case line.OrderTaken:
		return fmt.Sprintf("Order of %s: %s of %s for %s", e.Customer, Count(e.Packages, "package", "packages"), e.Crop, e.Due), true
	case line.OrderCancelled:
		return "Order cancelled", true
	case line.SeedUsed:
		return fmt.Sprintf("%s is sown from seed lot %s", e.Crop, e.SeedLot), true
	case line.MarkAdded:
		return "Change marked: " + e.Text, true
	}
	return "", false
}

// Entry is a line of the safety records in words: what, where, the reading.
func Entry(e *line.Entry) string {
	parts := []string{e.Kind.Title()}
	if e.Where != "" {
		parts = append(parts, e.Where)
	}
	if e.Unit != line.UnitNone {
		parts = append(parts, Reading(e.Value, e.Unit))
	}
	for _, p := range []string{e.Product, e.Text, e.Day} {
		if p != "" {
			parts = append(parts, p)
		}
	}
	if e.Contact > 0 {
		parts = append(parts, Clock(e.Contact)+" wet")
	}
	return strings.Join(parts, ", ")
}

// Reading is a value with its unit.
func Reading(v float64, u line.Unit) string { return fmt.Sprintf("%.6g %s", v, u) }

// TroubleAt says where a trouble is and what it does there.
func TroubleAt(where string, e line.Effect, slowPercent int) string {
	switch e {
	case line.EffectOut:
		return where + " is out of use until it is mended"
	case line.EffectSlow:
		return fmt.Sprintf("%s takes %d %% longer", where, slowPercent)
	}
	return where + " works on as before"
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
func Beside(b *line.Beside, full bool) string {
	text := Reading(b.Value, b.Limit.Unit)
	if b.Past {
		text += ", BEYOND the limit"
	}
	text += fmt.Sprintf("; limit %s %s, %s", b.Limit.Bound, Reading(b.Limit.Value, b.Limit.Unit), b.Limit.Source)
	if full {
		text += ". Covers " + b.Limit.Scope
	}
	return text + "."
}
