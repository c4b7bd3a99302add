package recipes

import (
	"slices"
	"strings"
	"time"
	"unicode/utf8"

	"shedbell/line/say"
	"shedbell/recipes/strictfile"
)

// Score is an answer from 1 to 5; 0 means that it was not judged.
type Score int8

// Aspects are the questions that are answered with a score, in the order of the
// keys. The fifth question, days kept, is answered with a number.
var Aspects = [4]string{"wetness", "bruising", "grit", "flavour"}

// Stage is when a batch was tasted.
type Stage string

// Stages of a tasting.
const (
	AfterPacking Stage = "after packing"
	NextDay      Stage = "next day"
	LastOpened   Stage = "last package opened"
)

// Ran is what really happened to a batch: the revision it ran on, the times the
// steps took, the fans and the air of that hour.
type Ran struct {
	Batch    string
	Lot      string
	Crop     string
	Revision int

	Soak, Rinse, Drain time.Duration
	Spin, SpinRamp     time.Duration
	SpunAgain          int `json:",omitempty"` // how often it came out too wet and was spun once more; Spin has it all
	Dry                time.Duration
	Fan                string // setting of the rack fans, empty for the recipe's
	Air                Air    // zero when nobody read it
	Packed             time.Time
}

// Called is what people call the batch, with its day.
func (r Ran) Called() say.Sentence {
	if i := strings.LastIndex(r.Batch, " of 20"); i >= 0 {
		return say.New("recipe.batch-of", r.Batch[:i], r.Batch[i+len(" of "):])
	}
	return say.Of(r.Batch)
}

// Weights of a batch in grams, 0 where it was not weighed. Baskets are taken off.
type Weights struct {
	BeforeWashG float64 `json:",omitempty"`
	AfterSpinG  float64 `json:",omitempty"`
	AfterDryG   float64 `json:",omitempty"`
	PackedG     float64 `json:",omitempty"`
}

// Tasting is one judgement of one batch, bound to how that batch ran.
type Tasting struct {
	Ran   Ran
	Stage Stage
	At    time.Time
	By    string

	Wetness, Bruising, Grit, Flavour Score
	DaysKept                         int // 0 when not known
	Weights                          Weights
	Note                             string
}

// ErrNothingJudged is returned for a tasting that says nothing.
var ErrNothingJudged = say.Err("tasting.nothing-judged")

// UnknownError is returned for a batch or lot that the journal does not know.
type UnknownError struct {
	What string   // "lot" or "batch"
	Name string   // as typed
	Near []string // known names that look like it, best first
}

func (e *UnknownError) Error() string { return e.Says().String() }

// Says has the names apart.
func (e *UnknownError) Says() say.Sentence {
	if name := strictfile.Printable(e.Name); len(e.Near) > 0 {
		return say.New("tasting.unknown-near", name, strings.Join(e.Near, ", "))
	} else {
		return say.New("tasting.unknown", name)
	}
}

// Bind finds the batch that a tasting is about, by its batch name or its lot,
// among those that ran, and checks the tasting. An error leaves the tasting as
// it was, so that the person can mend it.
func Bind(t Tasting, name string, ran []Ran) (Tasting, error) {
	name = strings.TrimSpace(name)
	var found []Ran
	for i := range ran {
		if strings.EqualFold(ran[i].Batch, name) {
			found = []Ran{ran[i]}
			break
		}
		if ran[i].Lot != "" && strings.EqualFold(ran[i].Lot, name) {
			found = append(found, ran[i])
		}
	}
	switch len(found) {
	case 0:
		return t, &UnknownError{What: "lot or batch", Name: name, Near: nearest(name, ran)}
	case 1:
	default:
		names := make([]string, len(found))
		for i := range found {
			names[i] = found[i].Batch
		}
		return t, say.Err("tasting.several", name, len(found), strings.Join(names, ", "))
	}
	bound := t
	bound.Ran = found[0]
	if err := bound.Validate(); err != nil {
		return t, err
	}
	return bound, nil
}

// nearest gives up to five known lots and batches, those that share the longest
// start with the name first, the newest first among equals.
func nearest(name string, ran []Ran) []string {
	type candidate struct {
		name   string
		shared int
	}
	var all []candidate
	seen := map[string]bool{"": true}
	for i := len(ran) - 1; i >= 0; i-- {
		for _, known := range []string{ran[i].Lot, ran[i].Batch} {
			if !seen[known] {
				seen[known] = true
				all = append(all, candidate{known, sharedStart(name, known)})
			}
		}
	}
	slices.SortStableFunc(all, func(a, b candidate) int { return b.shared - a.shared })
	var out []string
	for _, c := range all[:min(len(all), 5)] {
		out = append(out, c.name)
	}
	return out
}

func sharedStart(a, b string) int {
	a, b = strings.ToLower(a), strings.ToLower(b)
	n := 0
	for n < min(len(a), len(b)) && a[n] == b[n] {
		n++
	}
	return n
}

// Validate checks a bound tasting. The error says what is wrong and what would
// be right.
func (t Tasting) Validate() error {
	if t.Ran.Batch == "" {
		return say.Err("tasting.unbound")
	}
	judged := t.DaysKept != 0
	for i, score := range []Score{t.Wetness, t.Bruising, t.Grit, t.Flavour} {
		if score < 0 || score > 5 {
			return say.Err("tasting.score", say.New("tasting."+Aspects[i]), int(score))
		}
		judged = judged || score > 0
	}
	switch {
	case t.DaysKept < 0 || t.DaysKept > 60:
		return say.Err("tasting.days", t.DaysKept)
	case strings.ContainsFunc(t.Note+t.By, strictfile.IsControl):
		return say.Err("tasting.note-control")
	case utf8.RuneCountInString(t.Note) > 400:
		return say.Err("tasting.note-long", 400)
	}
	if t.Ran.Air != (Air{}) {
		if err := t.Ran.Air.Validate(); err != nil {
			return err
		}
	}
	w := Weighing{BeforeG: t.Weights.BeforeWashG, SpunG: t.Weights.AfterSpinG, DriedG: t.Weights.AfterDryG}
	if err := w.Validate(); err != nil {
		return err
	}
	if err := t.Weights.checkPacked(); err != nil {
		return err
	}
	if !judged && !t.Weights.useful() {
		return ErrNothingJudged
	}
	return nil
}

func (w Weights) checkPacked() error {
	if !(w.PackedG >= 0 && w.PackedG <= mostWeightG) {
		return say.Err("tasting.packed-weight", say.Grams(w.PackedG), say.Grams(1), say.Grams(mostWeightG))
	}
	if w.AfterDryG > 0 && w.PackedG > w.AfterDryG*(1+WeighSlack) {
		return say.Err("tasting.packed-more", say.Grams(w.PackedG), say.Grams(w.AfterDryG))
	}
	return nil
}

func (w Weights) useful() bool {
	n := 0
	for _, g := range []float64{w.BeforeWashG, w.AfterSpinG, w.AfterDryG} {
		if g > 0 {
			n++
		}
	}
	return n > 1
}

// verdict is what a wetness score says about the time on the rack.
func (s Score) verdict() Verdict {
	switch {
	case s < 3:
		return TooDry
	case s > 3:
		return TooWet
	}
	return Right
}
