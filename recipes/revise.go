package recipes

import (
	"fmt"
	"reflect"
	"strings"
	"time"

	"shedbell/line/say"
	"shedbell/recipes/strictfile"
)

// Revise returns a book in which r is the newest revision of its crop, with who
// made it, when, why and on which batches. The book is unchanged when there are
// faults. Nothing in a revision can be changed later.
func (b Book) Revise(r Recipe, by string, at time.Time, why string, batches ...string) (Book, []Fault) {
	r.By, r.At, r.Why = strings.TrimSpace(by), at, strings.TrimSpace(why)
	r.Batches, r.BackFrom = batches, 0
	return b.revise(r)
}

func (b Book) revise(r Recipe) (Book, []Fault) {
	r = r.WithDefaults()
	faults := r.Validate()
	for _, missing := range []struct {
		empty bool
		key   string
		mend  say.Sentence
	}{
		{r.By == "", "by", say.New("fault.say-who")},
		{r.At.IsZero(), "at", say.New("fault.say-when")},
		{r.Why == "", "why", say.New("fault.say-why")},
	} {
		if missing.empty {
			faults = append(faults, Fault{File: "recipe " + r.Crop, Key: missing.key, Problem: say.New("fault.missing"), Mend: missing.mend})
		}
	}
	if len(faults) > 0 {
		return b, faults
	}
	return b.With(r), nil
}

// GoBack makes a new revision with the settings of an older one. The history
// keeps both, and what lay between.
func (b Book) GoBack(crop string, revision int, by string, at time.Time, why string) (Book, []Fault) {
	old, ok := b.Revision(crop, revision)
	if !ok {
		return b, []Fault{{File: "recipe " + crop, Key: "revision", Value: fmt.Sprint(revision),
			Problem: say.New("fault.no-such"), Mend: say.New("fault.there-are", len(b.History(crop)))}}
	}
	old.By, old.At, old.Why = strings.TrimSpace(by), at, strings.TrimSpace(why)
	old.Batches, old.BackFrom = nil, revision
	return b.revise(old)
}

// Import adds recipes that were read from a file, each as a new revision of its
// crop, and says which were added. Those that change nothing are left out; no
// revision that is in the book is touched.
func (b Book) Import(all []Recipe) (book Book, added []Recipe) {
	for i := range all {
		current, known := b.Current(all[i].Crop)
		if known && len(Compare(current, all[i])) == 0 {
			continue
		}
		b = b.With(all[i])
		current, _ = b.Current(all[i].Crop)
		added = append(added, current)
	}
	return b, added
}

// Difference is one setting in which two revisions differ, in words.
type Difference struct {
	Setting  string
	From, To string
}

// Compare lists the settings in which two revisions differ, in the order of the
// file. Who, when and why are not settings.
func Compare(from, to Recipe) []Difference {
	a, b := reflect.ValueOf(fileForm(from)), reflect.ValueOf(fileForm(to))
	var out []Difference
	for i := range a.NumField() {
		name, _, _ := strings.Cut(a.Type().Field(i).Tag.Get("toml"), ",")
		switch name {
		case "revision", "by", "at", "why", "batches", "back_from":
			continue
		}
		was, is := setting(a.Field(i)), setting(b.Field(i))
		if was != is {
			out = append(out, Difference{strings.ReplaceAll(name, "_", " "), was, is})
		}
	}
	return out
}

func setting(v reflect.Value) string {
	if v.Kind() == reflect.Pointer {
		v = v.Elem()
	}
	if d, ok := v.Interface().(strictfile.Duration); ok {
		return say.Clock(d).String()
	}
	return fmt.Sprint(v.Interface())
}

// Step is a step of a recipe whose time can be set.
type Step string

// Steps whose time a recipe sets.
const (
	Soak Step = "soak"
	Spin Step = "spin"
	Dry  Step = "dry"
)

// Time is the recipe's time for a step.
func (r Recipe) Time(s Step) time.Duration {
	switch s {
	case Soak:
		return r.Soak
	case Spin:
		return r.Spin
	default:
		return r.Dry
	}
}

// Bounds are the shortest and longest time that a step may be set to. A soak is
// never shorter than SoakFloor.
func (r Recipe) Bounds(s Step) (shortest, longest time.Duration) {
	r = r.WithDefaults()
	switch s {
	case Soak:
		return r.SoakFloor(), max(r.MaxSoak, r.SoakFloor())
	case Spin:
		return r.MinSpin, r.MaxSpin
	default:
		return r.MinDry, r.MaxDry
	}
}

// Nudge changes the time of a step, as the + and - keys do, and stops at the
// bounds. It returns why it stopped, or nothing.
func (r Recipe) Nudge(s Step, by time.Duration) (changed Recipe, stopped say.Sentence) {
	shortest, longest := r.Bounds(s)
	d := r.Time(s) + by
	switch {
	case d < shortest && s == Soak:
		d, stopped = shortest, say.New("recipe.shortest-wash", say.Clock(shortest))
	case d < shortest:
		d, stopped = shortest, say.New("recipe.shortest", say.Clock(shortest), s)
	case d > longest:
		d, stopped = longest, say.New("recipe.longest", say.Clock(longest), s)
	}
	return r.withTime(s, d), stopped
}

func (r Recipe) withTime(s Step, d time.Duration) Recipe {
	switch s {
	case Soak:
		r.Soak = d
	case Spin:
		r.Spin = d
	default:
		r.Dry = d
	}
	return r
}

// Says is the word for it.
func (s Step) Says() say.Sentence { return say.New("recipes-step." + string(s)) }
