package pages

import (
	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"

	"shedbell/ui/canvas"
	"shedbell/ui/screen"
	"shedbell/ui/theme"
	"shedbell/ui/words"
)

// Practice shows a practice day: the mistakes so far, each with what happened, why it
// matters and what to do next time, and the praise at its end.
type Practice struct{ from int } // first row shown

// NewPractice makes the screen.
func NewPractice() *Practice { return &Practice{} }

var (
	keyPracticeBegin  = screen.Bind("Enter", "practice.start", "enter", " ")
	keyPracticeBoard  = screen.Bind("Enter", "does.back-to-board", "enter", " ")
	keyPracticeScroll = screen.Bind("+ -", "does.scroll", "+", "=", "down", "j")
	keyPracticeUp     = screen.Bind("-", "does.scroll-up", "-", "up", "k")
	keyPracticeExit   = screen.Bind("0", "does.back", "0", "esc")
	keyPracticeHelp   = screen.Bind("?", "does.help", "?")
)

// Typing says that no field takes letters and digits here.
func (s *Practice) Typing() bool { return false }

// Keys lists what can be pressed.
func (s *Practice) Keys(env *screen.Env) []screen.Binding {
	if !env.Practice.On {
		return []screen.Binding{keyPracticeBegin}
	}
	none := ""
	if len(env.Practice.Mistakes) == 0 {
		none = "why.all-shown"
	}
	if env.Practice.Over { // a second Enter for the day's end must not pass over what is said about it
		return []screen.Binding{keyPracticeScroll.Unless(none)}
	}
	return []screen.Binding{keyPracticeBoard, keyPracticeScroll.Unless(none)}
}

// Update answers a message.
func (s *Practice) Update(env *screen.Env, msg tea.Msg) tea.Cmd {
	switch msg := msg.(type) {
	case screen.OpenMsg:
		s.from = 0
	case tea.KeyMsg:
		switch {
		case key.Matches(msg, keyPracticeBegin.Binding) && env.Practice.Over:
		case key.Matches(msg, keyPracticeBegin.Binding) && env.Practice.On:
			return screen.Leave
		case key.Matches(msg, keyPracticeBegin.Binding):
			return func() tea.Msg { return screen.PracticeMsg{} }
		case key.Matches(msg, keyPracticeScroll.Binding):
			s.from++
		case key.Matches(msg, keyPracticeUp.Binding):
			s.from--
		}
	}
	s.from = min(max(s.from, 0), max(len(practiceRows(env, env.Size.W))-1, 0))
	return nil
}

// Draw draws the mistakes, the latest first.
func (s *Practice) Draw(env *screen.Env, r canvas.Region) {
	w := env.Words
	body := screen.Page(env, r, w.Say("practice.title", env.State.Site.Name), "", s.Keys(env), keyPracticeExit, keyPracticeHelp)
	rows := practiceRows(env, r.W)
	from := min(s.from, max(len(rows)-body.H, 0))
	room := body.H
	if from+room < len(rows) && room > 1 {
		room--
		body.PutRight(body.W-1, room, theme.Strong, w.Say("practice.more"))
	}
	for y := 0; y < room && from+y < len(rows); y++ {
		l := rows[from+y]
		body.Put(l.x, y, l.role, l.text)
		if l.label != "" {
			body.Put(practiceLabelAt, y, theme.Faint, l.label)
		}
	}
}

// practiceRow is a row of the list.
type practiceRow struct {
	x     int
	role  theme.Role
	text  string
	label string
}

const (
	practiceLabelAt = 3
	practiceWidest  = 100 // longer lines are hard to read from afar
)

// practiceVerdict is how the day goes, or went, and what follows from that.
func practiceVerdict(w *words.Speaker, p *screen.Practice) (verdict, further string) {
	n := len(p.Mistakes)
	switch {
	case p.Over && n == 0:
		return w.Say("practice.ended-none"), w.Say("practice.faultless")
	case p.Over:
		return w.Say("practice.ended", n), w.Say("practice.again")
	case n == 0:
		return w.Say("practice.none"), w.Say("practice.at-work")
	}
	return w.Say("practice.count", n), w.Say("practice.at-work")
}

// practiceRows lays the list out.
func practiceRows(env *screen.Env, width int) []practiceRow {
	w, p := env.Words, &env.Practice
	width = min(width, practiceWidest)
	var out []practiceRow
	say := func(x int, role theme.Role, label, text string) {
		for _, part := range canvas.Wrap(text, max(width-x-1, 1)) {
			out = append(out, practiceRow{x, role, part, label})
			label = ""
		}
	}
	if !p.On {
		say(1, theme.Text, "", w.Say("practice.offer"))
		return out
	}
	verdict, further := practiceVerdict(w, p)
	say(1, theme.Action, "", verdict)
	say(1, theme.Text, "", further)
	textAt := practiceLabelAt + max(canvas.Width(w.Say("practice.why")), canvas.Width(w.Say("practice.next"))) + 2
	for i := len(p.Mistakes) - 1; i >= 0; i-- {
		m := &p.Mistakes[i]
		said := w.Mistake(m, p.Reason(m))
		what := env.Words.TimeOfDay(m.At, "") + "  " + said.What
		if m.Stands {
			what += " (" + w.Say("practice.stands") + ")"
		}
		out = append(out, practiceRow{})
		say(1, theme.Strong, "", what)
		say(textAt, theme.Text, w.Say("practice.why"), said.Why)
		say(textAt, theme.Text, w.Say("practice.next"), said.Next)
	}
	return out
}

var _ screen.Screen = (*Practice)(nil)
