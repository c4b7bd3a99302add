package recipeui

import (
	"slices"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"shedbell/line"
	"shedbell/line/say"
	"shedbell/recipes"
	"shedbell/ui/act"
	"shedbell/ui/form"
	"shedbell/ui/screen"
)

// onePage is one crop's recipe.
type onePage struct {
	crop    string
	field   int
	why     string                    // of the next revision, where nobody types one
	typed   string                    // why, as a person puts it
	writing *form.Form                // why, being typed
	drafts  map[string]recipes.Recipe // changed and not saved, by crop
	stopped string                    // why the last press changed nothing
	presses screen.Presses
}

// The fields of a recipe that + and - change.
const (
	fieldSoak = iota
	fieldSpin
	fieldDry
	fieldFan
	fieldCount
)

var fieldSteps = [...]recipes.Step{recipes.Soak, recipes.Spin, recipes.Dry}

var fanNames = []string{recipes.FanLow, recipes.FanMedium, recipes.FanHigh}

// show opens a crop's recipe with a step's field marked.
func (s *Screen) show(env *screen.Env, crop string, step recipes.Step, why string) tea.Cmd {
	p := &s.one
	if p.crop != crop {
		p.typed = ""
	}
	p.crop, p.why, p.stopped, p.writing = crop, why, "", nil
	p.field = max(0, slices.Index(fieldSteps[:], step))
	s.list.row = max(0, slices.Index(env.State.Book.Crops(), crop))
	s.at = p
	return s.weigh(env)
}

// reason is why the next revision is made.
func (p *onePage) reason(env *screen.Env, saved *recipes.Recipe) string {
	if p.typed != "" {
		return p.typed
	}
	return lastTasted(env, p.why, saved)
}

// current is the recipe as it stands, and as it was changed.
func (p *onePage) current(env *screen.Env) (saved, draft recipes.Recipe, changed bool) {
	saved, _ = env.State.Recipe(p.crop)
	saved = saved.WithDefaults() // so that bounds do not move with the times
	draft, changed = p.drafts[p.crop]
	if !changed || draft.Revision != saved.Revision {
		return saved, saved, false
	}
	return saved, draft, true
}

func (p *onePage) actions(s *Screen, env *screen.Env) act.Table {
	if p.writing != nil {
		done := func() tea.Cmd { p.writing = nil; return nil }
		return p.writing.Fill(env, done, func() tea.Cmd {
			p.typed = p.writing.Text("why")
			return done()
		})
	}
	crops := env.State.Book.Crops()
	following := env.State.FollowsAir(p.crop, env.Now)
	today := act.Key("5", "recipes-does.today", "5", "d", "D")
	if saved, _, _ := p.current(env); following {
		today = today.Does("recipes-does.recipes")
	} else if g := s.look(env.State, &saved).suggestion; g.Changed(recipes.Dry) {
		today = today.Unless("recipes-why.suggestion-first")
	}
	compare := ""
	if len(env.State.Book.History(p.crop)) < 2 {
		compare = "recipes.no-revision-two"
	}
	return append(p.changes(s, env),
		useAir(today, p.crop, !following),
		act.Key("7", "recipes-does.compare", "7", "c", "C").Do(func() { s.compare(env) }).Unless(compare),
		act.Key("8", "recipes-does.taste-batch", "8", "t", "T").Do(func() { s.pickBatch(env) }).Unless(noTaste(env)),
		act.Key(".", "recipes-does.all-crops", ".").Do(func() { s.at = &s.list }),
		act.Key("9", "recipes-does.next-crop", "9", "right").Run(func() tea.Cmd {
			at := max(0, slices.Index(crops, p.crop))
			return s.show(env, crops[(at+1)%len(crops)], "", p.why)
		}),
		act.Key("a", "recipes-does.air", "a", "A").Acting().Do(func() { s.askAir(env) }))
}

// changes are what changes the recipe. A trainee reads it.
func (p *onePage) changes(s *Screen, env *screen.Env) act.Table {
	saved, draft, changed := p.current(env)
	no, unchanged := readOnly(env), ""
	if !changed {
		unchanged = "recipes-why.nothing-changed"
	}
	move := func(by int) func() {
		return func() { p.field, p.stopped = (p.field+by+fieldCount)%fieldCount, "" }
	}
	fields := act.Table{
		act.Key("1-4", "recipes-does.fields", "1", "2", "3", "4").Take(func(k tea.KeyMsg) tea.Cmd {
			p.stopped = ""
			return act.Change(&env.Context, &p.field, "why.chosen", func() { p.field = int(k.Runes[0] - '1') })
		}),
		act.Key("up", "recipes-does.field-above", "up", "k").Do(move(-1)).Hidden(),
		act.Key("down", "recipes-does.field-below", "down", "j").Do(move(1)).Hidden(),
	}
	draft.By, draft.Why, draft.Batches = env.By, p.reason(env, &saved), judgedOn(env.State, &saved)
	out := act.Table{
		act.Key("Enter", "recipes-does.save", "enter").Send(line.Revise{Recipe: draft}).Unless(no).Unless(unchanged),
		act.Key("+ -", "does.change", "+", "=").Acting().Do(func() { p.nudge(env, 1) }).Unless(no),
		act.Key("-", "does.change", "-").Acting().Do(func() { p.nudge(env, -1) }).Unless(no).Hidden(),
	}
	return append(append(out, fields...), p.apply(s, env, &saved, changed).Unless(no),
		act.Key("backspace", "recipes-does.drop", "backspace", "x", "X").Do(func() { delete(p.drafts, p.crop) }).Unless(unchanged),
		act.Key("w", "recipes-does.say-why", "w", "W").Do(func() {
			p.writing = form.Ask(env, "recipes.ask-why", "", form.Row{Name: "why", Label: "recipes-does.why", Kind: form.Text, Filled: form.Str(p.typed)})
		}).Unless(unchanged))
}

// nudge changes the marked field by one press.
func (p *onePage) nudge(env *screen.Env, sign int) {
	p.stopped = ""
	saved, draft, _ := p.current(env)
	if p.field == fieldFan {
		at := slices.Index(fanNames, draft.Fan)
		to := min(max(at+sign, 0), len(fanNames)-1)
		if to == at {
			p.stopped = env.Words.Say("recipes.highest", env.Words.Setting(draft.Fan))
			if sign < 0 {
				p.stopped = env.Words.Say("recipes.lowest", env.Words.Setting(draft.Fan))
			}
		}
		draft.Fan = fanNames[to]
	} else {
		var stopped say.Sentence
		draft, stopped = draft.Nudge(fieldSteps[p.field], p.presses.Step(env, sign))
		p.stopped = env.Words.Recipe(stopped)
	}
	p.drafts[p.crop] = draft
	if len(recipes.Compare(saved, draft)) == 0 {
		delete(p.drafts, p.crop)
	}
}

// lastTasted puts behind a reason what the last tasting of a revision said of its
// wetness.
func lastTasted(env *screen.Env, why string, r *recipes.Recipe) string {
	s := env.State
	for i := len(s.Tastings) - 1; i >= 0; i-- {
		t := &s.Tastings[i]
		if t.Ran.Crop == r.Crop && t.Ran.Revision == r.Revision && t.Wetness > 0 {
			return env.Words.Say("recipes.why-tasted", why, env.Words.Answer(0, t.Wetness))
		}
	}
	return why
}

// judgedBatches is how many batches a revision names at most: the latest.
const judgedBatches = 10

// judgedOn lists the batches on which a revision was judged.
func judgedOn(s *line.State, r *recipes.Recipe) []string {
	var out []string
	for i := range s.Tastings {
		ran := &s.Tastings[i].Ran
		if ran.Crop == r.Crop && ran.Revision == r.Revision && !slices.Contains(out, ran.Batch) {
			out = append(out, ran.Batch)
		}
	}
	return out[max(0, len(out)-judgedBatches):]
}

// apply takes the suggestion over as a new revision. A change that is not saved is
// not mixed up with it.
func (p *onePage) apply(s *Screen, env *screen.Env, saved *recipes.Recipe, changed bool) act.Action {
	apply := act.Key("6", "recipes-does.suggestion", "6", "s", "S")
	g := s.look(env.State, saved).suggestion
	switch {
	case len(g.Changes) == 0:
		return apply.Unless("recipes-why.no-suggestion")
	case changed:
		return apply.Unless("recipes.save-first")
	}
	r := g.Apply(*saved)
	r.By, r.Why = env.By, env.Words.Say("recipes.why-suggested", env.Words.Changes(&g))
	r.Batches = g.Batches[max(0, len(g.Batches)-judgedBatches):]
	return apply.Send(line.Revise{Recipe: r})
}

// since writes an instant as a date.
func since(env *screen.Env, t time.Time) string {
	if t.IsZero() {
		return env.Words.Say("recipes.beginning")
	}
	return env.Words.Date(t, "2 Jan 2006")
}
