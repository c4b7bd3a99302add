package records

import (
	"slices"

	"shedbell/line"
)

// SafetyLine is one line of the safety records: the entry as it stands now, beside
// the limits that are for it.
type SafetyLine struct {
	line.KeptEntry
	Beside  []line.Beside
	History []line.KeptEntry // what it said before, the first entry first
	Answers []int64          // corrective actions about it
}

// WasCorrected says whether the line has been corrected.
func (l *SafetyLine) WasCorrected() bool { return len(l.History) > 0 }

// Safety lists the entries of the given kinds, or of all, by when they were made.
// A corrected entry stands with its last correction and keeps what it said before.
func (b *Book) Safety(kinds ...line.EntryKind) []SafetyLine {
	later := map[int64][]line.KeptEntry{}
	answers := map[int64][]int64{}
	for _, k := range b.Entries {
		if k.Entry.Corrects != 0 {
			later[k.Entry.Corrects] = append(later[k.Entry.Corrects], k)
		}
		if k.Entry.About != 0 {
			answers[k.Entry.About] = append(answers[k.Entry.About], k.Seq)
		}
	}
	known := map[int64]bool{}
	for i := range b.Entries {
		known[b.Entries[i].Seq] = true
	}
	var out []SafetyLine
	for _, k := range b.Entries {
		if len(kinds) > 0 && !slices.Contains(kinds, k.Entry.Kind) || k.Entry.Corrects != 0 && known[k.Entry.Corrects] {
			continue
		}
		l := SafetyLine{KeptEntry: k, Answers: answers[k.Seq]}
		if all := later[k.Seq]; len(all) > 0 {
			l.History = append([]line.KeptEntry{k}, all[:len(all)-1]...)
			l.KeptEntry = all[len(all)-1]
		}
		l.Beside = b.SiteAt(l.Seq).Beside(&l.Entry)
		out = append(out, l)
	}
	slices.SortStableFunc(out, func(x, y SafetyLine) int { return x.Entry.Made.Compare(y.Entry.Made) })
	return out
}
