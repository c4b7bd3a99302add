// Package app is the program's frame around the screens: it ticks, routes keys and
// messages, puts commands to the line and shows what is on the disk.
package app

import (
	"context"
	"io"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"shedbell/line"
	"shedbell/line/files"
	"shedbell/line/say"
	"shedbell/ui/act"
	"shedbell/ui/board"
	"shedbell/ui/canvas"
	"shedbell/ui/cleanup"
	"shedbell/ui/pages"
	powerui "shedbell/ui/power"
	recipeui "shedbell/ui/recipes"
	recordsui "shedbell/ui/records"
	"shedbell/ui/screen"
	"shedbell/ui/theme"
	"shedbell/ui/words"
)

// Options are what the frame needs to run.
type Options struct {
	Line   Line
	Theme  theme.Options
	Notice say.Speech // something the operator should know at the start
	Speed  float64    // line seconds per real second; 0 means 1
	Prefs  screen.Prefs
	Words  *words.Speaker           // nil: the language that the preferences name
	Keep   func(screen.Prefs) error // saves changed choices; nil: they last until the end

	Suggest *line.Sheet // what the day form is filled in with; nil: nothing
	Past    Past        // the whole journal; nil: there is none to read
	Recent  Past        // the records of the last days; nil: as Past
	In      io.Reader   // the terminal; nil: standard input and output
	Out     io.Writer
	Faults  string // folder for reports of faults in screens; empty: none are written

	Demo     bool    // a day to play with: practice is offered
	Practice bool    // practise from the start
	Plays    bool    // a day that plays by itself until somebody takes over
	Pace     Pace    // of the demo's clock; nil: it cannot be changed
	OwnPace  float64 // speed for a person who takes over

	Lines bool // for people who have their screen read to them: a line for each change

	Begin func() // told that the person leaves for the ways to begin; nil: there are none

	Wall func() time.Time // the clock on the wall, which may not jump; nil: time.Now

	Measured screen.Measured // what meters say; nil: there are none

	Ring Ring // alerts by sound; nil: silent

	Tick     Tick     // waits in the background; nil: tea.Tick
	Forecast Forecast // works the day's end out; nil: by rehearsing it
}

// Tick makes a command that waits and then gives a message, as tea.Tick does.
type Tick func(d time.Duration, fn func(time.Time) tea.Msg) tea.Cmd

// Past reads the whole journal, as screen.Env says.
type Past func(ctx context.Context, fn func(line.Record) error) error

// Forecast works out when the day ends. It is called in the background.
type Forecast func(s *line.State, now time.Time) screen.Forecast

// graceTime is how long the screen waits for the disk before it shows an action
// as done but not yet saved.
const graceTime = 250 * time.Millisecond

// Model is the frame. It is the program's bubbletea model.
type Model struct {
	opt    Options
	line   Line
	theme  *theme.Theme
	words  *words.Speaker
	size   screen.Size
	now    time.Time
	shown  *line.State // what screens see
	active screen.Name
	asked  screen.Name // the screen that the help is about
	set    map[screen.Name]screen.Screen

	prompts    []line.Prompt
	lanes      []line.Lane
	alarms     []screen.Alarm
	rung       time.Time // when the alarms last rang
	forecast   screen.Forecast
	forecaster forecaster
	quiet      screen.Notice
	focus      screen.Focus
	touched    time.Time // when a key was pressed last, on the wall
	fingers    fingers
	ignored    string // the foot with the word why a press did nothing

	waiting  int64             // record that the screen waits for; 0: none
	opening  int64             // last record of before the first key; nobody takes it for an action
	done     string            // what to say once it is on the disk
	result   *screen.ResultMsg // what to tell the screen then
	troubled bool              // it was said that saving does not work
	asking   int               // requests of a screen on their way to the frame
	keys     []press           // pressed meanwhile
	waits    bool              // steps wait for word of what became of them
	coach    coach             // of a practice day
	play     selfPlay
	site     *line.Site // that example was asked about last
	invented bool
	closed   bool  // the day was closed, and nobody has seen how it went
	heard    int64 // newest record that the frame has listened to; -1: none yet
}

// New makes the frame with all its screens.
func New(opt Options) *Model {
	if opt.Speed <= 0 {
		opt.Speed = 1
	}
	if opt.Wall == nil {
		opt.Wall = time.Now
	}
	if opt.Tick == nil {
		opt.Tick = tea.Tick
	}
	if opt.Forecast == nil {
		opt.Forecast = NewForecast(opt.Line, opt.Recent)
	}
	opt.Prefs = filled(opt.Prefs, opt.Theme)
	if opt.Words == nil {
		opt.Words = opt.Prefs.Speaker()
	}
	m := &Model{opt: opt, line: opt.Line, theme: theme.New(opt.Theme), words: opt.Words, active: screen.Board, set: screens(), heard: -1, touched: opt.Wall()}
	m.size = screen.Size{W: 80, H: 24}
	m.shown = m.line.State()
	if len(opt.Notice) > 0 {
		m.quiet = screen.Notice{At: m.line.Now(), Text: m.words.Speech(opt.Notice)}
	}
	if opt.Demo || opt.Practice {
		m.offerPractice()
	}
	if opt.Practice {
		m.beginPractice()
		m.quiet = screen.Notice{At: m.line.Now(), Text: m.words.Say("practice.begun")}
	}
	if opt.Plays {
		m.beginSelfPlay()
	}
	m.refresh()
	m.look(false)
	return m
}

func (m *Model) wall() time.Time { return m.opt.Wall() }

// Init starts the clock.
func (m *Model) Init() tea.Cmd {
	cmds := []tea.Cmd{m.tick(), m.reforecast(true)}
	if m.line.Saving().Pending > 0 {
		m.waiting, m.opening = m.shown.Seq, m.shown.Seq // what opening the line has recorded
		cmds = append(cmds, m.await(m.waiting))
	}
	return tea.Batch(cmds...)
}

type tickMsg struct{}

// stillTick is how often a board looks around while its clock stands.
const stillTick = time.Second

// tick waits for the line's next whole second, so that countdowns never drift.
func (m *Model) tick() tea.Cmd {
	now := m.line.Now()
	wait := now.Truncate(time.Second).Add(time.Second).Sub(now)
	if m.play.paused || m.play.taken {
		wait = time.Duration(float64(stillTick) * m.opt.Speed)
	}
	wait = max(time.Duration(float64(wait)/m.opt.Speed), 50*time.Millisecond)
	return m.opt.Tick(wait, func(time.Time) tea.Msg { return tickMsg{} })
}

// refresh derives what the screens show from the state and the clock.
func (m *Model) refresh() {
	m.now = m.line.Now()
	m.forgetFocus()
	m.prompts = m.forecast.Advice.Prompts(m.shown, m.now)
	m.lanes = m.forecast.Advice.Keeping(m.lanes, m.shown).Lanes(m.shown, m.now)
	m.listAlarms()
	m.hear()
	m.interruption()
	m.practise()
}

// env is what the screens see.
func (m *Model) env() *screen.Env {
	saving := m.line.Saving()
	env := &screen.Env{
		Context: act.Context{Words: m.words, State: m.shown, Now: m.now, Speed: m.opt.Speed, By: m.line.By(), Quiet: m.quiet, Watching: m.watching()},
		Theme:   m.theme, Prefs: m.opt.Prefs, Size: m.size,
		Prompt: m.prompts, Lanes: m.lanes, Alarms: m.alarms, End: m.forecast, Problem: saving.Problem, History: m.told(), Before: m.line.Before(), Focus: m.focus,
		Suggest: m.opt.Suggest, Past: m.opt.Past, Measured: m.opt.Measured, Screens: m.names(), Practice: m.coach.is, Example: m.example(), Global: m.globals(), Fresh: m.fresh()}
	if m.active == screen.Help && m.asked != screen.Help {
		env.Asked = m.actions(env, m.asked)
	}
	// What is waited for is not shown yet; what was shown before, because it took too
	// long, stays marked meanwhile.
	if m.waiting == 0 || m.shown.Seq > m.opening {
		env.Unsaved = int(max(0, m.shown.Seq-saving.Saved))
	}
	return env
}

// example says that the line is the invented one.
func (m *Model) example() bool {
	if m.site != m.shown.Site {
		m.site, m.invented = m.shown.Site, files.IsStarter(m.shown.Site)
	}
	return m.invented
}

// Update answers a message.
func (m *Model) Update(msg tea.Msg) (tea.Model, tea.Cmd) {
	m.noticeStanding()
	cmd := m.answer(msg)
	switch msg.(type) {
	case tickMsg, newsMsg, forecastMsg, repairedMsg:
		m.look(true)
	default:
		m.look(false)
	}
	m.fingers.heard = m.wall()
	return m, cmd
}

func (m *Model) answer(msg tea.Msg) tea.Cmd {
	switch msg := msg.(type) {
	case tea.WindowSizeMsg:
		m.size = screen.Size{W: msg.Width, H: msg.Height}
		return nil
	case tickMsg:
		m.playOn()
		if m.waiting == 0 {
			m.shown = m.line.State() // somebody else may act on the line too
		}
		m.refresh()
		m.attention()
		m.goBack()
		return tea.Batch(m.tick(), m.reforecast(false), m.dayOver())
	case newsMsg:
		if m.waiting == 0 {
			m.shown = m.line.State()
			m.refresh()
			m.attention()
		}
		return nil
	case tea.KeyMsg:
		for _, k := range single(msg) {
			m.keys = append(m.keys, press{k, m.wall()})
		}
		return m.pressed()
	case answerMsg:
		return m.answered(msg)
	case takenMsg:
		return m.taken(msg)
	case savedMsg:
		return m.saved(msg)
	case lateMsg:
		if m.waiting == msg.seq {
			return m.settle()
		}
		return nil
	case repairedMsg:
		m.repaired(msg)
		return nil
	case backgroundMsg:
		m.opt.Theme.Light = msg.light
		m.theme = theme.New(m.opt.Theme)
		return nil
	case forecastMsg:
		m.forecaster.done(msg, m)
		return nil
	}
	return m.upward(msg)
}

// upward handles what screens ask of the frame.
func (m *Model) upward(msg tea.Msg) tea.Cmd {
	switch msg := msg.(type) {
	case screen.DoMsg:
		return m.doAll(msg.Commands)
	case screen.OpenMsg:
		return m.open(msg)
	case screen.TakeMsg:
		return m.take()
	case screen.LeaveMsg:
		m.leave(msg.To)
		return nil
	case screen.SayMsg:
		m.quiet = screen.Notice{At: m.now, Text: msg.Text, Refused: msg.Refused, Asks: msg.Asks}
		return nil
	case screen.PracticeMsg:
		return m.startPractice()
	case screen.PrefsMsg:
		return m.prefer(msg.Prefs)
	case screen.FocusMsg:
		m.focus = msg.Focus
		return nil
	case screen.HushMsg:
		return m.hush()
	}
	return m.set[m.active].Update(m.env(), msg)
}

func (m *Model) open(msg screen.OpenMsg) tea.Cmd {
	if msg.Name == screen.Begin && m.opt.Begin != nil {
		return m.leaveToBegin()
	}
	s, ok := m.set[msg.Name]
	if !ok {
		m.say(m.words.Say("frame.no-screen"), true)
		return nil
	}
	if msg.From = m.active; msg.Name == screen.Help {
		m.asked = m.active
	}
	m.active = msg.Name
	return s.Update(m.env(), msg)
}

// dayOver shows how the day went, once it is closed, unless something is being typed.
func (m *Model) dayOver() tea.Cmd {
	if !m.closed || screen.Actions(m.env(), m.set[m.active]).Closed() {
		return nil
	}
	m.closed = false
	return m.open(screen.OpenMsg{Name: screen.DayOver})
}

// leaveToBegin leaves the board for the ways to begin, unless something runs.
func (m *Model) leaveToBegin() tea.Cmd {
	if m.anythingRuns() {
		return func() tea.Msg { return screen.SayMsg{Text: m.words.Say("frame.begin-runs"), Refused: true} }
	}
	m.opt.Begin()
	return tea.Quit
}

// View draws the active screen.
func (m *Model) View() string { return m.ViewIn(m.theme) }

// ViewIn draws the active screen as it looks in a theme.
func (m *Model) ViewIn(t *theme.Theme) string {
	c := canvas.New(m.size.W, m.size.H, t)
	env := m.env()
	env.Theme = t
	m.set[m.active].Draw(env, c.All())
	m.drawPlay(env, c.All())
	m.drawAlarm(env, c.All())
	return c.String()
}

// screens makes every screen there is.
func screens() map[screen.Name]screen.Screen {
	set := map[screen.Name]screen.Screen{
		screen.Board:    board.New(),
		screen.Menu:     pages.NewMenu(),
		screen.Day:      pages.NewDay(),
		screen.Log:      pages.NewLog(),
		screen.Alarms:   pages.NewAlarms(),
		screen.Done:     pages.NewDone(),
		screen.Station:  pages.NewStation(),
		screen.Recipes:  recipeui.New(),
		screen.Help:     pages.NewHelp(),
		screen.Settings: pages.NewSettings(),
		screen.Power:    powerui.New(),
		screen.Plan:     pages.NewPlan(),
		screen.Backlog:  pages.NewBacklog(),
		screen.People:   pages.NewPeople(),
		screen.Paces:    pages.NewPaces(),
		screen.Next:     pages.NewNextHour(),
		screen.Sowing:   pages.NewSowing(),
		screen.CleanUp:  cleanup.New(),
		screen.DayOver:  pages.NewDayOver(),
		screen.Records:  recordsui.New(),

		screen.Recovery: pages.NewRecovery(),
	}
	addFaulty(set)
	return set
}
