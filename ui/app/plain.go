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
	line  Line
	word  string    // the last thing that happened
	early time.Time // Enter was pressed before its time; again confirms
}

// press does what a key asks for.
func (p *plain) press(key string) {
	defer func() {
		if recover() != nil {
			p.word = "That did not work."
		}
	}()
	early := p.early
	p.early = time.Time{}
	switch key {
	case "enter", " ":
		prompts := line.Prompts(p.line.State(), p.line.Now(), nil)
		if len(prompts) == 0 {
			p.word = "Nothing to do at the moment."
			return
		}
		now := p.line.Now()
		if left := prompts[0].At.Sub(now); left > time.Second && now.Sub(early) > 5*time.Second {
			p.early = now
			p.word = words.Left(left) + " too early. Enter again does it all the same."
			return
		}
		p.do(prompts[0].Command)
	case "0":
		p.do(line.Undo{})
	}
}

func (p *plain) do(c line.Command) {
	before := p.line.State()
	_, records, no := p.line.Do(c)
	if no != nil {
		p.word = no.Error()
		return
	}
	for _, r := range records {
		if text := words.English().Event(before, r); text != "" {
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
		out = append(out, safely(func() []string { return part(s, now) })...)
	}
	for i := range out {
		out[i] = canvas.Cut(out[i], width, "~")
	}
	return strings.Join(out[:min(len(out), max(height, 1))], "\n")
}

// safely gives what part makes, or a line that it could not.
func safely(part func() []string) (out []string) {
	defer func() {
		if recover() != nil {
			out = []string{"(this part cannot be shown)"}
		}
	}()
	return part()
}

func (p *plain) head(s *line.State, now time.Time) []string {
	mark := ""
	if saving := p.line.Saving(); saving.Problem != nil {
		mark = fmt.Sprintf("   not yet saved: %d", saving.Pending)
	}
	return []string{s.Site.Name + "   " + now.Format("Mon 15:04:05") + "   plain board" + mark, p.word,
		"Enter does what is next   0 undoes   b tries the full board   q leaves"}
}

func (p *plain) next(s *line.State, now time.Time) []string {
	out := []string{""}
	for i, prompt := range line.Prompts(s, now, nil) {
		when := "now"
		if left := prompt.At.Sub(now); left > 0 {
			when = "in " + words.Left(left)
		}
		name := "then: "
		if i == 0 {
			name = "next: "
		}
		if out = append(out, name+words.English().Prompt(s, &prompt).Do+", "+when); i == 2 {
			break
		}
	}
	if len(out) == 1 {
		out = append(out, "next: nothing at the moment")
	}
	return out
}

func (p *plain) clocks(s *line.State, now time.Time) []string {
	out := []string{""}
	add := func(name string, step *line.Step) {
		text := fmt.Sprintf("%-18s %-16s", s.PlaceName(step.Place), name)
		switch {
		case step.Progress == line.Interrupted:
			text += " interrupted after " + words.Clock(step.Ran(now))
		case step.Progress == line.Held:
			text += " held at " + words.Left(step.Left(now))
		case step.Progress != line.Running:
			text += " waits"
		case step.Planned == 0:
			text += " by hand for " + words.Clock(step.Ran(now))
		default:
			text += " " + words.Left(step.Left(now)) + " left"
		}
		out = append(out, text)
	}
	for i := range s.Batches {
		if b := &s.Batches[i]; b.Fate == line.OnLine {
			add(b.Shout(), &b.Step)
		}
	}
	for i := range s.Chores {
		add(s.Chores[i].Kind.String(), &s.Chores[i].Step)
	}
	return out
}

func (p *plain) amps(s *line.State, now time.Time) []string {
	out := []string{""}
	panel := &s.Site.Panel
	for c := range panel.Circuits {
		text := fmt.Sprintf("%-18s %5.1f of %.4g A", panel.Circuits[c].Name, panel.Amps(s.Power, c, now), panel.LimitA(c))
		if s.Power.Open(c) {
			text = fmt.Sprintf("%-18s tripped", panel.Circuits[c].Name)
		}
		out = append(out, text)
	}
	return out
}
