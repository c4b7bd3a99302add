package app

import (
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"shedbell/line"
	"shedbell/line/records"
	"shedbell/ui/pages"
	"shedbell/ui/screen"
)

// How long, in seconds on the wall, a person gets before a countdown counts as late,
// and for reading what went wrong, however fast the line's clock runs.
const (
	reachTime = 10 * time.Second
	readTime  = 8 * time.Second
)

// coach watches a practice day and says what went wrong.
type coach struct {
	fold *records.Mistakes // nil: nobody practises
	is   screen.Practice
	told int       // mistakes that the person has heard of
	at   time.Time // when the last one was said
}

// beginPractice begins to watch, with the line as it stands.
func (m *Model) beginPractice() {
	s := m.line.State()
	m.coach = coach{fold: records.NewMistakes(s, max(records.DefaultPatience, m.env().OnWall(reachTime)))}
	m.coach.is = screen.Practice{On: true}
	m.opt.Prefs.Trainee = true
}

// offerPractice puts the practice screen among the others.
func (m *Model) offerPractice() { m.set[screen.PracticeDay] = pages.NewPractice() }

func (m *Model) startPractice() tea.Cmd {
	m.beginPractice()
	m.active = screen.Board
	m.say(m.words.Say("practice.begun"), false)
	return m.prefer(m.opt.Prefs)
}

// practise feeds the coach what has happened since, says at once what went wrong,
// and shows the list when the day is over.
func (m *Model) practise() {
	c := &m.coach
	if c.fold == nil {
		return
	}
	for _, r := range m.told() {
		if _, opened := r.Event.(line.DayOpened); opened && c.is.Over && r.Seq > c.fold.Seq() {
			m.beginPractice()
		}
		if _, closed := r.Event.(line.DayClosed); closed && r.Seq > c.fold.Seq() {
			c.is.Over = true
			m.active = screen.PracticeDay
		}
		c.fold.Add(r)
	}
	c.is.Mistakes, c.is.Well = c.fold.At(m.now), c.fold.Well()
	if n := len(c.is.Mistakes); n > c.told {
		if last := &c.is.Mistakes[n-1]; last.Kind != records.MistakeRefused { // a refusal has said its way out
			m.say(m.words.Say("practice.said", m.words.Mistake(last).What), true)
		}
		c.at = m.now
	}
	c.told = len(c.is.Mistakes)
}

// lectures says that what went wrong is still to be read, so that what was done
// since does not take its place.
func (m *Model) lectures() bool {
	return !m.coach.at.IsZero() && m.now.Sub(m.coach.at) < m.env().OnWall(readTime)
}
