package recordsui

import (
	"slices"
	"strings"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"shedbell/line"
	"shedbell/ui/act"
	"shedbell/ui/canvas"
	"shedbell/ui/form"
	"shedbell/ui/screen"
	"shedbell/ui/theme"
	"shedbell/ui/words"
)

// draft is something that is being written down: a safety entry, or what make makes.
type draft struct {
	form *form.Form
	foot string                             // key of what is said below
	make func(env *screen.Env) line.Command // nil: it is an entry

	base  line.Entry  // what the entry begins as: a correction keeps the rest of the first
	was   line.Entry  // of a correction: the entry as the form began
	about *line.Entry // reading that a corrective action answers
	sent  line.Entry
	puts  []func(e *line.Entry)
}

// Names of rows that are asked for by name.
const (
	readingRow = "reading"
	agoRow     = "ago"
)

func (s *Screen) actions(env *screen.Env) act.Table {
	leave := func() tea.Cmd {
		s.draft = nil
		return screen.Say(env.Words.Say("records-form.left-as-was"))
	}
	return s.draft.form.Fill(env, leave, func() tea.Cmd { return s.draft.send(env) })
}

// send puts it to the line. A correction has to differ.
func (d *draft) send(env *screen.Env) tea.Cmd {
	if d.make != nil {
		return screen.Do(d.make(env))
	}
	d.sent = d.entry(env)
	if d.base.Corrects != 0 && d.sent == d.was {
		d.form.Fault("", env.Words.Say("records-form.same"))
		return nil
	}
	return screen.Do(line.MakeEntry{Entry: d.sent})
}

// entry is the entry as it stands.
func (d *draft) entry(env *screen.Env) line.Entry {
	e := d.base
	for _, put := range d.puts {
		put(&e)
	}
	if ago, ok := d.form.Duration(agoRow); ok && ago > 0 {
		e.Made = env.Now.Add(-ago)
		e.Late = ago > line.LateAfter
	}
	if e.By == env.By {
		e.By = ""
	}
	if d.about != nil && e.About == 0 {
		e.About = newest(env.State, d.about)
	}
	return e
}

// newest is the number of the last entry with a reading.
func newest(s *line.State, of *line.Entry) int64 {
	for i := len(s.Entries) - 1; i >= 0; i-- {
		if e := &s.Entries[i]; e.Entry.Kind == of.Kind && e.Entry.Value == of.Value && e.Entry.Unit == of.Unit {
			return e.Seq
		}
	}
	return 0
}

func (d *draft) draw(env *screen.Env, r canvas.Region) {
	type note struct {
		role theme.Role
		text string
	}
	var notes []note
	if d.make != nil {
		notes = []note{{theme.Faint, env.Words.Say(d.foot)}}
	} else {
		e := d.entry(env)
		for _, b := range env.State.Site.Beside(&e) {
			role := theme.Text
			if b.Past {
				role = theme.Soon
			}
			notes = append(notes, note{role, env.Words.Beside(&b, true)})
		}
		if e.Late {
			notes = append(notes, note{theme.Soon, env.Words.Say("records-form.late", env.Words.TimeOfDay(e.Made, "2 Jan "))})
		}
		if e.Corrects != 0 {
			notes = append(notes, note{theme.Faint, env.Words.Say("records-form.corrects", e.Corrects)})
		}
		notes = append(notes, note{theme.Faint, env.Words.Say("records-form.beside-limits")})
	}
	rows := 0
	for _, n := range notes {
		rows += len(canvas.Wrap(n.text, r.W-4))
	}
	room := max(r.H-rows-1, r.H/2)
	p := &pen{r: r.Inset(2, 0), y: min(d.form.Draw(env, r.Rows(0, room))+1, room)}
	for _, n := range notes {
		p.put(n.role, n.text)
	}
}

// The rows of an entry, each with what it puts into it.

func (d *draft) text(rows []form.Row, name, label, now string, needed bool, put func(*line.Entry, string)) []form.Row {
	d.puts = append(d.puts, func(e *line.Entry) { put(e, strings.TrimSpace(d.form.Text(name))) })
	return append(rows, form.Row{Name: name, Label: label, Kind: form.Text, Filled: form.Str(now), Optional: !needed})
}

// choice offers what is usual, the present one first; with an own one, something else
// can be typed.
func (d *draft) choice(rows []form.Row, name, label, now string, all []string, own string, put func(*line.Entry, string)) []form.Row {
	if now != "" && !slices.Contains(all, now) {
		all = append([]string{now}, all...)
	}
	d.puts = append(d.puts, func(e *line.Entry) { put(e, d.form.Text(name)) })
	return append(rows, form.Row{Name: name, Label: label, Kind: form.Choice, Choices: all, Own: own, Default: form.Num(float64(max(0, slices.Index(all, now))))})
}

// value is the reading in the unit that it was typed in, which stands beside it.
func (d *draft) value(env *screen.Env, rows []form.Row, spec line.EntrySpec) []form.Row {
	row := form.Row{Name: readingRow, Label: "records-form.reading", Kind: form.Decimal, Optional: !spec.Reading}
	for _, u := range spec.Units {
		row.Units = append(row.Units, env.Words.Unit(u))
	}
	first := 0
	switch spec.Units[0] {
	case line.UnitC:
		row.Min, row.Max = -999, 999 // it may be negative; what can be meant the line knows
		if env.Prefs.US {
			first = 1
		}
	case line.UnitTrays, line.UnitCFU:
		row.Kind = form.Whole
	}
	if i := slices.Index(spec.Units, d.base.Unit); i >= 0 {
		first, row.Filled = i, form.Num(d.base.Value)
	}
	row.Unit = row.Units[first]
	d.puts = append(d.puts, func(e *line.Entry) {
		e.Value, e.Unit = 0, line.UnitNone
		if v, ok := d.form.Number(readingRow); ok {
			e.Value, e.Unit = v, spec.Units[d.form.Unit(readingRow)]
		}
	})
	return append(rows, row)
}

// signer is who did it and signs.
func (d *draft) signer(env *screen.Env, rows []form.Row) []form.Row {
	names := slices.Clone(env.State.Crew)
	if !slices.Contains(names, env.By) {
		names = append([]string{env.By}, names...)
	}
	now := env.By
	if d.base.Corrects == 0 && d.base.By != "" {
		now = d.base.By
	}
	return d.choice(rows, "signs", "records-form.signs", now, names, "", func(e *line.Entry, t string) { e.By, e.Initials = t, words.Initials(t) })
}

// lastDays are the days that a review may be about, the latest first.
func lastDays(now time.Time) []string { return days(now, 14, -1) }

// nextDays are the days that an order may be due on.
func nextDays(now time.Time) []string { return days(now, 56, 1) }

func days(from time.Time, n, step int) []string {
	out := make([]string, n)
	for i := range out {
		out[i] = from.AddDate(0, 0, i*step).Format(time.DateOnly)
	}
	return out
}
