package board

import (
	"strconv"
	"strings"
	"time"

	"shedbell/line"
	"shedbell/ui/canvas"
	"shedbell/ui/screen"
	"shedbell/ui/theme"
	"shedbell/ui/words"
)

// askingRows are those of a form: its title, two rows, and what is wrong with one.
const askingRows = 5

// Draw composes the board for the size at hand. Detail goes first; the sentence,
// the nearest clock, the amps and a refusal stay.
func (b *Board) Draw(env *screen.Env, r canvas.Region) {
	if b.far && r.H >= farFromH {
		b.drawFar(env, r)
		return
	}
	sh := shape(env)
	if _, ok := b.over.(*packing); ok {
		sh.Asking = askingRows
	}
	sh.Notice = screen.NoticeRows(env, r.W-2)
	l := Arrange(r.W, r.H, sh)
	b.drawHead(env, r.Rows(0, 1))
	if w, ok := b.over.(*warning); ok {
		w.draw(env, r.Rows(l.SentenceY, l.FootY-1-l.SentenceY).Inset(1, 0))
		b.drawFoot(env, r.Rows(l.FootY, l.FootH))
		return
	}
	b.drawSentence(env, r.Rows(l.SentenceY, l.SentenceH), l)
	drawLesson(env, r.Rows(l.LessonY, l.LessonH))
	if l.Rules {
		for _, y := range l.RuleY {
			r.Rule(y)
		}
	}
	if l.ListH > 0 {
		b.drawList(env, r.Rows(l.StationsY, l.ListH))
	} else {
		b.drawStations(env, r.Rows(l.StationsY, l.StationsH), l)
	}
	if l.StripH > 0 {
		drawStrip(env, r.Rows(l.StripY, l.StripH))
	}
	drawCircuits(env, r.Rows(l.CircuitsY, l.CircuitsH))
	b.drawFoot(env, r.Rows(l.FootY, l.FootH))
}

func shape(env *screen.Env) Shape {
	s := env.State
	sh := Shape{Circuits: len(s.Site.Panel.Circuits), Trainee: env.Prefs.Trainee}
	for i := range s.Site.Stations {
		if s.Site.Stations[i].Kind.ForGreens() {
			sh.Greens++
			sh.Slots = max(sh.Slots, min(s.Site.Stations[i].Slots, 8))
		} else {
			sh.Chores++
		}
	}
	return sh
}

func (b *Board) drawHead(env *screen.Env, r canvas.Region) {
	s := env.State
	x := r.Put(1, 0, theme.Strong, s.Site.Name) + 3
	x += r.Put(x, 0, theme.Faint, env.Words.TimeOfDay(env.Now, "Mon ")) + 3
	if env.Practice.On {
		x += r.Put(x, 0, theme.Strong, env.Practice.Head(env.Words)) + 3
	}
	right := ""
	if s.Sheet != nil {
		cold, all := coldTrays(s)
		right = env.Words.Say("board.cold-of", cold, all)
		if end := DayEnd(env); end != "" {
			right += "   " + end
		}
	}
	if canvas.Width(right) > r.W-x-1 {
		right = DayEnd(env)
	}
	if who := env.By; len(s.Crew) > 1 && !env.Watching.On() && x+canvas.Width(who)+3+canvas.Width(right) < r.W {
		r.Put(x, 0, theme.Faint, who) // whose name is kept with what is done
	}
	r.PutRight(r.W-1, 0, theme.Text, right)
}

// DayEnd is when the day is done, in words.
func DayEnd(env *screen.Env) string {
	f := env.End
	switch {
	case f.Stuck != nil:
		return env.Words.Say("board.stuck")
	case !f.Known:
		return ""
	case env.State.DayDone():
		return env.Words.Say("board.day-done")
	case f.Sure.IsZero():
		return env.Words.Say("board.done", env.Words.TimeOfDay(f.Done, ""))
	}
	return env.Words.Say("board.done-sure", env.Words.TimeOfDay(f.Done, ""), env.Words.TimeOfDay(f.Sure, ""))
}

func coldTrays(s *line.State) (cold, all int) {
	for i := range s.Batches {
		b := &s.Batches[i]
		switch b.Fate {
		case line.Cold:
			cold += b.Trays
			all += b.Trays
		case line.Waiting, line.OnLine:
			all += b.Trays
		}
	}
	return cold, all
}

func (b *Board) drawSentence(env *screen.Env, r canvas.Region, l Layout) {
	if b.over != nil {
		b.over.draw(env, r.Inset(1, 0))
		return
	}
	p, ok := headline(env)
	do, then, when, role := idleWords(env)
	if ok {
		w := env.Words.Prompt(env.State, p)
		do, then, role = w.Do, w.Then, theme.Action
		when = env.Words.Say("when.now")
		if left := p.At.Sub(env.Now); left > 0 {
			when, role = env.Words.Say("when.in", words.Left(left)), theme.Strong
		} else if left < -time.Minute && timed(env, p) {
			when = env.Words.Say("when.since", words.Clock(-left))
			role = theme.Urgent
		}
		if next, more := following(env, p); more && !env.Focus.Set {
			then = andThen(env, then, next)
		}
	}
	if l.Scale == 0 {
		b.putSentence(r, do, then, when, role)
		return
	}
	text := b.drawBigClock(env, r, l)
	if ok && drawLetters(env, text, p, do, then, when, role) {
		return
	}
	b.putSentence(text, do, then, when, role)
}

// drawLetters draws the sentence in block letters, the short one where the whole one
// has no room, and in the row below what it says in full. ok is false where neither
// has room.
func drawLetters(env *screen.Env, r canvas.Region, p *line.Prompt, do, then, when string, role theme.Role) (ok bool) {
	room := r.Sub(2, 0, r.W-4, r.H-1)
	short := env.Words.Short(env.State, p)
	for _, try := range []struct {
		text string
		wide int
	}{{do, 2}, {do, 1}, {short, 2}, {short, 1}} {
		if used := canvas.Letters(room, try.text, try.wide, 1, theme.Strong); used > 0 {
			y := min(used, r.H-1) // without the letters' gap where there is no more room
			x := r.Put(1, y, role, " "+when+" ") + 3
			r.Rows(y, r.H-y).Cols(x, r.W-x-1).Wrapped(theme.Text, do+"   "+then)
			return true
		}
	}
	return false
}

// andThen adds what comes after the headline, when there is room for it.
func andThen(env *screen.Env, then string, next *line.Prompt) string {
	w := env.Words.Prompt(env.State, next)
	when := env.Words.Say("then.next")
	if left := next.At.Sub(env.Now); left > 0 {
		when = env.Words.Say("then.soon", words.Left(left))
	}
	if then == "" {
		return when + w.Do
	}
	return then + "   |   " + when + w.Do
}

func idleWords(env *screen.Env) (do, then, when string, role theme.Role) {
	switch {
	case env.State.Sheet == nil:
		return env.Words.Say("do.no-day"), env.Words.Say("then.no-day"), env.Words.Say("when.now"), theme.Action
	case env.Focus.Set:
		if c, ok := attempt(env); ok {
			if _, no := line.Decide(env.State, c, env.Now); no != nil {
				return env.Words.Say(refusedKey(no), env.Words.Place(env.State, env.Focus.Place)), env.Words.Refusal(no), "", theme.Text
			}
			return env.Words.Say("do.out-of-order", env.Words.Place(env.State, env.Focus.Place)), env.Words.Say("then.out-of-order"), "", theme.Text
		}
		if env.State.IsBroken(env.Focus.Place) {
			again := strconv.Itoa(env.Focus.Place.Station + 1)
			return env.Words.Say("do.broken-at", env.Words.Place(env.State, env.Focus.Place)), env.Words.Say("then.broken", again), "", theme.Text
		}
		return env.Words.Say("do.idle-at", env.Words.Place(env.State, env.Focus.Place)), env.Words.Say("then.back"), "", theme.Text
	}
	return env.Words.Say("do.idle"), "", "", theme.Text
}

// refusedKey is the sentence over a refusal: there is nothing to do, or there is and
// it has to wait.
func refusedKey(no *line.Refusal) string {
	if no.Rule == line.RuleNothing {
		return "do.idle-at"
	}
	return "do.waits-at"
}

// narrow is the width below which the sentence has its clock in its text and takes
// whatever rows there are.
const narrow = 48

// putSentence writes the sentence with its clock at the right, over two rows when
// it is long.
func (b *Board) putSentence(r canvas.Region, do, then, when string, role theme.Role) {
	width := r.W - 2
	if r.W < narrow {
		used := r.Sub(1, 0, width, r.H).Wrapped(role, strings.TrimSuffix(do+", "+when, ", "))
		r.Rows(used, r.H-used).Inset(2, 0).Wrapped(theme.Text, then)
		return
	}
	if when != "" {
		w := canvas.Width(when)
		r.PutRight(r.W-1, 0, role, " "+when+" ")
		width -= w + 4
	}
	used := r.Sub(1, 0, width, max(1, r.H-1)).Wrapped(role, " "+do+" ")
	r.Sub(1, used, r.W-2, r.H-used).Inset(1, 0).Wrapped(theme.Text, then)
}

// drawBigClock draws the nearest countdown in large digits at the right and returns
// what is left of the region.
func (b *Board) drawBigClock(env *screen.Env, r canvas.Region, l Layout) canvas.Region {
	clocks := Clocks(env.State, env.Now)
	if len(clocks) == 0 {
		return r
	}
	digits := words.Left(clocks[0].Left)
	scale := min(l.Scale, canvas.LargestScale(digits, r.W/2, r.H-1))
	if scale == 0 {
		return r
	}
	w, h := canvas.DigitsSize(digits, scale)
	role := theme.Strong
	if clocks[0].Left <= 0 {
		role = theme.Soon
	}
	box := r.Sub(r.W-w-2, 0, w+2, r.H)
	canvas.Digits(box, digits, scale, role)
	box.Put(0, h, theme.Faint, env.Words.Place(env.State, clocks[0].Place)+" "+occupantName(env, clocks[0].Place))
	return r.Sub(0, 0, r.W-w-4, r.H)
}

func occupantName(env *screen.Env, p line.Place) string {
	b, c := env.State.Occupant(p)
	switch {
	case b != nil:
		return env.Words.Batch(b)
	case c != nil:
		return env.Words.Chore(c.Kind)
	}
	return ""
}
