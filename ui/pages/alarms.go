package pages

import (
	"fmt"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"shedbell/line"
	"shedbell/ui/act"
	"shedbell/ui/canvas"
	"shedbell/ui/screen"
	"shedbell/ui/theme"
	"shedbell/ui/words"
)

// Alarms lists the alarms that stand. One of them can be put out of sight for a while:
// a digit for it, and one for the reason, so that no doubled press does it.
type Alarms struct {
	from   screen.Name
	chosen *line.AlarmID // whose reason is asked; nil: none
}

// NewAlarms makes the list.
func NewAlarms() *Alarms { return &Alarms{} }

// shelfTime is how long a shelved alarm stays out of sight.
const shelfTime = 10 * time.Minute

var shelfReasons = []string{"alarm.shelf-help", "alarm.shelf-machine", "alarm.shelf-clock", "alarm.shelf-dealt"}

// Actions choose an alarm, and then a reason.
func (a *Alarms) Actions(env *screen.Env) act.Table {
	back := act.Key("0", "does.back", "0", "esc", "/").Tell(screen.LeaveMsg{To: a.from})
	switch n := len(env.Alarms); {
	case n == 0:
		return act.Table{act.Choose(&env.Context, "alarm.shelve", 1, nil).Unless("alarm.none"), back}
	case a.chosen == nil:
		pick := func(i int) tea.Cmd { id := env.Alarms[i].ID(); a.chosen = &id; return nil }
		return act.Table{act.Choose(&env.Context, "alarm.shelve", n, pick), back}
	}
	shelve := func(i int) line.Command {
		return line.ShelveAlarm{ID: *a.chosen, Reason: env.Words.Say(shelfReasons[i]), For: shelfTime}
	}
	pick := act.Choose(&env.Context, "alarm.shelf-why", len(shelfReasons), func(i int) tea.Cmd { return act.Do(shelve(i)) })
	return act.Table{pick.Acting(), act.Key("0", "does.back", "0", "esc").Do(func() { a.chosen = nil })}
}

// Update answers a message.
func (a *Alarms) Update(_ *screen.Env, msg tea.Msg) tea.Cmd {
	switch msg := msg.(type) {
	case screen.OpenMsg:
		if a.chosen = nil; msg.From != screen.Help {
			a.from = msg.From
		}
	case screen.ResultMsg:
		a.chosen = nil
	}
	return nil
}

// Draw draws the list, and below it the reasons.
func (a *Alarms) Draw(env *screen.Env, r canvas.Region) {
	body := screen.Page(env, r, env.Words.Say("alarm.title"), "", a.Actions(env))
	y := 0
	put := func(role theme.Role, key, text string) {
		body.Rows(y, body.H-y).Put(1, 0, theme.Strong, key)
		y += max(1, body.Rows(y, body.H-y).Inset(4, 0).Wrapped(role, text))
	}
	if len(env.Alarms) == 0 {
		put(theme.Faint, "", env.Words.Say("alarm.none"))
	}
	for i := range env.Alarms {
		it, role := &env.Alarms[i], theme.Text
		if a.chosen != nil && it.ID() == *a.chosen {
			role = theme.Chosen
		}
		text := env.Words.Alarm(env.State, &it.Alarm, env.Now)
		if !it.Mark.Acked.IsZero() {
			text += ", " + env.Words.Say("alarm.noted", env.Words.TimeOfDay(it.Mark.Acked, ""))
		}
		put(role, fmt.Sprint(i+1), text)
	}
	if a.chosen == nil {
		return
	}
	y++
	put(theme.Action, "", env.Words.Say("alarm.shelve-for", words.Clock(shelfTime)))
	for i, reason := range shelfReasons {
		put(theme.Text, fmt.Sprint(i+1), env.Words.Say(reason))
	}
}
