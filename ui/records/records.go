// Package recordsui shows the records: where today's time went, whether the work
// gets better, the safety entries with a form in few keys, and the lots with their
// trace and mock recall.
package recordsui

import (
	"strconv"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"

	"shedbell/line"
	"shedbell/line/records"
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
	picking bool  // the digit of a kind is asked for
	form    *form // an entry being made, or nil
	paper   *paper
	metric  int
	marked  [4]int // row of each page, or lines scrolled

	today cached[*paper]
	trend cached[*records.Progress]
	lots  cached[[]records.Lot]
}

// cached is what was reckoned from a book, until there is another book or another
// question.
type cached[T any] struct {
	book *records.Book
	ask  int
	is   T
}

func (c *cached[T]) get(book *records.Book, ask int, reckon func() T) T {
	if c.book != book || c.ask != ask {
		c.book, c.ask, c.is = book, ask, reckon()
	}
	return c.is
}

// New makes the records screen.
func New() *Screen { return &Screen{} }

var (
	keyPage    = screen.Bind("1-4", "records-does.pages", "1", "2", "3", "4")
	keyNew     = screen.Bind("5", "records-does.new-entry", "5")
	keyMore    = screen.Bind("+", "records-does.on", "+", "=", "down", "j")
	keyLess    = screen.Bind("-", "does.back", "-", "up", "k")
	keyEnter   = screen.Bind("Enter", "does.do", "enter", " ")
	keyPoint   = screen.Bind(".", "", ".")
	keyExit    = screen.Bind("0", "does.back", "0", "esc")
	keyHelp    = screen.Bind("?", "does.help", "?")
	keyKinds   = screen.Bind("1-9", "records-does.about", "1", "2", "3", "4", "5", "6", "7", "8", "9")
	keyScroll  = screen.Bind("+ -", "does.scroll", "+", "=", "-", "up", "down")
	keyMark    = screen.Bind("+ -", "does.mark", "+", "=", "-", "up", "down")
	keyCorrect = screen.Bind("Enter", "records-does.correct", "enter", " ")
	keyAnswer  = screen.Bind(".", "records-does.corrective", ".")
	keyTrace   = screen.Bind("Enter", "records-does.trace", "enter", " ")
	keyRecall  = screen.Bind(".", "records-does.recall", ".")
	keyMetric  = screen.Bind("+ -", "records-does.other-figure", "+", "=", "-", "up", "down")
	keyAnew    = screen.Bind("Enter", "records-does.anew", "enter", " ")
)

// Typing says that every key goes to a form, a choice or a paper.
func (s *Screen) Typing() bool { return s.form != nil || s.picking || s.paper != nil }

// againMsg asks for the journal to be read; it stands between the key and the
// reading so that the keys after it need not wait.
type againMsg struct{}

// Update answers a message.
func (s *Screen) Update(env *screen.Env, msg tea.Msg) tea.Cmd {
	switch msg := msg.(type) {
	case screen.OpenMsg:
		s.form, s.picking, s.paper = nil, false, nil
		return s.job.Start(env)
	case againMsg:
		return s.job.Start(env)
	case screen.ResultMsg:
		return s.result(env, msg)
	case tea.KeyMsg:
		return s.key(env, msg)
	}
	return nil
}

// result leaves the form once the line has taken the entry. A reading beyond a limit
// asks at once what was done about it.
func (s *Screen) result(env *screen.Env, msg screen.ResultMsg) tea.Cmd {
	if s.form == nil || msg.Refusal != nil {
		return nil
	}
	sent, entry := s.form.sent, s.form.make == nil
	s.form = nil
	if !entry {
		return s.job.Start(env) // the page shows what the journal says
	}
	for _, b := range env.State.Site.Beside(&sent) {
		if b.Past {
			s.form = answerTo(env, &sent)
			return nil
		}
	}
	s.page, s.marked[pageEntries] = pageEntries, 0
	return nil
}

func (s *Screen) key(env *screen.Env, k tea.KeyMsg) tea.Cmd {
	name := k.String()
	switch {
	case s.form != nil:
		if name == "?" && s.form.blanks[s.form.at].fixed {
			return screen.Open(screen.Help)
		}
		cmd, done := s.form.key(env, k)
		if done {
			s.form = nil
		}
		return cmd
	case s.picking:
		return s.pick(env, name)
	case s.paper != nil:
		if name == "0" || name == "esc" || name == "enter" {
			s.paper = nil
			return nil
		}
		s.paper.scroll(name)
		return nil
	}
	return s.pressed(env, k)
}

// pick begins the form of a kind.
func (s *Screen) pick(env *screen.Env, name string) tea.Cmd {
	switch {
	case name == "?":
		return screen.Open(screen.Help)
	case name == "0" || name == "esc":
		s.picking = false
	case len(name) == 1 && name[0] >= '1' && int(name[0]-'0') <= len(offered):
		s.picking, s.form = false, newForm(env, offered[name[0]-'1'].kind)
	}
	return nil
}

func (s *Screen) pressed(env *screen.Env, k tea.KeyMsg) tea.Cmd {
	switch {
	case key.Matches(k, keyPage.Binding):
		n, _ := strconv.Atoi(k.String())
		s.page = page(n - 1)
	case key.Matches(k, keyNew.Binding):
		s.picking = true
	case s.page == pageLots && key.Matches(k, keySell.Binding):
		if l, ok := s.markedLot(); ok {
			s.form = saleForm(env, &l)
		}
	case s.page == pageLots && key.Matches(k, keyOrder.Binding):
		s.form = orderForm(env)
	case s.page == pageLots && key.Matches(k, keyCancel.Binding):
		s.form = cancelForm(env)
	case s.page == pageTrend && key.Matches(k, keyChange.Binding):
		s.form = markForm(env)
	case key.Matches(k, keyMore.Binding):
		s.move(env, 1)
	case key.Matches(k, keyLess.Binding):
		s.move(env, -1)
	case key.Matches(k, keyEnter.Binding):
		return s.enter(env)
	case key.Matches(k, keyPoint.Binding):
		s.point(env)
	}
	return nil
}

func (s *Screen) move(env *screen.Env, by int) {
	at := &s.marked[s.page]
	switch s.page {
	case pageToday:
		*at = max(*at+by, 0)
	case pageTrend:
		n := len(records.Metrics())
		s.metric = (s.metric + by + n) % n
	case pageEntries:
		*at = min(max(*at+by, 0), max(len(env.State.Entries)-1, 0))
	case pageLots:
		*at = min(max(*at+by, 0), max(len(s.lotList())-1, 0))
	}
}

func (s *Screen) enter(env *screen.Env) tea.Cmd {
	switch s.page {
	case pageEntries:
		if e, ok := s.markedEntry(env); ok {
			s.form = correction(env, &e)
		}
	case pageLots:
		s.paper = s.lotPaper(env, false)
	default:
		return func() tea.Msg { return againMsg{} }
	}
	return nil
}

func (s *Screen) point(env *screen.Env) {
	switch s.page {
	case pageEntries:
		if e, ok := s.markedEntry(env); ok {
			s.form = answerTo(env, &e.Entry)
			s.form.about, s.form.base.About = nil, e.Seq
		}
	case pageLots:
		s.paper = s.lotPaper(env, true)
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

// Keys lists what can be pressed, with why not where it does nothing.
func (s *Screen) Keys(env *screen.Env) []screen.Binding {
	switch {
	case s.form != nil:
		return s.form.keys()
	case s.picking:
		return []screen.Binding{keyKinds, keyGoBack}
	case s.paper != nil:
		return []screen.Binding{keyScroll, keyGoBack}
	}
	pages := keyPage
	if env.Size.W < 100 {
		pages = screen.Bind("1-4", "records-does.page", keyPage.Keys()...)
	}
	keys := []screen.Binding{keyNew, pages}
	switch s.page {
	case pageToday:
		return append(keys, keyScroll, keyAnew)
	case pageTrend:
		return append([]screen.Binding{keyMetric, keyChange}, append(keys, keyAnew)...)
	case pageEntries:
		none, corrected := "", ""
		if e, ok := s.markedEntry(env); !ok {
			none = "records-why.no-entry"
		} else if e.Corrected != 0 {
			corrected = env.Words.Say("records-why.corrected", e.Corrected)
		}
		if none != "" {
			corrected = none
		}
		return append(keys, keyCorrect.Unless(corrected), keyAnswer.Unless(none), keyMark.Unless(none))
	}
	none, sold, order := "", s.noSale(env), ""
	if len(s.lotList()) == 0 {
		none, sold = "records.no-lot", "records.no-lot"
	}
	if len(env.State.Orders) == 0 {
		order = "records.no-order"
	}
	return append([]screen.Binding{keySell.Unless(sold), keyTrace.Unless(none), keyRecall.Unless(none)},
		append(keys, keyOrder, keyCancel.Unless(order), keyMark.Unless(none))...)
}

// Draw draws the page, or what is being asked.
func (s *Screen) Draw(env *screen.Env, r canvas.Region) {
	last := []screen.Binding{keyExit, keyHelp}
	w, shed := env.Words, env.State.Site.Name
	title := w.Say("records-page.title", shed, w.Say(pageKeys[s.page]))
	switch {
	case s.form != nil || s.picking:
		title, last = w.Say("records-page.title-new", shed), nil
	case s.paper != nil:
		last = nil
	}
	body := screen.Page(env, r, title, s.progressWords(w), s.Keys(env), last...)
	switch {
	case s.form != nil:
		s.form.draw(env, body)
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
