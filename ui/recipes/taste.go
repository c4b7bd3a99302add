package recipeui

import (
	"slices"
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"shedbell/line"
	"shedbell/recipes"
	"shedbell/ui/act"
	"shedbell/ui/canvas"
	"shedbell/ui/form"
	"shedbell/ui/screen"
	"shedbell/ui/theme"
	"shedbell/ui/words"
)

// tastePage asks the five questions about one batch, each with one key, and what it
// weighed.
type tastePage struct {
	batch line.PackedBatch
	form  *form.Form
	back  page
	board bool // opened from the board, so it goes back there
}

// weightRows are the weighings, by the keys of their texts.
var weightRows = [4]string{"recipes.before-wash", "recipes.after-spin", "recipes.after-dry", "recipes.packed"}

const daysRow = "recipes.days-kept"

// The most that one batch can weigh, and the longest that greens keep.
const (
	mostG    = 100_000
	mostDays = 60
)

// taste opens the questions about a batch.
func (s *Screen) taste(env *screen.Env, batch int, from screen.Name) {
	packed := env.State.Packed()
	i := slices.IndexFunc(packed, func(p line.PackedBatch) bool { return p.ID == batch })
	if i < 0 {
		s.at = &s.list
		return
	}
	back := s.at
	if _, ok := back.(*tastePage); ok {
		back = &s.list
	}
	if s.tastes[batch] == nil {
		s.tastes[batch] = tastingForm(env)
	}
	s.at = &tastePage{batch: packed[i], form: s.tastes[batch], back: back, board: from == screen.Board}
}

// tastingForm begins at the first question; the weighings, which not everybody does,
// stand above it.
func tastingForm(env *screen.Env) *form.Form {
	var rows []form.Row
	for i, name := range weightRows {
		rows = append(rows, form.Row{Name: name, Label: name, Kind: form.Weight, Max: mostG, Optional: true, Beside: i%2 == 1})
	}
	for i, aspect := range recipes.Aspects {
		var answers []string
		for score := recipes.Score(1); score <= 5; score++ {
			answers = append(answers, env.Words.Answer(i, score))
		}
		rows = append(rows, form.Row{Name: aspect, Label: env.Words.Question(i), Kind: form.Choice, Choices: answers, Optional: true})
	}
	rows = append(rows, form.Row{Name: daysRow, Label: daysRow, Kind: form.Whole, Unit: "recipes.unit-days", Min: 1, Max: mostDays, Optional: true, Note: "recipes.days-note"})
	f := form.New(env, "", "", rows...)
	f.Go(recipes.Aspects[0])
	return f
}

func (p *tastePage) actions(s *Screen, env *screen.Env) act.Table {
	leave := func() tea.Cmd {
		s.at = p.back
		if p.board {
			return screen.Leave
		}
		return nil
	}
	return p.form.Fill(env, leave, func() tea.Cmd { return p.send(env) })
}

// done leaves once the tasting is in the journal.
func (p *tastePage) done(s *Screen, env *screen.Env) tea.Cmd {
	if s.at = p.back; p.board {
		return screen.Leave
	}
	return s.show(env, p.batch.Ran.Crop, "", s.one.why)
}

func (p *tastePage) send(env *screen.Env) tea.Cmd {
	grams := func(i int) float64 {
		g, _ := p.form.Number(weightRows[i])
		return g
	}
	score := func(i int) recipes.Score {
		if n, ok := p.form.Choice(recipes.Aspects[i]); ok {
			return recipes.Score(n + 1)
		}
		return 0 // not judged
	}
	return screen.Do(line.TasteBatch{Batch: p.batch.ID, Tasting: recipes.Tasting{
		By: env.By, Wetness: score(0), Bruising: score(1), Grit: score(2), Flavour: score(3), DaysKept: p.form.Int(daysRow),
		Weights: recipes.Weights{BeforeWashG: grams(0), AfterSpinG: grams(1), AfterDryG: grams(2), PackedG: grams(3)},
	}})
}

func (p *tastePage) draw(s *Screen, env *screen.Env, r canvas.Region) {
	title := env.Words.Say("recipes.title-taste", env.State.Site.Name, strings.ToUpper(env.Words.Sentence(p.batch.Ran.Called())))
	body := screen.Page(env, r, title, "", p.actions(s, env))
	foot := env.Words.Say("recipes.weights-optional", env.Words.Say("suggest.not-judged"))
	rows := min(len(canvas.Wrap(foot, body.W-3)), body.H/3)
	y := body.Inset(2, 0).Rows(0, 2).Wrapped(theme.Faint, ranWords(env.Words, &p.batch.Ran)) + 1
	p.form.Draw(env, body.Rows(y, body.H-y-rows-1))
	body.Sub(2, body.H-rows, body.W-3, rows).Wrapped(theme.Faint, foot)
}

// ranWords says how a batch ran.
func ranWords(w *words.Speaker, r *recipes.Ran) string {
	text := w.Say("recipes.ran", r.Lot, r.Revision,
		words.Clock(r.Soak), words.Clock(r.Spin), words.Clock(r.Dry))
	if r.Fan != "" {
		text += w.Say("recipes.ran-fans", w.Setting(r.Fan))
	}
	if r.Air != (recipes.Air{}) {
		text += w.Say("recipes.ran-air", w.Air(r.Air))
	}
	return w.Say("recipes.sentence", text)
}
