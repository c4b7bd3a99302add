// Package pages has the smaller screens, one file or a few for each.
package pages

import (
	"slices"
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"shedbell/ui/act"
	"shedbell/ui/canvas"
	"shedbell/ui/screen"
	"shedbell/ui/theme"
)

// menuEntry is one screen in the list. Its key is its place in the table, whether the
// screens before it exist or not, so that fingers can learn it.
type menuEntry struct {
	key   string
	name  screen.Name
	about string // the key of the text about it
}

// menuKeys are the keys of the entries, as far as there are any; those of a number pad
// are first.
var menuKeys = strings.Split("123456789.abcdefg", "")

var menuTable = []menuEntry{
	{"", screen.Power, "menu.power"},
	{"", screen.Plan, "menu.plan"},
	{"", screen.Recipes, "menu.recipes"},
	{"", screen.Records, "menu.records"},
	{"", screen.CleanUp, "menu.clean-up"},
	{"", screen.Day, "menu.day"},
	{"", screen.Log, "menu.log"},
	{"", screen.Settings, "menu.settings"},
	{"", screen.Backlog, "menu.backlog"},
	{"", screen.People, "menu.people"},
	{"", screen.PracticeDay, "menu.practice"},
	{"", screen.Recovery, "menu.recovery"},
	{"", screen.Begin, "menu.begin"},
	{"", screen.Paces, "menu.paces"},
	{"", screen.Next, "menu.next"},
	{"", screen.Sowing, "menu.sowing"},
}

var notInMenu = []screen.Name{screen.Board, screen.Menu, screen.Station, screen.Help, screen.Alarms, screen.Done, screen.DayOver}

// Menu lists the other screens by number.
type Menu struct {
	marked int
	from   screen.Name
}

// NewMenu makes the menu.
func NewMenu() *Menu { return &Menu{} }

// menuEntries lists the screens that exist.
func menuEntries(env *screen.Env) []menuEntry {
	var out []menuEntry
	for i, e := range menuTable {
		if e.key = menuKeys[i]; slices.Contains(env.Screens, e.name) {
			out = append(out, e)
		}
	}
	next := len(menuTable)
	for _, name := range env.Screens {
		known := func(e menuEntry) bool { return e.name == name }
		if !slices.Contains(notInMenu, name) && !slices.ContainsFunc(menuTable, known) {
			out = append(out, menuEntry{key: menuKeys[next], name: name})
			next++
		}
	}
	return out
}

// Actions opens a screen by its key, or the marked one.
func (m *Menu) Actions(env *screen.Env) act.Table {
	list := menuEntries(env)
	m.marked = min(max(m.marked, 0), max(0, len(list)-1))
	open := func(k tea.KeyMsg) tea.Cmd {
		for _, e := range list {
			if e.key == k.String() {
				return screen.Open(e.name)
			}
		}
		return act.Say(env.Words.Say("foot.no-number", k.String()))
	}
	label := "1-9"
	if len(list) > 0 && list[len(list)-1].key == "." {
		label = "1-9 ."
	}
	all := act.Table{act.Key(label, "does.open", menuKeys...).Take(open)}
	if len(list) > 0 {
		all = append(all, act.Key("Enter", "does.open-marked", "enter", " ").Tell(screen.OpenMsg{Name: list[m.marked].name}))
	}
	return append(append(all, act.Round("does.mark", &m.marked, len(list))...),
		act.Key("/", "does.back", "/").Tell(screen.LeaveMsg{To: m.from}).Hidden())
}

// Update answers a message.
func (m *Menu) Update(_ *screen.Env, msg tea.Msg) tea.Cmd {
	if msg, ok := msg.(screen.OpenMsg); ok {
		m.from = msg.From
	}
	return nil
}

// Draw draws the list, spread out where there is room: it is read from afar.
func (m *Menu) Draw(env *screen.Env, r canvas.Region) {
	body := screen.Page(env, r, env.Words.Say("menu.title", env.State.Site.Name), "", m.Actions(env))
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
		row.Put(3, 0, theme.Strong, e.key)
		row.Sub(6, 0, 10, 1).Put(0, 0, role, screen.Title(env.Words, e.name))
		row.Put(17, 0, theme.Faint, env.Words.Say(e.about))
		y += step
	}
}
