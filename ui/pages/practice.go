package pages

import (
	tea "github.com/charmbracelet/bubbletea"

	"shedbell/line/records"
	"shedbell/ui/act"
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

// Actions begins a practice day, or goes through its mistakes.
func (s *Practice) Actions(env *screen.Env) act.Table {
	if !env.Practice.On {
		return act.Table{act.Key("Enter", "practice.start", "enter", " ").Tell(screen.PracticeMsg{})}
	}
	board := act.Key("Enter", "does.back-to-board", "enter", " ").Tell(screen.LeaveMsg{})
	if env.Practice.Over { // a second Enter for the day's end must not pass over what is said about it
		board = board.Unless("practice.why-over").Hidden()
	}
	rows := screen.PageRows(env)
	return append(act.Table{board}, act.Scroll(&env.Context, &s.from, max(len(practiceRows(env, env.Size.W))-rows, 0), rows)...)
}

// Update answers a message.
func (s *Practice) Update(_ *screen.Env, msg tea.Msg) tea.Cmd {
	if _, ok := msg.(screen.OpenMsg); ok {
		s.from = 0
	}
	return nil
}

// Draw draws the mistakes, the latest first.
func (s *Practice) Draw(env *screen.Env, r canvas.Region) {
	w := env.Words
	body := screen.Page(env, r, w.Say("practice.title", env.State.Site.Name), "", s.Actions(env))
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
		return w.Say("practice.ended", n), w.Say("practice.went-well", p.Well) + " " + w.Say("practice.again-"+mostOften(p.Mistakes).String()) + " " + w.Say("practice.again")
	case n == 0:
		return w.Say("practice.none"), w.Say("practice.at-work")
	}
	return w.Say("practice.count", n), w.Say("practice.at-work")
}

// mostOften is the kind of mistake to work on first.
func mostOften(all []records.Mistake) (most records.MistakeKind) {
	n := map[records.MistakeKind]int{}
	for i := range all {
		k := all[i].Kind
		if n[k]++; n[k] > n[most] {
			most = k
		}
	}
	return most
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
		said := w.Mistake(m)
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
