package pages

import (
	"slices"
	"strings"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"shedbell/line"
	"shedbell/ui/act"
	"shedbell/ui/canvas"
	"shedbell/ui/screen"
	"shedbell/ui/theme"
	"shedbell/ui/words"
)

// Backlog shows what is broken or annoys, the dearest first, takes new troubles in three
// keys and takes them off in one.
type Backlog struct {
	entry  *troubleEntry // what is being written down, or nil
	marked int
	from   screen.Name
	job    *screen.JournalReader   // reads what they cost, or nil
	costs  map[int64]time.Duration // by the number of the trouble
}

// NewBacklog makes the backlog screen.
func NewBacklog() *Backlog { return &Backlog{} }

// Update answers a message.
func (s *Backlog) Update(env *screen.Env, msg tea.Msg) tea.Cmd {
	s.take()
	switch msg := msg.(type) {
	case screen.OpenMsg:
		s.entry, s.marked, s.from = nil, 0, msg.From
		if msg.From == screen.Board || msg.From == screen.Station {
			s.entry = newTroubleEntry(env, msg.About)
			return nil
		}
		s.job = &screen.JournalReader{}
		return s.job.Start(env)
	case screen.ResultMsg:
		if _, reported := msg.Command.(line.ReportTrouble); reported && msg.Refusal == nil && s.entry != nil {
			s.entry = nil
			if s.from == screen.Board || s.from == screen.Station {
				to := s.from
				return func() tea.Msg { return screen.LeaveMsg{To: to} }
			}
		}
	}
	return nil
}

// Actions write troubles down and take them off.
func (s *Backlog) Actions(env *screen.Env) act.Table {
	if s.entry != nil {
		return s.entry.actions(env, s)
	}
	list := rankedTroubles(env.State, s.costs)
	s.marked = min(s.marked, max(len(list)-1, 0))
	write := func(at line.Place) { s.entry = newTroubleEntry(env, at) }
	mend := act.Key("Enter", "backlog-does.mended", "enter", " ")
	if len(list) == 0 {
		mend = mend.Unless("backlog-why.none")
	} else {
		mend = mend.Send(line.MendTrouble{ID: list[s.marked].ID})
	}
	all := act.Table{
		act.Choose(&env.Context, "backlog-does.new-at", len(env.State.Site.Stations), func(i int) tea.Cmd { write(line.Place{Station: i}); return nil }).Acting(),
		act.Key(".", "backlog-does.new-shed", ".").Do(func() { write(line.Nowhere) }).Acting(),
		mend,
	}
	return append(append(all, act.Round("does.mark", &s.marked, len(list))...), screen.KeyUndo)
}

// left closes the form. Where it came first, from the board, nothing has been read yet.
func (s *Backlog) left(env *screen.Env) tea.Cmd {
	s.entry = nil
	if s.job != nil {
		return nil
	}
	s.job = &screen.JournalReader{}
	return s.job.Start(env)
}

// Draw draws the list, or what is being written down.
func (s *Backlog) Draw(env *screen.Env, r canvas.Region) {
	s.take()
	w, shed := env.Words, env.State.Site.Name
	if s.entry != nil {
		s.entry.draw(env, screen.Page(env, r, w.Say("backlog.title-at", shed, troublePlace(env, s.entry.at())), "", s.Actions(env)))
		return
	}
	list := rankedTroubles(env.State, s.costs)
	title := w.Say("backlog.titles", shed, len(list))
	if len(list) == 1 {
		title = w.Say("backlog.title", shed)
	}
	body := screen.Page(env, r, title, "", s.Actions(env))
	foot := s.readingWords(w) + outWords(env)
	footRows := min(len(canvas.Wrap(foot, body.W-2)), max(body.H/3, 1))
	if len(list) == 0 {
		empty := "backlog.empty"
		if len(env.State.Broken) > 0 {
			empty = "backlog.only-out"
		}
		body.Rows(0, body.H-footRows).Inset(1, 0).Wrapped(theme.Text, w.Say(empty))
	} else {
		s.drawList(env, body.Rows(0, body.H-footRows), list)
	}
	if body.H > footRows {
		body.Rows(body.H-footRows, footRows).Inset(1, 0).Wrapped(theme.Faint, foot)
	}
}

// take keeps what the troubles cost and lets the rest of the book go: it may hold
// years.
func (s *Backlog) take() {
	if s.job == nil {
		return
	}
	if book := s.job.All(); book != nil {
		s.costs, s.job = map[int64]time.Duration{}, nil
		for _, t := range book.Backlog(false) {
			s.costs[t.ID] = t.Cost
		}
	}
}

// readingWords is how far what they cost is worked out, while it is.
func (s *Backlog) readingWords(w *words.Speaker) string {
	if s.job == nil {
		return ""
	}
	switch part, busy, err := s.job.Progress(); {
	case busy:
		return w.Say("backlog.computing", 100*part)
	case err != nil:
		return w.Say("backlog.unread", err)
	}
	return ""
}

func (s *Backlog) drawList(env *screen.Env, r canvas.Region, list []rankedTrouble) {
	const costW, sinceW = 12, 12
	wide := r.W >= 100
	whatX := 3
	atX := whatX + max(16, min(30, r.W/4))
	costX := r.W - costW - 1
	if wide {
		costX -= sinceW + 8
	}
	head := func(x int, text string) { r.Put(x, 0, theme.Faint, text) }
	head(whatX, env.Words.Say("backlog.what"))
	r.Sub(atX, 0, costX-atX-1, 1).Put(0, 0, theme.Faint, env.Words.Say("backlog.where"))
	r.PutRight(costX+costW, 0, theme.Faint, env.Words.Say("backlog.cost"))
	if wide {
		head(costX+costW+2, env.Words.Say("backlog.since"))
	}
	step := 1
	if r.H > 2*len(list)+1 {
		step = 2
	}
	room := max((r.H-1)/step, 1)
	marked := min(s.marked, len(list)-1)
	first := max(0, min(marked-room/2, len(list)-room))
	for i := first; i < len(list) && i-first < room; i++ {
		row := r.Rows(1+(i-first)*step, 1)
		t := &list[i]
		role := theme.Text
		if i == marked {
			role = theme.Chosen
			row.Put(1, 0, theme.Strong, r.Theme().Glyphs.Arrow)
		}
		row.Sub(whatX, 0, atX-whatX-1, 1).Put(0, 0, role, t.What)
		row.Sub(atX, 0, costX-atX-1, 1).Put(0, 0, theme.Text, env.Words.Say("backlog.at", t.Where, effectWords(env.Words, &t.Trouble)))
		row.PutRight(costX+costW, 0, theme.Strong, costWords(env.Words, t.cost))
		if wide {
			row.Sub(costX+costW+2, 0, r.W-costX-costW-3, 1).Put(0, 0, theme.Faint, env.Words.TimeOfDay(t.Since.In(env.Now.Location()), "2 Jan ")+" "+t.By)
		}
	}
}

func effectWords(w *words.Speaker, t *line.Trouble) string {
	if t.Effect == line.EffectSlow {
		return w.Say("backlog.slower", t.SlowPercent)
	}
	return w.Say("backlog." + strings.ReplaceAll(string(t.Effect), " ", "-"))
}

func costWords(w *words.Speaker, d time.Duration) string {
	if d < 30*time.Second {
		return w.Say("backlog.none-yet")
	}
	return w.Say("backlog.minutes", int(d.Round(time.Minute)/time.Minute))
}

// outWords says what the line may not use.
func outWords(env *screen.Env) string {
	s := env.State
	if len(s.Broken) == 0 {
		return env.Words.Say("backlog.all-in-use")
	}
	names := make([]string, 0, len(s.Broken))
	for _, p := range s.Broken {
		names = append(names, env.Words.Place(s, p))
	}
	slices.Sort(names)
	return env.Words.Say("backlog.out", strings.Join(names, ", "))
}
