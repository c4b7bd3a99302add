package pages

import (
	"slices"
	"strconv"
	"strings"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"shedbell/line"
	"shedbell/ui/screen"
)

// Day is the form for the day's crops: it opens the day, and while one is open it adds
// trays and says who is on the line. What was typed stays until the day is opened.
type Day struct {
	crops   []dayCrop
	crew    []dayPerson
	apart   [][2]string
	row     int  // what the keys act on: crops, then people, then the last row
	inDue   bool // in the due column of a crop
	fresh   bool // the field was just entered: a digit replaces what is in it
	touched bool
	adding  bool   // a day was open when the form was filled in
	date    string // the day it was filled in for
	queue   []line.Command

	from int  // which source it is filled in from
	sure bool // the source was asked for once, and something had been typed
	sow  []line.SowItem
	over []line.Demand // what the source had with a due time that is over
}

// dayCrop is one line of the form. The fields hold what was typed.
type dayCrop struct {
	name  string
	trays string
	due   string // HHMM
}

type dayPerson struct {
	name string
	on   bool
}

// NewDay makes the form.
func NewDay() *Day { return &Day{} }

// Typing is always so: letters jump to crops here.
func (f *Day) Typing() bool { return true }

// Update answers a message.
func (f *Day) Update(env *screen.Env, msg tea.Msg) tea.Cmd {
	switch msg := msg.(type) {
	case screen.OpenMsg:
		f.open(env)
	case screen.ResultMsg:
		return f.result(env, msg)
	case tea.KeyMsg:
		if f.crops == nil {
			f.fill(env)
		}
		return f.pressed(env, msg)
	}
	return nil
}

func (f *Day) open(env *screen.Env) {
	same := f.touched && f.adding == (env.State.Sheet != nil) && f.date == env.Now.Format(time.DateOnly)
	if !same || f.crops == nil {
		f.fill(env)
	}
	f.queue = nil
	f.enter(min(f.row, f.rows()-1))
}

// fill begins the form anew, from the first source.
func (f *Day) fill(env *screen.Env) { f.fillFrom(env, 0) }

// fillFrom begins the form anew: every crop that has a recipe, with what the
// source has, or empty while a day is open already.
func (f *Day) fillFrom(env *screen.Env, from int) {
	s := env.State
	*f = Day{adding: s.Sheet != nil, date: env.Now.Format(time.DateOnly), from: from}
	var suggested []line.Demand
	on := s.Crew
	if f.adding {
		f.apart = s.Sheet.Apart
	} else if now, _ := f.source(env); now.sheet != nil {
		f.apart, f.sow = now.sheet.Apart, now.sheet.Sow
		suggested, f.over = withoutOver(now.sheet.Crops, env.Now)
		if len(now.sheet.Crew) > 0 {
			on = now.sheet.Crew
		}
	}
	f.addCrops(env, suggested)
	for _, name := range slices.Concat(s.Site.Crew, on) {
		if !slices.ContainsFunc(f.crew, func(p dayPerson) bool { return p.name == name }) {
			f.crew = append(f.crew, dayPerson{name: name, on: slices.Contains(on, name)})
		}
	}
	f.enter(0)
}

// withoutOver leaves out due times that are over at this time of day, and says whose
// they were: the day that the source is from began earlier.
func withoutOver(list []line.Demand, now time.Time) (rest, over []line.Demand) {
	rest = slices.Clone(list)
	for i, d := range list {
		if d.Due.IsZero() {
			continue
		}
		if _, fault := dueAt(d.Due.In(now.Location()).Format("1504"), now); fault != "" {
			over = append(over, d)
			rest[i].Due = time.Time{}
		}
	}
	return rest, over
}

// addCrops lists the crops: first what is suggested, then what the open day has,
// then every other crop with a recipe.
func (f *Day) addCrops(env *screen.Env, suggested []line.Demand) {
	for _, d := range suggested {
		c := dayCrop{name: d.Crop, trays: strconv.Itoa(d.Trays)}
		if !d.Due.IsZero() {
			c.due = d.Due.In(env.Now.Location()).Format("1504")
		}
		f.crops = append(f.crops, c)
	}
	var names []string
	for i := range env.State.Batches {
		names = append(names, env.State.Batches[i].Crop)
	}
	for _, name := range slices.Concat(names, env.State.Book.Crops()) {
		if !slices.ContainsFunc(f.crops, func(c dayCrop) bool { return c.name == name }) {
			f.crops = append(f.crops, dayCrop{name: name})
		}
	}
}

// The rows of the form: the crops, the people, and the one that sends it off.
func (f *Day) rows() int { return len(f.crops) + len(f.crew) + 1 }

func (f *Day) cropAt(row int) *dayCrop {
	if row < len(f.crops) {
		return &f.crops[row]
	}
	return nil
}

func (f *Day) personAt(row int) *dayPerson {
	if row -= len(f.crops); row >= 0 && row < len(f.crew) {
		return &f.crew[row]
	}
	return nil
}

// enter goes to a row.
func (f *Day) enter(row int) {
	f.row = min(max(row, 0), f.rows()-1)
	f.fresh = true
	if f.cropAt(f.row) == nil {
		f.inDue = false
	}
}

// field is what digits go into; nil where there is none.
func (f *Day) field() *string {
	c := f.cropAt(f.row)
	switch {
	case c == nil:
		return nil
	case f.inDue:
		return &c.due
	}
	return &c.trays
}

// send puts the form to the line.
func (f *Day) send(env *screen.Env) tea.Cmd {
	commands, fault := f.commands(env)
	if fault != nil {
		f.inDue = fault.inDue
		f.enter(fault.row)
		return func() tea.Msg { return screen.SayMsg{Text: fault.text, Refused: true} }
	}
	f.queue = commands
	return f.next()
}

// next sends the first command of the queue; its result brings the one after it.
func (f *Day) next() tea.Cmd {
	if len(f.queue) == 0 {
		f.touched, f.crops = false, nil
		return screen.Leave
	}
	return screen.Do(f.queue[0])
}

// result goes on once a command is done. After a refusal the form stays as it is,
// without what has been taken over already.
func (f *Day) result(env *screen.Env, msg screen.ResultMsg) tea.Cmd {
	if len(f.queue) == 0 {
		return nil
	}
	if msg.Refusal != nil {
		f.queue = nil
		return nil
	}
	if add, ok := msg.Command.(line.AddTrays); ok {
		for i := range f.crops {
			if c := &f.crops[i]; c.name == add.Demand.Crop && c.trays == strconv.Itoa(add.Demand.Trays) {
				c.trays, c.due = "", ""
				break
			}
		}
	}
	f.queue = f.queue[1:]
	return f.next()
}

// names lists who is on the line.
func (f *Day) names() []string {
	var on []string
	for _, p := range f.crew {
		if p.on {
			on = append(on, p.name)
		}
	}
	return on
}

func sameNames(a, b []string) bool {
	a, b = slices.Clone(a), slices.Clone(b)
	slices.Sort(a)
	slices.Sort(b)
	return strings.Join(a, "\n") == strings.Join(b, "\n")
}
