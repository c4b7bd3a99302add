package pages

import (
	"strings"
	"time"

	"shedbell/line"
	"shedbell/line/say"
	"shedbell/recipes"
	"shedbell/ui/screen"
	"shedbell/ui/theme"
	"shedbell/ui/words"
)

// stationDetail is one thing to know about a row.
type stationDetail struct {
	label string // the key of its text
	role  theme.Role
	text  string
}

// stationDetails lists what there is to know, what matters most first: where there is
// little room, the end is left out.
func stationDetails(env *screen.Env, it stationItem) []stationDetail {
	var out []stationDetail
	add := func(label, text string) {
		if text != "" {
			out = append(out, stationDetail{label, theme.Text, text})
		}
	}
	if text := nextWords(env, it); text != "" {
		out = append(out, stationDetail{"station.label-next", theme.Strong, text})
	}
	if it.place != line.Nowhere && env.State.IsBroken(it.place) {
		add("station.label-broken", brokenSince(env, it.place))
	}
	if step := it.step(); step != nil {
		add("station.label-time", timeWords(env, step))
	}
	if b := it.batch; b != nil {
		add("station.label-wet", wetWords(env, b))
		add("station.label-recipe", recipeWords(env, b))
		if !b.Due.IsZero() {
			add("station.label-promised", env.Words.Say("station.promised", env.Words.TimeOfDay(b.Due, "")))
		}
		add("station.label-packed", packedWords(env, b))
	}
	if it.place != line.Nowhere {
		add("station.label-machine", machineWords(env, it))
		add("station.label-water", waterWords(env, it.place.Station))
		if it.step() == nil {
			add("station.label-holds", env.Words.Say("station.holds", env.Words.Trays(env.State.Site.Stations[it.place.Station].SlotTrays)))
		}
	}
	if it.place != line.Nowhere {
		add(env.Words.Say("sign-off.label"), signedWords(env, env.State.Site.Stations[it.place.Station].Kind))
	}
	return out
}

func nextWords(env *screen.Env, it stationItem) string {
	p := it.prompt(env)
	if p == nil {
		return ""
	}
	w := env.Words.Prompt(env.State, p)
	text := w.Do
	if left := p.At.Sub(env.Now); left > 0 {
		text = env.Words.Say("then.soon", words.Left(left)) + text
	}
	if w.Then != "" {
		text += "; " + w.Then
	}
	return text
}

// timeWords tells a step's times: when it began and who began it, how long it was
// meant to run, how long it has run, when it is over.
func timeWords(env *screen.Env, step *line.Step) string {
	say, clock := env.Words.Say, func(at time.Time) string { return env.Words.TimeOfDay(at, "") }
	if step.Progress == line.Loaded {
		return say("station.not-started")
	}
	parts := []string{say("station.started", clock(step.Started))}
	if step.By != "" {
		parts[0] = say("station.started-by", clock(step.Started), step.By)
	}
	if step.Planned > 0 {
		parts = append(parts, say("station.planned", words.Clock(step.Planned)))
	}
	parts = append(parts, say("station.ran", words.Clock(step.Ran(env.Now))))
	if step.Paused > 0 {
		parts = append(parts, say("station.held-for", words.Clock(step.Paused)))
	}
	if at, ok := step.DueAt(); ok {
		parts = append(parts, say("station.due", clock(at)))
	}
	switch step.Progress {
	case line.Held:
		parts = append(parts, say("station.held-since", clock(step.Stopped)))
	case line.Interrupted:
		parts = append(parts, say("station.unwatched", clock(step.Stopped)))
	case line.Finished:
		parts = append(parts, say("station.ended", clock(step.Ended)))
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
		text := env.Words.Say("station.wet", words.Clock(now))
		if r, ok := env.State.Recipe(b.Crop); ok && r.MaxWetWait > 0 {
			text = env.Words.Say("station.wet-limit", words.Clock(now), words.Clock(r.MaxWetWait))
		}
		parts = append(parts, text)
	}
	if b.WetSoFar > 0 {
		parts = append(parts, env.Words.Say("station.wet-before", words.Clock(b.WetSoFar)))
	}
	return strings.Join(parts, "; ")
}

// recipeWords is the recipe that the batch runs by: the revision of its step, which
// stays although the recipe moves on.
func recipeWords(env *screen.Env, b *line.Batch) string {
	r, ok := env.State.Recipe(b.Crop)
	if !ok {
		return env.Words.Say("station.no-recipe")
	}
	newer := 0
	if n := b.Step.Revision; b.Fate == line.OnLine && b.Step.Active() && n > 0 && n != r.Revision {
		if old, ok := env.State.Book.Revision(b.Crop, n); ok {
			newer, r = r.Revision, old
		}
	}
	if newer > 0 {
		return env.Words.Say("station.recipe-newer", r.Revision, stepTimes(env, &r), newer)
	}
	return env.Words.Say("station.recipe", r.Revision, stepTimes(env, &r))
}

func stepTimes(env *screen.Env, r *recipes.Recipe) string {
	var parts []string
	for _, t := range []struct {
		name string
		time time.Duration
	}{{"station.soak", r.Soak}, {"station.rinse", r.Rinse}, {"station.drain", r.Drain}, {"station.spin", r.Spin}, {"station.dry", r.Dry}} {
		if t.time > 0 {
			parts = append(parts, env.Words.Say(t.name, words.Clock(t.time)))
		}
	}
	if r.Dry > 0 && r.Fan != "" {
		parts[len(parts)-1] += env.Words.Say("station.with-fans", env.Words.Setting(r.Fan))
	}
	return strings.Join(parts, ", ")
}

func packedWords(env *screen.Env, b *line.Batch) string {
	if b.Lot == "" {
		return ""
	}
	return env.Words.Say("station.packed", env.Words.Packages(b.Packages), say.Grams(b.NetG), b.Lot)
}

// machineWords says which machine the row keeps on, or would.
func machineWords(env *screen.Env, it stationItem) string {
	load, setting := env.State.Site.Stations[it.place.Station].Load, -1
	state := "station.off"
	if step := it.step(); step != nil && step.Load != line.NoLoad {
		load, setting = step.Load, step.Setting
		if step.Progress == line.Running || step.Progress == line.Interrupted {
			state = "station.on"
		}
	}
	if load == line.NoLoad {
		return ""
	}
	l := &env.State.Site.Panel.Loads[load]
	if state == "station.off" && env.State.Power.Loads[load].On {
		state = "station.on-elsewhere"
	}
	text := env.Words.Say(state, say.Load(l.Name))
	if setting >= 0 && setting < len(l.Settings) && len(l.Settings) > 1 {
		text += ", " + l.Settings[setting].Name
	}
	return text
}

func waterWords(env *screen.Env, station int) string {
	st := &env.State.Site.Stations[station]
	if st.Kind != line.Wash || station >= len(env.State.Water) {
		return ""
	}
	w := &env.State.Water[station]
	text := env.Words.Say("station.washed", env.Words.Batches(w.Batches))
	if st.WaterBatches > 0 {
		text = env.Words.Say("station.washed-of", env.Words.Batches(w.Batches), st.WaterBatches)
	}
	if len(w.Crops) > 0 {
		text += ": " + strings.Join(w.Crops, ", ")
	}
	return text
}
