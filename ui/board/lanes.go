package board

import (
	"slices"
	"strconv"
	"strings"
	"time"

	"shedbell/line"
	"shedbell/ui/screen"
	"shedbell/ui/theme"
	"shedbell/ui/words"
)

// lane is one person's part of the line as it is shown.
type lane struct {
	line.Lane
	key     string   // digit of its station; empty: none
	do      string   // what to do now, whole
	then    string   // what follows from it
	clauses []string // the same as do, as short as it can be drawn
	idle    bool     // do tells that nothing is to be done
}

// shared hands the prompts to the people as the plan has it. With a station chosen, its
// own next step stands in a lane: in whose it is, else of who has it next, else of
// who is free. bright is the lane that Enter acts for.
func shared(env *screen.Env) (lanes []line.Lane, bright int) {
	if lanes = slices.Clone(env.Lanes); len(lanes) == 0 {
		lanes = []line.Lane{{}}
	}
	bright = max(line.UrgentLane(lanes, env.Now), 0)
	if !env.Focus.Set {
		return lanes, bright
	}
	at := env.Focus.Place
	if i := slices.IndexFunc(lanes, func(l line.Lane) bool { return l.Now != nil && (l.Now.From == at || l.Now.To == at) }); i >= 0 {
		return lanes, i
	}
	p := promptAt(env, at)
	if p == nil || !slices.ContainsFunc(lanes, func(l line.Lane) bool { return l.Now != nil && same(l.Now, p) }) {
		bright = whose(lanes, p, bright)
		lanes[bright].Now, lanes[bright].Busy = p, p != nil && handWork(env, p)
		return lanes, bright
	}
	return lanes, slices.IndexFunc(lanes, func(l line.Lane) bool { return l.Now != nil && same(l.Now, p) })
}

func same(a, b *line.Prompt) bool {
	return a.Act == b.Act && a.From == b.From && a.To == b.To && a.Batch == b.Batch
}

// whose lane takes what nobody has now.
func whose(lanes []line.Lane, p *line.Prompt, bright int) int {
	if p != nil {
		if i := slices.IndexFunc(lanes, func(l line.Lane) bool {
			return slices.ContainsFunc(l.Next, func(n line.Prompt) bool { return same(&n, p) })
		}); i >= 0 {
			return i
		}
	}
	if i := slices.IndexFunc(lanes, func(l line.Lane) bool { return l.Now == nil }); i >= 0 {
		return i
	}
	return bright
}

// promptAt is the next step of a place, else of its station.
func promptAt(env *screen.Env, at line.Place) *line.Prompt {
	for i := range env.Prompt {
		if p := &env.Prompt[i]; p.From == at || p.To == at {
			return p
		}
	}
	for i := range env.Prompt {
		if p := &env.Prompt[i]; p.From.Station == at.Station || p.To.Station == at.Station {
			return p
		}
	}
	return nil
}

// handWork says whether a prompt is the end of work by hand.
func handWork(env *screen.Env, p *line.Prompt) bool {
	return (p.Act == line.ActFinish || p.Act == line.ActAdvance) && p.From.Station >= 0 &&
		env.State.Site.Stations[p.From.Station].Hands == line.HandsThroughout
}

// headline is what Enter does.
func headline(env *screen.Env) (*line.Prompt, bool) {
	lanes, bright := shared(env)
	l := &lanes[bright]
	if l.Now == nil && !env.Focus.Set && len(l.Next) > 0 { // before its time it asks
		return &l.Next[0], true
	}
	return l.Now, l.Now != nil
}

// EnterSays is the sentence that Enter acts on, and other keys for the same.
func (b *Board) EnterSays(env *screen.Env) (says, keys string) {
	p, ok := headline(env)
	if !ok {
		return keyDo.Label(env.Words), ""
	}
	if n := station(p); n > 0 {
		keys = strconv.Itoa(n) + " " + keyDo.Name(env.Words)
	}
	return env.Words.Prompt(env.State, p).Do, keys
}

// station is where a prompt is done, counted from 1; 0 where at none.
func station(p *line.Prompt) int {
	if p.From.Station >= 0 {
		return p.From.Station + 1
	}
	return p.To.Station + 1
}

// lane words a lane.
func (f *frame) lane(l line.Lane) lane {
	out := lane{Lane: l}
	p := l.Now
	switch {
	case p == nil:
		out.do, out.then, out.clauses = f.idle(&l)
		out.idle = true
		return out
	case l.Busy:
		var s words.Sentence
		s, out.clauses = f.t.Busy(f.s, p)
		out.do, out.then = s.Do, f.byHand(p)
		out.then = strings.TrimPrefix(out.then+". "+f.t.Say("lane.ends", lowerFirst(s.Then)), ". ")
	default:
		s := f.t.Prompt(f.s, p)
		out.do, out.then, out.clauses = s.Do, s.Then, f.t.Clauses(f.s, p)
	}
	if n := station(p); n > 0 {
		out.key = strconv.Itoa(n)
	}
	return out
}

// byHand says how long work by hand has gone on, of about how much.
func (f *frame) byHand(p *line.Prompt) string {
	step := f.s.StepAt(p.From)
	if step == nil {
		return ""
	}
	if step.Planned > 0 {
		return f.t.Say("lane.of", words.Clock(step.Planned))
	}
	return f.t.Say("lane.by-hand", words.Clock(step.Ran(f.env.Now)), words.Clock(p.At.Sub(step.Started)))
}

// idle is what stands in a lane with nothing to do. The clauses are what of it is drawn.
func (f *frame) idle(l *line.Lane) (do, then string, clauses []string) {
	if f.env.Focus.Set || f.s.Sheet == nil {
		do, then = idleWords(f.env)
		return do, then, []string{do}
	}
	for i := range f.s.Chores {
		if c := &f.s.Chores[i]; c.Kind == line.WashTrays && c.Step.Active() {
			do = f.t.Say("lane.clear") // of the jet
			clauses = append(clauses, do)
		}
	}
	free, short := f.t.Say("do.idle"), f.t.Say("lane.free")
	if len(l.Next) > 0 && l.Next[0].At.After(f.env.Now) {
		free = f.t.Say("lane.free-until", f.t.TimeOfDay(l.Next[0].At, ""))
		short = free
	}
	return strings.TrimSpace(do + " " + free), "", append(clauses, short)
}

// clock is the time in a lane, and what it counts.
type clock struct {
	word, long, text string
	role             theme.Role
	drawn            theme.Role // of the digits
}

// clockOf runs to the moment when a lane's person has to act. It counts up once that is
// past, on a filled ground.
func (f *frame) clockOf(l *lane) clock {
	if l.Until.IsZero() {
		return clock{}
	}
	left := l.Until.Sub(f.env.Now)
	if left <= 0 && !l.Busy {
		return f.past(l, -left)
	}
	c := clock{word: f.t.Say("lane.left"), text: words.Left(max(left, 0)), role: theme.Calm, drawn: theme.Strong}
	switch {
	case l.Now == nil:
		c.word = f.t.Say("lane.free")
	case l.Busy && l.Until.Equal(l.Now.At):
		if step := f.s.StepAt(l.Now.From); step == nil || step.Planned == 0 {
			c.word = f.t.Say("lane.about")
			if step != nil && left <= 0 { // a guess that did not hold
				c.word, c.text = f.t.State(words.ByHand), words.Clock(step.Ran(f.env.Now))
			}
		}
	default:
		c.word = f.t.Say("lane.next")
		if i := slices.IndexFunc(l.Next, func(p line.Prompt) bool { return p.At.Equal(l.Until) && f.countsDown(p.From) }); i >= 0 {
			c.long = f.t.Say("lane.until", f.place(l.Next[i].From))
		}
	}
	if c.long == "" {
		c.long = c.word
	}
	if left <= lastMinute && !l.Busy {
		c.role, c.drawn = theme.Soon, theme.Soon
	}
	return c
}

// countsDown says whether the step at a place has a countdown.
func (f *frame) countsDown(at line.Place) bool {
	step := f.s.StepAt(at)
	return step != nil && step.Planned > 0
}

// past is the clock of a lane whose machine is through.
func (f *frame) past(l *lane, since time.Duration) clock {
	at := line.Nowhere
	if l.Now != nil && (l.Now.Act == line.ActFinish || l.Now.Act == line.ActAdvance) {
		at = l.Now.From
	}
	if !f.countsDown(at) {
		return clock{} // nothing rings
	}
	c := clock{word: f.t.Say("vessel.due"), text: words.Clock(since), role: theme.Soon, drawn: theme.Soon}
	if st, _ := f.urgency(at); st != calm {
		c.word, c.role, c.drawn = f.t.Say("vessel.over"), theme.Soon, theme.Alert
		if st == now {
			c.role, c.drawn = theme.Refuse, theme.Urgent
		}
	}
	c.long = c.word
	return c
}

// place is a place's short name.
func (f *frame) place(p line.Place) string { return f.t.Place(f.s, p) }

// level is how much a place needs a person.
type level uint8

const (
	calm level = iota
	soon
	now
)

// urgency is that of the alarm at a place.
func (f *frame) urgency(at line.Place) (level, *screen.Alarm) {
	for i := range f.env.Alarms {
		a := &f.env.Alarms[i]
		if a.Place != at || at.Station < 0 {
			continue
		}
		switch a.Priority {
		case line.Urgent:
			return now, a
		case line.Soon:
			return soon, a
		}
	}
	return calm, nil
}

// badge is the key that does what a lane says. One lane's is bright.
func (f *frame) badge(i int) (string, theme.Role) {
	l := &f.lanes[i]
	if l.Now == nil && !(f.env.Focus.Set && i == f.bright) {
		return "", theme.Badge
	}
	text := f.t.Say("lane.enter")
	if i != max(line.UrgentLane(f.raw, f.env.Now), 0) || f.env.Focus.Set {
		text = strings.TrimSpace(l.key + " " + text)
		for j := range i { // two at one station: the second press of the digit is the next lane's
			if f.lanes[j].key == l.key && l.key != "" && j != i {
				text = l.key + " " + text
			}
		}
	}
	if i != f.bright {
		return text, theme.Badge
	}
	if f.env.Fresh { // Enter only says what has changed
		text = "[" + text + "]"
	}
	return text, theme.Action
}
