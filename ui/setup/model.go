package setup

import (
	"strconv"
	"strings"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"

	"shedbell/ui/act"
	"shedbell/ui/form"
	"shedbell/ui/screen"
	"shedbell/ui/theme"
	"shedbell/ui/words"
)

// model shows one question at a time, with what the interlock says about the
// answer as it stands below it.
type model struct {
	talk   *wizard
	env    *screen.Env // only what a form needs of it
	form   *form.Form
	w, h   int
	scroll int // first line shown of what is told
	hidden int // how many lines are told below the last one shown
	warned bool
	left   bool
}

var (
	keyQuit     = key.NewBinding(key.WithKeys("ctrl+c"))
	keyPageDown = key.NewBinding(key.WithKeys("pgdown"))
	keyPageUp   = key.NewBinding(key.WithKeys("pgup"))
)

func newModel(talk *wizard, w *words.Speaker, p screen.Prefs, opt theme.Options) *model {
	m := &model{talk: talk, env: &screen.Env{Context: act.Context{Words: w}, Theme: theme.New(opt), Prefs: p}, w: 80, h: 24}
	m.pose()
	return m
}

// Init asks for nothing: a field's cursor does not blink, as nothing moves on a
// quiet screen.
func (m *model) Init() tea.Cmd { return nil }

// pose makes the form for the present question.
func (m *model) pose() {
	m.warned, m.scroll = false, 0
	q := &m.talk.now
	m.form = form.New(m.env, q.title, q.about, m.rows(q)...)
}

const only = "answer"

// rows are a question as lines of a form: one, or one for each of several numbers.
func (m *model) rows(q *question) []form.Row {
	row := form.Row{Name: only, Label: "setup-screen.answer"}
	if q.check != nil {
		row.Check = func(*form.Form) string {
			if err := q.check(m.answer().text); err != nil {
				return err.Error()
			}
			return ""
		}
	}
	switch {
	case len(q.choices) > 0:
		row.Kind, row.Choices, row.Default = form.Choice, q.choices, form.Num(float64(q.pick))
	case len(q.parts) > 0:
		return m.numbers(q, row)
	case q.digits:
		row.Kind, row.Unit, row.Filled = form.Decimal, q.unit, filled(q.value)
		if q.whole {
			row.Kind = form.Whole
		}
	default:
		row.Kind, row.Filled, row.LetterFirst = form.Text, form.Str(q.value), true
	}
	return []form.Row{row}
}

// numbers are a line for each part; what is wrong with all of them is said of the
// last.
func (m *model) numbers(q *question, last form.Row) []form.Row {
	values := strings.Split(q.value, "/")
	out := make([]form.Row, len(q.parts))
	for i, name := range q.parts {
		out[i] = form.Row{Name: name, Label: m.env.Words.Setting(name), Kind: form.Decimal, Unit: q.unit, Optional: q.needed != nil && !q.needed[i]}
		if len(values) == len(q.parts) {
			out[i].Filled = filled(values[i])
		}
	}
	out[len(out)-1].Check = last.Check
	return out
}

func filled(value string) form.Value {
	if v, err := strconv.ParseFloat(value, 64); err == nil {
		return form.Num(v)
	}
	return form.Value{}
}

// answer is the answer as it stands.
func (m *model) answer() answer {
	q := &m.talk.now
	a := answer{pick: q.pick}
	typed := func(name string) string {
		if v, ok := m.form.Number(name); ok {
			return number(v)
		}
		return ""
	}
	switch {
	case len(q.choices) > 0:
		if i, ok := m.form.Choice(only); ok {
			a.pick = i
		}
	case len(q.parts) > 0:
		var texts []string
		for i, name := range q.parts {
			if text := typed(name); text != "" || q.needed == nil || q.needed[i] {
				texts = append(texts, text)
			}
		}
		a.text = strings.Join(texts, "/")
	case q.digits:
		a.text = typed(only)
	default:
		a.text = m.form.Text(only)
	}
	return a
}

// Update answers a message.
func (m *model) Update(msg tea.Msg) (tea.Model, tea.Cmd) {
	switch msg := msg.(type) {
	case tea.WindowSizeMsg:
		m.w, m.h = msg.Width, msg.Height
	case tea.KeyMsg:
		return m, m.pressed(msg)
	}
	return m, nil
}

func (m *model) pressed(k tea.KeyMsg) tea.Cmd {
	again := m.warned
	m.warned = false
	choosing := len(m.talk.now.choices) > 0
	switch {
	case key.Matches(k, keyQuit):
		return m.leave(again)
	case key.Matches(k, keyPageDown), choosing && k.String() == ".":
		m.page()
		return nil
	case key.Matches(k, keyPageUp):
		m.scroll = max(0, m.scroll-1)
		return nil
	}
	switch out, _ := m.form.Update(m.env, k); out {
	case form.Left:
		return m.back(again)
	case form.Sent:
		m.talk.give(m.answer())
		if !m.talk.running {
			return tea.Quit
		}
		m.pose()
	}
	return nil
}

// page shows more of what is told, and after its end the beginning again.
func (m *model) page() {
	if m.scroll++; m.hidden == 0 {
		m.scroll = 0
	}
}

// back goes to the question before; before the first one the set-up is left.
func (m *model) back(again bool) tea.Cmd {
	if !m.talk.back() {
		return m.leave(again)
	}
	m.pose()
	return nil
}

// leave asks once where answers would be lost.
func (m *model) leave(again bool) tea.Cmd {
	if !again && (len(m.talk.given) > 0 || m.form.Touched()) {
		m.warned = true
		return nil
	}
	m.left = true
	m.talk.stop()
	return tea.Quit
}
