package pages

import (
	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"

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

var (
	keyLogOlder  = screen.Bind("- +", "log.older-newer", "-", "up", "k")
	keyLogNewer  = screen.Bind("+", "log.newer", "+", "=", "down", "j")
	keyLogPgUp   = screen.Bind("page up", "does.page-back", "pgup", "9")
	keyLogPgDn   = screen.Bind("page down", "does.page-on", "pgdown", "3", " ")
	keyLogOldest = screen.Bind("home", "log.oldest", "home", "7")
	keyLogNewest = screen.Bind("Enter", "log.newest", "end", "enter", "1")
	keyLogFilter = screen.Bind(".", "log.refusals", ".")
	keyLogExit   = screen.Bind("0", "does.back", "0", "esc")
	keyLogHelp   = screen.Bind("?", "does.help", "?")
)

// Typing says that no field takes letters and digits here.
func (l *Log) Typing() bool { return false }

// Keys lists what can be pressed.
func (l *Log) Keys(env *screen.Env) []screen.Binding {
	filter := keyLogFilter
	if l.refused {
		filter = screen.Bind(".", "log.everything", ".")
	}
	none, newest := "", ""
	if l.furthest(env) == 0 {
		none = "why.all-shown"
	}
	if l.back == 0 {
		newest = "log.newest-shown"
	}
	return []screen.Binding{filter, keyLogOlder.Unless(none), keyLogNewest.Unless(newest),
		keyLogPgUp.Unless(none), keyLogPgDn.Unless(newest), keyLogOldest.Unless(none)}
}

// Update answers a message.
func (l *Log) Update(env *screen.Env, msg tea.Msg) tea.Cmd {
	switch msg := msg.(type) {
	case screen.OpenMsg:
		l.back, l.refused = 0, false
		l.book.read(env)
	case tea.KeyMsg:
		l.book.read(env)
		l.pressed(env, msg)
		l.back = min(max(l.back, 0), l.furthest(env))
	}
	return nil
}

func (l *Log) pressed(env *screen.Env, k tea.KeyMsg) {
	page := max(1, logRows(env)-1)
	switch {
	case key.Matches(k, keyLogOlder.Binding):
		l.back++
	case key.Matches(k, keyLogNewer.Binding):
		l.back--
	case key.Matches(k, keyLogPgUp.Binding):
		l.back += page
	case key.Matches(k, keyLogPgDn.Binding):
		l.back -= page
	case key.Matches(k, keyLogOldest.Binding):
		l.back = l.furthest(env)
	case key.Matches(k, keyLogNewest.Binding):
		l.back = 0
	case key.Matches(k, keyLogFilter.Binding):
		l.refused, l.back = !l.refused, 0
	}
}

// logRows is how many rows the page leaves for the log.
func logRows(env *screen.Env) int {
	if env.Size.H < 10 {
		return max(env.Size.H-2, 0)
	}
	return env.Size.H - 6
}

// furthest is how far back the log can be scrolled so that the page stays full.
func (l *Log) furthest(env *screen.Env) int {
	entries := l.book.list(l.refused)
	room := logRows(env)
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
	body := screen.Page(env, r, env.Words.Say("log.title", env.State.Site.Name, what), "", l.Keys(env), keyLogExit, keyLogHelp)
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
