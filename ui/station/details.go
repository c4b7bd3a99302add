package station

import (
	"fmt"
	"strings"
	"time"

	"shedbell/line"
	"shedbell/recipes"
	"shedbell/ui/screen"
	"shedbell/ui/theme"
	"shedbell/ui/words"
)

// detail is one thing to know about a row.
type detail struct {
	label string
	role  theme.Role
	text  string
}

// details lists what there is to know, what matters most first: where there is
// little room, the end is left out.
func details(env *screen.Env, it item) []detail {
	var out []detail
	add := func(label, text string) {
		if text != "" {
			out = append(out, detail{label, theme.Text, text})
		}
	}
	if text := nextWords(env, it); text != "" {
		out = append(out, detail{"next", theme.Strong, text})
	}
	if it.place != line.Nowhere && env.State.IsBroken(it.place) {
		add("broken", brokenSince(env, it.place))
	}
	if step := it.step(); step != nil {
		add("time", timeWords(env, step))
	}
	if b := it.batch; b != nil {
		add("wet", wetWords(env, b))
		add("recipe", recipeWords(env, b))
		if !b.Due.IsZero() {
			add("promised", "a customer waits for it at "+env.TimeOfDay(b.Due, ""))
		}
		add("packed", packedWords(b))
	}
	if it.place != line.Nowhere {
		add("machine", machineWords(env, it))
		add("water", waterWords(env, it.place.Station))
		if it.step() == nil {
			add("holds", "up to "+words.Count(env.State.Site.Stations[it.place.Station].SlotTrays, "tray", "trays"))
		}
	}
	if it.place != line.Nowhere {
		add(env.Words.Say("sign-off.label"), signedWords(env, env.State.Site.Stations[it.place.Station].Kind))
	}
	return out
}

func nextWords(env *screen.Env, it item) string {
	p := it.prompt(env)
	if p == nil {
		return ""
	}
	w := env.Words.Prompt(env.State, p)
	text := w.Do
	if left := p.At.Sub(env.Now); left > 0 {
		text = "in " + words.Left(left) + ": " + text
	}
	if w.Then != "" {
		text += "; " + w.Then
	}
	return text
}

// timeWords tells a step's times: when it began and who began it, how long it was
// meant to run, how long it has run, when it is over.
func timeWords(env *screen.Env, step *line.Step) string {
	if step.Progress == line.Loaded {
		return "not started"
	}
	parts := []string{"started " + env.TimeOfDay(step.Started, "")}
	if step.By != "" {
		parts[0] += " by " + step.By
	}
	if step.Planned > 0 {
		parts = append(parts, "planned "+words.Clock(step.Planned))
	}
	parts = append(parts, "ran "+words.Clock(step.Ran(env.Now)))
	if step.Paused > 0 {
		parts = append(parts, "held "+words.Clock(step.Paused)+" meanwhile")
	}
	if at, ok := step.DueAt(); ok {
		parts = append(parts, "due at "+env.TimeOfDay(at, ""))
	}
	switch step.Progress {
	case line.Held:
		parts = append(parts, "held since "+env.TimeOfDay(step.Stopped, ""))
	case line.Interrupted:
		parts = append(parts, "not watched since "+env.TimeOfDay(step.Stopped, ""))
	case line.Finished:
		parts = append(parts, "ended "+env.TimeOfDay(step.Ended, ""))
	}
	return strings.Join(parts, ", ")
}

func wetWords(env *screen.Env, b *line.Batch) string {
	now := env.State.WetWait(b, env.Now)
	if now <= 0 && b.WetSoFar <= 0 {
		return ""
	}
	var parts []string
	if now > 0 {
		text := "waits wet " + words.Clock(now)
		if r, ok := env.State.Recipe(b.Crop); ok && r.MaxWetWait > 0 {
			text += ", may wait " + words.Clock(r.MaxWetWait)
		}
		parts = append(parts, text)
	}
	if b.WetSoFar > 0 {
		parts = append(parts, "waited wet "+words.Clock(b.WetSoFar)+" before")
	}
	return strings.Join(parts, "; ")
}

// recipeWords is the recipe that the batch runs by: the revision of its step, which
// stays although the recipe moves on.
func recipeWords(env *screen.Env, b *line.Batch) string {
	r, ok := env.State.Recipe(b.Crop)
	if !ok {
		return "none"
	}
	newer := ""
	if n := b.Step.Revision; b.Fate == line.OnLine && b.Step.Active() && n > 0 && n != r.Revision {
		if old, ok := env.State.Book.Revision(b.Crop, n); ok {
			newer = fmt.Sprintf("; revision %d since", r.Revision)
			r = old
		}
	}
	return fmt.Sprintf("revision %d: %s%s", r.Revision, stepTimes(&r), newer)
}

func stepTimes(r *recipes.Recipe) string {
	var parts []string
	for _, t := range []struct {
		name string
		time time.Duration
	}{{"soak", r.Soak}, {"rinse", r.Rinse}, {"drain", r.Drain}, {"spin", r.Spin}, {"dry", r.Dry}} {
		if t.time > 0 {
			parts = append(parts, t.name+" "+words.Clock(t.time))
		}
	}
	if r.Dry > 0 && r.Fan != "" {
		parts[len(parts)-1] += " with fans " + r.Fan
	}
	return strings.Join(parts, ", ")
}

func packedWords(b *line.Batch) string {
	if b.Lot == "" {
		return ""
	}
	return fmt.Sprintf("%s, %s, lot %s", words.Count(b.Packages, "package", "packages"), words.Grams(b.NetG), b.Lot)
}

// machineWords says which machine the row keeps on, or would.
func machineWords(env *screen.Env, it item) string {
	load, setting := env.State.Site.Stations[it.place.Station].Load, -1
	on := "off"
	if step := it.step(); step != nil && step.Load != line.NoLoad {
		load, setting = step.Load, step.Setting
		if step.Progress == line.Running || step.Progress == line.Interrupted {
			on = "on"
		}
	}
	if load == line.NoLoad {
		return ""
	}
	l := &env.State.Site.Panel.Loads[load]
	if on == "off" && env.State.Power.Loads[load].On {
		on = "on for other places"
	}
	if setting >= 0 && setting < len(l.Settings) && len(l.Settings) > 1 {
		on += ", " + l.Settings[setting].Name
	}
	return l.Name + " " + on
}

func waterWords(env *screen.Env, station int) string {
	st := &env.State.Site.Stations[station]
	if st.Kind != line.Wash || station >= len(env.State.Water) {
		return ""
	}
	w := &env.State.Water[station]
	text := "has washed " + words.Count(w.Batches, "batch", "batches")
	if st.WaterBatches > 0 {
		text += fmt.Sprintf(" of %d", st.WaterBatches)
	}
	if len(w.Crops) > 0 {
		text += ": " + strings.Join(w.Crops, ", ")
	}
	return text
}
