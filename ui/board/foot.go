package board

import (
	"shedbell/ui/canvas"
	"shedbell/ui/screen"
	"shedbell/ui/theme"
)

// drawFoot draws the quiet line, the last thing that happened or the last refusal,
// and under it the keys.
func (b *Board) drawFoot(env *screen.Env, r canvas.Region) {
	if r.H == 0 {
		return
	}
	notice := r
	if r.H > 1 {
		notice = r.Rows(0, r.H-1)
		r.Put(1, r.H-1, theme.Faint, b.Actions(env).Foot(&env.Context, r.W-2))
	}
	screen.DrawNotice(env, notice.Inset(1, 0))
}
