package setup

import (
	"shedbell/ui/act"
	"shedbell/ui/canvas"
	"shedbell/ui/screen"
	"shedbell/ui/theme"
)

// View draws the whole screen.
func (m *model) View() string {
	if !m.talk.running || m.left || m.w < 1 || m.h < 1 {
		return ""
	}
	q := &m.talk.now
	c := canvas.New(m.w, m.h, m.env.Theme)
	r := c.All()
	body := r
	if m.h >= 8 {
		r.Put(1, 0, theme.Strong, m.env.Words.Say("setup-screen.title"))
		r.PutRight(m.w-1, 0, theme.Faint, q.part)
		r.Rule(1)
		r.Rule(m.h - 2)
		m.drawKeys(r.Rows(m.h-1, 1))
		body = r.Rows(2, m.h-4)
	}
	used := 0
	if rows := m.told(body.W - 4); len(rows) > 0 {
		used = m.form.Draw(m.env, body.Rows(0, max(body.H-len(rows)-1, body.H*2/3))) + 1
		m.drawTold(body.Sub(2, used, body.W-4, body.H-used), rows)
	} else {
		m.form.Draw(m.env, body)
	}
	return c.String()
}

func (m *model) drawKeys(r canvas.Region) {
	if m.warned {
		r.Put(1, 0, theme.Urgent, m.env.Words.Say("setup-keys.warned"))
		return
	}
	keys := m.form.Keys()
	for i, k := range keys {
		switch k.Help().Key {
		case "/", "esc":
			keys[i] = act.Key(k.Help().Key, "setup-keys.back", k.Keys()...)
		case "?":
			keys = keys[:i] // the set-up has no page of help: every question says what it needs
		}
	}
	if m.hidden > 0 || m.scroll > 0 {
		keys = append(keys, act.Key(m.moreKey(), "setup-keys.more", m.moreKey()))
	}
	r.Put(1, 0, theme.Faint, screen.KeyLine(m.env, keys, r.W-2, act.Key("ctrl+c", "setup-keys.leave", "ctrl+c")))
}

func (m *model) moreKey() string {
	if len(m.talk.now.choices) > 0 {
		return "."
	}
	return "page down"
}

// row is one line of what the interlock says.
type row struct {
	role theme.Role
	text string
}

func (m *model) told(width int) (rows []row) {
	q := &m.talk.now
	if q.tells == nil {
		return nil
	}
	for _, n := range q.tells(m.answer()) {
		for _, l := range canvas.Wrap(canvas.Clean(n.text), max(10, width)) {
			rows = append(rows, row{n.role, l})
		}
	}
	return rows
}

func (m *model) drawTold(r canvas.Region, rows []row) {
	m.scroll = max(0, min(m.scroll, len(rows)-r.H))
	for i := range min(r.H, len(rows)-m.scroll) {
		r.Put(0, i, rows[m.scroll+i].role, rows[m.scroll+i].text)
	}
	if m.hidden = max(0, len(rows)-m.scroll-r.H); m.hidden > 0 && r.H > 0 {
		r.PutRight(r.W, r.H-1, theme.Faint, " "+m.env.Words.Say("setup-screen.more", m.moreKey()))
	}
}
