package pages

import (
	"context"
	"math"
	"sync"

	tea "github.com/charmbracelet/bubbletea"

	"shedbell/line"
	"shedbell/line/records"
	"shedbell/line/say"
	"shedbell/ui/act"
	"shedbell/ui/canvas"
	"shedbell/ui/screen"
	"shedbell/ui/theme"
	"shedbell/ui/words"
)

// NextHour ranks what could be changed by what it saves, notes a change that is taken on,
// and says what came of the earlier ones.
type NextHour struct {
	marked int
	work   *rehearsing
}

// NewNextHour makes the screen of what to change next.
func NewNextHour() *NextHour { return &NextHour{work: &rehearsing{}} }

// rehearsing reads the records and rehearses the last days in the background. What it found
// stays while the screen is left.
type rehearsing struct {
	mu      sync.Mutex
	busy    bool
	seq     int64 // of the state that was read
	days    int
	changes []records.Change
	came    []records.Came
	err     error
}

// start reads and rehearses, unless nothing has happened since.
func (k *rehearsing) start(env *screen.Env) tea.Cmd {
	k.mu.Lock()
	defer k.mu.Unlock()
	if k.busy || k.seq == env.State.Seq {
		return nil
	}
	job := &screen.JournalReader{Paced: true}
	read := job.Start(env)
	if read == nil {
		return nil
	}
	k.busy, k.seq = true, env.State.Seq
	paces := env.End.Advice.Paces
	return func() tea.Msg {
		done := read()
		ctx := context.Background()
		_, _, err := job.Progress()
		b, days := job.All(), 0
		var changes []records.Change
		var came []records.Came
		if err == nil && b != nil {
			for i := range b.Days {
				if b.Days[i].Batches > 0 {
					days++
				}
			}
			changes, err = records.NextHour(ctx, b, paces)
		}
		if err == nil && b != nil {
			came, err = records.DidItHelp(ctx, b)
		}
		k.mu.Lock()
		defer k.mu.Unlock()
		k.busy, k.days, k.changes, k.came, k.err = false, days, changes, came, err
		return done
	}
}

// found is what there is to show.
func (k *rehearsing) found() rehearsing {
	k.mu.Lock()
	defer k.mu.Unlock()
	return rehearsing{busy: k.busy, days: k.days, changes: k.changes, came: k.came, err: k.err, seq: k.seq}
}

// taken is the mark of a change, if it was taken on.
func (k *rehearsing) taken(c *records.Change) *records.Mark {
	for i := range k.came {
		if x := &k.came[i].Mark; x.Expects.Kind == c.Kind && x.Expects.Name == c.Name {
			return x
		}
	}
	return nil
}

// Update answers a message.
func (s *NextHour) Update(env *screen.Env, msg tea.Msg) tea.Cmd {
	switch msg := msg.(type) {
	case screen.OpenMsg:
		s.marked = 0
		return s.work.start(env)
	case screen.ResultMsg:
		if _, noted := msg.Command.(line.AddMark); noted && msg.Refusal == nil {
			return s.work.start(env)
		}
	}
	return nil
}

// Actions take the marked change on.
func (s *NextHour) Actions(env *screen.Env) act.Table {
	found := s.work.found()
	s.marked = min(s.marked, max(len(found.changes)-1, 0))
	take := act.Key("Enter", "next-does.take", "enter", " ")
	if len(found.changes) == 0 {
		return act.Table{take.Unless("next-why.none"), screen.KeyUndo}
	}
	c := &found.changes[s.marked]
	what := env.Words.Sentence(c.What)
	take = take.Send(line.AddMark{Text: what, Expects: c.Expects()}).Asks(env.Words.Say("next.ask", what))
	if found.taken(c) != nil {
		take = take.Unless("next-why.taken")
	}
	return append(append(act.Table{take}, act.Round("does.mark", &s.marked, len(found.changes))...), screen.KeyUndo)
}

// Draw draws the list, what speaks for the marked change, and what came of earlier ones.
func (s *NextHour) Draw(env *screen.Env, r canvas.Region) {
	w := env.Words
	found := s.work.found()
	body := screen.Page(env, r, w.Say("next.title", env.State.Site.Name), "", s.Actions(env))
	came := ""
	for i := range found.came {
		came += cameWords(w, &found.came[i]) + "\n"
	}
	cameRows := 0
	if came != "" {
		cameRows = min(len(canvas.Wrap(came, body.W-2)), max(body.H/2, 1))
	}
	list := body.Rows(0, body.H-cameRows)
	switch {
	case found.busy && len(found.changes) == 0:
		list.Inset(1, 0).Wrapped(theme.Text, w.Say("next.reading"))
	case found.err != nil:
		list.Inset(1, 0).Wrapped(theme.Urgent, w.Say("next.failed", found.err))
	case found.days < records.LeastRehearsed:
		list.Inset(1, 0).Wrapped(theme.Text, w.Say("next.few", found.days))
	case len(found.changes) == 0:
		list.Inset(1, 0).Wrapped(theme.Text, w.Say("next.none"))
	default:
		s.drawList(env, list, &found)
	}
	body.Rows(body.H-cameRows, cameRows).Inset(1, 0).Wrapped(theme.Text, came)
}

func (s *NextHour) drawList(env *screen.Env, r canvas.Region, found *rehearsing) {
	w := env.Words
	about := s.about(w, &found.changes[s.marked])
	aboutRows := min(len(canvas.Wrap(about, r.W-4))+1, max(r.H/2, 1))
	room := max(r.H-aboutRows-1, 1)
	rangeX := r.W - 1
	savesX := rangeX - 12
	head := r.Rows(0, 1)
	head.Put(3, 0, theme.Faint, w.Say("next.head-change"))
	head.PutRight(savesX, 0, theme.Faint, w.Say("next.head-saves"))
	head.PutRight(rangeX, 0, theme.Faint, w.Say("next.head-range"))
	first := max(0, min(s.marked-room/2, len(found.changes)-room))
	y := 1
	for i := first; i < len(found.changes) && i-first < room; i++ {
		c, row := &found.changes[i], r.Rows(y, 1)
		role := theme.Text
		if i == s.marked {
			role = theme.Chosen
			row.Put(1, 0, theme.Strong, r.Theme().Glyphs.Arrow)
		}
		saves, saysSo := w.Say("next.saves", c.Minutes), theme.Strong
		if x := found.taken(c); x != nil {
			saves, saysSo = w.Say("next.taken", w.Value(say.Date(x.At))), theme.Faint
		}
		row.Sub(3, 0, savesX-20-3, 1).Put(0, 0, role, w.Sentence(c.What))
		row.PutRight(savesX, 0, saysSo, saves)
		row.PutRight(rangeX, 0, theme.Text, w.Say("next.range", c.Low, c.High))
		y++
	}
	r.Rows(y, r.H-y).Inset(3, 1).Wrapped(theme.Faint, about)
}

// about is what speaks for a change.
func (s *NextHour) about(w *words.Speaker, c *records.Change) string {
	if f := c.Fell; f != nil {
		return w.Say("next.fell", f.Before, f.After, f.NAfter)
	}
	text := w.Say("next.about", c.Days)
	for _, h := range c.Held[:min(len(c.Held), 2)] {
		text += " " + w.Say("next.held", h.For.Minutes(), w.Sentence(h.Says()))
	}
	if c.Worth > 0 {
		text += " " + w.Say("next.worth", c.Worth)
	}
	if c.Free {
		return text + " " + w.Say("next.costs-nothing")
	}
	return text + " " + w.Say("next.costs")
}

// cameWords says what came of a change.
func cameWords(w *words.Speaker, c *records.Came) string {
	what, since, predicted := w.Sentence(c.What()), w.Value(say.Date(c.Mark.At)), c.Mark.Expects.Minutes
	switch {
	case c.Low == 0 && c.High == 0:
		return w.Say("next.came-wait", what, since, predicted, c.Days)
	case !c.Sure:
		return w.Say("next.came-open", what, since, predicted, c.Minutes, c.Low, c.High, c.Days)
	case c.Minutes < 0:
		return w.Say("next.came-harmed", what, since, predicted, math.Abs(c.Minutes), math.Abs(c.High), math.Abs(c.Low), c.Days)
	}
	return w.Say("next.came-helped", what, since, predicted, c.Minutes, c.Low, c.High, c.Days)
}
