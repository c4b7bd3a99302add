package pages

import (
	"slices"
	"strconv"
	"strings"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"shedbell/line/records"
	"shedbell/line/records/report"
	"shedbell/ui/act"
	"shedbell/ui/canvas"
	"shedbell/ui/screen"
	"shedbell/ui/theme"
)

// DayOver is the end of a day: what was done, beside the last days of this shed, and
// where the time went. It stays until somebody presses a key.
type DayOver struct {
	job screen.JournalReader
	day dayFigures
	of  *records.Book // that day is about
}

// NewDayOver makes the screen.
func NewDayOver() *DayOver { return &DayOver{} }

// dayFigures are what the screen shows, worked out once for each reading of the journal.
type dayFigures struct {
	last []*records.Day // the newest first
	time []timeSpent
}

// timeSpent is part of where the day's time went.
type timeSpent struct {
	what string
	took time.Duration
}

// daysBeside is how many days a day is shown beside, itself among them.
const daysBeside = 5

// dayLowest is the lowest day by which the rate of trays is told: a day with next to
// nothing in it has none.
const dayLowest = 10 * time.Minute

// Actions leads back to the board, to the records, or to what may be put right.
func (s *DayOver) Actions(*screen.Env) act.Table {
	return act.Table{
		act.Key("Enter", "does.next-day", "enter", " ").Tell(screen.LeaveMsg{}),
		act.Key("1", "does.records", "1").Tell(screen.OpenMsg{Name: screen.Records}),
		act.Key("2", "does.log", "2").Tell(screen.OpenMsg{Name: screen.Log}),
	}
}

// Update reads the journal when the screen is opened.
func (s *DayOver) Update(env *screen.Env, msg tea.Msg) tea.Cmd {
	switch msg := msg.(type) {
	case screen.OpenMsg:
		return s.job.Start(env)
	case screen.JournalReadMsg:
		if msg.Job == &s.job {
			s.figures(env)
		}
	}
	return nil
}

// figures looks for the last closed days.
func (s *DayOver) figures(env *screen.Env) {
	b := s.job.All()
	if b == nil || b == s.of {
		return
	}
	s.of, s.day = b, dayFigures{}
	for i := len(b.Days) - 1; i >= 0 && len(s.day.last) < daysBeside; i-- {
		if d := &b.Days[i]; !d.Open && d.Trays > 0 {
			s.day.last = append(s.day.last, d)
		}
	}
	if len(s.day.last) == 0 {
		return
	}
	for i := range s.day.last[0].Stations {
		if st := &s.day.last[0].Stations[i]; st.Busy > time.Minute {
			s.day.time = append(s.day.time, timeSpent{st.Name, st.Busy})
		}
	}
	sh := &s.day.last[0].Shares
	waited := sh[records.WaitWet] + sh[records.WaitDry] + sh[records.BlockedPower] + sh[records.BlockedHands]
	if waited > time.Minute {
		s.day.time = append(s.day.time, timeSpent{env.Words.Say("dayover.waiting"), waited})
	}
	slices.SortStableFunc(s.day.time, func(a, b timeSpent) int { return int(b.took - a.took) })
}

// Draw draws the day.
func (s *DayOver) Draw(env *screen.Env, r canvas.Region) {
	w := env.Words
	body := screen.Page(env, r, env.State.Site.Name, w.Say("dayover.closed"), s.Actions(env))
	body = body.Inset(1, 0)
	if len(s.day.last) == 0 {
		body.Wrapped(theme.Text, w.Say("dayover.reading"))
		return
	}
	day := s.day.last[0]
	y := s.drawTotals(env, body, day)
	rows := max(len(s.day.last), min(len(s.day.time), daysBeside))
	facts := s.facts(env, day)
	if body.H-y > rows+3 {
		y = s.drawBars(env, body.Rows(y+1, rows+1)) + y + 2
	}
	for _, text := range facts {
		if y >= body.H {
			break
		}
		y += body.Rows(y, body.H-y).Wrapped(theme.Text, text)
	}
}

// drawTotals draws the day in three large numbers and gives the rows taken.
func (s *DayOver) drawTotals(env *screen.Env, r canvas.Region, day *records.Day) int {
	w := env.Words
	trays, hours := strconv.Itoa(day.Trays), clockHours(day.Length())
	weight, unit := "", ""
	if day.NetG > 0 {
		weight, unit, _ = strings.Cut(w.Weight(day.NetG), " ")
	}
	parts := [][2]string{{trays, w.Say("dayover.trays")}, {hours, w.Say("dayover.hours")}, {weight, unit + " " + w.Say("dayover.cold")}}
	x, y := 0, 1
	if r.H < 12 || r.W < 60 {
		y = 0
	}
	for _, p := range parts {
		if p[0] == "" {
			continue
		}
		if y == 0 {
			x += r.Put(x, 0, theme.Action, p[0]+" "+p[1]) + 3
			continue
		}
		wide, high := r.BlockSize(p[0], 1)
		r.Sub(x, y, wide, high).Block(p[0], 1, theme.Strong)
		x += wide + 1
		x += r.Put(x, y+high-1, theme.Text, p[1]) + 3
		if x > r.W {
			break
		}
	}
	if y == 1 {
		_, high := r.BlockSize("0", 1)
		y += high
	}
	return y + 1
}

// clockHours is a span as hours and minutes.
func clockHours(d time.Duration) string {
	m := int(d.Round(time.Minute).Minutes())
	return strconv.Itoa(m/60) + ":" + strconv.Itoa(100 + m%60)[1:]
}

// drawBars draws trays an hour by day, and where the time went, side by side or below
// each other, and gives the rows taken.
func (s *DayOver) drawBars(env *screen.Env, r canvas.Region) int {
	w := env.Words
	left, right := r, r
	if r.W >= 76 {
		left, right = r.Cols(0, r.W/2-2), r.Cols(r.W/2+1, r.W-r.W/2-1)
	}
	best := 0.0
	for _, d := range s.day.last {
		best = max(best, rate(d))
	}
	left.Put(0, 0, theme.Strong, w.Say("dayover.rate"))
	for i, d := range s.day.last {
		role := theme.Bar
		if i > 0 {
			role = theme.Spare
		}
		drawBar(left.Rows(i+1, 1), w.Date(d.Opened, "Mon 2 Jan"), rate(d)/best, strconv.FormatFloat(rate(d), 'f', 1, 64), role)
	}
	if r.W < 76 {
		return len(s.day.last) + 1
	}
	right.Put(0, 0, theme.Strong, w.Say("dayover.where"))
	for i, t := range s.day.time[:min(len(s.day.time), r.H-1)] {
		drawBar(right.Rows(i+1, 1), t.what, float64(t.took)/float64(s.day.time[0].took), w.Say("dayover.min", int(t.took.Minutes()+0.5)), theme.Dried)
	}
	return r.H
}

// drawBar draws a name, a bar for a part from 0 to 1, and what it stands for.
func drawBar(r canvas.Region, name string, part float64, value string, role theme.Role) {
	const nameAt, valueAt = 14, 9
	r.Cols(0, nameAt-1).Put(0, 0, theme.Text, name)
	wide := max(r.W-nameAt-valueAt, 1)
	r.Put(nameAt, 0, role, strings.Repeat(r.Theme().Glyphs.Full, int(part*float64(wide)+0.5)))
	r.PutRight(r.W, 0, theme.Text, value)
}

// rate is a day's trays an hour.
func rate(d *records.Day) float64 {
	if d.Length() < dayLowest {
		return 0
	}
	return float64(d.Trays) / d.Length().Hours()
}

// facts are what held the day up, its alarms, and how it stands beside the others.
func (s *DayOver) facts(env *screen.Env, day *records.Day) (out []string) {
	w := env.Words
	if n := len(s.day.last); n > 1 && s.best() {
		out = append(out, w.Say("dayover.best", n))
	}
	if b := &day.Flow.Bottleneck; b.Name != "" {
		out = append(out, w.Sentence(report.Busiest(b)))
	}
	return append(out, w.Sentence(report.AlarmWords(day)))
}

// best says that the day had more trays an hour than any of the others.
func (s *DayOver) best() bool {
	return !slices.ContainsFunc(s.day.last[1:], func(d *records.Day) bool { return rate(d) >= rate(s.day.last[0]) })
}

var _ screen.Screen = (*DayOver)(nil)
