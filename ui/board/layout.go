package board

import (
	"shedbell/line"
	"shedbell/ui/screen"
)

// layout says which row each part of the board begins at and how many rows it has;
// 0 rows means that it is left out.
type layout struct {
	head, alarm, lanes, lesson, upper, lower, list, timeline, circuits, foot span
	rules                                                                    []int
	look                                                                     laneLook
}

// span is some rows.
type span struct{ y, h int }

// Sizes from which the board shows more.
const (
	cardsFromW, cardsFromH       = 72, 22
	leastCard                    = 10 // columns of a vessel
	rulesFromH                   = 16
	rule2FromH                   = 28 // over the circuits too
	timelineFromW, leastTimeline = 110, 5
	largeFromH                   = 56 // clocks of five rows, breakers' warmth
	hugeFromH                    = 80
	mostNotice                   = 5
	lessonRows                   = 9
	leastUpper                   = 6
	leastList                    = 3
)

// arrange lays the board out. Detail goes first: the breakers' warmth, the timeline, the
// vessels of the second row, drawn letters, the vessels. What is to be done now, the
// nearest clock and a refusal stay.
func (f *frame) arrange(asking int) layout {
	var l layout
	h := f.h
	y := 0
	take := func(n int) span { s := span{y, max(n, 0)}; y += s.h; return s }
	l.head = take(screen.HeadRows(screen.Size{W: f.w, H: h}))
	rules := h >= rulesFromH
	if rules {
		l.alarm = take(1)
	}
	foot := 1 + min(max(screen.NoticeRows(f.env, f.w-2), 1), mostNotice)
	if h < rulesFromH {
		foot = min(foot, max(1, h/4))
	}
	bottom := h
	give := func(n int) span { n = max(min(n, bottom-y), 0); bottom -= n; return span{bottom, n} }
	l.foot = give(foot)
	if rules {
		l.rules = append(l.rules, give(1).y)
	}
	cards := f.w >= cardsFromW && h >= cardsFromH && f.cardsFit()
	circuits := len(f.s.Site.Panel.Circuits)
	switch {
	case h >= largeFromH:
		circuits = min(2*circuits, h/5)
	case h < 9:
		circuits = 0 // some of them would tell nothing; the countdowns do
	case !cards:
		circuits = min(circuits, 2)
	default:
		circuits = min(circuits, 4)
	}
	least := leastList + 1
	if cards {
		least = f.leastVessels()
	}
	l.circuits = give(min(circuits, bottom-y-3))
	if h >= rule2FromH {
		l.rules = append(l.rules, give(1).y)
	}
	var lanes int
	l.look, lanes = f.chooseLook(min(max(bottom-y-least, 1), max(h/2, 3)), bottom-y)
	l.lanes = take(max(min(lanes, bottom-y), min(asking, bottom-y)))
	if f.env.Prefs.Trainee {
		l.lesson = take(min(lessonRows, bottom-y-least+1))
	}
	room := bottom - y
	if !cards {
		if rules && room > 1 {
			l.rules = append(l.rules, take(1).y)
			room--
		}
		l.list = take(room)
		return l
	}
	upper, lower, timeline := f.share(room)
	l.upper, l.lower = take(upper), take(lower)
	if timeline > 0 {
		l.rules = append(l.rules, take(1).y)
		l.timeline = take(timeline - 1)
	}
	return l
}

// cardsFit says whether every station of the upper row can be drawn as a vessel.
func (f *frame) cardsFit() bool {
	n := 0
	for i := range f.s.Site.Stations {
		if f.s.Site.Stations[i].Kind.ForGreens() {
			n++
		}
	}
	return n > 0 && f.w/n >= leastCard+1
}

func (f *frame) leastVessels() int {
	switch {
	case f.h >= 46:
		return 14
	case f.h >= 36:
		return 9
	}
	return leastUpper + 1
}

// share gives the rows to the upper vessels, the lower ones and the timeline. The row in
// use gets the height: at tray wash that is the lower one.
func (f *frame) share(room int) (upper, lower, timeline int) {
	want, below := 10, 1
	switch {
	case f.h >= hugeFromH:
		want, below = 26, 5
	case f.h >= largeFromH:
		want, below = 15, 4
	case f.h >= 46:
		want, below = 11, 3
	}
	if !f.wet() {
		if room < leastUpper+4 {
			return max(room-5, 3), min(5, room-3), 0
		}
		upper = 3
		if room >= 12 {
			upper = 4
		}
		if f.h >= 46 {
			upper = 7
		}
		lower, timeline = room-upper, 0
		if f.w >= timelineFromW && lower >= 5+leastTimeline {
			timeline = min(lower-5, 2+len(f.rows()))
			lower -= timeline
		}
		return upper, lower, timeline
	}
	if below == 1 && room >= want+3 {
		below = 3
	}
	below = min(below, max(room-leastUpper, 0))
	lower = below
	upper = room - lower
	if spare := upper - want; f.w >= timelineFromW && spare >= leastTimeline {
		timeline = min(spare, 2+len(f.rows()))
		upper -= timeline
	}
	return upper, lower, timeline
}

// wet says whether the upper row of vessels is in use, rather than the clean-up.
func (f *frame) wet() bool {
	cleans := false
	for i := range f.s.Chores {
		cleans = cleans || !f.s.Site.Stations[f.s.Chores[i].Step.Place.Station].Kind.ForGreens()
	}
	for i := range f.s.Batches {
		b := &f.s.Batches[i]
		if b.Fate == line.Waiting || b.Fate == line.OnLine && b.Step.Active() && f.s.Site.Stations[b.Step.Place.Station].Kind < line.Pack {
			return true
		}
	}
	return !cleans
}
