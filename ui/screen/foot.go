package screen

import (
	"strings"
	"time"

	"shedbell/ui/act"
	"shedbell/ui/canvas"
	"shedbell/ui/theme"
)

// noticeFor is how long an answer to a key hides who has the line.
const noticeFor = 8 * time.Second

// DrawNotice writes the quiet line: the last thing that happened, or the last
// refusal.
func DrawNotice(env *Env, r canvas.Region) {
	text, role := notice(env)
	r.Wrapped(role, text)
	if head, _, ok := strings.Cut(text, ": "); role == theme.Refuse && ok { // its first words are enough
		x := min(canvas.Width(head)+1, r.W)
		calm := func(theme.Role) theme.Role { return theme.Text }
		r.Sub(x, 0, r.W-x, 1).Restyle(calm)
		r.Rows(1, r.H-1).Restyle(calm)
	}
}

// NoticeRows is how many rows of a width the quiet line takes in full.
func NoticeRows(env *Env, width int) int {
	text, _ := notice(env)
	return len(canvas.Wrap(text, width))
}

func notice(env *Env) (text string, role theme.Role) {
	text, role = env.Quiet.Text, theme.Text
	if env.Quiet.Asks != "" && env.Now.Sub(env.Quiet.At) > env.OnWall(act.MeantFor) {
		text = ""
	}
	if env.Quiet.Refused {
		role = theme.Refuse
	}
	if text != "" {
		text = env.Words.TimeOfDay(env.Quiet.At, "") + " " + text
	}
	if w := env.Watching; w.On() && (text == "" || env.Now.Sub(env.Quiet.At) > noticeFor) {
		text, role = w.Line(env.Words), theme.Strong
		if w.Urgent {
			role = theme.Urgent
		}
	}
	if env.Unsaved > 0 {
		text, role = env.Words.Say("foot.unsaved", env.Unsaved)+" "+text, theme.Urgent
	}
	return text, role
}

// KeyLine lists the keys that work now, as many as fit into the width.
func KeyLine(env *Env, keys act.Table, width int, last ...act.Action) string {
	if len(last) == 0 {
		last = footEnd(env, keys)
	}
	return keys.Foot(&env.Context, width, last...)
}

// footEnd is what of the frame's own stands at the end of every foot, as the screen has
// it.
func footEnd(env *Env, keys act.Table) (end []act.Action) {
	if keys.Closed() {
		return nil
	}
	for _, a := range env.Global[:min(len(env.Global), footGlobals)] {
		if i := keys.Index(a); i >= 0 {
			a = keys[i]
		}
		end = append(end, a)
	}
	return end
}

// HeadRows is how many rows a screen's head has above the row of alarms: the title, the
// day bar and its line of time, as far as there is room.
func HeadRows(s Size) int {
	switch {
	case s.W < 72 || s.H < 22:
		return 1
	case s.W < 110 || s.H < 34:
		return 2
	}
	return 3
}

// rulesFrom is the height from which the board has rules.
const rulesFrom = 16

// AlarmY is the row where the frame puts an alarm, over what the screen has drawn: the
// rule under the head, or the head where there is no rule.
func AlarmY(s Size) int {
	if s.H < rulesFrom {
		return 0
	}
	return HeadRows(s)
}

// Page has no rules and no quiet line on a screen lower than this, and a foot of so many
// rows on others.
const (
	lowest = 10
	foot   = 3
)

// PageRows is how many rows Page leaves.
func PageRows(env *Env) int {
	if env.Size.H < lowest {
		return max(env.Size.H-2, 0)
	}
	return env.Size.H - foot - HeadRows(env.Size) - 2
}

// Page draws what every screen but the board has around it, a title row, the quiet
// line and the keys, and returns what is between.
func Page(env *Env, r canvas.Region, title, right string, keys act.Table, last ...act.Action) canvas.Region {
	clock := env.Words.TimeOfDay(env.Now, "Mon ")
	x := 1 + r.Put(1, 0, theme.Strong, title) + 3
	if env.Example {
		x += r.Put(x, 0, theme.Soon, env.Words.Say("first.example-word")) + 3
	}
	if right != "" {
		right += "   "
	}
	if right += clock; canvas.Width(right) > r.W-x-1 {
		right = clock
	}
	if canvas.Width(right) <= r.W-x-1 {
		r.PutRight(r.W-1, 0, theme.Faint, right)
	}
	if r.H < lowest {
		r.Put(1, r.H-1, theme.Faint, KeyLine(env, keys, r.W-2, last...))
		return r.Rows(1, r.H-2)
	}
	top := HeadRows(env.Size)
	DrawDayBar(env, r.Rows(1, top-1))
	r.Rule(top)
	r.Rule(r.H - foot - 1)
	DrawNotice(env, r.Rows(r.H-foot, foot-1).Inset(1, 0))
	r.Put(1, r.H-1, theme.Faint, KeyLine(env, keys, r.W-2, last...))
	return r.Rows(top+1, r.H-foot-top-2)
}
