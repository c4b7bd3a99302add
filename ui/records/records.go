// Package recordsui shows the records: where today's time went, whether the work
// gets better, the safety entries with a form in few keys, and the lots with their
// trace and mock recall.
package recordsui

import (
	"strconv"

	tea "github.com/charmbracelet/bubbletea"

	"shedbell/line"
	"shedbell/line/records"
	"shedbell/ui/act"
	"shedbell/ui/canvas"
	"shedbell/ui/screen"
	"shedbell/ui/theme"
	"shedbell/ui/words"
)

// page is one of the screen's views.
type page int

const (
	pageToday page = iota
	pageTrend
	pageEntries
	pageLots
)

var pageKeys = []string{"records-page.today", "records-page.trend", "records-page.entries", "records-page.lots"}

// Screen is the records screen.
type Screen struct {
	page    page
	job     screen.JournalReader
	picking bool   // the digit of a kind is asked for
	draft   *draft // being written down, or nil
	paper   *paper
	metric  int
	marked  [4]int // row of each page, or lines scrolled
	last    int    // most lines that the first page can be scrolled

	today cached[*paper]
	trend cached[*records.Progress]
	known cached[[]records.Metric]
	lots  cached[[]records.Lot]
}

// cached is what was worked out from a book, until there is another book or another
// question.
type cached[T any] struct {
	book *records.Book
	ask  int
	is   T
}

func (c *cached[T]) get(book *records.Book, ask int, work func() T) T {
	if c.book != book || c.ask != ask {
		c.book, c.ask, c.is = book, ask, work()
	}
	return c.is
}

// New makes the records screen.
func New() *Screen { return &Screen{} }

// againMsg asks for the journal to be read; it stands between the key and the
// reading so that the keys after it need not wait.
type againMsg struct{}

// Update answers a message.
func (s *Screen) Update(env *screen.Env, msg tea.Msg) tea.Cmd {
	switch msg := msg.(type) {
	case screen.OpenMsg:
		s.draft, s.picking, s.paper = nil, false, nil
		return s.job.Start(env)
	case againMsg:
		return s.job.Start(env)
	case screen.ResultMsg:
		return s.result(env, msg)
	}
	return nil
}

// result leaves the form once the line has taken the entry. A reading beyond a limit
// asks at once what was done about it.
func (s *Screen) result(env *screen.Env, msg screen.ResultMsg) tea.Cmd {
	if s.draft == nil || msg.Refusal != nil {
		return nil
	}
	sent, entry := s.draft.sent, s.draft.make == nil
	s.draft = nil
	if !entry {
		return s.job.Start(env) // the page shows what the journal says
	}
	for _, b := range env.State.Site.Beside(&sent) {
		if b.Past {
			s.draft = answerTo(env, &sent)
			return nil
		}
	}
	s.page, s.marked[pageEntries] = pageEntries, 0
	return nil
}

// Actions is what can be done on the page, or in what is open on it.
func (s *Screen) Actions(env *screen.Env) act.Table {
	switch back := act.Key("0", "does.back", "0", "esc"); {
	case s.draft != nil:
		return s.actions(env)
	case s.picking:
		return act.Table{act.Choose(&env.Context, "records-does.about", len(offered), func(i int) tea.Cmd {
			s.picking, s.draft = false, newDraft(env, offered[i].kind)
			return nil
		}), back.Do(func() { s.picking = false })}
	case s.paper != nil:
		return act.Table{act.Key("+ -", "does.scroll", "+", "=", "-", "up", "down", "j", "k", "pgdown", "pgup", "home", "3", "7", "9", " ").
			Take(func(k tea.KeyMsg) tea.Cmd {
				return act.Change(&env.Context, &s.paper.from, "why.at-end", func() { s.paper.scroll(k.String()) })
			}),
			act.Key("0", "does.back", "0", "esc", "enter").Do(func() { s.paper = nil })}
	}
	label := "records-does.page"
	if env.Size.W >= 100 {
		label = "records-does.pages"
	}
	entry := act.Key("5", "records-does.new-entry", "5").Acting().Do(func() { s.picking = true })
	pages := act.Choose(&env.Context, label, len(pageKeys), func(i int) tea.Cmd {
		return act.Change(&env.Context, &s.page, "why.chosen", func() { s.page = page(i) })
	})
	own := s.pageActions(env)
	if s.page == pageToday || s.page == pageEntries {
		return append(append(act.Table{entry}, own...), pages)
	}
	return append(own, entry, pages)
}

func (s *Screen) pageActions(env *screen.Env) act.Table {
	again := act.Key("Enter", "records-does.again", "enter", " ").Run(func() tea.Cmd {
		return tea.Batch(act.Say(env.Words.Say("records-page.read-again")), func() tea.Msg { return againMsg{} })
	})
	switch s.page {
	case pageToday:
		return append(s.marks(env, "does.scroll", ""), again)
	case pageTrend:
		change := act.Key("6", "records.do-mark", "6").Acting().Do(func() { s.draft = markDraft(env) })
		return append(s.marks(env, "records-does.other-figure", ""), change, again)
	case pageEntries:
		return s.entryActions(env)
	}
	return s.lotActions(env)
}

// marks are the keys that move the page's mark.
func (s *Screen) marks(env *screen.Env, does, why string) act.Table {
	return act.Steps(does, func(by int) tea.Cmd {
		if s.page == pageTrend {
			n := len(s.metrics())
			s.metric = (s.metric + by + n) % n
			return nil
		}
		end := "why.at-end"
		if by < 0 {
			end = "why.at-top"
		}
		return act.Change(&env.Context, &s.marked[s.page], end, func() { s.move(env, by) })
	}).Unless(why)
}

func (s *Screen) entryActions(env *screen.Env) act.Table {
	e, ok := s.markedEntry(env)
	none, corrected := "", ""
	switch {
	case !ok:
		none, corrected = "records-why.no-entry", "records-why.no-entry"
	case e.Corrected != 0:
		corrected = env.Words.Say("records-why.corrected", e.Corrected)
	}
	return append(act.Table{
		act.Key("Enter", "records-does.correct", "enter", " ").Acting().Do(func() { s.draft = correction(env, &e) }).Unless(corrected),
		act.Key(".", "records-does.corrective", ".").Acting().Do(func() {
			s.draft = answerTo(env, &e.Entry)
			s.draft.about, s.draft.base.About = nil, e.Seq
		}).Unless(none),
	}, s.marks(env, "does.mark", none)...)
}

func (s *Screen) lotActions(env *screen.Env) act.Table {
	none, order := "", ""
	if len(s.lotList()) == 0 {
		none = "records.no-lot"
	}
	if len(env.State.Orders) == 0 {
		order = "records.no-order"
	}
	paper := func(label, does string, recall bool, keys ...string) act.Action {
		return act.Key(label, does, keys...).Do(func() { s.paper = s.lotPaper(env, recall) }).Unless(none)
	}
	sell := act.Key("6", "records.do-sell", "6").Acting().Do(func() {
		if l, ok := s.markedLot(); ok {
			s.draft = saleDraft(env, &l)
		}
	})
	return append(act.Table{sell.Unless(none).Unless(s.noSale(env)),
		paper("Enter", "records-does.trace", false, "enter", " "), paper(".", "records-does.recall", true, "."),
		act.Key("7", "records.do-order", "7").Acting().Do(func() { s.draft = orderDraft(env) }),
		act.Key("8", "records.do-cancel", "8").Acting().Do(func() { s.draft = cancelDraft(env) }).Unless(order),
		act.Key("9", "records.do-throw", "9").Acting().Do(func() {
			if l, ok := s.markedLot(); ok {
				s.draft = thrownDraft(env, &l)
			}
		}).Unless(none).Unless(s.noSale(env)),
	}, s.marks(env, "does.mark", none)...)
}

func (s *Screen) move(env *screen.Env, by int) {
	at := &s.marked[s.page]
	switch s.page {
	case pageToday:
		*at = min(max(*at+by, 0), s.last)
	case pageEntries:
		*at = min(max(*at+by, 0), max(len(env.State.Entries)-1, 0))
	case pageLots:
		*at = min(max(*at+by, 0), max(len(s.lotList())-1, 0))
	}
}

// markedEntry is the entry under the mark; the newest stands first.
func (s *Screen) markedEntry(env *screen.Env) (line.KeptEntry, bool) {
	all := env.State.Entries
	i := len(all) - 1 - min(s.marked[pageEntries], max(len(all)-1, 0))
	if i < 0 {
		return line.KeptEntry{}, false
	}
	return all[i], true
}

// Draw draws the page, or what is being asked.
func (s *Screen) Draw(env *screen.Env, r canvas.Region) {
	w, shed := env.Words, env.State.Site.Name
	title := w.Say("records-page.title", shed, w.Say(pageKeys[s.page]))
	if s.draft != nil || s.picking {
		title = w.Say("records-page.title-new", shed)
	}
	body := screen.Page(env, r, title, s.progressWords(w), s.Actions(env))
	switch {
	case s.draft != nil:
		s.draft.draw(env, body)
	case s.picking:
		drawKinds(w, body)
	case s.paper != nil:
		s.paper.draw(w, body)
	default:
		s.drawPage(env, body)
	}
}

// progressWords is how far the journal has been read, while it is.
func (s *Screen) progressWords(w *words.Speaker) string {
	switch part, busy, err := s.job.Progress(); {
	case busy:
		return w.Say("records-page.reading", 100*part)
	case err != nil:
		return w.Say("records-page.unread")
	}
	return ""
}

func drawKinds(w *words.Speaker, r canvas.Region) {
	p := &pen{r: r.Inset(1, 0)}
	p.put(theme.Action, " "+w.Say("records-page.what-about")+" ")
	step := 1
	if r.H > 2*len(offered)+3 {
		step = 2
	}
	for i, o := range offered {
		row := p.rest()
		row.Put(2, 0, theme.Strong, strconv.Itoa(i+1))
		row.Put(5, 0, theme.Text, w.Say(o.key))
		p.y += step
	}
	p.put(theme.Faint, w.Say("records-page.at-clean-up"))
}

func (s *Screen) drawPage(env *screen.Env, r canvas.Region) {
	switch s.page {
	case pageToday:
		s.drawToday(env, r)
	case pageTrend:
		s.drawTrend(env, r)
	case pageEntries:
		s.drawEntries(env, r)
	case pageLots:
		s.drawLots(env, r)
	}
}

// pen writes rows one under the other.
type pen struct {
	r canvas.Region
	y int
}

func (p *pen) put(role theme.Role, text string) {
	if text != "" && p.y < p.r.H {
		p.y += min(p.r.Rows(p.y, p.r.H-p.y).Wrapped(role, text), p.r.H-p.y)
	}
}

func (p *pen) rest() canvas.Region { return p.r.Rows(p.y, max(p.r.H-p.y, 0)) }
