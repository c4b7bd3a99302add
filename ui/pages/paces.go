package pages

import (
	"fmt"
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"shedbell/line"
	"shedbell/line/pace"
	"shedbell/ui/act"
	"shedbell/ui/canvas"
	"shedbell/ui/form"
	"shedbell/ui/screen"
	"shedbell/ui/theme"
)

// Paces shows how long the work takes as the records show it, beside what the line file
// says, and what came of the promised ends. A pace can be pinned or forgotten.
type Paces struct {
	marked   int
	promises bool // the second page
	forget   bool // is asked for
	pin      *form.Form
}

// NewPaces makes the screen of the paces.
func NewPaces() *Paces { return &Paces{} }

// Update answers a message.
func (s *Paces) Update(_ *screen.Env, msg tea.Msg) tea.Cmd {
	switch msg := msg.(type) {
	case screen.OpenMsg:
		*s = Paces{}
	case screen.ResultMsg:
		s.forget = false
		if msg.Refusal == nil {
			s.pin = nil
		}
	}
	return nil
}

// paceRow is one row: what was learned, or a pin of something that nothing was learned of.
type paceRow struct {
	pace.Estimate
	pin *line.Pace
}

func (s *Paces) rows(env *screen.Env) []paceRow {
	var out []paceRow
	pinned := map[[3]string]*line.Pace{}
	for i := range env.State.Pins {
		p := &env.State.Pins[i]
		pinned[[3]string{p.Station, p.Crop, p.Person}] = &p.Pace
	}
	seen := map[string]bool{}
	for _, e := range env.End.Learned.Rows() {
		key := [3]string{e.Station, e.Crop, e.Person}
		out = append(out, paceRow{e, pinned[key]})
		seen[e.Station] = true
		delete(pinned, key)
	}
	for i := range env.State.Site.Stations { // what nothing was learned of yet
		st := &env.State.Site.Stations[i]
		if key := [3]string{st.Name}; st.Hands == line.HandsThroughout && !seen[st.Name] {
			out = append(out, paceRow{pace.Estimate{Station: st.Name, File: st.PerTray.Minutes()}, pinned[key]})
			delete(pinned, key)
		}
	}
	for i := range env.State.Pins {
		p := &env.State.Pins[i]
		if key := [3]string{p.Station, p.Crop, p.Person}; pinned[key] != nil {
			out = append(out, paceRow{pace.Estimate{Station: p.Station, Crop: p.Crop, Person: p.Person}, pinned[key]})
		}
	}
	s.marked = min(s.marked, max(len(out)-1, 0))
	return out
}

// Actions pin a pace, forget one, and turn to the promises.
func (s *Paces) Actions(env *screen.Env) act.Table {
	rows := s.rows(env)
	if s.pin != nil {
		return s.pin.Fill(env, func() tea.Cmd { s.pin = nil; return nil }, func() tea.Cmd {
			fixed, _ := s.pin.Number("fixed")
			each, _ := s.pin.Number("each")
			r := &rows[s.marked]
			return act.Do(line.PinPace{Pin: line.PinnedPace{Station: r.Station, Crop: r.Crop, Person: r.Person,
				Pace: line.Pace{Fixed: seconds(fixed), PerTray: seconds(each)}}})
		})
	}
	turn := act.Key("9", "paces-does.promises", "9").Do(func() { s.promises = !s.promises })
	if s.promises {
		return act.Table{turn}
	}
	why := ""
	if len(rows) == 0 {
		return append(act.Table{turn}, act.Key("Enter", "paces-does.pin", "enter", " ").Unless("paces-why.none"))
	}
	r := &rows[s.marked]
	forget := line.ForgetPace{Station: r.Station, Crop: r.Crop, Person: r.Person}
	if r.pin == nil && r.N == 0 {
		why = "paces-why.nothing"
	}
	drop := act.Key(".", "paces-does.forget", ".").Send(forget).Unless(why)
	if r.pin == nil && !s.forget {
		drop = act.Key(".", "paces-does.forget", ".").Acting().Run(func() tea.Cmd {
			s.forget = true
			return act.Say(env.Words.Say("paces.ask", env.Words.PaceOf(r.Station, r.Crop, r.Person)))
		}).Unless(why)
	}
	pin := line.PinPace{Pin: line.PinnedPace{Station: r.Station, Crop: r.Crop, Person: r.Person, Pace: r.pace()}}
	return append(act.Table{
		act.Key("Enter", "paces-does.pin", "enter", " ").Send(pin).First(func() { s.ask(env, r) }),
		drop, turn,
	}, act.Round("does.mark", &s.marked, len(rows))...)
}

// pace is what the row expects now.
func (r *paceRow) pace() line.Pace {
	switch {
	case r.pin != nil:
		return *r.pin
	case r.N > 0:
		return line.Pace{Fixed: seconds(60 * r.Fixed), PerTray: seconds(60 * r.PerTray)}
	}
	return line.Pace{PerTray: seconds(60 * r.File)}
}

func (s *Paces) ask(env *screen.Env, r *paceRow) {
	p := r.pace()
	s.forget = false
	s.pin = form.New(env, env.Words.Say("paces.pin", env.Words.PaceOf(r.Station, r.Crop, r.Person)), "paces.pin-why",
		form.Row{Name: "each", Label: "paces.each", Kind: form.Duration, Max: 4 * 3600, Default: form.Num(p.PerTray.Seconds())},
		form.Row{Name: "fixed", Label: "paces.fixed", Kind: form.Duration, Max: 4 * 3600, Default: form.Num(p.Fixed.Seconds())},
		form.Row{Label: "paces.send", Kind: form.Send})
}

// Draw draws the paces, or the promises.
func (s *Paces) Draw(env *screen.Env, r canvas.Region) {
	w := env.Words
	title := "paces.title"
	if s.promises {
		title = "paces.title-promises"
	}
	body := screen.Page(env, r, w.Say(title, env.State.Site.Name), "", s.Actions(env))
	switch {
	case s.pin != nil:
		s.pin.Draw(env, body)
	case s.promises:
		drawPromises(env, body)
	default:
		s.drawRows(env, body)
	}
}

func (s *Paces) drawRows(env *screen.Env, r canvas.Region) {
	w := env.Words
	rows := s.rows(env)
	foot := w.Say("paces.foot", pace.HalfLife)
	if env.End.Learned == nil {
		foot = w.Say("paces.reading")
	}
	footRows := min(len(canvas.Wrap(foot, r.W-2)), max(r.H/3, 1))
	list := r.Rows(0, r.H-footRows)
	// From the right: the line file's, the range, what was learned, the number, the trend.
	x := []int{r.W - 1, r.W - 9, r.W - 24, r.W - 33}
	wide := r.W >= 72
	if wide {
		x = []int{r.W - 17, r.W - 25, r.W - 40, r.W - 49}
	}
	put := func(row canvas.Region, role theme.Role, at int, text string) { row.PutRight(at, 0, role, text) }
	head := list.Rows(0, 1)
	for i, key := range []string{"paces.file", "paces.range", "paces.learned"} {
		put(head, theme.Faint, x[i], w.Say(key))
	}
	if wide {
		put(head, theme.Faint, r.W-9, w.Say("paces.seen"))
		put(head, theme.Faint, r.W-1, w.Say("paces.trend"))
	}
	room := max(list.H-1, 1)
	first := max(0, min(s.marked-room/2, len(rows)-room))
	for i := first; i < len(rows) && i-first < room; i++ {
		e, row := &rows[i], list.Rows(1+i-first, 1)
		role := theme.Text
		if i == s.marked {
			role = theme.Chosen
			row.Put(1, 0, theme.Strong, r.Theme().Glyphs.Arrow)
		}
		name := e.Station
		if e.Crop+e.Person != "" {
			name = "  " + strings.TrimSpace(e.Crop+" "+e.Person)
		}
		row.Sub(3, 0, x[3]-4, 1).Put(0, 0, role, name)
		if e.File > 0 {
			put(row, theme.Faint, x[0], fmt.Sprintf("%.1f", e.File))
		}
		switch {
		case e.pin != nil:
			put(row, theme.Strong, x[2], w.Say("paces.pinned", paceText(e.pin.Fixed.Minutes(), e.pin.PerTray.Minutes())))
		case e.N > 0:
			put(row, theme.Strong, x[2], paceText(e.Fixed, e.PerTray))
			put(row, theme.Text, x[1], fmt.Sprintf("%.1f-%.1f", e.Low, e.High))
		}
		if wide && e.N > 0 {
			put(row, theme.Faint, r.W-9, fmt.Sprint(e.N))
			put(row, theme.Faint, r.W-1, fmt.Sprintf("%+.1f%%", e.TrendWeek))
		}
	}
	r.Rows(r.H-footRows, footRows).Inset(1, 0).Wrapped(theme.Faint, foot)
}

// paceText is a pace in minutes: a batch and a tray, or a tray.
func paceText(fixed, each float64) string {
	if fixed >= 0.05 {
		return fmt.Sprintf("%.1f + %.1f", fixed, each)
	}
	return fmt.Sprintf("%.1f", each)
}
