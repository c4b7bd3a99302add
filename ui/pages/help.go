package pages

import (
	tea "github.com/charmbracelet/bubbletea"

	"shedbell/ui/act"
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

// Actions scrolls where there is more than fits; every other key goes back to where
// the help was asked for, whatever it means there.
func (h *Help) Actions(env *screen.Env) act.Table {
	var all act.Table
	if last := h.last(env); last > 0 {
		all = act.Scroll(&env.Context, &h.top, last, screen.PageRows(env))
	}
	return append(all, act.Others("any other key", "does.back").Tell(screen.LeaveMsg{To: h.from}))
}

// Update answers a message.
func (h *Help) Update(_ *screen.Env, msg tea.Msg) tea.Cmd {
	if msg, ok := msg.(screen.OpenMsg); ok {
		h.top = 0
		if msg.From != screen.Help {
			h.from = msg.From
		}
	}
	return nil
}

// last is the highest first line, 0 when everything fits.
func (h *Help) last(env *screen.Env) int {
	return max(0, len(h.lines(env, env.Size.W))-screen.PageRows(env))
}

// Draw draws the help.
func (h *Help) Draw(env *screen.Env, r canvas.Region) {
	lines := h.lines(env, r.W)
	title := env.Words.Say("help.title", env.State.Site.Name, about(env, h.from))
	body := screen.Page(env, r, title, "", h.Actions(env))
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
