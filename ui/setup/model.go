package setup

import (
	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/huh"

	"shedbell/ui/theme"
	"shedbell/ui/words"
)

// model shows one question at a time, with what the interlock says about the
// answer as it stands below it.
type model struct {
	talk    *wizard
	words   *words.Speaker
	theme   *theme.Theme
	styles  *huh.Theme
	field   huh.Field
	typed   string
	touched bool // the field was changed since it was posed
	picked  int
	w, h    int
	scroll  int  // first line shown of what is told
	warned  bool // esc was pressed once
	left    bool
	refused string // why the answer was not taken
}

func newModel(talk *wizard, w *words.Speaker, opt theme.Options) *model {
	m := &model{talk: talk, words: w, theme: theme.New(opt), styles: styles(opt), w: 80, h: 24}
	m.pose()
	return m
}

// Init asks for nothing: a field's cursor does not blink, as nothing moves on a
// quiet screen.
func (m *model) Init() tea.Cmd { return nil }

// pose makes the field for the present question.
func (m *model) pose() {
	q := &m.talk.now
	m.warned, m.refused, m.scroll, m.touched = false, "", 0, false
	m.typed, m.picked = q.value, q.pick
	if len(q.choices) == 0 {
		m.field = huh.NewInput().Prompt("> ").CharLimit(200).Value(&m.typed)
	} else {
		options := make([]huh.Option[int], len(q.choices))
		for i, c := range q.choices {
			options[i] = huh.NewOption(numbered(i, c), i)
		}
		m.picked = 0 // a list that begins elsewhere hides what is above
		m.field = huh.NewSelect[int]().Options(options...).Value(&m.picked)
	}
	m.field = m.field.WithTheme(m.styles).WithKeyMap(huh.NewDefaultKeyMap()).WithWidth(max(10, m.w-4))
	m.field.Focus()
	for len(q.choices) > 0 && m.picked < q.pick {
		m.field.Update(tea.KeyMsg{Type: tea.KeyDown})
	}
}

// Update answers a message.
func (m *model) Update(msg tea.Msg) (tea.Model, tea.Cmd) {
	switch msg := msg.(type) {
	case tea.WindowSizeMsg:
		m.w, m.h = msg.Width, msg.Height
		m.resize()
	case tea.KeyMsg:
		return m, m.pressed(msg)
	}
	return m, nil
}

// resize makes the field anew for the size, with what is in it.
func (m *model) resize() {
	typed, picked, scroll, touched := m.typed, m.picked, m.scroll, m.touched
	q := &m.talk.now
	value, pick := q.value, q.pick
	q.value, q.pick = typed, picked
	m.pose()
	q.value, q.pick = value, pick
	m.scroll, m.touched = scroll, touched
}

func (m *model) pressed(k tea.KeyMsg) tea.Cmd {
	key := k.String()
	choice := len(m.talk.now.choices) > 0
	again := m.warned
	m.warned, m.refused = false, ""
	switch {
	case key == "ctrl+c", key == "esc" && (again || len(m.talk.given) == 0):
		return m.leave()
	case key == "esc":
		m.warned = true
	case key == "shift+tab", key == "0" && choice, !choice && (key == "up" || key == "-" && m.talk.now.digits):
		if m.talk.back() {
			m.pose()
		}
	case key == "pgdown", choice && key == "*":
		m.scroll++
	case key == "pgup", choice && key == "/":
		m.scroll = max(0, m.scroll-1)
	case choice:
		return m.chooses(k)
	case key == "enter":
		return m.takes()
	default:
		m.types(k)
	}
	return nil
}

// types puts a key into the field. The first digit replaces a number that is
// offered.
func (m *model) types(k tea.KeyMsg) {
	q := &m.talk.now
	if q.digits && !m.touched && k.Type == tea.KeyRunes {
		offered := q.value
		q.value = ""
		m.pose()
		q.value = offered
	}
	m.touched = true
	m.field.Update(k)
}

// chooses takes a digit for the choice itself; + and - go up and down as the
// arrows do, and Enter takes what is marked.
func (m *model) chooses(k tea.KeyMsg) tea.Cmd {
	n := len(m.talk.now.choices)
	switch key := k.String(); {
	case key == "enter":
		return m.takes()
	case len(key) == 1 && key[0] >= '1' && int(key[0]-'0') <= n:
		m.picked = int(key[0] - '1')
		return m.takes()
	case key == "+":
		m.field.Update(tea.KeyMsg{Type: tea.KeyDown})
	case key == "-":
		m.field.Update(tea.KeyMsg{Type: tea.KeyUp})
	case key == "up", key == "down", key == "home", key == "end":
		m.field.Update(k)
	}
	return nil
}

// takes gives the answer to the talk, once it is one.
func (m *model) takes() tea.Cmd {
	q := &m.talk.now
	if len(q.choices) == 0 && q.check != nil {
		if err := q.check(m.typed); err != nil {
			m.refused = err.Error()
			return nil
		}
	}
	m.talk.give(m.answer())
	if !m.talk.running {
		return tea.Quit
	}
	m.pose()
	return nil
}

func (m *model) answer() answer { return answer{pick: m.picked, text: m.typed} }

func (m *model) leave() tea.Cmd {
	m.left = true
	m.talk.stop()
	return tea.Quit
}
