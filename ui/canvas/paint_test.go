package canvas_test

import (
	"bytes"
	"fmt"
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/ansi"
	"github.com/charmbracelet/x/vt"
	"pgregory.net/rapid"

	"shedbell/ui/canvas"
)

// tube is a terminal that keeps what came last.
type tube struct {
	*vt.Emulator
	last bytes.Buffer
}

func (t *tube) Write(p []byte) (int, error) {
	t.last.Write(p)
	return t.Emulator.Write(p)
}

func newTube(w, h int) *tube { return &tube{Emulator: vt.NewEmulator(w, h)} }

// styled draws a text with a look, as the canvas does.
func styled(sgr, text string) string {
	if sgr == "" {
		return text
	}
	return "\x1b[" + sgr + "m" + text + "\x1b[0m"
}

// Whatever frames follow each other, the terminal shows the last one, as if it had
// been painted on an empty terminal. The emulator is the judge.
func TestTheTerminalShowsTheLastFrame(t *testing.T) {
	piece := rapid.Custom(func(t *rapid.T) string {
		return styled(rapid.SampledFrom([]string{"", "1", "31", "1;38;2;255;0;0;48;5;22"}).Draw(t, "look"),
			rapid.StringOfN(rapid.SampledFrom([]rune("ab 0:━█…é菜")), 0, 9, -1).Draw(t, "text"))
	})
	rapid.Check(t, func(rt *rapid.T) {
		w, h := rapid.IntRange(1, 30).Draw(rt, "w"), rapid.IntRange(1, 6).Draw(rt, "h")
		on := newTube(w, h)
		s := canvas.NewTerminal(on)
		s.Resize(w, h)
		frame := ""
		for range rapid.IntRange(1, 6).Draw(rt, "frames") {
			rows := make([]string, rapid.IntRange(0, h+1).Draw(rt, "rows"))
			for i := range rows {
				rows[i] = strings.Join(rapid.SliceOfN(piece, 0, 5).Draw(rt, "row"), "")
			}
			frame = strings.Join(rows, "\n")
			s.Paint(frame)
		}
		empty := newTube(w, h)
		fresh := canvas.NewTerminal(empty)
		fresh.Resize(w, h)
		fresh.Paint(frame)
		if got, want := on.Render(), empty.Render(); got != want {
			rt.Fatalf("%q\nwant\n%q", got, want)
		}
	})
}

// Nothing is written for a frame that is the same, and of a clock only its digits.
func TestOnlyChangedCellsAreWritten(t *testing.T) {
	on := newTube(40, 2)
	s := canvas.NewTerminal(on)
	s.Resize(40, 2)
	row := func(clock string) string {
		return styled("32", "tub      pea 1") + styled("1", " "+clock+" ") + "left  "
	}
	s.Paint(row("12:41") + "\nroom")
	for _, tc := range []struct{ clock, want string }{
		{"12:41", ""},
		{"12:40", "\x1b[1;20H\x1b[1m0\x1b[m\x1b[2;1H"},
		{"12:39", "\x1b[1;19H\x1b[1m39\x1b[m\x1b[2;1H"},
	} {
		on.last.Reset()
		s.Paint(row(tc.clock) + "\nroom")
		if got := on.last.String(); got != tc.want {
			t.Errorf("%s: wrote %q, want %q", tc.clock, got, tc.want)
		}
	}
}

// Before the size is known nothing is painted, and after a resize or Forget all.
func TestWholeFrames(t *testing.T) {
	on := newTube(10, 2)
	s := canvas.NewTerminal(on)
	s.Paint("one\ntwo")
	if on.last.Len() > 0 {
		t.Errorf("painted %q on a terminal of unknown size", on.last.String())
	}
	for name, again := range map[string]func(){"Resize": func() { s.Resize(10, 2) }, "Forget": s.Forget} {
		s.Resize(10, 2)
		s.Paint("one\ntwo")
		on.last.Reset()
		again()
		s.Paint("one\ntwo")
		if got, want := on.last.String(), "\x1b[Hone\x1b[K\x1b[2;1Htwo\x1b[K\x1b[2;1H"; got != want {
			t.Errorf("after %s: %q, want %q", name, got, want)
		}
	}
}

// counter counts its keys.
type counter struct{ n int }

func (c counter) Init() tea.Cmd { return nil }
func (c counter) View() string  { return fmt.Sprintf("n %d", c.n) }
func (c counter) Update(msg tea.Msg) (tea.Model, tea.Cmd) {
	if k, ok := msg.(tea.KeyMsg); ok {
		if k.String() == "q" {
			return c, tea.Quit
		}
		c.n++
	}
	return c, nil
}

// In a whole program the library sets the terminal up and down again, and not one of
// its own frames comes through.
func TestAProgramPaintsByItself(t *testing.T) {
	on := newTube(10, 2)
	s := canvas.NewTerminal(on)
	in := strings.NewReader("")
	p := tea.NewProgram(s.Model(counter{}), append(s.Options(), tea.WithInput(in), tea.WithoutSignalHandler())...)
	go func() {
		for _, msg := range []tea.Msg{tea.WindowSizeMsg{Width: 10, Height: 2}, key("a"), tea.KeyMsg{Type: tea.KeyCtrlL}, key("b"), key("q")} {
			p.Send(msg)
		}
	}()
	if _, err := p.Run(); err != nil {
		t.Fatal(err)
	}
	got := on.last.String()
	whole := func(n int) string { return fmt.Sprintf("\x1b[Hn %d\x1b[K\x1b[2;1H\x1b[K\x1b[2;1H", n) }
	want := whole(0) + "\x1b[1;3H1\x1b[2;1H" + whole(1) + "\x1b[1;3H2\x1b[2;1H"
	frames := got[strings.Index(got, "\x1b[Hn"):]
	if !strings.HasPrefix(frames, want) {
		t.Errorf("frames\n%q, want\n%q", frames, want)
	}
	if !strings.Contains(got, ansi.SetModeAltScreenSaveCursor) || !strings.Contains(got, ansi.ResetModeAltScreenSaveCursor) {
		t.Errorf("the terminal was not set up and down again: %q", got)
	}
}

func key(r string) tea.Msg { return tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune(r)} }
