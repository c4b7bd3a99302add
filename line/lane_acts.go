package line

import "slices"

// ActsFor is for whom a command is recorded: the person in whose lane it stands, else
// who has it next, else the first who is free. It is "" where the lanes do not tell.
func ActsFor(lanes []Lane, s *State, c Command) string {
	about, ok := s.concern(c)
	if !ok || len(lanes) == 0 {
		return ""
	}
	free := ""
	for i := range lanes {
		if l := &lanes[i]; l.Now != nil && about.is(l.Now) {
			return l.Person
		}
	}
	for i := range lanes {
		l := &lanes[i]
		if slices.ContainsFunc(l.Next, func(p Prompt) bool { return about.is(&p) }) {
			return l.Person
		}
		if free == "" && l.Now == nil {
			free = l.Person
		}
	}
	return free
}

// Keeping is the advice with what people are told already: it stays theirs as long as
// it is there to do, so that nobody is sent elsewhere on the way.
func (v Advice) Keeping(told []Lane, s *State) Advice {
	planned := v.People
	v.People = func(batch int, k Kind) string {
		for i := range told {
			l := &told[i]
			if l.Now == nil || l.Busy || l.Now.Batch != batch {
				continue
			}
			if at := l.Now.place(); at.Station >= 0 && at.Station < len(s.Site.Stations) && s.Site.Stations[at.Station].Kind == k {
				return l.Person
			}
		}
		if planned == nil {
			return ""
		}
		return planned(batch, k)
	}
	return v
}

// place is where what a prompt asks for ends.
func (p *Prompt) place() Place {
	if p.To.Station >= 0 {
		return p.To
	}
	return p.From
}

// concern is what a command is about, as a prompt would be.
type concern struct {
	batch int
	at    Place
	chore ChoreKind
	act   Act
	load  int
}

// is says whether a prompt is about the same thing.
func (c *concern) is(p *Prompt) bool {
	switch {
	case c.act == ActConfirm:
		return p.Act == ActConfirm && p.Load == c.load
	case c.batch != 0:
		return p.Batch == c.batch
	case c.at.Station >= 0:
		return p.Batch == 0 && (p.From == c.at || p.To == c.at)
	}
	return p.Act == ActChore && p.Chore == c.chore
}

// concern says what a command on the line is about; false for one about anything else.
func (s *State) concern(c Command) (concern, bool) {
	batch := func(id int) (concern, bool) { return concern{batch: id, at: Nowhere}, s.Batch(id) != nil }
	at := func(p Place) (concern, bool) {
		if b, _ := s.Occupant(p); b != nil {
			return batch(b.ID)
		}
		return concern{at: p}, p.Station >= 0
	}
	switch c := c.(type) {
	case Start:
		return batch(c.Batch)
	case Advance:
		return batch(c.Batch)
	case Split:
		return batch(c.Batch)
	case Merge:
		return batch(c.From)
	case Scrap:
		return batch(c.Batch)
	case Finish:
		return at(c.At)
	case Adjust:
		return at(c.At)
	case Hold:
		return at(c.At)
	case Resume:
		return at(c.At)
	case Restart:
		return at(c.At)
	case StartChore:
		return concern{at: c.To, chore: c.Kind}, true
	case SwitchOn:
		return concern{act: ActConfirm, load: c.Load}, true
	case SwitchOff:
		return concern{act: ActConfirm, load: c.Load}, true
	}
	return concern{}, false
}
