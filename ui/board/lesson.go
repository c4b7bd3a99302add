package board

import (
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"shedbell/line"
	"shedbell/ui/act"
	"shedbell/ui/canvas"
	"shedbell/ui/screen"
	"shedbell/ui/theme"
	"shedbell/ui/words"
)

// drawLesson draws a prompt in full, for who is new: where, how, how to know that
// it is right, what not to do, and the caution. Rows that do not fit are left out
// from the end, but the caution stays. Where the person is signed off, nothing of it is
// needed any more.
func drawLesson(env *screen.Env, r canvas.Region) {
	p, ok := headline(env)
	if !ok || r.H == 0 {
		return
	}
	lesson, ok := env.Words.Train(env.State, p)
	if !ok {
		return
	}
	if words.SignedFor(env.State, p, env.By) {
		r.Inset(2, 0).Wrapped(theme.Faint, env.Words.Say("train.signed", env.By))
		return
	}
	labels := []string{env.Words.Say("train.where"), env.Words.Say("train.how"), env.Words.Say("train.right"), env.Words.Say("train.never")}
	labelW := 0
	for _, l := range labels {
		labelW = max(labelW, canvas.Width(l))
	}
	caution := cautionLine(env, lesson.Dangers)
	room := r.H
	if caution != "" {
		caution = env.Words.Say("train.caution") + ": " + caution
		room--
	}
	y := 0
	for i, text := range []string{lesson.Where, lesson.How, lesson.Right, lesson.Never} {
		if y >= room {
			break
		}
		body := r.Sub(labelW+4, y, r.W-labelW-5, room-y)
		r.Put(2, y, theme.Faint, labels[i])
		y += max(1, body.Wrapped(theme.Text, text))
	}
	if caution != "" {
		rows := min(max(r.H-y, 1), len(canvas.Wrap(caution, max(r.W-3, 1))))
		r.Sub(2, r.H-rows, r.W-3, rows).Wrapped(theme.Soon, caution)
	}
}

func cautionLine(env *screen.Env, dangers []words.Danger) string {
	var out []string
	for _, d := range dangers {
		out = append(out, env.Words.Caution(d, false))
	}
	return strings.Join(out, " ")
}

// warn asks who is new to say that the cautions of a dangerous step have been read,
// before the step begins. ok is false where nothing has to be asked.
func warn(env *screen.Env, p *line.Prompt) (overlay, bool) {
	if !env.Prefs.Trainee || words.SignedFor(env.State, p, env.By) {
		return nil, false
	}
	lesson, ok := env.Words.Train(env.State, p)
	if !ok || len(lesson.Dangers) == 0 {
		return nil, false
	}
	return &warning{command: p.Command, dangers: lesson.Dangers}, true
}

// closeOver is the key that leaves a question that any key leaves.
func (b *Board) closeOver() act.Action {
	return act.Others("any other key", "does.back").Do(func() { b.over = nil })
}

// warning shows cautions in full and waits for an answer.
type warning struct {
	command line.Command
	dangers []words.Danger
}

func (w *warning) actions(env *screen.Env, b *Board) act.Table {
	begin := act.Key("Enter", "train.begin", "enter").Acting().Run(func() tea.Cmd {
		b.over = nil
		all := make([]line.Command, 0, len(w.dangers)+1)
		for _, d := range w.dangers {
			all = append(all, line.AddNote{Text: env.Words.Say("train.read", env.Words.Caution(d, false))})
		}
		return act.Do(append(all, w.command)...)
	})
	return act.Table{begin, b.closeOver()}
}

func (w *warning) draw(env *screen.Env, r canvas.Region) {
	r.Put(0, 0, theme.Urgent, " "+strings.ToUpper(env.Words.Say("train.caution"))+" ")
	r.PutRight(r.W, 0, theme.Text, env.Words.Say("train.understood"))
	y := 1
	for _, d := range w.dangers {
		y += r.Rows(y, r.H-y).Wrapped(theme.Text, env.Words.Caution(d, true))
	}
}
