package setup

import (
	"context"
	"strings"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"shedbell/line/files"
	"shedbell/ui/act"
	"shedbell/ui/canvas"
	"shedbell/ui/screen"
	"shedbell/ui/theme"
)

// Begin is what somebody with an empty data folder wants to do.
type Begin uint8

// The ways to begin, in the order of their keys.
const (
	BeginNot   Begin = iota // leave
	BeginWatch              // a day that plays by itself
	BeginPractice
	BeginSetup
	BeginLook // the board of the example
)

// beginTexts are what the ways are called, from BeginWatch on.
var beginTexts = []string{"watch", "practice", "setup", "look"}

// First says that the shed is an invented one and asks what to do. Nothing is written.
func First(ctx context.Context, o Options) (Begin, error) {
	m := newFirst(o)
	return m.chosen, o.show(ctx, m)
}

// first is the screen of the first start.
type first struct {
	env    *screen.Env
	shed   string
	marked int
	walked int // seconds since the screen came, while the drawn batch walks
	chosen Begin
	w, h   int
}

func newFirst(o Options) *first {
	return &first{env: &screen.Env{Context: act.Context{Words: o.Words}, Theme: theme.New(o.Theme), Prefs: o.Prefs},
		shed: files.Starter().Name, w: 80, h: 24}
}

type walkMsg struct{}

func walk() tea.Cmd { return tea.Tick(time.Second, func(time.Time) tea.Msg { return walkMsg{} }) }

// Init starts the batch on its way through the drawn line.
func (m *first) Init() tea.Cmd { return walk() }

// Update answers keys.
func (m *first) Update(msg tea.Msg) (tea.Model, tea.Cmd) {
	switch msg := msg.(type) {
	case tea.WindowSizeMsg:
		m.w, m.h = msg.Width, msg.Height
	case walkMsg:
		if m.walked++; m.walked < len(vessels) {
			return m, walk()
		}
	case tea.KeyMsg:
		cmd, _ := m.actions().Press(&m.env.Context, msg)
		return m, cmd
	}
	return m, nil
}

func (m *first) actions() act.Table {
	choose := func(i int) tea.Cmd {
		m.chosen = BeginWatch + Begin(i)
		return tea.Quit
	}
	leave := act.Key("0", "does.leave", "0", "q", "Q", "ctrl+c", "esc", "/").Tell(tea.QuitMsg{})
	all := act.Table{
		act.Key("Enter", "first."+beginTexts[m.marked], "enter", " ").Run(func() tea.Cmd { return choose(m.marked) }),
		act.Choose(&m.env.Context, "does.choose", len(beginTexts), choose)}
	return append(append(all, act.Round("does.mark", &m.marked, len(beginTexts))...), leave)
}

// View draws the whole screen.
func (m *first) View() string {
	c := canvas.New(m.w, m.h, m.env.Theme)
	r, say := c.All(), m.env.Words.Say
	keys := r.Rows(m.h-1, 1)
	keys.Put(1, 0, theme.Faint, screen.KeyLine(m.env, m.actions(), m.w-2, m.actions()[len(m.actions())-1]))
	body := r.Rows(0, m.h-1).Inset(2, 0)
	body.Put(0, 0, theme.Strong, "shedbell   "+say("first.about"))
	r.Rule(1)
	y := 2
	for _, text := range []string{say("first.example", m.shed) + " " + say("first.invented"), say("first.not-yours")} {
		y += body.Rows(y, m.h-y-1).Wrapped(theme.Text, text)
	}
	if m.h >= 20 {
		y++
	}
	about := m.h-1-y >= 2*len(beginTexts)+4
	for i, name := range beginTexts {
		role, mark := theme.Strong, " "
		if i == m.marked {
			role, mark = theme.Chosen, m.env.Theme.Glyphs.Arrow
		}
		body.Put(0, y, theme.Strong, mark)
		x := 6 + body.Put(6, y, role, say("first."+name))
		body.Put(3, y, theme.Strong, string(rune('1'+i)))
		if i == m.marked && i == 0 && body.W > x+24 {
			body.PutRight(body.W, y, theme.Faint, say("first.enter"))
		}
		if y++; about {
			body.Put(6, y, theme.Faint, say("first."+name+"-about"))
			y++
		}
	}
	if left := m.h - 2 - y; left >= 4 {
		r.Rule(y)
		m.drawLine(body.Rows(y+1, 3))
	}
	return c.String()
}

// vessels are the stations that the drawn batch walks through.
var vessels = []string{"cut", "wash", "spin", "dry", "pack", "chill"}

// drawLine draws the line with a batch that walks through it once.
func (m *first) drawLine(r canvas.Region) {
	at := min(m.walked, len(vessels)-1)
	wide := max(r.W/len(vessels), 8)
	for i, kind := range vessels {
		box := r.Cols(i*wide, wide-2)
		role, trays := theme.Faint, ""
		if i == at {
			role, trays = theme.Strong, strings.Repeat(m.env.Theme.Glyphs.Full+" ", 3)
		}
		box.Put(0, 0, role, string(rune('1'+i))+" "+m.env.Words.Say("kind."+kind))
		box.Put(2, 1, theme.Bar, trays)
		box.Rule(2)
	}
}
