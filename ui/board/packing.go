package board

import (
	tea "github.com/charmbracelet/bubbletea"

	"shedbell/line"
	"shedbell/ui/act"
	"shedbell/ui/canvas"
	"shedbell/ui/form"
	"shedbell/ui/screen"
)

// packing asks what a batch was packed into. It stays, with what was typed, until the
// line has taken it.
type packing struct {
	form  *form.Form
	at    line.Place
	batch int
}

// pack opens the form, as it was left if it was.
func (b *Board) pack(env *screen.Env, p *line.Prompt) {
	if b.packing == nil || b.packing.batch != p.Batch || b.packing.at != p.From {
		b.packing = &packing{form: form.Packed(env, env.State.Batch(p.Batch)), at: p.From, batch: p.Batch}
	}
	b.over = b.packing
}

func (p *packing) actions(env *screen.Env, b *Board) act.Table {
	leave := func() tea.Cmd { b.over = nil; return nil }
	return p.form.Fill(env, leave, func() tea.Cmd { return act.Do(form.FinishPacking(p.form, p.at)) })
}

func (p *packing) draw(env *screen.Env, r canvas.Region) { p.form.Draw(env, r) }
