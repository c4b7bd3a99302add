package board

import (
	"strconv"

	"shedbell/line"
	"shedbell/ui/canvas"
	"shedbell/ui/screen"
)

// askingRows are those of a form: its title, two rows, and what is wrong with one.
const askingRows = 5

// Draw composes the board for the size at hand. Detail goes first; what to do now, the
// nearest clock, the amps and a refusal stay.
func (b *Board) Draw(env *screen.Env, r canvas.Region) {
	f := newFrame(env, r)
	if b.ghost != nil && env.Quiet.Refused && b.ghost.at.Equal(env.Quiet.At) {
		f.ghost = b.ghost
	}
	asking := 0
	if _, ok := b.over.(*packing); ok {
		asking = askingRows
	} else if b.over != nil {
		asking = 3
	}
	l := f.arrange(asking)
	screen.DrawTitle(env, r.Rows(0, 1))
	screen.DrawDayBar(env, r.Rows(1, l.head.h-1))
	for _, y := range l.rules {
		r.Rule(y)
	}
	if l.alarm.h > 0 {
		r.Rule(l.alarm.y) // the frame draws an alarm over it
	}
	b.drawFoot(env, r.Rows(l.foot.y, l.foot.h))
	if w, ok := b.over.(*warning); ok {
		w.draw(env, r.Rows(l.lanes.y, l.foot.y-1-l.lanes.y).Inset(1, 0))
		return
	}
	lanes := r.Rows(l.lanes.y, l.lanes.h)
	if b.over != nil {
		b.over.draw(env, lanes.Inset(1, 0))
	} else {
		f.drawLanes(lanes, l.look)
	}
	drawLesson(env, r.Rows(l.lesson.y, l.lesson.h))
	if l.list.h > 0 {
		f.drawList(r.Rows(l.list.y, l.list.h))
	}
	if l.upper.h > 0 {
		f.drawUpper(r.Rows(l.upper.y, l.upper.h))
		f.drawLower(r.Rows(l.lower.y, l.lower.h))
	}
	f.drawTimeline(r.Rows(l.timeline.y, l.timeline.h))
	f.drawCircuits(r.Rows(l.circuits.y, l.circuits.h))
}

// idleWords is what stands where nothing is to be done: at the chosen station, or with no
// day open.
func idleWords(env *screen.Env) (do, then string) {
	if env.State.Sheet == nil {
		return env.Words.Say("do.no-day"), env.Words.Say("then.no-day")
	}
	name := env.Words.Place(env.State, env.Focus.Place)
	if c, ok := attempt(env); ok {
		if _, no := line.Decide(env.State, c, env.Now); no != nil {
			return env.Words.Say(refusedKey(no), name), env.Words.Refusal(no)
		}
		return env.Words.Say("do.out-of-order", name), env.Words.Say("then.out-of-order")
	}
	if env.State.IsBroken(env.Focus.Place) {
		return env.Words.Say("do.broken-at", name), env.Words.Say("then.broken", strconv.Itoa(env.Focus.Place.Station+1))
	}
	return env.Words.Say("do.idle-at", name), env.Words.Say("then.back")
}

// refusedKey is the sentence over a refusal: there is nothing to do, or there is and
// it has to wait.
func refusedKey(no *line.Refusal) string {
	if no.Rule == line.RuleNothing {
		return "do.idle-at"
	}
	return "do.waits-at"
}
