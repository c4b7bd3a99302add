package rehearse

import (
	"time"

	"shedbell/line"
)

// Players are people who follow the prompts, with human delays, on a line that somebody
// else keeps: a demonstration that plays by itself.
type Players struct{ run *run }

// NewPlayers takes the line over from whoever worked on it until now.
func NewPlayers(s *line.State, now time.Time, opt Options) *Players {
	r := newRun(s, now, opt)
	r.adopt()
	return &Players{r}
}

// Act has the people do what they do by now. The line is as s; do puts a command to it
// for one of them, by their place in the crew, and says what the line is then. It says
// whether anybody did or took up anything.
func (p *Players) Act(s *line.State, advice line.Advice, now time.Time, do func(c line.Command, who int) (*line.State, *line.Refusal)) bool {
	r := p.run
	r.s, r.now, r.opt.Advice = s, now, advice
	acted := false
	r.keeper = func(c line.Command) (*line.State, *line.Refusal) {
		acted = true
		return do(c, r.acting)
	}
	r.runDue()
	if r.assign() {
		acted = true
	}
	return acted
}

// Idle is somebody with nothing in hand, by their place in the crew; -1: nobody.
func (p *Players) Idle() int {
	for i := range p.run.people {
		if q := &p.run.people[i]; q.job == nil && len(q.errand) == 0 && !q.freeAt.After(p.run.now) {
			return i
		}
	}
	return -1
}
