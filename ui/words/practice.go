package words

import (
	"strings"

	"shedbell/line"
	"shedbell/line/records"
)

// Mistake is a mistake of a practice day in words.
type Mistake struct {
	What string // what happened
	Why  string // why it matters
	Next string // what to do next time
}

// Mistake words a mistake.
func (t *Speaker) Mistake(m *records.Mistake) Mistake {
	key, what := m.Kind.String(), ""
	who := strings.ToUpper(m.Batch)
	switch m.Kind {
	case records.MistakeEarly:
		key += "-" + m.Station.String()
		what = t.Say("mistake."+key, who, Clock(m.Amount))
	case records.MistakeLate:
		if who == "" {
			who, key = strings.ToUpper(m.Where), key+"-work"
		}
		what = t.Say("mistake."+key, who, Clock(m.Amount))
	case records.MistakeHasty:
		what = t.Say("mistake.hasty", who, m.Where, Clock(m.Amount))
	case records.MistakeWet:
		what = t.Say("mistake."+key, who, Clock(m.Amount), Clock(m.Limit))
	case records.MistakeOrder:
		what = t.Say("mistake."+key, t.Prompt(m.State, m.Prompt).Do)
	default:
		what = t.Say("mistake."+key, t.Speech(m.Says))
	}
	return Mistake{What: what, Why: t.Say("mistake-why." + key), Next: t.Say("mistake-next." + key)}
}

// SignedFor says whether a prompt's work is at a station that a person may run
// alone: then its prompt is short.
func SignedFor(s *line.State, p *line.Prompt, person string) bool {
	at := p.To
	if p.Act == line.ActFinish || p.Act == line.ActAdvance || p.Act == line.ActPut {
		at = p.From
	}
	if at.Station < 0 || at.Station >= len(s.Site.Stations) {
		return false
	}
	_, ok := s.SignedOff(person, s.Site.Stations[at.Station].Kind)
	return ok
}
