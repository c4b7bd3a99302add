package setup

import (
	"fmt"
	"io"
	"strings"

	"github.com/charmbracelet/huh"
	"github.com/charmbracelet/lipgloss"
	"github.com/charmbracelet/x/ansi"

	"shedbell/ui/canvas"
	"shedbell/ui/theme"
)

// numbered puts the key in front of a choice.
func numbered(i int, text string) string {
	if i > 8 {
		return "  " + canvas.Clean(text)
	}
	return fmt.Sprintf("%d %s", i+1, canvas.Clean(text))
}

// styles are the looks of the theme for the fields of the form library.
func styles(opt theme.Options) *huh.Theme {
	r := lipgloss.NewRenderer(io.Discard)
	r.SetColorProfile(opt.Profile)
	looks := theme.New(opt).Looks
	of := func(role theme.Role) lipgloss.Style {
		l := looks[role]
		s := r.NewStyle().Bold(l.Bold).Underline(l.Underline).Reverse(l.Reverse)
		if l.Fore != "" {
			s = s.Foreground(lipgloss.Color(l.Fore))
		}
		if l.Back != "" {
			s = s.Background(lipgloss.Color(l.Back))
		}
		return s
	}
	t := &huh.Theme{}
	t.Focused.SelectSelector = of(theme.Strong).SetString("> ")
	t.Focused.SelectedOption = of(theme.Chosen)
	t.Focused.UnselectedOption = of(theme.Text)
	t.Focused.ErrorIndicator = r.NewStyle()
	t.Focused.TextInput.Text = of(theme.Strong)
	t.Focused.TextInput.Prompt = of(theme.Strong)
	t.Focused.TextInput.Cursor = r.NewStyle().Reverse(true)
	t.Blurred = t.Focused
	return t
}

// fieldRows is the field as it fits: of a long list the part around the mark, and
// never more than half of the screen.
func (m *model) fieldRows() []string {
	rows := strings.Split(m.field.View(), "\n")
	most := max(3, m.h/2)
	if n := len(m.talk.now.choices); n == 0 || n <= most || len(rows) != n {
		return rows[:min(len(rows), most)]
	}
	from := max(0, min(m.picked-most/2, len(rows)-most))
	return rows[from : from+most]
}

// View draws the whole screen.
func (m *model) View() string {
	if !m.talk.running || m.left || m.w < 20 || m.h < 8 {
		return ""
	}
	q := &m.talk.now
	c := canvas.New(m.w, m.h, m.theme)
	r := c.All()
	r.Put(1, 0, theme.Strong, m.words.Say("setup-screen.title"))
	r.PutRight(m.w-1, 0, theme.Faint, q.part)
	r.Rule(1)
	y := 2
	for _, l := range canvas.Wrap(canvas.Clean(q.title), m.w-4) {
		r.Put(2, y, theme.Action, l)
		y++
	}
	for _, l := range canvas.Wrap(canvas.Clean(q.about), m.w-4) {
		if q.about != "" && y < m.h-4 {
			r.Put(2, y, theme.Faint, l)
			y++
		}
	}
	y++
	rows := m.fieldRows()
	fieldAt := y
	y += len(rows)
	r.Rule(m.h - 2)
	r.Put(1, m.h-1, theme.Faint, m.keys())
	m.drawTold(r.Sub(2, y+1, m.w-4, m.h-3-y))
	lines := strings.Split(c.String(), "\n")
	for i, row := range rows {
		if at := fieldAt + i; at < m.h-2 {
			lines[at] = fitted("  "+row, m.w)
		}
	}
	return strings.Join(lines, "\n")
}

// fitted cuts or fills a styled row to the width.
func fitted(row string, width int) string {
	row = ansi.Truncate(row, width, "")
	return row + strings.Repeat(" ", max(0, width-ansi.StringWidth(row)))
}

func (m *model) keys() string {
	key := "typing"
	switch q := &m.talk.now; {
	case m.warned:
		key = "warned"
	case len(q.choices) > 0:
		key = "choosing"
	case q.digits:
		key = "number"
	}
	return m.words.Say("setup-keys." + key)
}

// drawTold writes what the interlock says, or why the answer was not taken.
func (m *model) drawTold(r canvas.Region) {
	type row struct {
		role theme.Role
		text string
	}
	var rows []row
	add := func(n note) {
		for _, l := range canvas.Wrap(canvas.Clean(n.text), max(10, r.W)) {
			rows = append(rows, row{n.role, l})
		}
	}
	if m.refused != "" {
		add(note{theme.Refuse, m.refused})
	}
	if q := &m.talk.now; q.tells != nil {
		for _, n := range q.tells(m.answer()) {
			add(n)
		}
	}
	m.scroll = max(0, min(m.scroll, len(rows)-r.H))
	for i := range min(r.H, len(rows)-m.scroll) {
		at := rows[m.scroll+i]
		r.Put(0, i, at.role, at.text)
	}
	if more := len(rows) - m.scroll - r.H; more > 0 && r.H > 0 {
		r.PutRight(r.W, r.H-1, theme.Faint, " "+m.words.Say("setup-screen.more"))
	}
}
