package recipes

import (
	"cmp"
	"math"
	"strings"
	"time"
	"unicode/utf8"

	"shedbell/line/say"
	"shedbell/recipes/strictfile"
)

// problem is one thing wrong with a recipe, by the key it has in a file.
type problem struct {
	key           string
	problem, mend say.Sentence
}

// Validate checks a recipe that was put together in the program, say by a form.
// All faults come at once; each one's Key is the key the file format uses.
func (r Recipe) Validate() []strictfile.Fault {
	var out []strictfile.Fault
	for _, p := range r.problems() {
		out = append(out, strictfile.Fault{File: "recipe " + r.Crop, Key: p.key, Problem: p.problem, Mend: p.mend})
	}
	return out
}

func (r Recipe) problems() []problem {
	out := append(r.numberProblems(), r.timeProblems()...)
	if _, ok := FanFactor(r.Fan); !ok || r.Fan == FanOff || r.Fan != strings.ToLower(r.Fan) {
		out = append(out, problem{"fan", say.New("fault.not-fan"), say.New("fault.write-low")})
	}
	return append(out, r.textProblems()...)
}

func (r Recipe) numberProblems() []problem {
	var out []problem
	for _, n := range []struct {
		key      string
		value    float64
		from, to float64
		unit     string // a symbol, or a text of units
	}{
		{"batch_trays", float64(r.BatchTrays), 1, 50, "fault.unit-trays"},
		{"yield_g_per_tray", r.YieldG, 1, 5000, "g"},
		{"package_g", r.PackageG, 1, 5000, "g"},
		{"seed_g_per_tray", r.SeedG, 0.1, 2000, "g"},
		{"days_to_harvest", float64(r.DaysToHarvest), 1, 120, "fault.unit-days"},
		{"leftover_g_per_kg", r.LeftoverG, 0, 500, "g"},
		{"target_days", float64(r.TargetDays), 0, 60, "fault.unit-days"},
		{"reference_c", r.Reference.TempC, minReferenceC, maxReferenceC, "°C"},
		{"reference_rh_percent", r.Reference.RHPercent, minReferenceRH, maxReferenceRH, "%"},
		{"reference_pa", cmp.Or(r.Reference.PressurePa, StandardPressurePa), MinPressurePa, MaxPressurePa, "Pa"},
		{"back_from", float64(r.BackFrom), 0, 1e6, ""},
	} {
		if n.value < n.from || n.value > n.to || math.IsNaN(n.value) {
			what := say.New("fault.out-range")
			if n.value < 0 {
				what = say.New("fault.negative")
			}
			out = append(out, problem{n.key, what, strictfile.Range(n.from, n.to, n.unit)})
		}
	}
	return out
}

func (r Recipe) timeProblems() []problem {
	var out []problem
	for _, d := range []struct {
		key             string
		value, from, to time.Duration
	}{
		{"soak", r.Soak, 10 * time.Second, time.Hour},
		{"rinse", r.Rinse, 0, time.Hour},
		{"drain", r.Drain, 0, time.Hour},
		{"spin", r.Spin, 10 * time.Second, time.Hour},
		{"dry", r.Dry, time.Minute, 6 * time.Hour},
		{"max_wet_wait", r.MaxWetWait, time.Minute, 6 * time.Hour},
		{"spin_ramp", r.SpinRamp, 0, r.Spin},
		{"sanitizer_contact", r.SanitizerContact, 0, time.Hour},
		{"min_soak", r.MinSoak, 0, r.Soak},
		{"max_soak", r.MaxSoak, r.Soak, time.Hour},
		{"min_spin", r.MinSpin, max(r.SpinRamp, time.Second), r.Spin},
		{"max_spin", r.MaxSpin, r.Spin, time.Hour},
		{"min_dry", r.MinDry, time.Second, r.Dry},
		{"max_dry", r.MaxDry, r.Dry, 12 * time.Hour},
	} {
		if d.value < d.from || d.value > d.to {
			out = append(out, problem{d.key, say.New("fault.out-range"),
				say.New("fault.range-text", strictfile.Duration(d.from), strictfile.Duration(d.to))})
		}
	}
	if r.Soak < r.SanitizerContact {
		out = append(out, problem{"soak", say.New("fault.below-contact"),
			say.New("fault.give-more", strictfile.Duration(r.SanitizerContact))})
	}
	return out
}

func (r Recipe) textProblems() []problem {
	var out []problem
	texts := []struct {
		key, value string
		longest    int
	}{
		{"crop", r.Crop, 40}, {"note", r.Note, 400}, {"caution", r.Caution, 400},
		{"by", r.By, 80}, {"why", r.Why, 400},
	}
	for _, b := range r.Batches {
		texts = append(texts, struct {
			key, value string
			longest    int
		}{"batches", b, 80})
	}
	for _, t := range texts {
		switch {
		case strings.ContainsFunc(t.value, strictfile.IsControl):
			out = append(out, problem{t.key, say.New("fault.has-control-character"), say.New("fault.write-line")})
		case utf8.RuneCountInString(t.value) > t.longest:
			out = append(out, problem{t.key, say.New("fault.too-long"), say.New("fault.use-most-characters", t.longest)})
		case strings.TrimSpace(t.value) != t.value:
			out = append(out, problem{t.key, say.New("fault.starts-ends"), say.New("fault.remove")})
		}
	}
	for _, s := range r.Skippable {
		if s != Spin && s != Dry {
			out = append(out, problem{"may_skip", say.New("fault.never-skipped", strictfile.Printable(string(s))), say.New("fault.give-spin-or-dry")})
			break
		}
	}
	if r.Crop == "" {
		out = append(out, problem{"crop", say.New("fault.empty"), say.New("fault.name-crop")})
	}
	return out
}

// WithDefaults fills what a recipe leaves open: the reference air of a mild
// shed, bounds of half and twice each time, a ramp of 20 s, 15 min to wait wet.
func (r Recipe) WithDefaults() Recipe {
	if r.Reference == (Air{}) {
		r.Reference = Air{TempC: 20, RHPercent: 50}
	}
	setDefault(&r.MinSoak, r.Soak/2)
	setDefault(&r.MaxSoak, min(2*r.Soak, time.Hour))
	setDefault(&r.SpinRamp, min(20*time.Second, r.Spin/4))
	setDefault(&r.MinSpin, max(r.Spin/2, r.SpinRamp))
	setDefault(&r.MaxSpin, min(2*r.Spin, time.Hour))
	setDefault(&r.MinDry, r.Dry/2)
	setDefault(&r.MaxDry, min(2*r.Dry, 12*time.Hour))
	setDefault(&r.MaxWetWait, 15*time.Minute)
	return r
}

func setDefault(d *time.Duration, value time.Duration) {
	if *d == 0 {
		*d = value.Round(time.Second)
	}
}
