package app

import (
	"context"
	"fmt"
	"io"
	"os"
	"slices"
	"strings"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/ansi"
	"github.com/charmbracelet/x/term"
	"github.com/muesli/termenv"

	"shedbell/line"
	"shedbell/ui/canvas"
	"shedbell/ui/screen"
	"shedbell/ui/theme"
)

// inLines is the program for people who have their screen read to them: it writes one
// line for each change, and draws and moves nothing. The keys are the same.
type inLines struct {
	*guard
	out   io.Writer
	look  *theme.Theme
	said  map[string]string // what was said last, by what it is about
	shown screen.Name
	rows  []string // of the screen shown, as they were read last
}

func newInLines(g *guard, out io.Writer) *inLines {
	return &inLines{guard: g, out: out, look: theme.New(theme.Options{Name: theme.Mono, ASCII: true, Profile: termenv.Ascii}), said: map[string]string{}}
}

// runInLines runs a program in lines. The library readies a terminal only where it draws,
// so that is done here: keys come one by one and are not shown.
func runInLines(opt Options, g *guard) error {
	in, out := opt.In, opt.Out
	if in == nil {
		in, out = os.Stdin, os.Stdout
	}
	if f, ok := in.(term.File); ok {
		was, err := term.MakeRaw(f.Fd())
		if err != nil {
			return err
		}
		defer term.Restore(f.Fd(), was)
	}
	_, err := run(opt, tea.NewProgram(newInLines(g, out), tea.WithoutRenderer(), tea.WithOutput(out),
		tea.WithInput(canvas.Keys(context.Background(), in, nil))))
	return err
}

// Update answers a message and says what has changed by it.
func (l *inLines) Update(msg tea.Msg) (tea.Model, tea.Cmd) {
	_, cmd := l.guard.Update(msg)
	if l.plain != nil {
		l.tell("plain", strings.ReplaceAll(l.plain.view(wideRow, len(l.rows)+24), "\n", "\r\n"))
		return l, cmd
	}
	m := l.frame
	if a := m.shownAlarm(); a == nil {
		l.said["alarm"] = ""
	} else if !a.Noted {
		// which clock it is past changes by the second, and is said once
		l.once("alarm", fmt.Sprint(a.ID()), m.words.Alarm(m.shown, &a.Alarm, m.now)+" "+m.words.Say("alarm.silence"))
	}
	if m.active == screen.Board {
		l.shown = screen.Board
		if m.shown.Sheet == nil {
			l.tell("lane", m.words.Say("do.no-day"))
			return l, cmd
		}
		for i := range m.lanes {
			l.lane(&m.lanes[i])
		}
	} else {
		l.page(msg)
	}
	l.tell("notice", m.quiet.Text)
	return l, cmd
}

// View draws nothing.
func (l *inLines) View() string { return "" }

// wideRow is how many cells a row has that is read and not looked at.
const wideRow = 100

// lane says what somebody does now, when that changes.
func (l *inLines) lane(lane *line.Lane) {
	m := l.frame
	text := m.words.Say("lines.free")
	if p := lane.Now; p != nil {
		s := m.words.Prompt(m.shown, p)
		text = s.Do
		if !p.Ready(m.now) {
			text = m.words.TimeOfDay(p.At, "") + " " + text
		} else if s.Then != "" {
			text += "; " + s.Then
		}
	}
	if len(m.lanes) > 1 {
		text = lane.Person + ": " + text
	}
	l.tell("lane "+lane.Person, text)
}

// page reads the rows of a screen that have changed, when it is opened and after a key:
// clocks that go on are nothing to say.
func (l *inLines) page(msg tea.Msg) {
	m := l.frame
	if _, ticks := msg.(tickMsg); ticks && m.active == l.shown {
		return
	}
	if m.active != l.shown {
		l.shown, l.rows = m.active, nil
	}
	old := l.rows
	l.rows = nil
	for row := range strings.SplitSeq(ansi.Strip(m.ViewIn(l.look)), "\n") {
		if row = strings.TrimSpace(row); strings.Trim(row, "-") != "" {
			l.rows = append(l.rows, row)
		}
	}
	for _, row := range l.rows {
		if said := m.quiet.Text; !slices.Contains(old, row) && (said == "" || !strings.HasSuffix(row, said)) {
			l.write(row)
		}
	}
}

// tell writes a text when it is another than before.
func (l *inLines) tell(about, text string) { l.once(about, text, text) }

// once writes a text when what it stands for is something else than before.
func (l *inLines) once(about, what, text string) {
	if l.said[about] == what {
		return
	}
	if l.said[about] = what; text != "" {
		l.write(text)
	}
}

// write writes one line. The terminal is raw, so a line feed alone would not return.
func (l *inLines) write(text string) { fmt.Fprintf(l.out, "%s\r\n", text) }
