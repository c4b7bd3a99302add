// Package cleanup guides through the end of the day, step by step: what was done is
// in the line's state and in the safety records, nothing is kept here.
package cleanup

import (
	"slices"
	"strconv"
	"time"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"

	"shedbell/line"
	"shedbell/ui/form"
	"shedbell/ui/screen"
	"shedbell/ui/words"
)

// Screen is the clean-up screen.
type Screen struct {
	step   Step
	picked bool       // the step was chosen by its number; else it is the one to do now
	off    int        // what + and - have made of a count
	marked int        // surface
	full   int        // which caution stands in full, from 1; 0: all in short
	signer string     // who signs; empty: whoever acts
	mix    *form.Form // begun and not sent
	note   *form.Form // begun and not sent
	typing *form.Form // the one of them that is shown, or nil
	date   string     // the day that they are of
}

// New makes the clean-up screen.
func New() *Screen { return &Screen{} }

var (
	keyStep    = screen.Bind("1-9", "cleanup-does.step", "1", "2", "3", "4", "5", "6", "7", "8", "9")
	keyDo      = screen.Bind("Enter", "does.do", "enter", " ")
	keyMore    = screen.Bind("+", "cleanup-does.more", "+", "=", "down", "j")
	keyLess    = screen.Bind("-", "cleanup-does.less", "-", "up", "k")
	keyCaution = screen.Bind(".", "cleanup-does.caution", ".")
	keySigner  = screen.Bind("*", "cleanup-does.signer", "*")
	keyExit    = screen.Bind("0", "does.back", "0", "esc")
	keyHelp    = screen.Bind("?", "does.help", "?")
)

// Typing says that a mix or a note is being typed.
func (s *Screen) Typing() bool { return s.typing != nil }

// Update answers a message.
func (s *Screen) Update(env *screen.Env, msg tea.Msg) tea.Cmd {
	switch msg := msg.(type) {
	case screen.OpenMsg:
		if msg.From != screen.Help {
			s.picked, s.off, s.full, s.typing = false, 0, 0, nil
		}
	case screen.ResultMsg:
		s.result(msg)
	case tea.KeyMsg:
		switch {
		case s.typing != nil:
			return s.typed(env, msg)
		case env.State.Sheet == nil:
			return nil
		}
		return s.pressed(env, msg)
	}
	return nil
}

// result leaves a form, and goes on with the step to do now, once the line has
// taken it.
func (s *Screen) result(msg screen.ResultMsg) {
	if msg.Refusal != nil {
		return
	}
	s.off = 0
	switch c := msg.Command.(type) {
	case line.MakeEntry:
		if c.Entry.Kind == line.EntryStrength {
			s.mix, s.typing = nil, nil
		}
		s.picked = s.picked && c.Entry.Kind == line.EntrySurface
	case line.CloseDay:
		s.mix, s.note, s.typing = nil, nil, nil
	}
}

// current is the step that the keys act on.
func (s *Screen) current(d *day) Step {
	if s.picked {
		return s.step
	}
	_, now := d.progress()
	return min(now, HandOver)
}

func (s *Screen) pressed(env *screen.Env, k tea.KeyMsg) tea.Cmd {
	d := read(env)
	at := s.current(d)
	switch {
	case key.Matches(k, keyStep.Binding):
		n, _ := strconv.Atoi(k.String())
		s.step, s.picked, s.off, s.full = Step(n-1), true, 0, 0
	case key.Matches(k, keySigner.Binding):
		s.nextSigner(env)
	case key.Matches(k, keyCaution.Binding):
		s.full = (s.full + 1) % (len(s.cautions(at, d)) + 1)
	case key.Matches(k, keyMore.Binding):
		return s.shift(d, at, 1)
	case key.Matches(k, keyLess.Binding):
		return s.shift(d, at, -1)
	case key.Matches(k, keyDo.Binding):
		return s.doIt(env, d, at)
	}
	return nil
}

// shift changes a count, the marked surface, or the contact time that runs, which
// the line makes longer only.
func (s *Screen) shift(d *day, at Step, by int) tea.Cmd {
	switch at {
	case ContactTime:
		if c := d.chore(line.SanitizeAll); c != nil {
			return screen.Do(line.Adjust{At: c.Step.Place, By: time.Duration(by) * time.Minute})
		}
	case TraysOut, TraysIn:
		s.off += by
	case Surfaces:
		s.marked = (s.marked + by + len(surfaces)) % len(surfaces)
	}
	return nil
}

// nextSigner goes round the people on the line.
func (s *Screen) nextSigner(env *screen.Env) {
	crew := env.State.Crew
	if len(crew) == 0 {
		return
	}
	i := slices.Index(crew, s.signs(env))
	s.signer = crew[(i+1)%len(crew)]
}

func (s *Screen) signs(env *screen.Env) string {
	if s.signer != "" && slices.Contains(env.State.Crew, s.signer) {
		return s.signer
	}
	return env.By
}

// entry makes an entry signed by whoever signs.
func (s *Screen) entry(env *screen.Env, e line.Entry) tea.Cmd {
	who := s.signs(env)
	e.Initials = words.Initials(who)
	if who != env.By {
		e.By = who
	}
	return screen.Do(line.MakeEntry{Entry: e})
}

// doIt does the step.
func (s *Screen) doIt(env *screen.Env, d *day, at Step) tea.Cmd {
	if s.date != d.s.Sheet.Date {
		s.date, s.mix, s.note = d.s.Sheet.Date, nil, nil
	}
	switch at {
	case DrainScreens:
		return s.entry(env, line.Entry{Kind: line.EntryCleaning, Where: drainScreens})
	case TraysOut:
		return s.entry(env, s.count(d, line.EntryTraysOut))
	case TraysIn:
		return s.entry(env, s.count(d, line.EntryTraysIn))
	case PressureWash:
		return chore(d, line.WashTrays)
	case Mix:
		if s.mix == nil || !s.mix.Touched() {
			s.mix = mixForm(env, d)
		}
		s.typing = s.mix
	case ContactTime:
		return chore(d, line.SanitizeAll)
	case Surfaces:
		return s.tick(env, d)
	case Sow:
		return chore(d, line.SowTrays)
	case HandOver:
		if s.note == nil || !s.note.Touched() {
			s.note = form.Ask(env, "", "cleanup.note-asks",
				form.Row{Name: "note", Label: "cleanup.note", Kind: form.Text, Draft: true, Filled: form.Str(d.draft()), Optional: true})
			s.note.Sends = "cleanup-does.close-day"
		}
		s.typing = s.note
	}
	return nil
}

// counted is the number of trays that Enter enters.
func (s *Screen) counted(d *day, k line.EntryKind) int {
	n := d.cut
	if k == line.EntryTraysIn {
		n = d.washed
	}
	return max(n+s.off, 0)
}

// count is the entry of a tray count. A second one corrects the first.
func (s *Screen) count(d *day, k line.EntryKind) line.Entry {
	e := line.Entry{Kind: k, Value: float64(s.counted(d, k)), Unit: line.UnitTrays}
	if before, ok := d.last(k, ""); ok {
		e.Corrects = before.Seq
	}
	return e
}

// chore starts work, or ends it where it goes on.
func chore(d *day, k line.ChoreKind) tea.Cmd {
	if c := d.chore(k); c != nil {
		if c.Step.Progress != line.Running {
			return screen.Do(line.Resume{At: c.Step.Place})
		}
		return screen.Do(line.Finish{At: c.Step.Place})
	}
	return screen.Do(line.StartChore{Kind: k, To: line.Anywhere})
}

// tick enters the marked surface, or the next one where that is ticked off. The
// contact time has to be over.
func (s *Screen) tick(env *screen.Env, d *day) tea.Cmd {
	left := d.unticked()
	if len(left) == 0 {
		return screen.Say(d.t.Say("cleanup.all-ticked"))
	}
	if c := d.chore(line.SanitizeAll); c != nil {
		return refuse(d.t.Say("cleanup.still-wet", words.Left(c.Step.Left(env.Now))))
	}
	if d.s.Clean.IsZero() {
		return refuse(d.t.Say("cleanup.not-contact"))
	}
	strong, ok := d.strength()
	if !ok {
		return refuse(d.t.Say("cleanup.not-strength"))
	}
	name := surfaces[s.marked]
	if !slices.Contains(left, name) {
		name = left[0]
	}
	s.marked = (slices.Index(surfaces, name) + 1) % len(surfaces)
	e := strong.Entry
	return s.entry(env, line.Entry{Kind: line.EntrySurface, Where: name, Use: line.UseSurface, Product: e.Product, ProductLot: e.ProductLot,
		Value: e.Value, Unit: e.Unit, Contact: d.contact})
}

func refuse(text string) tea.Cmd {
	return func() tea.Msg { return screen.SayMsg{Text: text, Refused: true} }
}

// typed answers a key while the mix or the hand-over note is typed.
func (s *Screen) typed(env *screen.Env, k tea.KeyMsg) tea.Cmd {
	out, cmd := s.typing.Update(env, k)
	switch {
	case out == form.Left:
		s.typing = nil
	case out != form.Sent:
	case s.typing == s.mix:
		return s.entry(env, mix{s.mix, env.Words}.entry())
	default:
		return screen.Do(line.CloseDay{Note: s.note.Text("note")})
	}
	return cmd
}
