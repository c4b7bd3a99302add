package board

// Shape is what of a shed matters for the arrangement of the board.
type Shape struct {
	Greens   int // stations that greens pass
	Chores   int // stations for trays and surfaces
	Slots    int // most slots that one station shows
	Circuits int
	Trainee  bool // prompts in full
	Asking   int  // rows that a form takes in place of the sentence; 0: there is none
	Notice   int  // rows that the last thing that happened takes in full
}

// Layout says which row each part of the board begins at and how many rows it has;
// 0 rows means that it is left out.
type Layout struct {
	SentenceY, SentenceH int
	LessonY, LessonH     int // the prompt in full, for who is new
	StationsY, StationsH int
	ListH                int // the stations as a plain list instead of cards
	StripY, StripH       int
	CircuitsY, CircuitsH int
	FootY, FootH         int
	Rules                bool
	RuleY                []int
	Scale                int // size of drawn digits; 0: none
	Gap                  bool
}

// Sizes from which the board shows more.
const (
	cardsFromW, cardsFromH = 72, 22
	stripFromW, stripFromH = 110, 36
	drawnFromW, drawnFromH = 150, 42
	farFromH               = 12
	lessonRows             = 9
	leastStations          = 4
	mostNotice             = 5
)

// footRows is the quiet line and the keys. A refusal takes more rows than a calm
// line, for its end says what to do instead.
func footRows(s Shape) int { return 1 + min(max(s.Notice, 2), mostNotice) }

// Arrange lays the board out for a terminal of w by h cells.
func Arrange(w, h int, s Shape) Layout {
	if w < cardsFromW || h < cardsFromH {
		return arrangeSmall(h, s)
	}
	l := Layout{Rules: true, SentenceY: 2, SentenceH: 3, FootH: footRows(s)}
	if w >= drawnFromW && h >= drawnFromH {
		l.Scale = max(1, h/45)
		l.SentenceH = 5*l.Scale + 2
	}
	l.SentenceH = max(l.SentenceH, s.Asking)
	l.CircuitsH = min(s.Circuits, 4)
	if h >= stripFromH {
		l.CircuitsH = min(s.Circuits*2, h/5)
	}
	l.FootY = h - l.FootH
	l.CircuitsY = l.FootY - 1 - l.CircuitsH
	if s.Trainee {
		if l.Scale == 0 {
			l.SentenceH = max(2, s.Asking) // the lesson says the rest
		}
		l.LessonY = l.SentenceY + l.SentenceH
		l.LessonH = max(0, min(lessonRows, l.CircuitsY-1-l.LessonY-1-leastStations))
	}
	l.StationsY = l.SentenceY + l.SentenceH + l.LessonH + 1
	room := l.CircuitsY - 1 - l.StationsY
	l.StationsH = room
	if w >= stripFromW && h >= stripFromH {
		need := s.Slots + 4 + 5
		l.StationsH = min(max(need, room*2/5), room-6)
		l.StripY = l.StationsY + l.StationsH + 1
		l.StripH = l.CircuitsY - 1 - l.StripY
	}
	l.RuleY = []int{1, l.StationsY - 1, l.CircuitsY - 1, l.FootY - 1}
	if l.StripH > 0 {
		l.RuleY = append(l.RuleY, l.StripY-1)
	}
	return l
}

// arrangeSmall keeps the next action, the nearest countdowns, the amps and the
// refusal, down to very few rows.
func arrangeSmall(h int, s Shape) Layout {
	l := Layout{SentenceY: 1, SentenceH: 3, FootH: 3}
	if h >= 16 {
		l.Rules = true
		l.SentenceY, l.SentenceH, l.FootH = 2, 4, footRows(s)
	}
	if h < 9 {
		l.FootH = min(1, max(0, h-2))
		l.SentenceH = max(1, min(3, h-1-l.FootH))
	}
	l.SentenceH = max(l.SentenceH, min(s.Asking, h-1-l.FootH))
	l.FootY = h - l.FootH
	l.CircuitsH = max(0, min(s.Circuits, l.FootY-l.SentenceY-l.SentenceH))
	if l.CircuitsH < s.Circuits && h < 9 {
		l.CircuitsH = 0 // some of them would tell nothing; the countdowns do
	}
	l.CircuitsY = l.FootY - l.CircuitsH
	if s.Trainee {
		l.LessonY = l.SentenceY + l.SentenceH
		l.LessonH = max(0, min(6, l.CircuitsY-l.LessonY-4))
	}
	l.StationsY = l.SentenceY + l.SentenceH + l.LessonH
	if l.Rules {
		l.CircuitsY--
		l.StationsY++
		l.RuleY = []int{1, l.StationsY - 1, l.CircuitsY - 1, l.FootY - 1}
	}
	l.ListH = max(0, l.CircuitsY-l.StationsY)
	if l.Rules {
		l.ListH = max(0, l.ListH-1)
	}
	return l
}
