package pages

import (
	tea "github.com/charmbracelet/bubbletea"

	"shedbell/ui/act"
	"shedbell/ui/canvas"
	"shedbell/ui/screen"
	"shedbell/ui/theme"
)

// Log shows the open day's records in words, the newest at the bottom.
type Log struct {
	book    logBook
	refused bool // only refusals
	back    int  // lines scrolled back from the newest
}

// NewLog makes the log screen.
func NewLog() *Log { return &Log{} }

// Actions scrolls through the log, of which the end is shown first.
func (l *Log) Actions(env *screen.Env) act.Table {
	l.book.read(env)
	furthest, page := l.furthest(env), max(1, screen.PageRows(env)-1)
	l.back = min(l.back, furthest)
	to := func(key act.Action, back int) act.Action {
		key = key.Do(func() { l.back = min(max(back, 0), furthest) })
		switch {
		case furthest == 0:
			return key.Unless("why.all-shown")
		case l.back == 0 && back <= 0:
			return key.Unless("log.newest-shown")
		case l.back == furthest && back >= furthest:
			return key.Unless("log.oldest-shown")
		}
		return key
	}
	filter := act.Key(".", "log.refusals", ".").Do(func() { l.refused, l.back = !l.refused, 0 })
	if l.refused {
		filter = filter.Does("log.everything")
	}
	return act.Table{
		filter,
		to(act.Key("- +", "log.older-newer", "-", "up", "k"), l.back+1),
		to(act.Key("+", "log.newer", "+", "=", "down", "j"), l.back-1).Hidden(),
		to(act.Key("Enter", "log.newest", "end", "enter", "1"), 0),
		to(act.Key("page up", "does.page-back", "pgup", "9"), l.back+page),
		to(act.Key("page down", "does.page-on", "pgdown", "3", " "), l.back-page),
		to(act.Key("home", "log.oldest", "home", "7"), furthest),
	}
}

// Update answers a message.
func (l *Log) Update(env *screen.Env, msg tea.Msg) tea.Cmd {
	if _, ok := msg.(screen.OpenMsg); ok {
		l.back, l.refused = 0, false
	}
	l.book.read(env)
	return nil
}

// furthest is how far back the log can be scrolled so that the page stays full.
func (l *Log) furthest(env *screen.Env) int {
	entries := l.book.list(l.refused)
	room := screen.PageRows(env)
	for i, e := range entries {
		if room -= len(e.wrapped(logTextWidth(env.Size.W))); room < 0 {
			return len(entries) - i
		}
	}
	return 0
}

// Columns: the time and who did it, then the text.
const logWhoAt, logTextAt = 11, 20

func logTextWidth(w int) int { return max(w-logTextAt-1, 1) }

// Draw draws the newest lines that fit, or those before them when scrolled back.
func (l *Log) Draw(env *screen.Env, r canvas.Region) {
	l.book.read(env)
	entries := l.book.list(l.refused)
	what := env.Words.Say("log.entries", len(entries))
	if l.refused {
		what = env.Words.Say("log.refusals-shown", len(entries))
	}
	body := screen.Page(env, r, env.Words.Say("log.title", env.State.Site.Name, what), "", l.Actions(env))
	back := min(l.back, l.furthest(env))
	end := len(entries) - back
	if end == 0 {
		body.Put(1, 0, theme.Faint, env.Words.Say(l.empty()))
		return
	}
	first, rows := end, 0
	for first > 0 {
		n := len(entries[first-1].wrapped(logTextWidth(body.W)))
		if rows+n > body.H && first < end {
			break
		}
		rows += n
		first--
	}
	y := 0
	for _, e := range entries[first:end] {
		y += e.draw(env, body.Rows(y, body.H-y))
	}
	if back > 0 {
		body.PutRight(body.W-1, body.H-1, theme.Strong, env.Words.Say("log.newer-below", back))
	}
}

// empty is the key of the text for a log without entries.
func (l *Log) empty() string {
	if l.refused {
		return "log.no-refusal"
	}
	return "log.nothing"
}

func (e *logEntry) draw(env *screen.Env, r canvas.Region) int {
	layout := "15:04:05"
	if env.Prefs.TwelveHour {
		layout = "3:04:05pm"
	}
	r.Put(1, 0, theme.Faint, e.at.Format(layout))
	r.Sub(logWhoAt, 0, logTextAt-logWhoAt-1, 1).Put(0, 0, theme.Faint, e.who)
	role := theme.Text
	if e.refused {
		role = theme.Refuse
	}
	lines := e.wrapped(logTextWidth(r.W))
	for y, line := range lines {
		r.Put(logTextAt, y, role, line)
	}
	return len(lines)
}
