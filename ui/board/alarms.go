package board

import (
	"fmt"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"shedbell/line"
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

// silence takes note of all alarms; when that is done already, it asks why the
// first one is to be shelved.
func (b *Board) silence(env *screen.Env) tea.Cmd {
	if len(env.Alarms) == 0 {
		return screen.Say(env.Words.Say("board.no-alarm"))
	}
	if firstAlarm(env.Alarms).Mark.Acked.IsZero() {
		return screen.Do(line.AckAlarms{})
	}
	b.over = &shelving{alarm: env.Alarms[0].Alarm}
	return nil
}

// shelfTime is how long a shelved alarm stays out of sight.
const shelfTime = 10 * time.Minute

// shelving asks why an alarm is to be shelved.
type shelving struct{ alarm line.Alarm }

var shelfReasons = []string{"board.shelf-help", "board.shelf-machine", "board.shelf-clock", "board.shelf-dealt"}

func (s *shelving) key(env *screen.Env, k tea.KeyMsg) (tea.Cmd, bool) {
	if n := int(k.String()[0] - '1'); len(k.String()) == 1 && n >= 0 && n < len(shelfReasons) {
		return screen.Do(line.ShelveAlarm{ID: s.alarm.ID(), Reason: env.Words.Say(shelfReasons[n]), For: shelfTime}), true
	}
	return nil, true
}

func (s *shelving) keys() []screen.Binding {
	return []screen.Binding{screen.Bind("1-4", "board.shelf-why"), keyOther}
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
