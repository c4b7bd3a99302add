// Package logview shows the open day's records in words, the newest at the bottom.
package logview

import (
	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"

	"shedbell/ui/canvas"
	"shedbell/ui/screen"
	"shedbell/ui/theme"
)

// Log is the log screen.
type Log struct {
	book    book
	refused bool // only refusals
	back    int  // lines scrolled back from the newest
}

// New makes the log screen.
func New() *Log { return &Log{} }

var (
	keyOlder  = screen.Bind("- +", "log.older-newer", "-", "up", "k")
	keyNewer  = screen.Bind("+", "log.newer", "+", "=", "down", "j")
	keyPgUp   = screen.Bind("page up", "does.page-back", "pgup", "9")
	keyPgDn   = screen.Bind("page down", "does.page-on", "pgdown", "3", " ")
	keyOldest = screen.Bind("home", "log.oldest", "home", "7")
	keyNewest = screen.Bind("Enter", "log.newest", "end", "enter", "1")
	keyFilter = screen.Bind(".", "log.refusals", ".")
	keyExit   = screen.Bind("0", "does.back", "0", "esc")
	keyHelp   = screen.Bind("?", "does.help", "?")
)

// Typing says that no field takes letters and digits here.
func (l *Log) Typing() bool { return false }

// Keys lists what can be pressed.
func (l *Log) Keys(env *screen.Env) []screen.Binding {
	filter := keyFilter
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
	return []screen.Binding{filter, keyOlder.Unless(none), keyNewest.Unless(newest),
		keyPgUp.Unless(none), keyPgDn.Unless(newest), keyOldest.Unless(none)}
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
	page := max(1, bodyRows(env)-1)
	switch {
	case key.Matches(k, keyOlder.Binding):
		l.back++
	case key.Matches(k, keyNewer.Binding):
		l.back--
	case key.Matches(k, keyPgUp.Binding):
		l.back += page
	case key.Matches(k, keyPgDn.Binding):
		l.back -= page
	case key.Matches(k, keyOldest.Binding):
		l.back = l.furthest(env)
	case key.Matches(k, keyNewest.Binding):
		l.back = 0
	case key.Matches(k, keyFilter.Binding):
		l.refused, l.back = !l.refused, 0
	}
}

// bodyRows is how many rows the page leaves for the log.
func bodyRows(env *screen.Env) int {
	if env.Size.H < 10 {
		return max(env.Size.H-2, 0)
	}
	return env.Size.H - 6
}

// furthest is how far back the log can be scrolled so that the page stays full.
func (l *Log) furthest(env *screen.Env) int {
	entries := l.book.list(l.refused)
	room := bodyRows(env)
	for i, e := range entries {
		if room -= len(e.wrapped(textWidth(env.Size.W))); room < 0 {
			return len(entries) - i
		}
	}
	return 0
}

// Columns: the time and who did it, then the text.
const whoAt, textAt = 11, 20

func textWidth(w int) int { return max(w-textAt-1, 1) }

// Draw draws the newest lines that fit, or those before them when scrolled back.
func (l *Log) Draw(env *screen.Env, r canvas.Region) {
	l.book.read(env)
	entries := l.book.list(l.refused)
	what := env.Words.Count(len(entries), "log.entry", "log.entries")
	if l.refused {
		what = env.Words.Count(len(entries), "log.refusal", "log.refusals-many")
	}
	body := screen.Page(env, r, env.Words.Say("log.title", env.State.Site.Name, what), "", l.Keys(env), keyExit, keyHelp)
	back := min(l.back, l.furthest(env))
	end := len(entries) - back
	if end == 0 {
		body.Put(1, 0, theme.Faint, env.Words.Say(l.empty()))
		return
	}
	first, rows := end, 0
	for first > 0 {
		n := len(entries[first-1].wrapped(textWidth(body.W)))
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

func (e *entry) draw(env *screen.Env, r canvas.Region) int {
	layout := "15:04:05"
	if env.Tidy.TwelveHour {
		layout = "3:04:05pm"
	}
	r.Put(1, 0, theme.Faint, e.at.Format(layout))
	r.Sub(whoAt, 0, textAt-whoAt-1, 1).Put(0, 0, theme.Faint, e.who)
	role := theme.Text
	if e.refused {
		role = theme.Refuse
	}
	lines := e.wrapped(textWidth(r.W))
	for y, line := range lines {
		r.Put(textAt, y, role, line)
	}
	return len(lines)
}
