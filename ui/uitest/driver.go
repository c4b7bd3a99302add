// Package uitest drives the whole program in tests: keys go in, screens come out,
// and time passes only when a test lets it.
package uitest

import (
	"context"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"time"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/ansi"
	"github.com/muesli/termenv"

	"shedbell/line"
	"shedbell/line/linetest"
	"shedbell/line/live"
	"shedbell/recipes"
	"shedbell/ui/app"
	"shedbell/ui/screen"
	"shedbell/ui/serve"
	"shedbell/ui/theme"
	"shedbell/ui/words"
)

// Options say what the driver starts with. Everything left out is the test shed
// on its usual morning.
type Options struct {
	Site    *line.Site
	Book    *recipes.Book
	Sheet   *line.Sheet // opened at once; nil: no day is open
	Suggest *line.Sheet // what the day form begins with
	Start   time.Time
	W, H    int
	Prefs   screen.Prefs
	Words   *words.Speaker // nil: as Prefs say
	Theme   theme.Name     // mono unless told otherwise
	ASCII   bool
	// Forecast works the day's end out; nil leaves it unknown, which is quick.
	Forecast app.Forecast
	Ring     app.Ring        // nil: silent
	Measured screen.Measured // what meters say; nil: there are none
	Demo     bool            // practice is offered
	Practice bool            // a practice day
	Plays    bool            // the day plays by itself
	Watches  bool            // another screen has the line
	History  []line.Record   // what the journal holds, of the same site
}

// TB is what the driver needs of a test, whether a plain one or a property's.
type TB interface {
	Helper()
	Fatal(args ...any)
	Fatalf(format string, args ...any)
	Cleanup(fn func())
}

// Driver is a program under test.
type Driver struct {
	tb     TB
	Line   *live.Line
	Store  *linetest.Memory
	Clock  *linetest.Manual
	wall   time.Time // runs with Clock, and between two keys that somebody presses
	model  tea.Model
	timers []timer
	w, h   int
	quit   bool
	watch  func() // called after each message
}

// timer is a wait that was asked for and has not come to its end.
type timer struct {
	at time.Time
	fn func(time.Time) tea.Msg
}

// timerMsg stands for a wait on its way through the driver.
type timerMsg struct {
	wait time.Duration
	fn   func(time.Time) tea.Msg
}

// New starts a program.
func New(tb TB, o Options) *Driver {
	tb.Helper()
	if o.Site == nil {
		o.Site = linetest.Site()
	}
	if o.Book == nil {
		book := linetest.Book()
		o.Book = &book
	}
	if o.Start.IsZero() {
		o.Start = linetest.Morning
	}
	if o.W == 0 {
		o.W, o.H = 80, 24
	}
	name, profile := o.Theme, termenv.TrueColor
	if name == "" {
		name, profile = theme.Mono, termenv.Ascii
	}
	if o.Forecast == nil {
		o.Forecast = func(*line.State, time.Time) screen.Forecast { return screen.Forecast{} }
	}
	d := &Driver{tb: tb, Store: &linetest.Memory{Records: slices.Clone(o.History)}, Clock: linetest.NewManual(o.Start), wall: o.Start}
	l, notice, err := live.Open(d.Store, o.Site, *o.Book, d.Clock, "Ash")
	if err != nil {
		tb.Fatal(err)
	}
	tb.Cleanup(func() { l.Close() })
	d.Line = l
	if o.Sheet != nil {
		d.Do(line.OpenDay{Sheet: *o.Sheet})
	}
	var shown app.Line = l
	if o.Watches {
		l.Sit(live.SeatOptions{Name: "the board in the shed", Acts: true, Home: true})
		shown = serve.Place{Seat: l.Sit(live.SeatOptions{Name: "the screen by the door", Acts: true}), Leaves: true}
	}
	model := app.New(app.Options{Line: shown, Notice: notice, Prefs: o.Prefs, Words: o.Words, Suggest: o.Suggest, Forecast: o.Forecast, Past: d.past, Ring: o.Ring, Measured: o.Measured, Demo: o.Demo, Practice: o.Practice, Plays: o.Plays, Pace: func(float64) {}, Wall: func() time.Time { return d.wall },
		Theme: theme.Options{Name: name, ASCII: o.ASCII, Profile: profile},
		Tick: func(wait time.Duration, fn func(time.Time) tea.Msg) tea.Cmd {
			return func() tea.Msg { return timerMsg{wait, fn} }
		}})
	d.model = model
	d.run(model.Init())
	d.Resize(o.W, o.H)
	return d
}

// past reads the whole journal.
func (d *Driver) past(_ context.Context, fn func(line.Record) error) error {
	return d.Store.Replay(1, fn)
}

// Do puts a command to the line from outside, past the screens. It has to be
// allowed.
func (d *Driver) Do(c line.Command) {
	d.tb.Helper()
	if _, _, no := d.Line.Do(c); no != nil {
		d.fail("%T %+v: %s", c, c, no.Error())
	}
}

// State is the line as it stands.
func (d *Driver) State() *line.State { return d.Line.State() }

// Resize changes the terminal's size.
func (d *Driver) Resize(w, h int) {
	d.w, d.h = w, h
	d.send(tea.WindowSizeMsg{Width: w, Height: h})
}

// Press presses keys, each until everything that it causes is done. A key is a
// letter, a digit or a name such as "enter". Whoever presses them reads what the screen
// says before each; the line's clock stands meanwhile.
func (d *Driver) Press(keys ...string) {
	d.tb.Helper()
	for _, k := range keys {
		for range 4 {
			d.wall = d.wall.Add(time.Second)
			d.send(stillThere{})
		}
		d.send(Key(k))
	}
}

// stillThere is a message that changes nothing: the program has heard that it runs.
type stillThere struct{}

// PressAfter presses keys one after the other with so much time on the wall before each.
func (d *Driver) PressAfter(gap time.Duration, keys ...string) {
	d.tb.Helper()
	for _, k := range keys {
		d.wall = d.wall.Add(gap)
		d.send(Key(k))
	}
}

// Send gives the program a message as the terminal's reader would, until everything
// that it causes is done.
func (d *Driver) Send(msg tea.Msg) { d.send(msg) }

// PressUnsettled presses keys and keeps every frame on the way, also those drawn
// before the store has taken anything, as a terminal would get them.
func (d *Driver) PressUnsettled(keys ...string) []string {
	var frames []string
	d.watch = func() { frames = append(frames, ansi.Strip(d.model.View())) }
	defer func() { d.watch = nil }()
	d.Press(keys...)
	return frames
}

// Pass lets time go by, with every wait that comes to its end meanwhile.
func (d *Driver) Pass(span time.Duration) {
	end := d.Clock.Now().Add(span)
	for {
		next := -1
		for i := range d.timers {
			if at := d.timers[i].at; !at.After(end) && (next < 0 || at.Before(d.timers[next].at)) {
				next = i
			}
		}
		if next < 0 {
			break
		}
		t := d.timers[next]
		d.timers = append(d.timers[:next], d.timers[next+1:]...)
		if gap := t.at.Sub(d.Clock.Now()); gap > 0 {
			d.advance(gap)
		}
		d.send(t.fn(t.at))
	}
	if gap := end.Sub(d.Clock.Now()); gap > 0 {
		d.advance(gap)
	}
}

func (d *Driver) advance(gap time.Duration) {
	d.Clock.Advance(gap)
	d.wall = d.wall.Add(gap)
}

// Skip lets time go by at once: only one tick comes at the end of it. It is for
// long spans in which nothing happens.
func (d *Driver) Skip(span time.Duration) {
	if span > time.Second {
		d.Clock.Advance(span - time.Second)
		span = time.Second
	}
	d.Pass(span)
}

// Work has the line's own prompts followed, so many of them, as a person without
// delays would.
func (d *Driver) Work(prompts int) {
	for range prompts {
		all := line.Prompts(d.State(), d.Clock.Now(), nil)
		if len(all) == 0 || all[0].Act == line.ActClose {
			return
		}
		if wait := all[0].At.Sub(d.Clock.Now()); wait > 0 {
			d.Clock.Advance(wait)
		}
		if _, _, no := d.Line.Do(all[0].Command); no != nil {
			d.Clock.Advance(time.Minute)
		}
	}
	d.Pass(time.Second)
}

// Quit says whether the program has ended.
func (d *Driver) Quit() bool { return d.quit }

// settle waits until the store has what it takes, so that no frame depends on how
// quick it was.
func (d *Driver) settle() { _ = d.Line.Wait(context.Background(), d.State().Seq) }

func (d *Driver) send(msg tea.Msg) {
	d.settle()
	if _, ok := msg.(tea.KeyMsg); ok {
		d.model.View() // as the terminal has it before somebody presses a key
	}
	var cmd tea.Cmd
	d.model, cmd = d.model.Update(msg)
	if d.watch != nil {
		d.watch()
	}
	d.run(cmd)
}

// run runs a command, and whatever comes of it, to the end; waits are kept for
// Pass.
func (d *Driver) run(cmd tea.Cmd) {
	if cmd == nil {
		return
	}
	switch msg := cmd().(type) {
	case nil:
	case timerMsg:
		d.timers = append(d.timers, timer{at: d.Clock.Now().Add(msg.wait), fn: msg.fn})
	case tea.QuitMsg:
		d.quit = true
	case tea.BatchMsg:
		for _, c := range msg {
			d.run(c)
		}
	default:
		if list, ok := sequence(msg); ok {
			for _, c := range list {
				d.run(c)
			}
			return
		}
		d.send(msg)
	}
}

// sequence unpacks what tea.Sequence gives, a list of commands of a type that the
// library does not name outside.
func sequence(msg tea.Msg) ([]tea.Cmd, bool) {
	v := reflect.ValueOf(msg)
	if !v.IsValid() || v.Kind() != reflect.Slice || !v.CanConvert(reflect.TypeFor[[]tea.Cmd]()) {
		return nil, false
	}
	return v.Convert(reflect.TypeFor[[]tea.Cmd]()).Interface().([]tea.Cmd), true
}

// Raw is the frame as the terminal would get it.
func (d *Driver) Raw() string {
	d.settle()
	return d.model.View()
}

// Screen is the frame without colours, lines ending where their text ends.
func (d *Driver) Screen() string {
	lines := strings.Split(ansi.Strip(d.Raw()), "\n")
	for i := range lines {
		lines[i] = strings.TrimRight(lines[i], " ")
	}
	return strings.Join(lines, "\n") + "\n"
}

var keyTypes = map[string]tea.KeyType{
	"enter": tea.KeyEnter, "esc": tea.KeyEsc, "up": tea.KeyUp, "down": tea.KeyDown, "left": tea.KeyLeft, "right": tea.KeyRight,
	"tab": tea.KeyTab, "backspace": tea.KeyBackspace, "pgup": tea.KeyPgUp, "pgdown": tea.KeyPgDown, "home": tea.KeyHome,
	"end": tea.KeyEnd, "ctrl+c": tea.KeyCtrlC,
}

// Key makes the message of a key.
func Key(name string) tea.KeyMsg {
	if t, ok := keyTypes[name]; ok {
		return tea.KeyMsg{Type: t}
	}
	if name == " " {
		return tea.KeyMsg{Type: tea.KeySpace, Runes: []rune{' '}}
	}
	return tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune(name)}
}

// Row is one row of a screen.
func Row(screen string, y int) string { return strings.Split(screen, "\n")[y] }

// TakeBack takes the last action back that counts, as a person does, and comes back to
// the screen.
func (d *Driver) TakeBack() {
	d.tb.Helper()
	for i, done := range d.State().Done(9) {
		if !done.Out {
			d.Press("u", strconv.Itoa(i+1), "9", "enter", "0")
			return
		}
	}
}
