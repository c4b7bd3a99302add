package pages

import (
	"fmt"
	"slices"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"shedbell/line"
	"shedbell/ui/act"
	"shedbell/ui/canvas"
	"shedbell/ui/screen"
	"shedbell/ui/theme"
)

// Done lists what was done last. A digit opens an entry, a second one says what was
// wrong with it, and Enter puts it right: neither one digit twice nor a digit and Enter
// changes anything.
type Done struct {
	from    screen.Name
	entry   int64 // opened; 0: none
	wrong   int   // the digit of what was wrong with it; 0: nothing is chosen
	moved   time.Duration
	trays   int
	slot    int
	by      string
	presses screen.Presses
}

// What can be wrong with an entry, by its digit.
const (
	wrongTime  = 1
	wrongTrays = 2
	wrongBy    = 3
	wrongSlot  = 4
	asSaid     = 8
	takeBack   = 9
)

const doneRows = 9

// NewDone makes the screen.
func NewDone() *Done { return &Done{} }

// Update answers a message.
func (s *Done) Update(_ *screen.Env, msg tea.Msg) tea.Cmd {
	switch msg := msg.(type) {
	case screen.OpenMsg:
		if msg.From != screen.Help {
			*s = Done{from: msg.From}
		}
	case screen.ResultMsg:
		if msg.Refusal == nil {
			*s = Done{from: s.from}
		}
	}
	return nil
}

// Actions open an entry, choose what was wrong with it and put that right.
func (s *Done) Actions(env *screen.Env) act.Table {
	list := env.State.Done(doneRows)
	d, ok := env.State.DoneNo(s.entry)
	back := screen.LeaveMsg{To: s.from}
	leave := act.Key("Enter", "does.back", "enter").Tell(back)
	if !ok {
		s.entry = 0
		open := act.Choose(&env.Context, "done.open", len(list), func(i int) tea.Cmd { s.open(&list[i]); return nil })
		if len(list) == 0 {
			open = open.Unless("done.nothing")
		}
		return act.Table{open, act.Key("0", "does.back", "0", "esc").Tell(back), leave.Hidden()}
	}
	choose := act.Choose(&env.Context, "done.choose", takeBack, func(i int) tea.Cmd { return s.choose(env, &d, i+1) })
	all := act.Table{choose, act.Key("0", "done.to-list", "0", "esc").Do(func() { s.entry, s.wrong = 0, 0 })}
	c, ok := s.command(&d)
	if !ok {
		return append(all, leave)
	}
	all = append(all, act.Key("Enter", "done.does", "enter").Send(c))
	if s.wrong != takeBack && s.wrong != asSaid {
		all = append(all, act.Steps("does.change", func(by int) tea.Cmd { s.change(env, &d, by); return nil })...)
	}
	return all
}

func (s *Done) open(d *line.Done) {
	*s = Done{from: s.from, entry: d.Entry, trays: d.Trays, slot: d.Slot, by: d.By}
}

// offers says whether a digit means something for an entry.
func offers(d *line.Done, wrong int) bool {
	switch wrong {
	case takeBack:
		return true
	case asSaid:
		return !d.Fixed.IsZero() && !d.Out
	case wrongTime, wrongBy:
		return !d.Out
	case wrongTrays:
		return !d.Out && d.Trays > 0
	case wrongSlot:
		return !d.Out && d.Slots > 1
	}
	return false
}

// choose says what was wrong. Somebody else and another place are the next ones at once.
func (s *Done) choose(env *screen.Env, d *line.Done, wrong int) tea.Cmd {
	if !offers(d, wrong) {
		return act.Say(env.Words.Say("foot.no-number", fmt.Sprint(wrong)))
	}
	if s.wrong == wrong {
		return act.NotHere(&env.Context, "why.chosen")
	}
	s.open(d)
	if s.wrong = wrong; wrong == wrongBy || wrong == wrongSlot {
		s.change(env, d, 1)
	}
	return nil
}

// change moves what is put in place of what was wrong.
func (s *Done) change(env *screen.Env, d *line.Done, by int) {
	switch s.wrong {
	case wrongTime:
		s.moved += s.presses.Step(env, by)
	case wrongTrays:
		s.trays = max(1, s.trays+by)
	case wrongSlot:
		s.slot = (s.slot-1+by+d.Slots)%d.Slots + 1
	case wrongBy:
		if crew := env.State.Crew; len(crew) > 0 {
			s.by = crew[(slices.Index(crew, s.by)+by+len(crew))%len(crew)]
		}
	}
}

// command is what Enter puts to the line; false while nothing is chosen.
func (s *Done) command(d *line.Done) (line.Command, bool) {
	c := line.Correct{Entry: d.Entry}
	switch s.wrong {
	case wrongTime:
		c.At = d.At.Add(s.moved)
	case wrongTrays:
		c.Trays = s.trays
	case wrongBy:
		c.By = s.by
	case wrongSlot:
		c.Slot = s.slot
	case asSaid:
		c.Back = true
	case takeBack:
		c.Out, c.Back = !d.Out, d.Out
	default:
		return nil, false
	}
	return c, true
}

// Draw draws the list, and below it the entry that is opened.
func (s *Done) Draw(env *screen.Env, r canvas.Region) {
	body := screen.Page(env, r, env.Words.Say("done.title"), "", s.Actions(env))
	list := env.State.Done(doneRows)
	if len(list) == 0 {
		body.Put(1, 0, theme.Faint, env.Words.Say("done.empty"))
		return
	}
	d, open := env.State.DoneNo(s.entry)
	rows := len(list)
	if room := body.H - panelRows; open && rows > room {
		rows = max(1, room) // those around the one that is opened
	}
	first := 0
	if i := slices.IndexFunc(list, func(d line.Done) bool { return d.Entry == s.entry }); i >= rows {
		first = i - rows + 1
	}
	for y := range min(rows, body.H) {
		s.drawRow(env, body.Rows(y, 1), first+y+1, &list[first+y])
	}
	if open && rows+1 < body.H {
		body.Rule(rows)
		s.drawPanel(env, body.Rows(rows+1, body.H-rows-1), &d)
	} else if !open && rows < body.H {
		body.Rows(rows+1, body.H-rows-1).Inset(1, 0).Wrapped(theme.Faint, env.Words.Say("done.how"))
	}
}

// panelRows is what an entry that is opened needs.
const panelRows = 9

// doneText says what was done, by the last thing that the entry says.
func doneText(env *screen.Env, d *line.Done) string {
	all := d.Is
	if len(all) == 0 {
		all = d.Said
	}
	text, s := "", d.Before
	for _, r := range all {
		if t := env.Words.Event(s, r); t != "" {
			text = t
		}
		s = line.Apply(s, r)
	}
	return text
}

func (s *Done) drawRow(env *screen.Env, r canvas.Region, n int, d *line.Done) {
	role := theme.Text
	switch {
	case d.Entry == s.entry:
		role = theme.Chosen
	case d.Out:
		role = theme.Faint
	}
	r.Put(2, 0, theme.Strong, fmt.Sprint(n))
	r.Put(5, 0, theme.Faint, clockTo(env, d.At))
	r.Sub(16, 0, 9, 1).Put(0, 0, theme.Faint, d.By)
	mark := ""
	switch {
	case d.Out:
		mark = env.Words.Say("done.taken-back", env.Words.TimeOfDay(d.Fixed, ""))
	case !d.Fixed.IsZero():
		mark = env.Words.Say("done.put-right", env.Words.TimeOfDay(d.Fixed, ""))
	}
	r.PutRight(r.W-1, 0, theme.Faint, mark)
	r.Sub(26, 0, r.W-28-canvas.Width(mark), 1).Put(0, 0, role, doneText(env, d))
}

func clockTo(env *screen.Env, at time.Time) string {
	if env.Prefs.TwelveHour {
		return at.Format("3:04:05pm")
	}
	return at.Format(time.TimeOnly)
}

// drawPanel draws what can be wrong with an entry, and what follows from putting it
// right.
func (s *Done) drawPanel(env *screen.Env, r canvas.Region, d *line.Done) {
	t := env.Words
	r.Inset(1, 0).Put(0, 0, theme.Strong, t.Say("done.opened", doneText(env, d), clockTo(env, d.At), d.By))
	values := map[int]string{wrongTime: clockTo(env, d.At.Add(s.moved)), wrongTrays: t.Trays(s.trays), wrongBy: s.by}
	if d.Slot > 0 {
		values[wrongSlot] = line.SlotLetter(s.slot - 1)
	}
	y := 1
	for wrong, label := range []string{wrongTime: "done.time", wrongTrays: "done.trays", wrongBy: "done.by", wrongSlot: "done.slot", asSaid: "done.as-said", takeBack: "done.take-back"} {
		if label == "" || !offers(d, wrong) || y >= r.H {
			continue
		}
		if wrong == takeBack && d.Out {
			label = "done.put-back"
		}
		role := theme.Text
		if wrong == s.wrong {
			role = theme.Chosen
		}
		r.Put(3, y, theme.Strong, fmt.Sprint(wrong))
		x := 6 + r.Put(6, y, role, t.Say(label))
		r.Put(max(x+2, 32), y, theme.Faint, values[wrong])
		y++
	}
	if c, ok := s.command(d); ok && y < r.H {
		y++
		role, text := s.follows(env, d, c)
		r.Rows(y, r.H-y).Inset(3, 0).Wrapped(role, text)
	}
}

// follows says what comes of a correction, or why it cannot be.
func (s *Done) follows(env *screen.Env, d *line.Done, c line.Command) (theme.Role, string) {
	after, records, no := line.Do(env.State, c, env.Now, env.By)
	if no != nil {
		return theme.Refuse, env.Words.Refusal(no)
	}
	text := ""
	for _, r := range records {
		if e, ok := r.Event.(line.Corrected); ok && e.Entry != d.Entry {
			also, _ := env.State.DoneNo(e.Entry)
			key := "done.also"
			if !e.Out {
				key = "done.also-right"
			}
			text += env.Words.Say(key, doneText(env, &also), clockTo(env, also.At)) + " "
		}
	}
	if b := after.Batch(d.Batch); b != nil {
		text += s.standing(env, after, b)
	}
	for i := range after.Power.Loads {
		if after.Power.Loads[i].InDoubt && !env.State.Power.Loads[i].InDoubt {
			text += env.Words.Say("done.in-doubt", after.Site.Panel.Loads[i].Name) + " "
		}
	}
	return theme.Strong, text + env.Words.Say("done.enter-does")
}

// standing says where a batch would be.
func (s *Done) standing(env *screen.Env, after *line.State, b *line.Batch) string {
	switch b.Fate {
	case line.Waiting:
		return env.Words.Say("done.uncut", b.Caps(), env.Words.Trays(b.Trays)) + " "
	case line.OnLine:
		slot := env.Words.Slot(env.Words.SlotAt(after, b.Step.Place, env.Now))
		return env.Words.Say("done.stands", b.Caps(), env.Words.Trays(b.Trays), env.Words.Place(after, b.Step.Place), slot) + " "
	}
	return ""
}
