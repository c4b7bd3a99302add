package canvas

import (
	"bytes"
	"io"
	"strings"
	"sync"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/ansi"

	"shedbell/ui/noquery"
)

func init() { noquery.Over() } // bubbletea has begun

// Terminal is a terminal with what it shows. It brings frames there as soon as they
// are drawn, and of each frame only the cells that have changed. The library's own
// renderer waits for a ticker, which costs an idle board more than its frames do, and
// writes every changed line whole, which is too much for a poor link.
type Terminal struct {
	out io.Writer

	mu   sync.Mutex
	w, h int      // 0: not known yet, and nothing is painted
	rows []string // what the terminal shows; nil: nothing that is known

	asks  bool // for the background
	stops bool // Ctrl+Z stops the program, as it does any other of its terminal
}

// NewTerminal makes the screen of a terminal. Each frame is one write to it.
func NewTerminal(out io.Writer) *Terminal { return &Terminal{out: out} }

// Model makes a model whose frames are painted on the screen.
func (s *Terminal) Model(m tea.Model) tea.Model { return paintedModel{m, s} }

// Options are what a program needs for its terminal to be this screen.
func (s *Terminal) Options() []tea.ProgramOption {
	var driver io.Writer = setupWriter{s.out}
	if f, ok := s.out.(file); ok {
		driver = setupFile{file: f}
	}
	return []tea.ProgramOption{tea.WithOutput(driver), tea.WithAltScreen(), tea.WithFPS(1)}
}

// AskBackground has the terminal asked for its background when the program begins.
// Nobody waits for the answer: it comes among the keys, if it comes, and BackgroundOf
// reads it.
func (s *Terminal) AskBackground() { s.asks = true }

// Stops has Ctrl+Z give the terminal back to the shell until the program is called to the
// front again. It is for a program that one terminal alone is watching.
func (s *Terminal) Stops() { s.stops = true }

// BackgroundOf says whether an answer of the kind OSC tells a light background. ok is
// false where it tells of something else.
func BackgroundOf(osc string) (light, ok bool) {
	code, colour, _ := strings.Cut(osc, ";")
	c := ansi.XParseColor(colour)
	if code != "11" || c == nil {
		return false, false
	}
	r, g, b, _ := c.RGBA()
	return max(r, g, b)+min(r, g, b) > 0xffff, true // lightness above one half
}

// Resize says how large the terminal is. All of it is painted again.
func (s *Terminal) Resize(w, h int) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.w, s.h, s.rows = w, h, nil
}

// Forget has all of the next frame painted, whatever the terminal shows.
func (s *Terminal) Forget() {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.rows = nil
}

// Paint brings a frame to the terminal, its rows parted by line feeds. Rows that the
// frame does not have are empty.
func (s *Terminal) Paint(frame string) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.w < 1 || s.h < 1 {
		return
	}
	rows := strings.Split(frame, "\n")
	for len(rows) < s.h {
		rows = append(rows, "")
	}
	rows = rows[:s.h]
	var b bytes.Buffer
	for y, row := range rows {
		switch {
		case s.rows == nil:
			s.whole(&b, y, row)
		case s.rows[y] != row:
			s.changed(&b, y, s.rows[y], row)
		}
	}
	s.rows = rows
	if b.Len() > 0 {
		b.WriteString(ansi.CursorPosition(1, s.h))
		_, _ = s.out.Write(b.Bytes()) // a terminal that is gone ends the program by itself
	}
}

// whole writes a row from its beginning.
func (s *Terminal) whole(b *bytes.Buffer, y int, row string) {
	row = ansi.Truncate(row, s.w, "")
	b.WriteString(ansi.CursorPosition(1, y+1))
	b.WriteString(row)
	if ansi.StringWidth(row) < s.w {
		b.WriteString(ansi.EraseLineRight)
	}
}

// paintedModel is a model on a screen. The library itself gets an empty frame.
type paintedModel struct {
	tea.Model
	screen *Terminal
}

// Init begins, when the terminal no longer echoes what it answers.
func (p paintedModel) Init() tea.Cmd {
	if p.screen.asks {
		_, _ = io.WriteString(p.screen.out, "\x1b]11;?\x1b\\")
	}
	return p.Model.Init()
}

// Update answers a message. Ctrl+L draws again what something else has written over, and
// so does the program's coming back.
func (p paintedModel) Update(msg tea.Msg) (tea.Model, tea.Cmd) {
	switch msg := msg.(type) {
	case tea.WindowSizeMsg:
		p.screen.Resize(msg.Width, msg.Height)
	case tea.KeyMsg:
		if msg.Type == tea.KeyCtrlL {
			p.screen.Forget()
			return p, nil
		}
		if msg.Type == tea.KeyCtrlZ && p.screen.stops {
			return p, tea.Suspend
		}
	case tea.ResumeMsg:
		p.screen.Forget()
	}
	var cmd tea.Cmd
	p.Model, cmd = p.Model.Update(msg)
	return p, cmd
}

// View paints.
func (p paintedModel) View() string {
	p.screen.Paint(p.Model.View())
	return ""
}

// file is what the library needs of a terminal to put it into raw mode and to hear
// of its size.
type file interface {
	io.ReadWriteCloser
	Fd() uintptr
}

// setupWriter passes what the library's renderer says about the terminal's modes, and
// drops its frames: they, and nothing else, begin with the cursor at home and go on.
type setupWriter struct{ io.Writer }

type setupFile struct{ file }

func (w setupWriter) Write(p []byte) (int, error) { return pass(w.Writer, p) }
func (w setupFile) Write(p []byte) (int, error)   { return pass(w.file, p) }

func pass(to io.Writer, p []byte) (int, error) {
	if len(p) > len(ansi.CursorHomePosition) && bytes.HasPrefix(p, []byte(ansi.CursorHomePosition)) {
		return len(p), nil
	}
	return to.Write(p)
}
