package app

import (
	"context"
	"errors"
	"os"
	"os/signal"
	"strings"
	"syscall"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/muesli/termenv"

	"shedbell/ui/canvas"
	"shedbell/ui/theme"
)

// Run shows the board on the terminal until the user leaves. Should the terminal's
// own driver fail, a plain board takes over.
func Run(opt Options) error {
	model := Guarded(opt).(*guard)
	if opt.Lines {
		return runInLines(opt, model)
	}
	_, err := run(opt, program(opt, model))
	if !errors.Is(err, tea.ErrProgramPanic) {
		return err
	}
	model.fall(newFault("driver", nil, err))
	_, err = run(opt, program(opt, model))
	return err
}

// run ends the program in order when its terminal goes away, too.
func run(opt Options, p *tea.Program) (tea.Model, error) {
	gone := make(chan os.Signal, 1)
	signal.Notify(gone, syscall.SIGHUP)
	over := make(chan struct{})
	defer func() {
		signal.Stop(gone)
		close(over)
	}()
	if opt.Measured != nil {
		ctx, stop := context.WithCancel(context.Background())
		defer stop()
		go news(ctx, opt.Line, p)
	}
	go func() {
		select {
		case <-gone:
			p.Quit()
		case <-over:
		}
	}()
	return p.Run()
}

// news has what a meter is the ground of shown at once, not with the next second. It ends
// where the line is only followed, or the disk has trouble.
func news(ctx context.Context, l Line, p *tea.Program) {
	for seq, last := l.Saving().Saved, int64(-1); seq != last && l.Wait(ctx, seq+1) == nil; {
		p.Send(newsMsg{})
		seq, last = l.Saving().Saved, seq
	}
}

type newsMsg struct{}

func program(opt Options, model tea.Model) *tea.Program {
	out := opt.Out
	if out == nil {
		out = os.Stdout
	}
	screen := canvas.NewTerminal(out)
	if opt.In == os.Stdin {
		screen.Stops()
	}
	options := screen.Options()
	var p *tea.Program
	if opt.In != nil {
		options = append(options, tea.WithInput(canvas.Keys(context.Background(), opt.In, func(osc string) {
			if light, ok := canvas.BackgroundOf(osc); ok {
				p.Send(backgroundMsg{light})
			}
		})))
	}
	if opt.In != nil && asksBackground(opt.Theme, os.Getenv) {
		screen.AskBackground()
	}
	p = tea.NewProgram(screen.Model(model), options...)
	return p
}

// backgroundMsg is what the terminal has answered.
type backgroundMsg struct{ light bool }

// asksBackground says whether the terminal is worth asking: it has colours, its
// environment does not say, and it is one terminal and no multiplexer's many.
func asksBackground(t theme.Options, getenv func(string) string) bool {
	term := getenv("TERM")
	return t.Profile != termenv.Ascii && getenv("COLORFGBG") == "" && !strings.HasPrefix(term, "screen") && !strings.HasPrefix(term, "tmux")
}
