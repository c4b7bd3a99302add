// Package screen is the contract between the program's frame and its screens.
// Screens know nothing of each other: they draw on a region, answer keys, and talk
// upward with messages.
package screen

import (
	"context"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"shedbell/line"
	"shedbell/line/meter"
	"shedbell/line/pace"
	"shedbell/line/plan"
	"shedbell/line/rehearse"
	"shedbell/ui/act"
	"shedbell/ui/canvas"
	"shedbell/ui/theme"
	"shedbell/ui/words"
)

// Name is a screen that can be opened.
type Name string

// The screens.
const (
	Board   Name = "board"
	Menu    Name = "menu"
	Day     Name = "day"
	Station Name = "station"
	Power   Name = "power"
	Plan    Name = "plan"
	Recipes Name = "recipes"
	Records Name = "records"
	CleanUp Name = "clean-up"
	Backlog Name = "backlog"
	People  Name = "people"
	Log     Name = "log"
	Paces   Name = "paces"
	Next    Name = "next" // what to change next
	Sowing  Name = "sowing"
	Help    Name = "help"

	Settings Name = "settings"

	Alarms Name = "alarms" // all of them, to be shelved
	Done   Name = "done"   // what was done, to be taken back or put right

	Recovery Name = "recovery" // what ran while nobody watched

	PracticeDay Name = "practice" // its mistakes

	DayOver Name = "day-over" // how the day went, once it is closed

	Begin Name = "begin" // the ways to begin, for which the board is left
)

// Title is what people call a screen.
func Title(w *words.Speaker, name Name) string {
	if key := "screen." + string(name); w.Has(key) {
		return w.Say(key)
	}
	return string(name)
}

// Screen is one whole view of the line.
type Screen interface {
	// Update answers a message that is no key.
	Update(env *Env, msg tea.Msg) tea.Cmd
	// Draw draws the screen. It must not change anything that matters later.
	Draw(env *Env, r canvas.Region)
	// Actions is everything that a key does here and now, or why it does nothing. The
	// frame's own come after them, unless the table answers every key.
	Actions(env *Env) act.Table
}

// Env is what every screen may see and do. It is made afresh for each message and
// each frame, so nobody keeps it.
type Env struct {
	act.Context
	Theme   *theme.Theme
	Prefs   Prefs
	Size    Size
	Prompt  []line.Prompt // what can be done, best first
	Lanes   []line.Lane   // who has what of it, in the order of their places
	Alarms  []Alarm       // what needs a person, the most pressing first; shelved ones left out
	End     Forecast
	Unsaved int           // records not yet on the disk
	Problem error         // why saving does not work
	History []line.Record // the open day's records
	Before  *line.State   // the line before the first of them
	Focus   Focus         // the station that the keys act on
	Suggest *line.Sheet   // what the day form begins with, if anything is known

	Example  bool     // the line is the invented one that comes with the program
	Practice Practice // what a practice day has shown so far

	// Past reads the whole journal, the oldest record first; it stops at fn's first
	// error. It takes long, so it is called in the background only. nil: there is no
	// more than History.
	Past func(ctx context.Context, fn func(line.Record) error) error

	// Measured is what meters say; nil: there are none.
	Measured Measured

	Screens []Name    // the screens that there are, in no special order
	Asked   act.Table // on the help screen: the actions of the screen that it is about
	Global  act.Table // the frame's own actions here
	Fresh   bool      // what Enter does has changed by itself just now: it says so and does nothing
}

// Measured is what meters say at an instant: those of a load, false where it has none;
// and the balance of a station, false where nothing stands still on one.
type Measured interface {
	Load(name string, now time.Time) (meter.Reading, bool)
	Weighs(station string, now time.Time) (grams float64, ok bool)
}

// Alarm is an alarm with what people did about it.
type Alarm struct {
	line.Alarm
	Mark  line.AlarmMark
	Noted bool // it keeps still, because somebody has taken note of it
}

// Size is the terminal's, in cells.
type Size struct{ W, H int }

// Forecast is when the day ends as it now looks.
type Forecast struct {
	Known bool
	Done  time.Time           // as likely as not
	Sure  time.Time           // nine days of ten; zero while unknown
	Stuck error               // why the day cannot end, if so
	Steps []rehearse.StepTime // what comes, as a rehearsal without delays has it
	Plan  *plan.Plan          // the plan for the rest of the day; nil: none yet

	Dues []line.Risk // due times of the day, the first in front, with the slack of each

	Advice line.Advice // what the prompts follow

	Ends    []time.Time   // of the rehearsed days, in order
	Learned *pace.Learned // what the records have shown; nil: nothing yet
}

// NoDay is what is left of a forecast when no day is open.
func (f Forecast) NoDay() Forecast {
	return Forecast{Learned: f.Learned, Advice: line.Advice{Paces: f.Advice.Paces}}
}

// SlotAt words a slot, with what is known of the time of work by hand.
func (env *Env) SlotAt(p line.Place) words.Slot {
	w := env.Words.SlotAt(env.State, p, env.Now)
	if w.State == words.ByHand {
		w.Left, w.About = env.End.Advice.HandLeft(env.State, p, env.Now)
	}
	return w
}

// Focus is the station, and the slot in it, that was chosen by its number.
type Focus struct {
	Set   bool
	Place line.Place
}

// What act asks of the frame.
type (
	DoMsg    = act.DoMsg
	SayMsg   = act.SayMsg
	Notice   = act.Notice
	Watching = act.Watching
)

// Do asks the frame to put commands to the line.
func Do(c ...line.Command) tea.Cmd { return act.Do(c...) }

// OpenMsg asks the frame to show a screen. About is what it should be about. The
// frame fills in From, the screen that was shown before.
type OpenMsg struct {
	Name  Name
	From  Name
	About line.Place
	Crop  string
	Batch int // recipes: to taste; 0: none
}

// Open asks the frame to show a screen.
func Open(name Name) tea.Cmd { return func() tea.Msg { return OpenMsg{Name: name} } }

// LeaveMsg asks the frame to go back to a screen as it was left; without a name, to
// the board.
type LeaveMsg struct{ To Name }

// Leave asks the frame to go back to the board.
func Leave() tea.Msg { return LeaveMsg{} }

// Say puts a line at the foot of the screen.
func Say(text string) tea.Cmd { return act.Say(text) }

// TakeMsg asks the frame for the line that another screen has.
type TakeMsg struct{}

// HushMsg asks the frame to silence the alarms, whatever screen is shown.
type HushMsg struct{}

// Hush asks the frame to silence the alarms.
func Hush() tea.Msg { return HushMsg{} }

// FocusMsg chooses a station.
type FocusMsg struct{ Focus Focus }

// ResultMsg tells the screens what became of a command of theirs.
type ResultMsg struct {
	Command line.Command
	Refusal *line.Refusal // nil: done
}

// pastBy is how far back a time of day may lie to be taken for one that is over; what is
// further back is tomorrow's.
const pastBy = 12 * time.Hour

// Today is the instant of a time of day.
func Today(clock time.Duration, now time.Time) time.Time {
	at := time.Date(now.Year(), now.Month(), now.Day(), int(clock.Hours()), int(clock.Minutes())%60, 0, 0, now.Location())
	if now.Sub(at) > pastBy {
		return at.AddDate(0, 0, 1)
	}
	return at
}
