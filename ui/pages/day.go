package pages

import (
	"slices"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"shedbell/line"
	"shedbell/ui/act"
	"shedbell/ui/form"
	"shedbell/ui/screen"
)

// Day is the form for the day's crops: it opens the day, and while one is open it adds
// trays and says who is on the line. What was typed stays until the day is opened.
type Day struct {
	drafts []dayDraft // one for each source, so that nothing typed is lost by a look at another
	at     int
	adding bool   // a day was open when the form was filled in
	date   string // the day it was filled in for
}

// dayDraft is a day as it is being typed, begun from one source.
type dayDraft struct {
	daySource
	form    *form.Form
	crops   []string
	crew    []string
	on      []string      // of the crew, who is on the line to begin with
	demands []line.Demand // what the source asks for
	hours   []line.Hours
	apart   [][2]string
	sow     []line.SowItem
	over    []line.Demand // what the source had with a due time that is over
	adding  bool
}

// NewDay makes the form.
func NewDay() *Day { return &Day{} }

// Actions is every key of the form.
func (d *Day) Actions(env *screen.Env) act.Table {
	return d.draft(env).form.Fill(env, func() tea.Cmd { return screen.Leave }, func() tea.Cmd { return d.send(env) })
}

// Update answers a message.
func (d *Day) Update(env *screen.Env, msg tea.Msg) tea.Cmd {
	switch msg := msg.(type) {
	case screen.OpenMsg:
		if !d.draft(env).form.Touched() || d.adding != (env.State.Sheet != nil) || d.date != env.Now.Format(time.DateOnly) {
			d.fill(env)
		}
	case screen.ResultMsg:
		switch msg.Command.(type) {
		case line.OpenDay, line.AddTrays, line.SetCrew:
			if msg.Refusal == nil {
				d.drafts = nil
				return screen.Leave
			}
		}
	}
	return nil
}

// send looks at another source, or puts the day to the line.
func (d *Day) send(env *screen.Env) tea.Cmd {
	f := d.draft(env)
	if to, ok := f.form.Choice(sendRow); ok && to != d.at {
		f.form.Clear(sendRow)
		d.at = to
		d.draft(env).form.Go(sendRow)
		return nil
	}
	commands, _, fault := f.commands(env)
	if fault != nil {
		f.form.Fault(fault.row, fault.text)
		return nil
	}
	return screen.Do(commands...)
}

// draft is the day that is being typed.
func (d *Day) draft(env *screen.Env) *dayDraft {
	if d.drafts == nil {
		d.fill(env)
	}
	return &d.drafts[d.at]
}

// fill begins the form again, from the likeliest source.
func (d *Day) fill(env *screen.Env) {
	*d = Day{adding: env.State.Sheet != nil, date: env.Now.Format(time.DateOnly)}
	sources := []daySource{{}}
	if !d.adding {
		sources = daySources(env)
	}
	for _, source := range sources {
		f := dayDraft{daySource: source, adding: d.adding}
		f.begin(env)
		d.drafts = append(d.drafts, f)
	}
	labels := d.labels()
	for i := range d.drafts {
		f := &d.drafts[i]
		f.form = form.New(env, "", "", f.rows(env, labels, i)...)
		if f.sheet != nil {
			f.form.Go(sendRow)
		}
	}
}

func (d *Day) labels() []string {
	var out []string
	for i := range d.drafts {
		out = append(out, d.drafts[i].label)
	}
	return out
}

// begin lists the crops, first what the source has, then what the open day has, then
// every other one with a recipe, and the people.
func (f *dayDraft) begin(env *screen.Env) {
	s := env.State
	on := s.Crew
	if f.adding {
		f.apart = s.Sheet.Apart
	}
	if sheet := f.sheet; sheet != nil {
		f.apart, f.sow, f.hours = sheet.Apart, sheet.Sow, hoursToday(sheet.Hours, env.Now)
		f.demands, f.over = withoutOver(sheet.Crops, env.Now)
		if len(sheet.Crew) > 0 {
			on = sheet.Crew
		}
	}
	for _, demand := range f.demands {
		f.crops = append(f.crops, demand.Crop)
	}
	for i := range s.Batches {
		f.crops = append(f.crops, s.Batches[i].Crop)
	}
	f.on = on
	f.crops = once(slices.Concat(f.crops, s.Book.Crops()))
	f.crew = once(slices.Concat(s.Site.Crew, on))
}

// once leaves out what was there before.
func once(list []string) []string {
	var out []string
	for _, text := range list {
		if !slices.Contains(out, text) {
			out = append(out, text)
		}
	}
	return out
}

// withoutOver leaves out due times that are over at this time of day, and says whose
// they were: the day that the source is from began earlier.
func withoutOver(list []line.Demand, now time.Time) (rest, over []line.Demand) {
	rest = slices.Clone(list)
	for i, demand := range list {
		if demand.Due.IsZero() {
			continue
		}
		at, ok := dueToday(sinceMidnight(demand.Due.In(now.Location())), now)
		if !ok {
			over = append(over, demand)
			at = time.Time{}
		}
		rest[i].Due = at
	}
	return rest, over
}

// hoursToday are the hours of an earlier day, at the same times of this one.
func hoursToday(list []line.Hours, now time.Time) []line.Hours {
	out := slices.Clone(list)
	for i := range out {
		for _, at := range []*time.Time{&out[i].From, &out[i].To} {
			if !at.IsZero() {
				clock := sinceMidnight(at.In(now.Location()))
				*at = time.Date(now.Year(), now.Month(), now.Day(), int(clock.Hours()), int(clock.Minutes())%60, 0, 0, now.Location())
			}
		}
	}
	return out
}

func sinceMidnight(t time.Time) time.Duration {
	h, m, _ := t.Clock()
	return time.Duration(h)*time.Hour + time.Duration(m)*time.Minute
}

// dueToday is the instant of a time of day; false where it is over.
func dueToday(clock time.Duration, now time.Time) (time.Time, bool) {
	at := screen.Today(clock, now)
	return at, !at.Before(now)
}
