package recordsui

import (
	"slices"
	"strings"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"shedbell/line"
	"shedbell/ui/canvas"
	"shedbell/ui/field"
	"shedbell/ui/screen"
	"shedbell/ui/theme"
)

// blank is one line of a form: something typed, one of several, or a text that can
// be either.
type blank struct {
	name    string
	f       field.Field
	choices []string // + and - go through them; a letter begins a text of one's own where it may be typed
	fixed   bool     // only a choice
	units   []line.Unit
	unit    int
	needed  bool
	ago     bool // it says how many minutes ago
	put     func(e *line.Entry, text string)
}

// form is an entry being made.
type form struct {
	was    line.Entry // of a correction: what it corrects, as the form began
	title  string
	base   line.Entry // what the entry begins as: a correction keeps the rest of the first
	blanks []blank
	at     int
	about  *line.Entry // reading that a corrective action answers
	sent   line.Entry

	make func(env *screen.Env) line.Command // what it makes where that is no entry
	foot string                             // key of what is said below such a form
}

var (
	keySend   = screen.Bind("Enter", "records-does.enter", "enter")
	keyField  = screen.Bind("/", "records-does.next-field", "/", "down", "tab")
	keyChoice = screen.Bind("+ -", "does.choose", "+", "=", "-")
	keyUnit   = screen.Bind("*", "records-does.other-unit", "*")
	keyErase  = screen.Bind("-", "does.erase", "-", "backspace")
	keyType   = screen.Bind("a-z", "records-does.or-type")
	keyDigits = screen.Bind("0-9 .", "does.type")
	keyGoBack = screen.Bind("0", "does.back", "0", "esc")
	keyEsc    = screen.Bind("esc", "does.back", "esc")
)

func (f *form) keys() []screen.Binding {
	b := &f.blanks[f.at]
	keys := []screen.Binding{keySend}
	leave := keyEsc
	switch {
	case b.fixed:
		keys, leave = append(keys, keyChoice), keyGoBack
	case b.f.Kind == field.Words:
		if len(b.choices) > 0 {
			keys = append(keys, keyChoice)
		}
		keys = append(keys, keyType)
	default:
		keys = append(keys, keyDigits, keyErase)
		if len(b.units) > 1 {
			keys = append(keys, keyUnit)
		}
	}
	if len(f.blanks) > 1 {
		keys = append(keys, keyField)
	}
	return append(keys, leave)
}

// key answers a key; done says that the form is left.
func (f *form) key(env *screen.Env, k tea.KeyMsg) (cmd tea.Cmd, done bool) {
	b := &f.blanks[f.at]
	name := k.String()
	switch {
	case name == "esc", name == "0" && b.leaves():
		return screen.Say(env.Words.Say("records-form.left-as-was")), true
	case name == "enter":
		return f.entered(env), false
	case name == "/" || name == "down" || name == "tab":
		f.at = (f.at + 1) % len(f.blanks)
	case name == "up":
		f.at = (f.at + len(f.blanks) - 1) % len(f.blanks)
	case name == "*" && len(b.units) > 0:
		b.unit = (b.unit + 1) % len(b.units)
	case len(b.choices) > 0 && (name == "+" || name == "=" || name == "-"):
		b.choose(name != "-")
	case !b.fixed:
		if len(b.choices) > 0 && k.Type == tea.KeyRunes && slices.Contains(b.choices, b.f.Text) {
			b.f.Text = "" // the first letter replaces the choice
		}
		b.f.Key(k)
	}
	return nil, false
}

// leaves says whether 0 leaves the form here; elsewhere it is a digit.
func (b *blank) leaves() bool {
	return b.fixed || b.f.Kind == field.Whole && b.f.Text == "" || b.f.Kind == field.Words && slices.Contains(b.choices, b.f.Text)
}

func (b *blank) choose(next bool) {
	by := 1
	if !next {
		by = len(b.choices) - 1
	}
	i := slices.Index(b.choices, b.f.Text)
	if i < 0 {
		i = len(b.choices) - 1
	}
	b.f.Text = b.choices[(i+by)%len(b.choices)]
}

// entered goes to the first field that still needs something, or puts the entry to
// the line.
func (f *form) entered(env *screen.Env) tea.Cmd {
	for i := range f.blanks {
		if b := &f.blanks[i]; b.needed && b.f.Text == "" && i != f.at {
			f.at = i
			return nil
		}
	}
	if f.base.Corrects != 0 && f.entry(env) == f.was {
		return screen.Say(env.Words.Say("records-form.same"))
	}
	return screen.Do(f.command(env))
}

func (f *form) command(env *screen.Env) line.Command {
	if f.make != nil {
		return f.make(env)
	}
	f.sent = f.entry(env)
	return line.MakeEntry{Entry: f.sent}
}

// entry is the entry as it stands.
func (f *form) entry(env *screen.Env) line.Entry {
	e := f.base
	for i := range f.blanks {
		b := &f.blanks[i]
		text := strings.TrimSpace(b.f.Text)
		if len(b.units) > 0 {
			e.Value, e.Unit = 0, line.UnitNone
			if v, ok := b.f.Number(); ok {
				e.Value, e.Unit = v, b.units[b.unit]
			}
		}
		if b.put != nil {
			b.put(&e, text)
		}
	}
	if ago := f.minutesAgo(); ago > 0 {
		e.Made = env.Now.Add(-ago)
		e.Late = ago > line.LateAfter
	}
	if e.By == env.By {
		e.By = ""
	}
	if f.about != nil && e.About == 0 {
		e.About = newest(env.State, f.about)
	}
	return e
}

func (f *form) minutesAgo() time.Duration {
	for i := range f.blanks {
		if b := &f.blanks[i]; b.ago {
			v, _ := b.f.Number()
			return time.Duration(v) * time.Minute
		}
	}
	return 0
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

func (f *form) draw(env *screen.Env, r canvas.Region) {
	p := &pen{r: r.Inset(1, 0)}
	p.put(theme.Action, " "+f.title+" ")
	nameW := 0
	for i := range f.blanks {
		nameW = max(nameW, canvas.Width(f.blanks[i].name))
	}
	for i := range f.blanks {
		b := &f.blanks[i]
		row := p.rest()
		role := theme.Text
		if i == f.at {
			role = theme.Chosen
			row.Put(0, 0, theme.Strong, r.Theme().Glyphs.Arrow)
		}
		row.Put(2, 0, role, b.name)
		unit := ""
		if len(b.units) > 0 {
			unit = env.Words.Unit(b.units[b.unit])
		}
		if b.f.Text == "" && !b.needed && len(b.choices) == 0 && i != f.at {
			unit = "-"
		}
		b.f.Draw(row.Sub(nameW+4, 0, max(row.W-nameW-4, 0), 1), i == f.at && !b.fixed, unit)
		p.y++
	}
	if f.make != nil {
		p.put(theme.Faint, env.Words.Say(f.foot))
		return
	}
	e := f.entry(env)
	for _, b := range env.State.Site.Beside(&e) {
		role := theme.Text
		if b.Past {
			role = theme.Soon
		}
		p.put(role, env.Words.Beside(&b, true))
	}
	if e.Late {
		p.put(theme.Soon, env.Words.Say("records-form.late", env.Words.TimeOfDay(e.Made, "2 Jan ")))
	}
	if e.Corrects != 0 {
		p.put(theme.Faint, env.Words.Say("records-form.corrects", e.Corrects))
	}
	p.put(theme.Faint, env.Words.Say("records-form.beside-limits"))
}
