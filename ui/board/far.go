package board

import (
	"shedbell/ui/canvas"
	"shedbell/ui/screen"
	"shedbell/ui/theme"
	"shedbell/ui/words"
)

// drawFar is the board for who stands far away: the sentence and the nearest clock
// in drawn blocks, as large as they fit, and one quiet row for the rest.
func (b *Board) drawFar(env *screen.Env, r canvas.Region) {
	b.drawHead(env, r.Rows(0, 1))
	r.Rule(1)
	foot := min(footRows(Shape{Notice: screen.NoticeRows(env, r.W-2)}), max(1, r.H/5))
	body := r.Rows(3, r.H-3-foot-1)
	b.drawFoot(env, r.Rows(r.H-foot, foot))
	if b.over != nil {
		b.over.draw(env, body.Inset(1, 0))
		return
	}
	body = body.Sub(1, 0, body.W-2, body.H)
	clock, label := farClock(env)
	scale := 0
	if clock != "" {
		scale = min(canvas.LargestScale(clock, body.W, body.H/2), farScale)
	}
	w, h := canvas.DigitsSize(clock, scale)
	if scale == 0 {
		h = 0
	}
	switch {
	case drawFarSentence(env, body.Rows(0, body.H-h-2)):
	case drawFarSentence(env, body.Rows(0, body.H-1)): // the sentence before the clock
		body.Put(0, body.H-1, theme.Strong, clock)
		body.PutRight(body.W, body.H-1, theme.Text, label)
		return
	default:
		do, when, _, role := farWords(env)
		body.Rows(0, body.H-h-1).Wrapped(role, do+"  "+when)
	}
	at := body.Rows(body.H-h-2, h+2)
	if scale > 0 {
		canvas.Digits(at.Sub(0, 0, w, h), clock, scale, theme.Strong)
	}
	at.Put(0, h, theme.Text, label)
}

// drawFarSentence draws the sentence in the largest letters that fit, with its time
// below, and says whether any do.
func drawFarSentence(env *screen.Env, r canvas.Region) bool {
	do, when, short, role := farWords(env)
	for _, try := range farSizes {
		text := do
		if try.short {
			text = short
		}
		if used := canvas.Letters(r.Rows(0, r.H-1), text, try.wide, try.tall, role); used > 0 {
			r.Put(0, min(used, r.H-1), theme.Text, when)
			return true
		}
	}
	return false
}

// farScale is the largest clock: on 60 rows of a 24 inch monitor it serves 17 m, and a
// larger one costs a poor link more with each second.
const farScale = 4

// farSizes are the letters that are tried, the highest first, for their height is
// what counts from afar. The short text goes before the whole one in lower letters.
var farSizes = []struct {
	wide, tall int
	short      bool
}{{4, 2, false}, {2, 2, false}, {4, 2, true}, {2, 2, true}, {2, 1, false}, {2, 1, true}, {1, 1, false}, {1, 1, true}}

func farWords(env *screen.Env) (do, when, short string, role theme.Role) {
	p, ok := headline(env)
	if !ok {
		do, _, when, _ = idleWords(env)
		return do, when, do, theme.Strong
	}
	when, role = env.Words.Say("when.now"), theme.Strong
	if left := p.At.Sub(env.Now); left > 0 {
		when, role = env.Words.Say("when.in", words.Left(left)), theme.Text
	}
	return env.Words.Prompt(env.State, p).Do, when, env.Words.Short(env.State, p), role
}

func farClock(env *screen.Env) (clock, label string) {
	clocks := Clocks(env.State, env.Now)
	if len(clocks) == 0 {
		return "", ""
	}
	at := clocks[0].Place
	return words.Left(clocks[0].Left), env.Words.Place(env.State, at) + ", " + occupantName(env, at)
}
