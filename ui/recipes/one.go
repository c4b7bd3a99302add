package recipeui

import (
	"slices"
	"strings"
	"time"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"

	"shedbell/line"
	"shedbell/line/say"
	"shedbell/recipes"
	"shedbell/ui/canvas"
	"shedbell/ui/screen"
)

// onePage is one crop's recipe.
type onePage struct {
	crop    string
	field   int
	why     string // of the next revision, where nobody types one
	typed   string // why, as a person puts it
	writing bool
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

var (
	keyField   = screen.Bind("1-4", "recipes-does.fields", "1", "2", "3", "4")
	keyMore    = screen.Bind("+", "recipes-does.longer", "+", "=")
	keyLess    = screen.Bind("-", "recipes-does.shorter", "-")
	keyPrev    = screen.Bind("up", "recipes-does.field-above", "up", "k")
	keyNext    = screen.Bind("down", "recipes-does.field-below", "down", "j")
	keySave    = screen.Bind("Enter", "recipes-does.save", "enter")
	keyToday   = screen.Bind("5", "recipes-does.today", "5", "d", "D")
	keyApply   = screen.Bind("6", "recipes-does.suggestion", "6", "s", "S")
	keyCompare = screen.Bind("7", "recipes-does.compare", "7", "c", "C")
	keyTasteIt = screen.Bind("8", "recipes-does.taste-batch", "8", "t", "T")
	keyNextOne = screen.Bind("9", "recipes-does.next-crop", "9", "right")
	keyList    = screen.Bind(".", "recipes-does.all-crops", ".")
	keyDrop    = screen.Bind("*", "recipes-does.drop", "*", "backspace")
)

// show opens a crop's recipe with a step's field marked.
func (s *Screen) show(env *screen.Env, crop string, step recipes.Step, why string) tea.Cmd {
	p := &s.one
	if p.crop != crop {
		p.typed = ""
	}
	p.crop, p.why, p.stopped, p.writing = crop, why, "", false
	p.field = max(0, slices.Index(fieldSteps[:], step))
	s.list.row = max(0, slices.Index(env.State.Book.Crops(), crop))
	s.at = p
	return s.weigh(env)
}

func (p *onePage) typing() bool { return p.writing }

// reason is why the next revision is made.
func (p *onePage) reason(env *screen.Env, saved *recipes.Recipe) string {
	if text := strings.TrimSpace(p.typed); text != "" || p.writing {
		return text
	}
	return lastTasted(env, p.why, saved)
}

func (p *onePage) cursor(glyph string) string {
	if p.writing {
		return glyph
	}
	return ""
}

const longestWhy = 120

// write answers a key while the reason is typed.
func (p *onePage) write(k tea.KeyMsg) {
	switch k.Type {
	case tea.KeyEnter, tea.KeyEsc:
		p.writing = false
	case tea.KeyBackspace:
		if n := []rune(p.typed); len(n) > 0 {
			p.typed = string(n[:len(n)-1])
		}
	case tea.KeyRunes, tea.KeySpace:
		if text := p.typed + canvas.Clean(string(k.Runes)); len([]rune(text)) <= longestWhy {
			p.typed = text
		}
	}
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

func (p *onePage) keys(s *Screen, env *screen.Env) []screen.Binding {
	saved, _, changed := p.current(env)
	no := readOnly(env)
	noSave, noApply, noToday := no, no, ""
	if noSave == "" && !changed {
		noSave = "recipes-why.nothing-changed"
	}
	if noApply == "" && len(s.look(env.State, &saved).suggestion.Changes) == 0 {
		noApply = "recipes-why.no-suggestion"
	}
	today := keyToday
	if _, ok := env.State.AirNow(env.Now); !ok {
		noToday = "recipes-why.no-air"
	} else if env.State.FollowsAir(p.crop, env.Now) {
		today = screen.Bind("5", "recipes-does.recipes", "5")
	}
	noDrop := noSave
	if p.writing {
		return []screen.Binding{screen.Bind("a-z", "recipes-does.why"), screen.Bind("Enter", "recipes-does.done", "enter", "esc")}
	}
	if changed {
		noDrop = ""
	}
	return []screen.Binding{keySave.Unless(noSave), screen.Bind("+ -", "does.change", "+", "-").Unless(no), keyField, keyApply.Unless(noApply),
		today.Unless(noToday), keyDrop.Unless(noDrop), keyWhy.Unless(noDrop), keyCompare, keyTasteIt.Unless(noTaste(env)), keyList, keyNextOne, keyTypeAir}
}

var keyWhy = screen.Bind("w", "recipes-does.say-why", "w", "W")

var keyTypeAir = screen.Bind("a", "recipes-does.air", "a", "A")

func (p *onePage) update(s *Screen, env *screen.Env, k tea.KeyMsg) tea.Cmd {
	p.stopped = ""
	if p.writing {
		p.write(k)
		return nil
	}
	switch {
	case key.Matches(k, keyWhy.Binding):
		if _, _, changed := p.current(env); changed {
			p.writing = true
		}
	case key.Matches(k, keyField.Binding):
		p.field = int(k.Runes[0] - '1')
	case key.Matches(k, keyPrev.Binding):
		p.field = (p.field + fieldCount - 1) % fieldCount
	case key.Matches(k, keyNext.Binding):
		p.field = (p.field + 1) % fieldCount
	case key.Matches(k, keyToday.Binding):
		return useAir(env, p.crop, !env.State.FollowsAir(p.crop, env.Now))
	case key.Matches(k, keyCompare.Binding):
		return s.compare(env)
	case key.Matches(k, keyTasteIt.Binding):
		return s.pickBatch(env)
	case key.Matches(k, keyNextOne.Binding):
		crops := env.State.Book.Crops()
		at := max(0, slices.Index(crops, p.crop))
		return s.show(env, crops[(at+1)%len(crops)], "", p.why)
	case key.Matches(k, keyList.Binding):
		s.at = &s.list
	case key.Matches(k, keyTypeAir.Binding):
		return s.askAir(env)
	default:
		return p.change(s, env, k)
	}
	return nil
}

// change answers the keys that change the recipe.
func (p *onePage) change(s *Screen, env *screen.Env, k tea.KeyMsg) tea.Cmd {
	sign := 0
	switch {
	case key.Matches(k, keyMore.Binding):
		sign = 1
	case key.Matches(k, keyLess.Binding):
		sign = -1
	case !key.Matches(k, keySave.Binding) && !key.Matches(k, keyApply.Binding) && !key.Matches(k, keyDrop.Binding):
		return nil
	}
	if no := readOnly(env); no != "" {
		return notNow(env, no)
	}
	switch {
	case sign != 0:
		p.nudge(env, sign)
	case key.Matches(k, keySave.Binding):
		return p.save(env)
	case key.Matches(k, keyDrop.Binding):
		delete(p.drafts, p.crop)
	default:
		return p.apply(s, env)
	}
	return nil
}

// nudge changes the marked field by one press.
func (p *onePage) nudge(env *screen.Env, sign int) {
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

func (p *onePage) save(env *screen.Env) tea.Cmd {
	saved, draft, changed := p.current(env)
	if !changed {
		return screen.Say(env.Words.Say("recipes.nothing-changed"))
	}
	draft.By, draft.Why = env.By, p.reason(env, &saved)
	draft.Batches = judgedOn(env.State, &saved)
	return screen.Do(line.Revise{Recipe: draft})
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
func (p *onePage) apply(s *Screen, env *screen.Env) tea.Cmd {
	saved, _, changed := p.current(env)
	g := s.look(env.State, &saved).suggestion
	switch {
	case len(g.Changes) == 0:
		return screen.Say(env.Words.Say("recipes.no-suggestion"))
	case changed:
		return screen.Say(env.Words.Say("recipes.save-first"))
	}
	r := g.Apply(saved)
	r.By, r.Why = env.By, env.Words.Say("recipes.why-suggested", env.Words.Changes(&g))
	r.Batches = g.Batches[max(0, len(g.Batches)-judgedBatches):]
	return screen.Do(line.Revise{Recipe: r})
}

// since writes an instant as a date.
func since(env *screen.Env, t time.Time) string {
	if t.IsZero() {
		return env.Words.Say("recipes.beginning")
	}
	return env.Words.Date(t, "2 Jan 2006")
}
