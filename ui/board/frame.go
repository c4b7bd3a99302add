package board

import (
	"shedbell/line"
	"shedbell/ui/canvas"
	"shedbell/ui/screen"
	"shedbell/ui/words"
)

// frame is what one drawing of the board is made from.
type frame struct {
	env    *screen.Env
	t      *words.Speaker
	s      *line.State
	raw    []line.Lane
	lanes  []lane
	bright int
	*screen.Crops
	ghost *ghost
	form  int // of batches in vessels: the whole name, the short one, the code
	w, h  int
}

func newFrame(env *screen.Env, r canvas.Region) *frame {
	f := &frame{env: env, t: env.Words, s: env.State, w: r.W, h: r.H, Crops: screen.NewCrops(env)}
	f.raw, f.bright = shared(env)
	for _, l := range f.raw {
		f.lanes = append(f.lanes, f.lane(l))
	}
	return f
}
