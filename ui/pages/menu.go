// Package pages has the smaller screens, one file or a few for each.
package pages

import (
	"slices"
	"strconv"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"

	"shedbell/ui/canvas"
	"shedbell/ui/screen"
	"shedbell/ui/theme"
)

// menuEntry is one screen in the list. Its number is its place in the table, whether
// the screens before it exist or not, so that fingers can learn it.
type menuEntry struct {
	number int
	name   screen.Name
	about  string // the key of the text about it
}

var menuTable = []menuEntry{
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

var notInMenu = []screen.Name{screen.Board, screen.Menu, screen.Station, screen.Help}

// Menu lists the other screens by number.
type Menu struct {
	marked int
	from   screen.Name
}

// NewMenu makes the menu.
func NewMenu() *Menu { return &Menu{} }

var (
	keyMenuOpen = screen.Bind("1-9", "does.open", "1", "2", "3", "4", "5", "6", "7", "8", "9")
	keyMenuDo   = screen.Bind("Enter", "does.open-marked", "enter", " ")
	keyMenuNext = screen.Bind("+ -", "does.mark", "+", "=", "down", "j")
	keyMenuPrev = screen.Bind("-", "does.mark-above", "-", "up", "k")
	keyMenuBack = screen.Bind("/", "does.back", "/")
	keyMenuExit = screen.Bind("0", "does.back", "0", "esc")
	keyMenuHelp = screen.Bind("?", "does.help", "?")
)

// menuEntries lists the screens that exist.
func menuEntries(env *screen.Env) []menuEntry {
	var out []menuEntry
	for _, e := range menuTable {
		if slices.Contains(env.Screens, e.name) {
			out = append(out, e)
		}
	}
	next := len(menuTable)
	for _, name := range env.Screens {
		known := func(e menuEntry) bool { return e.name == name }
		if !slices.Contains(notInMenu, name) && !slices.ContainsFunc(menuTable, known) {
			next++
			out = append(out, menuEntry{number: next, name: name})
		}
	}
	return out
}

// Typing says that no field takes letters and digits here.
func (m *Menu) Typing() bool { return false }

// Keys lists what can be pressed.
func (m *Menu) Keys(*screen.Env) []screen.Binding {
	return []screen.Binding{keyMenuOpen, keyMenuDo, keyMenuNext}
}

// Update answers a message.
func (m *Menu) Update(env *screen.Env, msg tea.Msg) tea.Cmd {
	list := menuEntries(env)
	m.marked = min(max(m.marked, 0), max(0, len(list)-1))
	switch msg := msg.(type) {
	case screen.OpenMsg:
		m.from = msg.From
	case tea.KeyMsg:
		return m.pressed(env, list, msg)
	}
	return nil
}

func (m *Menu) pressed(env *screen.Env, list []menuEntry, k tea.KeyMsg) tea.Cmd {
	switch {
	case key.Matches(k, keyMenuOpen.Binding):
		n, _ := strconv.Atoi(k.String())
		for _, e := range list {
			if e.number == n {
				return screen.Open(e.name)
			}
		}
		return screen.Say(env.Words.Say("menu.none", k.String()))
	case key.Matches(k, keyMenuDo.Binding) && len(list) > 0:
		return screen.Open(list[m.marked].name)
	case key.Matches(k, keyMenuNext.Binding) && len(list) > 0:
		m.marked = (m.marked + 1) % len(list)
	case key.Matches(k, keyMenuPrev.Binding) && len(list) > 0:
		m.marked = (m.marked + len(list) - 1) % len(list)
	case key.Matches(k, keyMenuBack.Binding):
		return func() tea.Msg { return screen.LeaveMsg{To: m.from} }
	}
	return nil
}

// Draw draws the list, spread out where there is room: it is read from afar.
func (m *Menu) Draw(env *screen.Env, r canvas.Region) {
	body := screen.Page(env, r, env.Words.Say("menu.title", env.State.Site.Name), "", m.Keys(env), keyMenuExit, keyMenuHelp)
	list := menuEntries(env)
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
