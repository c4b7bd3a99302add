package app

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/muesli/termenv"

	"shedbell/line"
	"shedbell/line/linetest"
	"shedbell/line/live"
	"shedbell/ui/act"
	"shedbell/ui/canvas"
	"shedbell/ui/screen"
	"shedbell/ui/theme"
)

// trap is a screen that panics where a test wants it to.
type trap struct {
	in    string
	value any
}

func (t trap) spring(where string) {
	if t.in == where {
		panic(t.value)
	}
}

func (t trap) Update(*screen.Env, tea.Msg) tea.Cmd {
	t.spring("Update")
	return func() tea.Msg {
		t.spring("command")
		return tea.BatchMsg{func() tea.Msg {
			t.spring("batched command")
			return nil
		}}
	}
}

func (t trap) Actions(*screen.Env) act.Table {
	t.spring("Actions")
	return act.Table{act.Others("", "").Take(func(k tea.KeyMsg) tea.Cmd { return t.Update(nil, k) })}
}

func (t trap) Draw(*screen.Env, canvas.Region) { t.spring("Draw") }

// world is a guarded program whose commands are run at once; waits are left out.
type world struct {
	t     *testing.T
	m     tea.Model
	line  *live.Line
	clock *linetest.Manual
	dir   string
}

func newWorld(t *testing.T) *world {
	clock := linetest.NewManual(linetest.Morning)
	l, _, err := live.Open(&linetest.Memory{}, linetest.Site(), linetest.Book(), clock, "Rowan")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { l.Close() })
	if _, _, no := l.Do(line.OpenDay{Sheet: linetest.Sheet()}); no != nil {
		t.Fatal(no)
	}
	w := &world{t: t, line: l, clock: clock, dir: t.TempDir()}
	w.m = Guarded(Options{Line: l, Faults: w.dir, Theme: theme.Options{Name: theme.Mono, Profile: termenv.Ascii},
		Forecast: func(*line.State, time.Time) screen.Forecast { return screen.Forecast{} },
		Tick:     func(time.Duration, func(time.Time) tea.Msg) tea.Cmd { return nil }})
	w.run(w.m.Init())
	w.send(tea.WindowSizeMsg{Width: 80, Height: 24})
	return w
}

func (w *world) send(msg tea.Msg) {
	var cmd tea.Cmd
	w.m, cmd = w.m.Update(msg)
	w.run(cmd)
	w.m.View()
}

func (w *world) run(cmd tea.Cmd) {
	if cmd == nil {
		return
	}
	switch msg := cmd().(type) {
	case nil:
	case tea.BatchMsg:
		for _, c := range msg {
			w.run(c)
		}
	default:
		w.send(msg)
	}
}

func (w *world) press(key string) {
	if key == "enter" {
		w.send(tea.KeyMsg{Type: tea.KeyEnter})
		return
	}
	w.send(tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune(key)})
}

func (w *world) shows(texts ...string) {
	w.t.Helper()
	view := w.m.View()
	for _, text := range texts {
		if !strings.Contains(view, text) {
			w.t.Fatalf("%q is not shown:\n%s", text, view)
		}
	}
}

// Wherever a screen panics, the line goes on, a plain board has the next action, the
// clocks and the amps, and a report tells the makers without telling who was there.
func TestAFaultLeavesAPlainBoard(t *testing.T) {
	for _, where := range []string{"Draw", "Update", "Actions", "command", "batched command"} {
		t.Run(where, func(t *testing.T) {
			w := newWorld(t)
			w.press("enter") // cutting pea 1
			w.m.(*guard).frame.set[screen.Board] = trap{in: where, value: "a fault in Rowan's words: pea"}
			w.press("x")
			w.shows("plain board", "The full board failed", "next: Finish cutting PEA 1", "cutting table", "by hand", "wet wall", "of 20 A")
			w.clock.Advance(10 * time.Minute)
			w.press("enter")
			if p := w.line.State().Batch(1).Step.Progress; p != line.Finished {
				t.Fatalf("Enter on the plain board left the step %v", p)
			}
			w.press("0")
			w.press("u")
			if p := w.line.State().Batch(1).Step.Progress; p != line.Finished {
				t.Fatalf("0 and u once on the plain board left the step %v", p)
			}
			w.press("u")
			if p := w.line.State().Batch(1).Step.Progress; p != line.Running {
				t.Fatalf("u twice on the plain board left the step %v", p)
			}
			files, _ := filepath.Glob(filepath.Join(w.dir, "fault-*.txt"))
			if len(files) != 1 {
				t.Fatalf("%d reports", len(files))
			}
			data, err := os.ReadFile(files[0])
			if err != nil {
				t.Fatal(err)
			}
			for _, private := range []string{"Rowan", "pea", "PEA", w.dir} {
				if strings.Contains(string(data), private) {
					t.Errorf("the report tells %q:\n%s", private, data)
				}
			}
			for _, told := range []string{"guard_test.go", "trap.spring", "a string", "80 by 24", "screen   board"} {
				if !strings.Contains(string(data), told) {
					t.Errorf("the report lacks %q:\n%s", told, data)
				}
			}
			w.press("b") // the full board again, with new screens
			w.shows("1 CUT", "inish cutting PEA 1")
		})
	}
}

// A fault that stays brings the plain board back, and the language's own errors
// are told in full.
func TestAFaultThatStays(t *testing.T) {
	w := newWorld(t)
	for i := range keptReports + 3 {
		w.clock.Advance(time.Second)
		g := w.m.(*guard)
		g.frame.set[screen.Board] = indexed{}
		w.send(tickMsg{})
		w.shows("plain board")
		if i == 0 {
			files, _ := filepath.Glob(filepath.Join(w.dir, "fault-*.txt"))
			if data, err := os.ReadFile(files[0]); err != nil || !strings.Contains(string(data), "index out of range [3] with length 0") {
				t.Errorf("%v: %s", err, data)
			}
		}
		w.press("b")
		w.shows("1 CUT")
	}
	if files, _ := filepath.Glob(filepath.Join(w.dir, "fault-*.txt")); len(files) != keptReports {
		t.Errorf("%d reports kept, want %d", len(files), keptReports)
	}
}

type indexed struct{ trap }

func (indexed) Draw(*screen.Env, canvas.Region) {
	var none []int
	_ = none[3]
}

// The plain board itself has parts that fail: each costs only itself.
func TestThePlainBoardSurvivesItsOwnFaults(t *testing.T) {
	w := newWorld(t)
	w.m.(*guard).fall(newFault("View", nil, errors.New("x")))
	if out := w.m.(*guard).plain.safely(func() []string { panic("x") }); len(out) != 1 {
		t.Error(out)
	}
	for _, size := range [][2]int{{1, 1}, {20, 3}, {300, 90}} {
		w.send(tea.WindowSizeMsg{Width: size[0], Height: size[1]})
		rows := strings.Split(w.m.View(), "\n")
		for _, row := range rows {
			if canvas.Width(row) > size[0] || len(rows) > size[1] {
				t.Fatalf("%dx%d: %d rows, %q", size[0], size[1], len(rows), row)
			}
		}
	}
}
