package pages

import (
	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"

	"shedbell/ui/canvas"
	"shedbell/ui/screen"
	"shedbell/ui/theme"
)

// Help tells which keys work on the screen it was opened from, here and now, and why
// the others do not.
type Help struct {
	from screen.Name
	top  int // first line shown
}

// NewHelp makes the help screen.
func NewHelp() *Help { return &Help{} }

var (
	keyHelpDown = screen.Bind("+ -", "does.scroll", "+", "=", "down", "j")
	keyHelpUp   = screen.Bind("-", "does.scroll-up", "-", "up", "k")
	keyHelpPgDn = screen.Bind("page down", "does.page-on", "pgdown", " ")
	keyHelpPgUp = screen.Bind("page up", "does.page-back", "pgup")
	keyHelpAny  = screen.Bind("any other key", "does.back")
)

// Typing is always so: every key means leaving or scrolling here, not what it
// means elsewhere.
func (h *Help) Typing() bool { return true }

// Keys lists what can be pressed.
func (h *Help) Keys(env *screen.Env) []screen.Binding {
	why := ""
	if h.last(env) == 0 {
		why = "why.all-shown"
	}
	return []screen.Binding{keyHelpDown.Unless(why)}
}

// Update answers a message.
func (h *Help) Update(env *screen.Env, msg tea.Msg) tea.Cmd {
	switch msg := msg.(type) {
	case screen.OpenMsg:
		h.top = 0
		if msg.From != screen.Help {
			h.from = msg.From
		}
	case tea.KeyMsg:
		last := h.last(env)
		page := max(1, helpRows(env)-1)
		switch {
		case last > 0 && key.Matches(msg, keyHelpDown.Binding):
			h.top++
		case last > 0 && key.Matches(msg, keyHelpUp.Binding):
			h.top--
		case last > 0 && key.Matches(msg, keyHelpPgDn.Binding):
			h.top += page
		case last > 0 && key.Matches(msg, keyHelpPgUp.Binding):
			h.top -= page
		default:
			return func() tea.Msg { return screen.LeaveMsg{To: h.from} }
		}
		h.top = min(max(h.top, 0), last)
	}
	return nil
}

// helpRows is how many rows the page leaves for the text.
func helpRows(env *screen.Env) int {
	if env.Size.H < 10 {
		return max(env.Size.H-2, 0)
	}
	return env.Size.H - 6
}

// last is the highest first line, 0 when everything fits.
func (h *Help) last(env *screen.Env) int {
	return max(0, len(h.lines(env, env.Size.W))-helpRows(env))
}

// Draw draws the help.
func (h *Help) Draw(env *screen.Env, r canvas.Region) {
	lines := h.lines(env, r.W)
	title := env.Words.Say("help.title", env.State.Site.Name, about(env, h.from))
	body := screen.Page(env, r, title, "", h.Keys(env), keyHelpAny)
	top := min(h.top, max(0, len(lines)-body.H))
	for y := 0; y < body.H && top+y < len(lines); y++ {
		for _, p := range lines[top+y] {
			body.Put(p.x, y, p.role, p.text)
		}
	}
	if more := len(lines) - top - body.H; more > 0 {
		body.PutRight(body.W-1, body.H-1, theme.Strong, " "+env.Words.Say("help.more")+" ")
	}
}
