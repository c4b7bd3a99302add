// Package menu lists the other screens by number.
package menu

import (
	"slices"
	"strconv"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"

	"shedbell/ui/canvas"
	"shedbell/ui/screen"
	"shedbell/ui/theme"
)

// entry is one screen in the list. Its number is its place in the table, whether
// the screens before it exist or not, so that fingers can learn it.
type entry struct {
	number int
	name   screen.Name
	about  string // the key of the text about it
}

var table = []entry{
	{1, screen.Power, "menu.power"},
	{2, screen.Plan, "menu.plan"},
	{3, screen.Recipes, "menu.recipes"},
	{4, screen.Records, "menu.records"},
	{5, screen.CleanUp, "menu.clean-up"},
	{6, screen.Day, "menu.day"},
	{7, screen.Log, "menu.log"},
	{8, screen.Settings, "menu.settings"},
	{9, screen.Backlog, "menu.backlog"},
	{10, screen.PracticeDay, "menu.practice"},
}

var hidden = []screen.Name{screen.Board, screen.Menu, screen.Station, screen.Help}

// Menu is the list of screens.
type Menu struct {
	marked int
	from   screen.Name
}

// New makes the menu.
func New() *Menu { return &Menu{} }

var (
	keyOpen = screen.Bind("1-9", "does.open", "1", "2", "3", "4", "5", "6", "7", "8", "9")
	keyDo   = screen.Bind("Enter", "does.open-marked", "enter", " ")
	keyNext = screen.Bind("+ -", "does.mark", "+", "=", "down", "j")
	keyPrev = screen.Bind("-", "does.mark-above", "-", "up", "k")
	keyBack = screen.Bind("/", "does.back", "/")
	keyExit = screen.Bind("0", "does.back", "0", "esc")
	keyHelp = screen.Bind("?", "does.help", "?")
)

// entries lists the screens that exist.
func entries(env *screen.Env) []entry {
	var out []entry
	for _, e := range table {
		if slices.Contains(env.Screens, e.name) {
			out = append(out, e)
		}
	}
	next := len(table)
	for _, name := range env.Screens {
		known := func(e entry) bool { return e.name == name }
		if !slices.Contains(hidden, name) && !slices.ContainsFunc(table, known) {
			next++
			out = append(out, entry{number: next, name: name})
		}
	}
	return out
}

// Typing says that no field takes letters and digits here.
func (m *Menu) Typing() bool { return false }

// Keys lists what can be pressed.
func (m *Menu) Keys(*screen.Env) []screen.Binding {
	return []screen.Binding{keyOpen, keyDo, keyNext}
}

// Update answers a message.
func (m *Menu) Update(env *screen.Env, msg tea.Msg) tea.Cmd {
	list := entries(env)
	m.marked = min(max(m.marked, 0), max(0, len(list)-1))
	switch msg := msg.(type) {
	case screen.OpenMsg:
		m.from = msg.From
	case tea.KeyMsg:
		return m.pressed(env, list, msg)
	}
	return nil
}

func (m *Menu) pressed(env *screen.Env, list []entry, k tea.KeyMsg) tea.Cmd {
	switch {
	case key.Matches(k, keyOpen.Binding):
		n, _ := strconv.Atoi(k.String())
		for _, e := range list {
			if e.number == n {
				return screen.Open(e.name)
			}
		}
		return screen.Say(env.Words.Say("menu.none", k.String()))
	case key.Matches(k, keyDo.Binding) && len(list) > 0:
		return screen.Open(list[m.marked].name)
	case key.Matches(k, keyNext.Binding) && len(list) > 0:
		m.marked = (m.marked + 1) % len(list)
	case key.Matches(k, keyPrev.Binding) && len(list) > 0:
		m.marked = (m.marked + len(list) - 1) % len(list)
	case key.Matches(k, keyBack.Binding):
		return func() tea.Msg { return screen.LeaveMsg{To: m.from} }
	}
	return nil
}

// Draw draws the list, spread out where there is room: it is read from afar.
func (m *Menu) Draw(env *screen.Env, r canvas.Region) {
	body := screen.Page(env, r, env.Words.Say("menu.title", env.State.Site.Name), "", m.Keys(env), keyExit, keyHelp)
	list := entries(env)
	step := 1
	if body.H >= 2*len(list)+2 {
		step = 2
	}
	marked := min(m.marked, len(list)-1)
	first := max(0, marked-max(body.H/step, 1)+1)
	y := 0
	if body.H > len(list)*step {
		y = 1
	}
	for i := first; i < len(list); i++ {
		e, role, mark := list[i], theme.Text, " "
		if i == marked {
			role, mark = theme.Chosen, body.Theme().Glyphs.Arrow
		}
		row := body.Rows(y, 1)
		row.Put(1, 0, theme.Strong, mark)
		row.Put(3, 0, theme.Strong, strconv.Itoa(e.number))
		row.Sub(6, 0, 10, 1).Put(0, 0, role, screen.Title(env.Words, e.name))
		row.Put(17, 0, theme.Faint, env.Words.Say(e.about))
		y += step
	}
}
