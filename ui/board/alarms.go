package board

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

// drawAlarm draws the most pressing alarm over the rule below the head, where a
// calm board has nothing.
func drawAlarm(env *screen.Env, r canvas.Region) {
	if len(env.Alarms) == 0 {
		return
	}
	a := firstAlarm(env.Alarms)
	role, state := theme.Soon, env.Words.Say("alarm.silence")
	switch {
	case !a.Mark.Acked.IsZero():
		role, state = theme.Text, env.Words.Say("alarm.noted")
	case a.Priority == line.Urgent:
		role = theme.Urgent
	case a.Priority == line.Note:
		return // the slot itself says so
	}
	if n := len(env.Alarms); n > 1 {
		state = env.Words.Say("alarm.more", n-1, state)
	}
	r.Fill(role, " ")
	x := r.W - 1 - canvas.Width(state)
	r.Put(x, 0, role, state)
	r.Sub(0, 0, x-2, 1).Put(1, 0, role, r.Theme().Glyphs.Mark+" "+env.Words.Alarm(env.State, &a.Alarm, env.Now))
}

// firstAlarm is the alarm to show: the most pressing that nobody has taken note
// of, else the most pressing.
func firstAlarm(alarms []screen.Alarm) *screen.Alarm {
	for i := range alarms {
		if alarms[i].Mark.Acked.IsZero() {
			return &alarms[i]
		}
	}
	return &alarms[0]
}

// hush takes note of all alarms; when that is done already, it asks why the first one
// is to be shelved.
func (b *Board) hush(env *screen.Env) act.Action {
	if len(env.Alarms) == 0 || firstAlarm(env.Alarms).Mark.Acked.IsZero() {
		hush := screen.KeyHush
		hush.SetKeys(keyShelve.Keys()...)
		return hush
	}
	s := &shelving{alarm: env.Alarms[0].Alarm}
	return keyShelve.Send(s.command(env, 0)).First(func() { b.over = s })
}

// shelfTime is how long a shelved alarm stays out of sight.
const shelfTime = 10 * time.Minute

// shelving asks why an alarm is to be shelved.
type shelving struct{ alarm line.Alarm }

var shelfReasons = []string{"board.shelf-help", "board.shelf-machine", "board.shelf-clock", "board.shelf-dealt"}

func (s *shelving) command(env *screen.Env, reason int) line.Command {
	return line.ShelveAlarm{ID: s.alarm.ID(), Reason: env.Words.Say(shelfReasons[reason]), For: shelfTime}
}

func (s *shelving) actions(env *screen.Env, b *Board) act.Table {
	return act.Table{
		act.Choose(&env.Context, "board.shelf-why", len(shelfReasons), func(i int) tea.Cmd {
			b.over = nil
			return act.Do(s.command(env, i))
		}),
		b.closeOver(),
	}
}

// closeOver is the key that leaves a question that any key leaves.
func (b *Board) closeOver() act.Action {
	return act.Others("any other key", "does.back").Do(func() { b.over = nil })
}

func (s *shelving) draw(env *screen.Env, r canvas.Region) {
	r.Put(0, 0, theme.Action, env.Words.Say("board.shelve", words.Clock(shelfTime)))
	x, y := 1, 1
	for i, reason := range shelfReasons {
		text := fmt.Sprintf("%d %s", i+1, env.Words.Say(reason))
		if x+canvas.Width(text) > r.W {
			x, y = 1, y+1
		}
		x += r.Put(x, y, theme.Text, text) + 3
	}
	r.PutRight(r.W, 0, theme.Faint, env.Words.Say("board.other-key"))
}
