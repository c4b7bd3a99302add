package line

import (
	"slices"
	"time"

	"shedbell/line/chemical"
	"shedbell/line/say"
)

// EntryKind is what an entry in the safety records is about. Its text is its name
// in the journal.
type EntryKind string

// Kinds of entries.
const (
	EntryWater      EntryKind = "water-change"       // wash water let out and filled anew
	EntryStrength   EntryKind = "sanitizer-strength" // a test strip or meter read
	EntryFridge     EntryKind = "fridge-temperature" // cold holding
	EntrySurface    EntryKind = "surface-sanitation" // one surface or tool, one entry
	EntryCleaning   EntryKind = "cleaning"           // drain screens, floor: no sanitizer
	EntryHandWash   EntryKind = "hand-wash"          //
	EntryCorrective EntryKind = "corrective-action"  // what was done about something
	EntryReview     EntryKind = "supervisor-review"  // a day's entries read and signed
	EntryTraysOut   EntryKind = "trays-out"          // counted off the growing racks
	EntryTraysIn    EntryKind = "trays-in"           // counted back after washing
	EntryWaterTest  EntryKind = "water-test"         // a laboratory's answer
	EntrySeen       EntryKind = "observation"        // anything else worth keeping
)

// Unit is the unit of a reading.
type Unit string

// Units of readings. A percentage is 10,000 ppm, as milligrams in a litre of
// water count as parts in a million.
const (
	UnitNone    Unit = ""
	UnitC       Unit = "C"
	UnitF       Unit = "F"
	UnitPPM     Unit = "ppm"
	UnitPercent Unit = "%"
	UnitMinutes Unit = "min"
	UnitTrays   Unit = "trays"
	UnitCFU     Unit = "CFU/100 mL" // colony forming units
	UnitYears   Unit = "years"
)

// Entry is one line of the safety records: who did or saw what, when and where,
// the value with its unit, signed. The contents are those of 21 CFR 112.161(a).
// An entry is never changed; a later one that points to it corrects it.
type Entry struct {
	Kind     EntryKind
	Made     time.Time // when it was done or seen; it may be older than the record
	Late     bool      `json:",omitempty"` // it was known to be entered late
	By       string    `json:",omitempty"` // who did it, where that is not who entered it
	Initials string    // the signature
	Where    string    // the area: a station, a fridge, a surface

	Value float64 `json:",omitempty"`
	Unit  Unit    `json:",omitempty"` // none: the entry has no reading

	Use        Use           `json:",omitempty"` // strength: what the sanitizer is for
	Product    string        `json:",omitempty"` // sanitizer, by the name on its label
	Chemical   chemical.ID   `json:",omitempty"` // what is in it, by whatever name
	ProductLot string        `json:",omitempty"`
	Rinsed     bool          `json:",omitempty"` // surface: with drinking water, after the contact time
	Contact    time.Duration `json:",omitempty"` // surface: how long it stayed wet
	Lot        string        `json:",omitempty"` // greens that it is about
	Text       string        `json:",omitempty"` // what was seen or done
	Day        string        `json:",omitempty"` // review: the day that was read, ISO 8601

	About    int64 `json:",omitempty"` // corrective action: number of the entry that it answers
	Corrects int64 `json:",omitempty"` // number of the first entry that this one puts right
}

// Use is what a sanitizer is used on.
type Use string

// Uses of a sanitizer. Published limits differ between them.
const (
	UseWater   Use = "wash water"
	UseSurface Use = "surface"
)

// MakeEntry writes a line into the safety records. What is left out is filled in:
// Made is now, Where the station that such an entry is made at when there is only
// one. An entry about what is more than LateAfter ago has to say that it is late.
type MakeEntry struct{ Entry Entry }

// TickSurface enters that a surface is clean. What somebody saw is entered with MakeEntry
// at any time; this is the step of the clean-up, which waits for the sanitizer's strength
// and its contact time.
type TickSurface struct{ Entry Entry }

// EntryMade is a line in the safety records. Its number is its record's.
type EntryMade struct{ Entry Entry }

// LateAfter is how long after the fact an entry still counts as made at the time:
// 21 CFR 112.161(a)(2) wants it made when the activity is performed or observed.
const LateAfter = 10 * time.Minute

// OldestEntry is how far back a late entry may reach.
const OldestEntry = 366 * 24 * time.Hour

// KeptEntries is how many entries the state holds; the journal holds all.
const KeptEntries = 1000

// KeptEntry is an entry with its place in the journal.
type KeptEntry struct {
	Seq       int64
	At        time.Time // when it was entered
	By        string    // who entered it
	Entry     Entry
	Corrected int64 // number of the newest entry that corrects it; 0: none
}

// Who is who did it.
func (k *KeptEntry) Who() string {
	if k.Entry.By != "" {
		return k.Entry.By
	}
	return k.By
}

// EntrySpec says what entries of a kind hold, for forms and for checks.
type EntrySpec struct {
	Kind    EntryKind
	Units   []Unit // none: there is no reading
	Reading bool   // a reading with unit is needed
	Product bool   // a product is needed
	Text    bool   // words are needed
	station Kind   // where such entries are usually made
	placed  bool
}

// Station is the kind of station that such entries are usually about, if there is one.
// Water is read and tested at the tub.
func (s *EntrySpec) Station() (Kind, bool) {
	if s.Kind == EntryStrength || s.Kind == EntryWaterTest {
		return Wash, true
	}
	return s.station, s.placed
}

var entrySpecs = []EntrySpec{
	{Kind: EntryWater, Units: []Unit{UnitC, UnitF}, station: Wash, placed: true},
	{Kind: EntryStrength, Units: []Unit{UnitPPM, UnitPercent}, Reading: true, Product: true},
	{Kind: EntryFridge, Units: []Unit{UnitC, UnitF}, Reading: true, station: Chill, placed: true},
	{Kind: EntrySurface, Units: []Unit{UnitPPM, UnitPercent}, Product: true},
	{Kind: EntryCleaning},
	{Kind: EntryHandWash},
	{Kind: EntryCorrective, Text: true},
	{Kind: EntryReview},
	{Kind: EntryTraysOut, Units: []Unit{UnitTrays}, Reading: true, station: Cut, placed: true},
	{Kind: EntryTraysIn, Units: []Unit{UnitTrays}, Reading: true, station: TrayWash, placed: true},
	{Kind: EntryWaterTest, Units: []Unit{UnitCFU}, Reading: true},
	{Kind: EntrySeen, Units: []Unit{UnitC, UnitF, UnitPPM, UnitPercent, UnitMinutes, UnitTrays}, Text: true},
}

// EntrySpecs lists the kinds of entries in the order of their screens.
func EntrySpecs() []EntrySpec { return slices.Clone(entrySpecs) }

// Spec is what entries of this kind hold; false for a kind that does not exist.
func (k EntryKind) Spec() (EntrySpec, bool) {
	for i := range entrySpecs {
		if entrySpecs[i].Kind == k {
			return entrySpecs[i], true
		}
	}
	return EntrySpec{}, false
}

// Title is what people call such entries.
func (k EntryKind) Title() say.Sentence { return say.New("entry." + string(k)) }

// Says is the word for it.
func (k EntryKind) Says() say.Sentence { return say.New("entry-kind." + string(k)) }

// Says is the word for it, or its symbol.
func (u Unit) Says() say.Sentence {
	switch u {
	case UnitTrays, UnitYears, UnitCFU:
		return say.New(unitIDs[u])
	}
	return say.Of(string(u))
}

// unitIDs are the texts of those units that are no symbols.
var unitIDs = map[Unit]string{UnitTrays: "record.trays", UnitYears: "record.years", UnitCFU: "record.cfu"}

// Says is the word for it.
func (u Use) Says() say.Sentence {
	switch u {
	case UseWater:
		return say.New("use.water")
	case UseSurface:
		return say.New("use.surface")
	}
	return say.Sentence{} // for neither
}

// Convert gives a value in another unit; false when the units measure different
// things.
func Convert(v float64, from, to Unit) (float64, bool) {
	switch {
	case from == to:
		return v, true
	case from == UnitF && to == UnitC:
		return (v - 32) / 1.8, true
	case from == UnitC && to == UnitF:
		return v*1.8 + 32, true
	case from == UnitPercent && to == UnitPPM:
		return v * 10000, true
	case from == UnitPPM && to == UnitPercent:
		return v / 10000, true
	}
	return 0, false
}

// An entry marks the one that it corrects. The lists are copied, as an earlier
// state may go another way.
func (e EntryMade) apply(s *State, r Record) {
	kept := s.Entries
	if len(kept) >= KeptEntries {
		kept = kept[len(kept)-KeptEntries+1:]
	}
	out := make([]KeptEntry, len(kept), len(kept)+1)
	copy(out, kept)
	for i := range out {
		if e.Entry.Corrects != 0 && out[i].Seq == e.Entry.Corrects {
			out[i].Corrected = r.Seq
		}
	}
	s.Entries = append(out, KeptEntry{Seq: r.Seq, At: r.At, By: r.By, Entry: e.Entry})
}

// EntryNo returns an entry by its number.
func (s *State) EntryNo(seq int64) (KeptEntry, bool) {
	for i := range s.Entries {
		if s.Entries[i].Seq == seq {
			return s.Entries[i], true
		}
	}
	return KeptEntry{}, false
}
