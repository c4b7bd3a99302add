package pages

import (
	"strconv"

	tea "github.com/charmbracelet/bubbletea"

	"shedbell/line"
	"shedbell/line/say"
	"shedbell/ui/act"
	"shedbell/ui/canvas"
	"shedbell/ui/form"
	"shedbell/ui/screen"
	"shedbell/ui/theme"
	"shedbell/ui/words"
)

// Sowing shows what grows and what the open orders need cut and sown, and takes a count of
// the growing racks.
type Sowing struct {
	marked int
	asks   *form.Form
	make   func(*form.Form) line.Command
}

// NewSowing makes the screen.
func NewSowing() *Sowing { return &Sowing{} }

// Update answers a message.
func (s *Sowing) Update(_ *screen.Env, msg tea.Msg) tea.Cmd {
	switch msg := msg.(type) {
	case screen.OpenMsg:
		*s = Sowing{}
	case screen.ResultMsg:
		if _, counted := msg.Command.(line.CountGrowing); counted && msg.Refusal == nil {
			s.asks = nil
		}
	}
	return nil
}

// Actions count the growing racks.
func (s *Sowing) Actions(env *screen.Env) act.Table {
	if s.asks != nil {
		return s.asks.Fill(env, func() tea.Cmd { s.asks = nil; return nil }, func() tea.Cmd { return screen.Do(s.make(s.asks)) })
	}
	racks := env.State.Growing
	s.marked = min(s.marked, max(len(racks)-1, 0))
	count := act.Key("Enter", "sowing-does.count", "enter", " ").Acting()
	if len(racks) == 0 {
		count = count.Unless("sowing-why.none")
	} else {
		count = count.Do(func() { s.count(env, &racks[s.marked]) })
	}
	all := act.Table{count, act.Key("5", "sowing-does.more", "5").Acting().Do(func() { s.more(env) })}
	return append(append(all, act.Round("does.mark", &s.marked, len(racks))...), screen.KeyUndo)
}

// count asks how many trays of a sowing there are.
func (s *Sowing) count(env *screen.Env, g *line.Grown) {
	w, sowing := env.Words, g.Sowing
	s.asks = form.New(env, w.Say("sowing.count", say.Crop(g.Crop), w.Date(g.Sown, "2 Jan")), "sowing.count-why",
		form.Row{Name: "trays", Label: "sowing.trays", Kind: form.Whole, Max: line.MaxDayTrays, Filled: form.Num(float64(g.Trays))},
		form.Row{Name: "why", Label: "sowing.why-lost", Kind: form.Text, Optional: true})
	s.make = func(f *form.Form) line.Command {
		return line.CountGrowing{Sowing: sowing, Trays: f.Int("trays"), Why: f.Text("why")}
	}
}

// more asks for trays that nobody wrote down.
func (s *Sowing) more(env *screen.Env) {
	s.asks = form.New(env, "sowing.more", "sowing.more-why",
		form.Row{Name: "crop", Label: "records.crop", Kind: form.Choice, Choices: env.State.Book.Crops(), Default: form.Num(0)},
		form.Row{Name: "trays", Label: "sowing.trays", Kind: form.Whole, Min: 1, Max: line.MaxDayTrays},
		form.Row{Name: "ago", Label: "sowing.days-ago", Kind: form.Whole, Max: 365})
	now := env.Now
	s.make = func(f *form.Form) line.Command {
		return line.CountGrowing{Crop: f.Text("crop"), Trays: f.Int("trays"), Sown: now.AddDate(0, 0, -f.Int("ago"))}
	}
}

// Draw draws what grows, and below it what the orders need.
func (s *Sowing) Draw(env *screen.Env, r canvas.Region) {
	body := screen.Page(env, r, env.Words.Say("sowing.title", env.State.Site.Name), "", s.Actions(env))
	if s.asks != nil {
		s.asks.Draw(env, body)
		return
	}
	needs := env.State.Needs(env.Now)
	below := min(max(len(needs), 1)+2, body.H/2)
	s.drawGrowing(env, body.Rows(0, body.H-below))
	drawNeeds(env.Words, body.Rows(body.H-below, below).Inset(1, 0), needs)
}

func (s *Sowing) drawGrowing(env *screen.Env, r canvas.Region) {
	w, racks := env.Words, env.State.Growing
	head := r.Rows(0, 1)
	for _, c := range []struct {
		x    int
		text string
	}{{3, "sowing.growing"}, {30, "sowing.sown"}, {42, "sowing.ready"}, {58, "sowing.seed-lot"}} {
		head.Put(c.x, 0, theme.Faint, w.Say(c.text))
	}
	head.PutRight(27, 0, theme.Faint, w.Say("cleanup.trays"))
	if len(racks) == 0 {
		r.Rows(1, r.H-1).Inset(3, 0).Wrapped(theme.Text, w.Say("sowing.nothing-grows"))
		return
	}
	room := max(r.H-1, 1)
	first := max(0, min(s.marked-room/2, len(racks)-room))
	for i := first; i < len(racks) && i-first < room; i++ {
		g, row, role := &racks[i], r.Rows(1+i-first, 1), theme.Text
		if i == s.marked {
			role = theme.Chosen
			row.Put(1, 0, theme.Strong, r.Theme().Glyphs.Arrow)
		}
		row.Sub(3, 0, 17, 1).Put(0, 0, role, w.Crop(g.Crop))
		row.PutRight(27, 0, theme.Strong, strconv.Itoa(g.Trays))
		row.Put(30, 0, theme.Text, w.Date(g.Sown, "2 Jan"))
		recipe, _ := env.State.Recipe(g.Crop)
		ready, known := g.ReadyOn(&recipe)
		text, how := w.Say("cleanup.not-known"), theme.Faint
		switch {
		case !known:
		case !ready.After(env.Now):
			text, how = w.Say("sowing.ready-since", w.Date(ready, "2 Jan")), theme.Strong
		default:
			text, how = w.Date(ready, "2 Jan"), theme.Text
		}
		row.Sub(42, 0, 15, 1).Put(0, 0, how, text)
		row.Sub(58, 0, max(row.W-58, 0), 1).Put(0, 0, theme.Faint, g.SeedLot)
	}
}

// drawNeeds draws what the open orders need, a row each.
func drawNeeds(w *words.Speaker, r canvas.Region, needs []line.Need) {
	head := []string{w.Say("sowing.needs"), w.Say("sowing.due"), w.Say("sowing.have"), w.Say("sowing.grow"), w.Say("sowing.cut"), w.Say("sowing.sow"), w.Say("sowing.by")}
	y := 0
	put := func(role theme.Role, cells []string) {
		if y >= r.H {
			return
		}
		row := r.Rows(y, 1)
		row.Sub(0, 0, 13, 1).Put(0, 0, role, cells[0])
		for i, right := range []int{21, 29, 37, 44, 51} {
			row.PutRight(right, 0, role, cells[1+i])
		}
		row.Sub(53, 0, max(row.W-53, 0), 1).Put(0, 0, role, cells[6])
		y++
	}
	put(theme.Faint, head)
	for i := range needs {
		n := &needs[i]
		by, role := w.ShortDate(n.SowBy), theme.Text
		switch {
		case len(n.Missing) > 0:
			by = w.Say("cleanup.lacks", say.Join(n.Missing, ", "))
		case n.Late:
			by, role = w.Say("cleanup.late", by), theme.Soon
		}
		have := strconv.Itoa(n.FridgePackages)
		put(role, []string{w.Crop(n.Crop), w.ShortDate(n.Due), have, strconv.Itoa(n.GrowingTrays), strconv.Itoa(n.CutTrays), strconv.Itoa(n.SowTrays), by})
	}
	if len(needs) == 0 {
		r.Rows(y, max(r.H-y, 0)).Wrapped(theme.Text, w.Say("sowing.no-orders"))
	}
}
