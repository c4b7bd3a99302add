package app

import (
	"fmt"
	"strings"
	"time"

	"shedbell/line"
	"shedbell/ui/canvas"
	"shedbell/ui/words"
)

// plain is the board of last resort: lines of text, made without any of the
// screens. Each part is made by itself, so that one that fails costs only itself.
type plain struct {
	words *words.Speaker
	line  Line
	word  string    // the last thing that happened
	early time.Time // Enter was pressed before its time; again confirms
	undo  time.Time // the same of u
}

// press does what a key asks for.
func (p *plain) press(key string) {
	defer func() {
		if recover() != nil {
			p.word = p.words.Say("plain.failed")
		}
	}()
	early, undo := p.early, p.undo
	p.early, p.undo = time.Time{}, time.Time{}
	switch key {
	case "enter", " ":
		now := p.line.Now()
		lanes := line.Advice{}.Lanes(p.line.State(), now)
		urgent := line.UrgentLane(lanes, now)
		if urgent < 0 {
			p.word = p.words.Say("plain.idle")
			return
		}
		prompt := lanes[urgent].Now
		if left := prompt.CutsShort(p.line.State(), now); left > 0 && now.Sub(early) > 5*time.Second {
			p.early = now
			p.word = p.words.Say("board.too-early", words.Left(left))
			return
		}
		p.do(prompt.Command, lanes[urgent].Person)
	case "u":
		what, ok := p.line.State().CanUndo()
		if now := p.line.Now(); ok && now.Sub(undo) > 5*time.Second {
			p.undo = now
			p.word = p.words.Say("plain.undo", what)
			return
		}
		p.do(line.Undo{}, "")
	}
}

func (p *plain) do(c line.Command, who string) {
	before := p.line.State()
	_, records, no := p.line.DoFor(who, c)
	if no != nil {
		p.word = p.words.Refusal(no)
		return
	}
	for _, r := range records {
		if text := p.words.Event(before, r); text != "" {
			p.word = text
		}
		before = line.Apply(before, r)
	}
}

// view is the board, cut to the size of the terminal.
func (p *plain) view(width, height int) string {
	s, now := p.line.State(), p.line.Now()
	var out []string
	for _, part := range []func(*line.State, time.Time) []string{p.head, p.next, p.clocks, p.amps} {
		out = append(out, p.safely(func() []string { return part(s, now) })...)
	}
	for i := range out {
		out[i] = canvas.Cut(out[i], width, "~")
	}
	return strings.Join(out[:min(len(out), max(height, 1))], "\n")
}

// safely gives what part makes, or a line that it could not.
func (p *plain) safely(part func() []string) (out []string) {
	defer func() {
		if recover() != nil {
			out = []string{p.words.Say("plain.no-part")}
		}
	}()
	return part()
}

func (p *plain) head(s *line.State, now time.Time) []string {
	mark := ""
	if saving := p.line.Saving(); saving.Pending > 0 {
		mark = p.words.Say("plain.unsaved", saving.Pending)
	}
	return []string{s.Site.Name + "   " + p.words.Date(now, "Mon 15:04:05") + p.words.Say("plain.title") + mark, p.word,
		p.words.Say("plain.keys")}
}

func (p *plain) next(s *line.State, now time.Time) []string {
	out := []string{""}
	lanes := line.Advice{}.Lanes(s, now)
	urgent := line.UrgentLane(lanes, now)
	add := func(name string, lane *line.Lane, prompt *line.Prompt) {
		when := p.words.Say("when.now")
		if left := prompt.At.Sub(now); left > 0 {
			when = p.words.Say("when.in", words.Left(left))
		}
		do := p.words.Prompt(s, prompt).Do
		if len(lanes) > 1 {
			do = lane.Person + ": " + do
		}
		out = append(out, p.words.Say(name, do, when))
	}
	for i := range lanes {
		if lane := &lanes[i]; lane.Now != nil {
			name := "plain.then"
			if i == urgent {
				name = "plain.next"
			}
			add(name, lane, lane.Now)
		}
	}
	for i := range lanes {
		if len(lanes[i].Next) > 0 {
			add("plain.then", &lanes[i], &lanes[i].Next[0])
		}
	}
	if len(out) == 1 {
		out = append(out, p.words.Say("plain.nothing"))
	}
	return out
}

func (p *plain) clocks(s *line.State, now time.Time) []string {
	out := []string{""}
	add := func(name string, step *line.Step) {
		text := fmt.Sprintf("%-18s %-16s", p.words.Place(s, step.Place), name)
		switch {
		case step.Progress == line.Interrupted:
			text += p.words.Say("plain.interrupted", words.Clock(step.Ran(now)))
		case step.Progress == line.Held:
			text += p.words.Say("plain.held", words.Left(step.Left(now)))
		case step.Progress != line.Running:
			text += p.words.Say("plain.waits")
		case step.Planned == 0:
			text += p.words.Say("plain.by-hand", words.Clock(step.Ran(now)))
		default:
			text += p.words.Say("plain.left", words.Left(step.Left(now)))
		}
		out = append(out, text)
	}
	for i := range s.Batches {
		if b := &s.Batches[i]; b.Fate == line.OnLine {
			add(p.words.Caps(b), &b.Step)
		}
	}
	for i := range s.Chores {
		add(p.words.Chore(s.Chores[i].Kind), &s.Chores[i].Step)
	}
	return out
}

func (p *plain) amps(s *line.State, now time.Time) []string {
	out := []string{""}
	panel := &s.Site.Panel
	for c := range panel.Circuits {
		text := p.words.Say("plain.amps", panel.Amps(s.Power, c, now), panel.LimitA(c))
		if s.Power.Open(c) {
			text = p.words.Say("plain.tripped")
		}
		out = append(out, fmt.Sprintf("%-18s %s", p.words.Circuit(panel.Circuits[c].Name), text))
	}
	return out
}
