// Package recipes holds what the grower knows about each crop: how long to soak,
// spin and dry it, and how those times came to be what they are.
//
// Recipes are kept in a Book of revisions and read from and written to TOML
// files. Tastings are bound to the batches they judge; from them Book.Look
// proposes a next revision, and DryToday adjusts a dry time to the air of the day. The
// sub-package strictfile reads hand-written TOML.
//
// It is plain arithmetic: no I/O, no clock of its own. Durations are
// time.Duration, masses are in grams, temperatures in degrees Celsius, pressures in
// pascal, humidity in percent relative humidity over liquid water.
package recipes

import (
	"encoding/json"
	"slices"
	"time"
)

// Recipe is one revision of a crop's settings. A revision is never edited, only
// superseded by the next one.
type Recipe struct {
	Crop       string
	Revision   int
	BatchTrays int // most trays that travel as one batch

	Soak  time.Duration // agitated, tub blower on
	Rinse time.Duration // optional second rinse, 0 for none
	Drain time.Duration // lifted, dripping over the tub
	Spin  time.Duration // from start, ramp-up included
	Dry   time.Duration // at the fan setting below and the reference air
	Fan   string        // setting of the rack fans

	MinSoak    time.Duration // a wash is never suggested shorter than this
	MaxWetWait time.Duration // longest the greens may wait wet between steps

	Reference        Air           // the air that Dry was found in
	SpinRamp         time.Duration // part of Spin until the drum is at speed
	SanitizerContact time.Duration // contact time of a wash sanitizer, 0 for none
	MaxSoak          time.Duration // no suggestion leaves these bounds
	MinSpin, MaxSpin time.Duration
	MinDry, MaxDry   time.Duration
	Skippable        []Step // steps that greens may go without when their machine is out of use: spin, dry

	YieldG        float64 // greens from a tray, grams
	PackageG      float64 // net weight of one package, grams
	SeedG         float64 // seed for a tray, grams
	DaysToHarvest int
	LeftoverG     float64 // target surface water left per kilogram of greens, grams
	TargetDays    int     // days the packed greens are meant to keep, 0 if not set
	Note          string
	Caution       string // allergens and other cautions for the label

	By       string    // who made this revision
	At       time.Time // when
	Why      string
	Batches  []string // the batches it was judged on
	BackFrom int      // when it goes back to an older revision, that one's number
}

// WashTime is the whole time in the tub: soak, second rinse and drain.
func (r *Recipe) WashTime() time.Duration { return r.Soak + r.Rinse + r.Drain }

// SoakFloor is the shortest soak that may ever be set: the recipe's own minimum
// or the sanitizer's contact time, whichever is longer.
func (r *Recipe) SoakFloor() time.Duration { return max(r.MinSoak, r.SanitizerContact) }

// MaySkip says whether greens may go without a step when its machine is out of use.
func (r *Recipe) MaySkip(s Step) bool { return slices.Contains(r.Skippable, s) }

// Unspun is the recipe for greens that were not spun: they dry longer, by as much as
// the typical curve has it for the water that the spin would have taken.
func (r Recipe) Unspun() Recipe {
	d := r.WithDefaults()
	e := evidence{recipe: d, curve: d.typical(), own: d.conditions(d.Reference, d.Fan)}
	longer := max(0, e.spinWorth(0, 0, d.Spin, d.SpinRamp)).Round(todayStep)
	r.Spin, r.Dry, r.MaxDry = 0, r.Dry+longer, max(d.MaxDry, r.Dry+longer)
	return r
}

// Book is every revision of every crop, in the order they were made.
type Book struct {
	revisions []Recipe
}

// NewBook returns a book that holds the given revisions, oldest first.
func NewBook(revisions ...Recipe) Book { return Book{revisions: revisions} }

// Current returns the newest revision for a crop.
func (b Book) Current(crop string) (Recipe, bool) {
	for i := len(b.revisions) - 1; i >= 0; i-- {
		if b.revisions[i].Crop == crop {
			return b.revisions[i], true
		}
	}
	return Recipe{}, false
}

// Revision returns one revision of a crop.
func (b Book) Revision(crop string, revision int) (Recipe, bool) {
	for i := range b.revisions {
		if b.revisions[i].Crop == crop && b.revisions[i].Revision == revision {
			return b.revisions[i], true
		}
	}
	return Recipe{}, false
}

// History returns a crop's revisions, oldest first.
func (b Book) History(crop string) []Recipe {
	var out []Recipe
	for i := range b.revisions {
		if b.revisions[i].Crop == crop {
			out = append(out, b.revisions[i])
		}
	}
	return out
}

// Crops lists the crops in the book in the order they first appear.
func (b Book) Crops() []string {
	var out []string
	seen := map[string]bool{}
	for i := range b.revisions {
		if !seen[b.revisions[i].Crop] {
			seen[b.revisions[i].Crop] = true
			out = append(out, b.revisions[i].Crop)
		}
	}
	return out
}

// With returns a book with one more revision; the number is given here, so that
// two revisions of a crop never share one.
func (b Book) With(r Recipe) Book {
	r.Revision = 1
	for i := range b.revisions {
		if b.revisions[i].Crop == r.Crop {
			r.Revision = max(r.Revision, b.revisions[i].Revision+1)
		}
	}
	revisions := make([]Recipe, len(b.revisions), len(b.revisions)+1)
	copy(revisions, b.revisions)
	return Book{revisions: append(revisions, r)}
}

// MarshalJSON writes the revisions in their order.
func (b Book) MarshalJSON() ([]byte, error) { return json.Marshal(b.revisions) }

// UnmarshalJSON reads what MarshalJSON wrote.
func (b *Book) UnmarshalJSON(data []byte) error { return json.Unmarshal(data, &b.revisions) }
