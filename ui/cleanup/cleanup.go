// Package cleanup guides through the end of the day, step by step: what was done is
// in the line's state and in the safety records, nothing is kept here.
package cleanup

import (
	"slices"

	tea "github.com/charmbracelet/bubbletea"

	"shedbell/line"
	"shedbell/ui/act"
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

// Update answers a message.
func (s *Screen) Update(_ *screen.Env, msg tea.Msg) tea.Cmd {
	switch msg := msg.(type) {
	case screen.OpenMsg:
		if msg.From != screen.Help {
			s.picked, s.off, s.full, s.typing = false, 0, 0, nil
		}
	case screen.ResultMsg:
		s.result(msg)
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
		s.picked = false
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
func (s *Screen) entry(env *screen.Env, e line.Entry) line.MakeEntry {
	who := s.signs(env)
	e.Initials = words.Initials(who)
	if who != env.By {
		e.By = who
	}
	return line.MakeEntry{Entry: e}
}

// doIt does the step.
func (s *Screen) doIt(env *screen.Env, d *day, at Step, key act.Action) act.Action {
	switch at {
	case DrainScreens:
		return key.Send(s.entry(env, line.Entry{Kind: line.EntryCleaning, Where: drainScreens}))
	case TraysOut:
		return key.Send(s.entry(env, s.count(d, line.EntryTraysOut)))
	case TraysIn:
		return key.Send(s.entry(env, s.count(d, line.EntryTraysIn)))
	case PressureWash:
		return key.Send(chore(d, line.WashTrays))
	case ContactTime:
		return key.Send(chore(d, line.SanitizeAll))
	case Surfaces:
		return s.tick(env, d, key)
	case Sow:
		return key.Send(chore(d, line.SowTrays))
	case Mix:
		return key.Acting().Do(func() { s.openMix(env, d) })
	}
	return key.Acting().Do(func() { s.openNote(env, d) })
}

// fresh lets go of what was typed on another day.
func (s *Screen) fresh(d *day) {
	if s.date != d.s.Sheet.Date {
		s.date, s.mix, s.note = d.s.Sheet.Date, nil, nil
	}
}

func (s *Screen) openMix(env *screen.Env, d *day) {
	if s.fresh(d); s.mix == nil || !s.mix.Touched() {
		s.mix = mixForm(env, d)
	}
	s.typing = s.mix
}

func (s *Screen) openNote(env *screen.Env, d *day) {
	if s.fresh(d); s.note == nil || !s.note.Touched() {
		s.note = form.Ask(env, "", "cleanup.note-asks",
			form.Row{Name: "note", Label: "cleanup.note", Kind: form.Text, Draft: true, Filled: form.Str(d.draft()), Optional: true})
		s.note.Sends = "cleanup-does.close-day"
	}
	s.typing = s.note
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
func chore(d *day, k line.ChoreKind) line.Command {
	c := d.chore(k)
	switch {
	case c == nil:
		return line.StartChore{Kind: k, To: line.Anywhere}
	case c.Step.Progress != line.Running:
		return line.Resume{At: c.Step.Place}
	}
	return line.Finish{At: c.Step.Place}
}

// tick enters the marked surface, or the next one where that is ticked off.
func (s *Screen) tick(env *screen.Env, d *day, key act.Action) act.Action {
	left := d.unticked()
	if len(left) == 0 {
		return key.Unless("cleanup-why.all-ticked")
	}
	name := surfaces[s.marked]
	if !slices.Contains(left, name) {
		name = left[0]
	}
	strong, _ := d.s.SurfaceStrength()
	e := strong.Entry
	_, rinse := d.s.Site.NeedsRinse(&e)
	tick := line.TickSurface(s.entry(env, line.Entry{Kind: line.EntrySurface, Where: name, Use: line.UseSurface, Product: e.Product,
		Chemical: e.Chemical, ProductLot: e.ProductLot, Value: e.Value, Unit: e.Unit, Contact: d.contact, Rinsed: rinse}))
	return key.Send(tick).Run(func() tea.Cmd {
		s.marked = (slices.Index(surfaces, name) + 1) % len(surfaces)
		return act.Do(tick)
	})
}

// sent puts what was typed to the line.
func (s *Screen) sent(env *screen.Env) tea.Cmd {
	if s.typing == s.mix {
		return act.Do(s.entry(env, mix{s.mix, env.Words, &env.State.Site.Limits}.entry()))
	}
	return act.Do(line.CloseDay{Note: s.note.Text("note")})
}
