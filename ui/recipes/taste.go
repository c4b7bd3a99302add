package recipeui

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"shedbell/line"
	"shedbell/recipes"
	"shedbell/ui/canvas"
	"shedbell/ui/screen"
	"shedbell/ui/theme"
	"shedbell/ui/words"
)

// tastePage asks the five questions about one batch, each with one key.
type tastePage struct {
	batch  line.PackedBatch
	scores [4]recipes.Score
	asked  int // the question at hand; 4 is days kept
	days   int // set with +, where a digit is not enough

	weights  [4]string // typed, in grams
	weighing int       // the weight at hand, from 1; 0: at the questions
	back     page
	board    bool // opened from the board, so it goes back there
}

var weightKeys = [4]string{"recipes.before-wash", "recipes.after-spin", "recipes.after-dry", "recipes.packed"}

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
	t := s.tastes[batch]
	if t == nil {
		t = &tastePage{}
		s.tastes[batch] = t
	}
	t.batch, t.back, t.board = packed[i], back, from == screen.Board
	s.at = t
}

func (p *tastePage) typing() bool { return true }

func (p *tastePage) keys(*Screen, *screen.Env) []screen.Binding {
	back := screen.Bind("0", "does.back", "0", "esc")
	if p.weighing > 0 {
		return []screen.Binding{screen.Bind("0-9", "recipes-does.grams", "0", "1", "2", "3", "4", "5", "6", "7", "8", "9"),
			screen.Bind("Enter", "does.next", "enter"), screen.Bind("-", "does.erase", "-"),
			screen.Bind(".", "recipes-does.questions", "."), screen.Bind("0", "does.back-when-empty", "0", "esc"), keyHelp}
	}
	if p.asked == len(recipes.Aspects) {
		return []screen.Binding{screen.Bind("1-9", "recipes-does.days-save", "1", "2", "3", "4", "5", "6", "7", "8", "9"),
			screen.Bind("Enter", p.enterDoes(), "enter"), screen.Bind("+", "recipes-does.ten-days", "+"),
			screen.Bind("-", "recipes-does.question-before", "-"), screen.Bind(".", "recipes-does.weights", "."), back, keyHelp}
	}
	return []screen.Binding{screen.Bind("1-5", "does.answer", "1", "2", "3", "4", "5"), screen.Bind("Enter", "recipes-does.not-judged", "enter"),
		screen.Bind("-", "recipes-does.question-before", "-"), screen.Bind(".", "recipes-does.weights", "."), back, keyHelp}
}

func (p *tastePage) enterDoes() string {
	if p.days > 0 {
		return "recipes-does.save"
	}
	return "recipes-does.unknown-save"
}

func (p *tastePage) update(s *Screen, env *screen.Env, k tea.KeyMsg) tea.Cmd {
	c := k.String()
	switch {
	case c == "?":
		return screen.Open(screen.Help)
	case p.weighing > 0:
		p.weigh(s, c)
	case c == "0" || c == "esc":
		return p.leave(s)
	case c == ".":
		p.weighing = 1
	case c == "-" || c == "up":
		p.asked, p.days = max(p.asked-1, 0), 0
	case p.asked < len(recipes.Aspects):
		p.answer(c)
	case c == "+" || c == "=":
		p.days = max(p.days+1, 10)
	case c == "enter":
		return p.send(env)
	case len(c) == 1 && c[0] >= '1' && c[0] <= '9':
		p.days = int(c[0] - '0')
		return p.send(env)
	}
	return nil
}

// answer takes a score, or leaves the question out.
func (p *tastePage) answer(c string) {
	switch {
	case c == "enter" || c == "down":
		p.scores[p.asked] = 0
	case len(c) == 1 && c[0] >= '1' && c[0] <= '5':
		p.scores[p.asked] = recipes.Score(c[0] - '0')
	default:
		return
	}
	p.asked++
}

func (p *tastePage) leave(s *Screen) tea.Cmd {
	s.at = p.back
	if p.board {
		return screen.Leave
	}
	return nil
}

// done leaves once the tasting is in the journal.
func (p *tastePage) done(s *Screen, env *screen.Env) tea.Cmd {
	if cmd := p.leave(s); cmd != nil {
		return cmd
	}
	return s.show(env, p.batch.Ran.Crop, "", s.one.why)
}

const weightDigits = 6

// weigh answers a key while a weight is typed.
func (p *tastePage) weigh(s *Screen, c string) {
	field := &p.weights[p.weighing-1]
	switch {
	case c == ".", c == "esc", c == "0" && *field == "":
		p.weighing = 0
	case c == "enter" || c == "down" || c == "tab" || c == "/":
		p.weighing = (p.weighing + 1) % (len(p.weights) + 1)
	case c == "up":
		p.weighing--
	case (c == "-" || c == "backspace") && *field != "":
		*field = (*field)[:len(*field)-1]
	case len(c) == 1 && c[0] >= '0' && c[0] <= '9' && len(*field) < weightDigits:
		*field += c
	}
}

func (p *tastePage) send(env *screen.Env) tea.Cmd {
	grams := func(i int) float64 {
		n, _ := strconv.Atoi(p.weights[i]) // nothing but digits gets into it
		return float64(n)
	}
	return screen.Do(line.TasteBatch{Batch: p.batch.ID, Tasting: recipes.Tasting{
		By: env.By, Wetness: p.scores[0], Bruising: p.scores[1], Grit: p.scores[2], Flavour: p.scores[3], DaysKept: p.days,
		Weights: recipes.Weights{BeforeWashG: grams(0), AfterSpinG: grams(1), AfterDryG: grams(2), PackedG: grams(3)},
	}})
}

func (p *tastePage) draw(s *Screen, env *screen.Env, r canvas.Region) {
	body := screen.Page(env, r, env.Words.Say("recipes.title-taste", env.State.Site.Name, strings.ToUpper(env.Words.FromEnglish(p.batch.Ran.Batch))), "", p.keys(s, env))
	y := body.Inset(1, 0).Rows(0, 2).Wrapped(theme.Faint, ranWords(env.Words, &p.batch.Ran)) + 1
	step := 1
	if body.H-y >= 2*(len(recipes.Aspects)+1)+6 {
		step = 2
	}
	for i := range len(recipes.Aspects) + 1 {
		p.drawQuestion(env.Words, body.Rows(y, 1), i)
		y += step
	}
	y += 1
	for i, key := range weightKeys {
		x := 3 + (i%2)*max(28, body.W/2-3)
		role, text := theme.Text, p.weights[i]
		if p.weighing == i+1 {
			role, text = theme.Chosen, text+r.Theme().Glyphs.Cursor
		}
		cell := body.Sub(x, y+i/2, 27, 1)
		cell.Put(0, 0, role, env.Words.Say(key))
		cell.PutRight(20, 0, theme.Strong, text)
		cell.Put(21, 0, theme.Faint, env.Words.Say("recipes.gram"))
	}
	y += 3
	foot := env.Words.Say("recipes.weights-optional", env.Words.Say("suggest.not-judged"))
	if y+len(canvas.Wrap(foot, body.W-2)) > body.H {
		y-- // what is not judged matters more than the empty row
	}
	body.Inset(1, 0).Rows(y, body.H-y).Wrapped(theme.Faint, foot)
}

// drawQuestion draws one question: its answers while it is asked, else the answer.
func (p *tastePage) drawQuestion(w *words.Speaker, r canvas.Region, i int) {
	name, role := w.Say("recipes.days-kept"), theme.Text
	if i < len(recipes.Aspects) {
		name = w.Question(i)
	}
	here := i == p.asked && p.weighing == 0
	if here {
		role = theme.Chosen
		r.Put(1, 0, theme.Strong, r.Theme().Glyphs.Arrow)
	}
	r.Put(3, 0, role, name)
	const at = 19
	switch {
	case i == len(recipes.Aspects):
		text := w.Say("recipes.days-keys")
		if p.days > 0 {
			text = w.Say("recipes.days", p.days)
		}
		if here || p.days > 0 {
			r.Put(at, 0, theme.Text, text)
		}
	case here:
		r.Put(at, 0, theme.Text, answers(w, i, r.W-at))
	case p.scores[i] > 0:
		r.Put(at, 0, theme.Strong, fmt.Sprintf("%d %s", p.scores[i], w.Answer(i, p.scores[i])))
	case i < p.asked:
		r.Put(at, 0, theme.Faint, w.Say("recipes.not-judged"))
	}
}

// answers lists the five answers, as far as they fit.
func answers(w *words.Speaker, aspect, width int) string {
	var parts []string
	for score := recipes.Score(1); score <= 5; score++ {
		parts = append(parts, fmt.Sprintf("%d %s", score, w.Answer(aspect, score)))
	}
	text := strings.Join(parts, "   ")
	if canvas.Width(text) > width {
		text = strings.Join(parts, " ")
	}
	if canvas.Width(text) > width {
		text = strings.Join([]string{parts[0], parts[2], parts[4]}, ", ")
	}
	return text
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
