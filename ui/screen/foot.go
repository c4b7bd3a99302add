package screen

import (
	"strings"

	"shedbell/ui/canvas"
	"shedbell/ui/theme"
	"shedbell/ui/words"
)

// DrawNotice writes the quiet line: the last thing that happened, or the last
// refusal.
func DrawNotice(env *Env, r canvas.Region) {
	text, role := notice(env)
	r.Wrapped(role, text)
}

// NoticeRows is how many rows of a width the quiet line takes in full.
func NoticeRows(env *Env, width int) int {
	text, _ := notice(env)
	return len(canvas.Wrap(text, width))
}

func notice(env *Env) (text string, role theme.Role) {
	text, role = env.Quiet.Text, theme.Text
	if env.Quiet.Asks && env.Now.Sub(env.Quiet.At) > env.OnWall(MeantFor) {
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

// KeyLine lists the keys that work now, as many as fit into the width. The keys in
// last are always there, at the end.
func KeyLine(w *words.Speaker, keys []Binding, width int, last ...Binding) string {
	var tail []string
	for _, k := range last {
		width -= canvas.Width(k.label(w)) + 3
		tail = append(tail, k.label(w))
	}
	var parts []string
	used := 0
	for _, k := range keys {
		if k.Why != "" {
			continue
		}
		if used += canvas.Width(k.label(w)) + 3; used > width+3 {
			break
		}
		parts = append(parts, k.label(w))
	}
	return strings.Join(append(parts, tail...), "   ")
}

// label is the key and what it does.
func (b Binding) label(w *words.Speaker) string { return b.Name(w) + " " + b.Does(w) }

// Page draws what every screen but the board has around it, a title row, the quiet
// line and the keys, and returns what is between.
func Page(env *Env, r canvas.Region, title, right string, keys []Binding, last ...Binding) canvas.Region {
	clock := env.Words.TimeOfDay(env.Now, "Mon ")
	x := 1 + r.Put(1, 0, theme.Strong, title) + 3
	if right != "" {
		right += "   "
	}
	if right += clock; canvas.Width(right) > r.W-x-1 {
		right = clock
	}
	if canvas.Width(right) <= r.W-x-1 {
		r.PutRight(r.W-1, 0, theme.Faint, right)
	}
	if r.H < 10 {
		r.Put(1, r.H-1, theme.Faint, KeyLine(env.Words, keys, r.W-2, last...))
		return r.Rows(1, r.H-2)
	}
	r.Rule(1)
	const foot = 3
	r.Rule(r.H - foot - 1)
	DrawNotice(env, r.Rows(r.H-foot, foot-1).Inset(1, 0))
	r.Put(1, r.H-1, theme.Faint, KeyLine(env.Words, keys, r.W-2, last...))
	return r.Rows(2, r.H-foot-3)
}
