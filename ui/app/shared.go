package app

import (
	"context"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"shedbell/line"
	"shedbell/line/live"
	"shedbell/line/say"
	"shedbell/ui/screen"
)

// Line is the line as the frame uses it: one that runs here, a seat at one that
// several share, or one that is only followed.
type Line interface {
	Now() time.Time
	By() string
	State() *line.State
	History() []line.Record
	Before() *line.State
	Saving() live.Saving
	DoFor(who string, c line.Command) (*line.State, []line.Record, *line.Refusal)
	Wait(ctx context.Context, seq int64) error
}

var _ Line = (*live.Line)(nil)

// Shared is a line that another screen may have instead of this one.
type Shared interface {
	Line
	// Watching tells who has the line; the zero value: this screen.
	Watching() screen.Watching
	// Take makes this screen the one that has it. It gives the line to go on with
	// and a word for the person, and may take its time.
	Take() (Line, say.Speech, error)
	// Guest says that the line goes on when this screen is left.
	Guest() bool
}

// watching tells who has the line instead of this screen.
func (m *Model) watching() screen.Watching {
	if s, ok := m.line.(Shared); ok {
		return s.Watching()
	}
	return screen.Watching{}
}

// guest says that leaving this screen ends nothing but itself.
func (m *Model) guest() bool {
	s, ok := m.line.(Shared)
	return ok && s.Guest()
}

type takenMsg struct {
	line Line
	word say.Speech
	err  error
}

// take asks for the line in the background: opening a journal needs the disk.
func (m *Model) take() tea.Cmd {
	s, ok := m.line.(Shared)
	if !ok {
		return nil
	}
	return func() tea.Msg {
		l, word, err := s.Take()
		return takenMsg{l, word, err}
	}
}

func (m *Model) taken(msg takenMsg) tea.Cmd {
	if msg.err != nil {
		m.say(m.words.Problem(msg.err), true)
		return nil
	}
	m.line = msg.line
	m.shown = m.line.State()
	m.refresh()
	m.say(m.words.Speech(append(msg.word, say.New("foot.has-line"))), false)
	return m.reforecast(true)
}
