package act

import (
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"shedbell/line"
	"shedbell/line/say"
	"shedbell/ui/words"
)

// Context is what an action may know. It is made for each message and each frame, so
// nobody keeps it.
type Context struct {
	Words    *words.Speaker
	State    *line.State // the line as shown: what is on the disk, or marked as unsaved
	Now      time.Time   // the line's time
	Speed    float64     // seconds of it for one on the wall; 0 means 1
	By       string      // who acts
	Quiet    Notice      // the last thing that happened, or the last refusal
	Watching Watching    // who has the line, if not this screen
}

// OnWall is a time on the wall as the line counts it: a demo's clock runs faster
// than the person.
func (c *Context) OnWall(d time.Duration) time.Duration {
	if c.Speed <= 0 {
		return d
	}
	return time.Duration(float64(d) * c.Speed)
}

// MeantFor is how long a second press of a key counts as meaning the first.
const MeantFor = 5 * time.Second

// asked says that the foot asks for an action right now, so that its key is the answer.
func (c *Context) asked(id string) bool {
	return c.Quiet.Asks == id && c.Now.Sub(c.Quiet.At) <= c.OnWall(MeantFor)
}

// Notice is one line for the foot of the screen.
type Notice struct {
	At      time.Time
	Text    string
	Refused bool
	Asks    string // the action that the same key confirms; it goes when that no longer counts
}

// Watching is what a screen shows that does not have the line. The zero value: it
// has it.
type Watching struct {
	Says   say.Speech // who has the line; empty: this screen
	Urgent bool       // nobody may be watching the line
	Offer  bool       // Enter on the board takes the line
}

// On says that the screen only watches.
func (w Watching) On() bool { return len(w.Says) > 0 }

// Line is the whole line for the foot of the screen.
func (w Watching) Line(t *words.Speaker) string {
	if w.Offer {
		return t.Speech(w.Says) + " " + t.Say("foot.take-line")
	}
	return t.Speech(w.Says)
}

// DoMsg asks the frame to put commands to the line, one after the other as far as
// they are allowed.
type DoMsg struct{ Commands []line.Command }

// Do asks the frame to put commands to the line.
func Do(c ...line.Command) tea.Cmd { return func() tea.Msg { return DoMsg{c} } }

// NotHere says why something does nothing.
func NotHere(c *Context, why string) tea.Cmd {
	return Say(c.Words.Say("foot.not-here", c.Words.Say(why)))
}

// SayMsg puts a line at the foot of the screen.
type SayMsg struct {
	Text    string
	Refused bool
	Asks    string // the action that the same key confirms
}

// Say puts a line at the foot of the screen.
func Say(text string) tea.Cmd { return func() tea.Msg { return SayMsg{Text: text} } }
