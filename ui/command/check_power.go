package command

import (
	"strings"
	"time"

	"shedbell/line"
	"shedbell/line/rehearse"
	"shedbell/line/say"
	"shedbell/power"
	"shedbell/ui/words"
)

// mostTogether bounds how many sets of a circuit are listed, the fullest first.
const mostTogether = 4

// together lists what may be on at once on each circuit, and the order of starts
// that comes closest to a trip.
func together(w *words.Speaker, p *power.Panel) string {
	var b strings.Builder
	for c := range p.Circuits {
		sets, complete := p.MaximalSets(c)
		if len(sets) == 0 {
			continue
		}
		b.WriteString(wrap(w.Say("cmd-check.together", p.Circuits[c].Name), 2))
		for _, set := range sets[:min(mostTogether, len(sets))] {
			b.WriteString(wrap("  "+w.Say("cmd-check.set", strings.Join(useNames(p, set.Uses), " + "), set.AmpsA, p.LimitA(c)), 4))
			b.WriteString(worstOrder(w, p, set.Uses))
		}
		switch rest := len(sets) - mostTogether; {
		case !complete:
			b.WriteString("  " + w.Say("cmd-check.many-more") + "\n")
		case rest > 0:
			b.WriteString("  " + w.Say("cmd-check.more", rest) + "\n")
		}
	}
	if len(p.Feeders) > 0 && b.Len() > 0 {
		b.WriteString(wrap(w.Say("cmd-check.by-itself"), 0))
	}
	return b.String()
}

// worstOrder warns of an order in which the set cannot be started on cold
// breakers, one load straight after the other.
func worstOrder(w *words.Speaker, p *power.Panel, uses []power.Use) string {
	if len(uses) < 2 {
		return ""
	}
	o := p.WorstOrder(uses)
	if o.Refused < 0 {
		return ""
	}
	return wrap("    "+w.Say("cmd-check.worst",
		strings.Join(useNames(p, o.Uses), ", "), p.Loads[o.Uses[o.Refused].Load].Name), 6)
}

func useNames(p *power.Panel, uses []power.Use) []string {
	out := make([]string, len(uses))
	for i, u := range uses {
		l := &p.Loads[u.Load]
		out[i] = l.Name
		if len(l.Settings) > 1 {
			out[i] += ":" + l.Settings[u.Setting].Name
		}
	}
	return out
}

// findings lists what is worth a second look about the wiring.
func findings(w *words.Speaker, p *power.Panel) string {
	var danger, look strings.Builder
	for _, f := range p.Findings() {
		b := &look
		if f.Danger {
			b = &danger
		}
		b.WriteString(wrap("  "+f.Rule+": "+w.Value(f.Says)+" ("+w.Sentence(f.Source)+")", 4))
	}
	out := ""
	if danger.Len() > 0 {
		out = w.Say("cmd-check.danger") + "\n" + danger.String()
	}
	if look.Len() > 0 {
		out += w.Say("cmd-check.second-look") + "\n" + look.String()
	}
	return out
}

// proposal says which plug to move so that more may be on at once.
func (c *checkCmd) proposal(a *app, in *inputs) string {
	p := &in.site.Panel
	pr, ok := p.ProposeMoves(2, gain(a, in))
	if !ok {
		return ""
	}
	var moves say.List
	for _, m := range pr.Moves {
		moves = append(moves, say.New("cmd-check.move", p.Loads[m.Load].Name, p.Circuits[m.From].Name, p.Circuits[m.To].Name))
	}
	if pr.Gain > 0 {
		return wrap(a.words.Say("cmd-check.proposal-gain", moves, pr.Together, pr.Before, pr.Gain.Minutes()), 2)
	}
	return wrap(a.words.Say("cmd-check.proposal", moves, pr.Together, pr.Before), 2)
}

// gain rehearses the day on a changed panel, to the second, and says how much
// earlier it ends. Without a day sheet there is nothing to rehearse.
func gain(a *app, in *inputs) func(*power.Panel) time.Duration {
	if in.sheet == nil {
		return nil
	}
	finish := func(p *power.Panel) (time.Time, bool) {
		site := *in.site
		site.Panel = *p
		s, _, no := line.Do(line.NewState(&site, in.book), line.OpenDay{Sheet: *in.sheet}, in.sheet.Start, "")
		if no != nil {
			return time.Time{}, false
		}
		res, err := rehearse.Run(a.ctx, s, in.sheet.Start, rehearse.Options{Seed: 1})
		if err != nil {
			return time.Time{}, false
		}
		return res.Finish, true
	}
	now, ok := finish(&in.site.Panel)
	return func(p *power.Panel) time.Duration {
		if then, can := finish(p); ok && can {
			return now.Sub(then)
		}
		return 0
	}
}
