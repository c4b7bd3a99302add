package board

import (
	"strings"

	"shedbell/ui/canvas"
	"shedbell/ui/theme"
)

// laneLook is how the lanes are drawn, all alike.
type laneLook struct {
	aside bool // next to each other
	tall  bool // name and clock above what is to be done, which is drawn
	size  int  // of drawn letters
	clock int  // of drawn clocks
}

const (
	text         = -1 // a size: not drawn
	mostLanes    = 3  // that are shown whole
	narrow       = 48 // columns below which a lane has its name over its text
	leastAside   = 53 // columns of a lane beside another
	nameColumn   = 10
	mostNext     = 4
	lastOverhead = 2 // rows that a lane has at least: name and badge
)

// laneBox is a lane made ready for a width.
type laneBox struct {
	*lane
	i       int
	w       int
	look    laneLook
	clock   clock
	now     []string // what to do, in lines
	then    []string // what else there is to say
	whole   []string // all of it, where what to do is drawn
	bigName bool
	head    int // rows of the name and the clock, above the rest
}

// chooseLook is the largest way to draw the lanes in at most so many rows, and the rows
// that it takes. What is to be done is whole in each.
func (f *frame) chooseLook(most, all int) (laneLook, int) {
	big := 0
	if f.h >= largeFromH {
		big = 1
	}
	var try []laneLook
	if n := len(f.lanes); n <= mostLanes && !f.env.Prefs.Trainee { // a lesson says more than letters
		for _, aside := range []bool{true, false} {
			if aside == (n > 1 && f.w/n >= leastAside) || !aside {
				if big > 0 {
					try = append(try, laneLook{aside, true, 1, 1})
				}
				try = append(try, laneLook{aside, true, 0, big})
				if big > 0 {
					try = append(try, laneLook{aside, true, 0, 0})
				}
			}
		}
	}
	if f.w >= cardsFromW {
		try = append(try, laneLook{clock: 0})
	}
	for _, look := range try {
		most := most
		if look.size > 0 && f.wet() {
			most = min(most, f.h*3/10) // the vessels are worth more than letters of five rows
		}
		if rows, ok := f.lanesNeed(look); ok && rows <= most {
			return look, f.wanted(look, rows, most)
		}
	}
	look := laneLook{clock: text}
	rows, _ := f.lanesNeed(look)
	return look, min(f.wanted(look, rows, most), all)
}

// wanted adds the rows for what else there is to say, as far as there are any.
func (f *frame) wanted(look laneLook, rows, most int) int {
	if look.tall {
		return rows
	}
	want := rows
	for _, b := range f.boxes(look) {
		want += max(len(b.now)+len(b.then)+min(len(b.Next), 1)-b.need(look.clock >= 0), 0)
	}
	return max(rows, min(want, most))
}

// lanesNeed is how many rows the lanes take in a look; ok is false where they cannot be
// drawn in it.
func (f *frame) lanesNeed(look laneLook) (rows int, ok bool) {
	for _, b := range f.boxes(look) {
		if b.now == nil {
			return 0, false
		}
		if need := b.need(look.clock >= 0); look.aside {
			rows = max(rows, need)
		} else {
			rows += need
		}
	}
	return rows, true
}

// boxes makes the lanes ready.
func (f *frame) boxes(look laneLook) []laneBox {
	w := f.w
	if look.aside {
		w = f.w / len(f.lanes)
	}
	c := canvas.New(w, 1, f.env.Theme).All() // to measure on
	out := make([]laneBox, len(f.lanes))
	bigName := look.tall
	for i := range f.lanes {
		b := laneBox{lane: &f.lanes[i], i: i, w: w, look: look, clock: f.clockOf(&f.lanes[i])}
		if b.look.tall {
			bigName = b.drawn(f, c) && bigName
		} else {
			b.written(f, c)
		}
		out[i] = b
	}
	for i := range out {
		out[i].bigName = bigName
	}
	return out
}

// drawn fills a box whose letters are drawn and says whether its name can be.
func (b *laneBox) drawn(f *frame, c canvas.Region) (bigName bool) {
	room := c.Sub(0, 0, b.w-4, 1)
	_, b.head = c.BlockSize("0", max(b.look.clock, 0))
	for _, clause := range b.clauses {
		if !canvas.Drawable(clause) {
			return false
		}
	}
	b.now, _ = room.WrapBlock(b.clauses, b.look.size)
	b.then = canvas.Wrap(sentences(b.lane.then), room.W)
	b.whole = canvas.Wrap(sentences(b.do, b.lane.then), room.W)
	if b.lane.then == "" {
		b.then = nil
	}
	nameW, _ := c.BlockSize(b.Person, 0)
	clockW, _ := c.BlockSize(b.clock.text, max(b.look.clock, 0))
	badge, _ := f.badge(b.i)
	return canvas.Drawable(b.Person) && nameW+clockW+canvas.Width(badge)+canvas.Width(b.clock.word)+9 <= room.W
}

// written fills a box that is text.
func (b *laneBox) written(f *frame, c canvas.Region) {
	w := b.w - b.textX() - 1
	if b.w < narrow {
		if w = b.w - 3; b.idle && len(b.Next) > 0 { // with no row for what follows
			l := *b.lane
			l.do = strings.TrimSpace(strings.Join(l.clauses[:len(l.clauses)-1], " ") + " " + f.soonest(b.lane))
			b.lane = &l
		}
	} else if cw := b.clockW(c); cw > 0 {
		w -= cw + 2
	}
	b.now = canvas.Wrap(sentences(b.do), max(w, 1))
	if b.lane.then != "" {
		b.then = canvas.Wrap(sentences(b.lane.then), max(w, 1))
	}
}

// textX is where the text begins, behind the name.
func (b *laneBox) textX() int { return 2 + nameColumn }

// clockW is the room that the clock takes at the right.
func (b *laneBox) clockW(c canvas.Region) int {
	if b.clock.text == "" {
		return 0
	}
	if b.look.clock == text {
		return canvas.Width(b.clock.word) + 1 + canvas.Width(b.clock.text)
	}
	w, _ := c.BlockSize(b.clock.text, b.look.clock)
	return canvas.Width(b.clock.word) + 2 + w + 2
}

// lineRows is how many rows a drawn line takes.
func (b *laneBox) lineRows(t *theme.Theme) int {
	if b.look.size == 0 && t.Glyphs.Upper != "" {
		return 3
	}
	return 6
}

// said is the text below drawn letters: all of it, where that takes no row more than what
// the letters leave out.
func (b *laneBox) said() []string {
	if len(b.whole) <= max(len(b.then), 1) {
		return b.whole
	}
	return b.then
}

// need is the least number of rows: what follows comes with the first row to spare.
func (b *laneBox) need(drawnClock bool) int {
	next := min(len(b.Next), 1)
	if b.look.tall {
		rows := 3
		if b.look.size > 0 {
			rows = 6
		}
		return b.head + rows*len(b.now) + len(b.said()) + next
	}
	if b.w < narrow {
		return 1 + len(b.now)
	}
	least := lastOverhead
	if drawnClock && b.clock.text != "" {
		least = 3
	}
	return max(len(b.now)+next, least)
}

// drawLanes draws the lanes.
func (f *frame) drawLanes(r canvas.Region, look laneLook) {
	boxes := f.boxes(look)
	if look.aside {
		for i := range boxes {
			x := i * f.w / len(boxes)
			boxes[i].draw(f, r.Cols(x, (i+1)*f.w/len(boxes)-x))
		}
		return
	}
	spare := r.H
	for i := range boxes {
		spare -= boxes[i].need(look.clock >= 0)
	}
	if spare < 0 { // the one that Enter acts for, then the others as far as they go
		boxes[0], boxes[f.bright] = boxes[f.bright], boxes[0]
	}
	y := 0
	for i := range boxes {
		h := boxes[i].need(look.clock >= 0)
		if more := min(spare, len(boxes[i].then)); more > 0 {
			h, spare = h+more, spare-more
		}
		if i == len(boxes)-1 && spare > 0 {
			h += spare
		}
		boxes[i].draw(f, r.Rows(y, h))
		y += h
	}
}

// draw draws a lane.
func (b *laneBox) draw(f *frame, r canvas.Region) {
	if r.H == 0 {
		return
	}
	edge, role := b.edge(f)
	for y := range r.H {
		r.Put(0, y, role, edge)
	}
	if b.look.tall {
		b.drawTall(f, r)
		return
	}
	b.drawFlat(f, r)
}

// edge says how urgent a lane is.
func (b *laneBox) edge(f *frame) (string, theme.Role) {
	g := f.env.Theme.Glyphs
	switch {
	case b.Now == nil:
		return g.Free, theme.Rule
	case b.clock.drawn == theme.Urgent:
		return g.Over, theme.Alarm
	case b.clock.drawn == theme.Alert:
		return g.Over, theme.Soon
	case b.clock.role == theme.Soon:
		return g.Work, theme.Soon
	}
	return g.Work, theme.Edge
}

func (b *laneBox) nowRole(f *frame) theme.Role {
	if b.idle {
		return theme.Text
	}
	return theme.Strong
}
