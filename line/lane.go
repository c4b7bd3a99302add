package line

import (
	"slices"
	"time"
)

// Lane is one person's part of the line now.
type Lane struct {
	Person  string    // "" with nobody named on the line
	Now     *Prompt   // what to do now (ready), or the hand work that goes on; nil: free
	Busy    bool      // Now is hand work in progress; its end is Now.At
	Caution bool      // Now can hurt, and nobody here is signed off for it although others are for something
	Next    []Prompt  // what follows for this person, by time
	Back    time.Time // on a break until then; zero: here
	Until   time.Time // when this person has to act: since when Now is due, else the machine that stops first for them, else the end of the work; zero: never
}

// Lanes hands the prompts to the people: one each, the most urgent first, never two
// things at once for one person. People keep their places in the order of the crew.
// What one is told holds although the others do what they are told.
func (v Advice) Lanes(s *State, now time.Time) []Lane {
	l := laneDraft{v: v, s: s, after: s, now: now, prompts: v.Prompts(s, now)}
	for _, name := range s.Crew {
		w := laneWork{name: name, away: !s.here(name, now)}
		if w.away && s.OnBreak(name, now) {
			w.back = s.BackAt(name, now)
		}
		if !w.away || !w.back.IsZero() || len(s.InHand(name)) > 0 { // who goes ends first what is in hand
			l.people = append(l.people, w)
		}
	}
	if !slices.ContainsFunc(l.people, func(w laneWork) bool { return !w.away }) {
		l.people = append(l.people, laneWork{}) // somebody has to see to it
	}
	l.inHand()
	l.wants()
	l.give()
	l.follow()
	out := make([]Lane, len(l.people))
	for i := range l.people {
		out[i] = l.lane(&l.people[i])
	}
	return out
}

// UrgentLane is the lane that Enter acts for: the one whose Now is the most pressing.
// It is -1 where everybody is free.
func UrgentLane(lanes []Lane, now time.Time) int {
	a, best := adviser{now: now}, -1
	for i := range lanes {
		if lanes[i].Now == nil {
			continue
		}
		x := *lanes[i].Now
		x.Batch = 0 // among equals the order of the lanes
		if best < 0 || a.compare(x, *lanes[best].Now) < 0 {
			best = i
		}
	}
	return best
}

// laneDraft is lanes being filled.
type laneDraft struct {
	v       Advice
	s       *State
	after   *State // when everybody has done what they are told so far
	now     time.Time
	prompts []Prompt // best first
	given   []bool   // per prompt: somebody is told it, or has it in hand
	people  []laneWork
}

// laneWork is what one person has to do.
type laneWork struct {
	name   string
	away   bool
	back   time.Time
	hand   *Prompt // the end of the work in hand
	told   *Prompt // what comes before that
	wanted int     // the first prompt that is this person's by the plan; as many as there are for none
	next   []Prompt
}

// inHand finds who has which work in hand: who began it, else somebody with free hands.
func (l *laneDraft) inHand() {
	l.given = make([]bool, len(l.prompts))
	var work []int
	for i := range l.prompts {
		p := &l.prompts[i]
		ends := p.Act == ActFinish || p.Act == ActAdvance
		if ends && l.throughout(p.From, p.Chore) {
			work = append(work, i)
		}
	}
	begun := func(i int) *Step { return l.s.StepAt(l.prompts[i].From) }
	slices.SortStableFunc(work, func(x, y int) int { return begun(y).Started.Compare(begun(x).Started) })
	for _, own := range []bool{true, false} {
		for _, i := range work {
			who := slices.IndexFunc(l.people, func(w laneWork) bool {
				return w.hand == nil && (!w.away || own) && (!own || w.name == begun(i).By)
			})
			if !l.given[i] && who >= 0 {
				l.given[i], l.people[who].hand = true, &l.prompts[i]
			}
		}
	}
	for _, i := range work { // more work in hand than hands: it waits for who began it
		if !l.given[i] {
			l.given[i] = true
			who := max(0, l.index(begun(i).By))
			l.people[who].next = append(l.people[who].next, l.prompts[i])
		}
	}
}

func (l *laneDraft) index(name string) int {
	return slices.IndexFunc(l.people, func(w laneWork) bool { return w.name == name })
}

// throughout says whether work at a place ties a person up from its start to its end.
func (l *laneDraft) throughout(at Place, chore ChoreKind) bool {
	return at.Station >= 0 && chore != ChangeWater && l.s.stationAt(at).Hands == HandsThroughout
}

// byHand says whether what a prompt starts ties a person up.
func (l *laneDraft) byHand(p *Prompt) bool {
	starts := p.Act == ActStart || p.Act == ActChore || p.Act == ActResume || p.Act == ActAdvance && p.ByHand
	return starts && l.throughout(p.To, p.Chore)
}

// planned is the person for whom the plan has a prompt; -1 for anybody.
func (l *laneDraft) planned(p *Prompt) int {
	if l.v.People == nil {
		return -1
	}
	at := p.place()
	if at.Station < 0 {
		return -1
	}
	if name := l.v.People(p.Batch, l.s.Site.Stations[at.Station].Kind); name != "" {
		return l.index(name)
	}
	return -1
}

// wants notes for whom the plan has something that is ready, so that nobody else's
// work is laid on them.
func (l *laneDraft) wants() {
	for i := range l.people {
		l.people[i].wanted = len(l.prompts)
	}
	for i := range l.prompts {
		p := &l.prompts[i]
		if who := l.planned(p); who >= 0 && !l.given[i] && p.Ready(l.now) {
			l.people[who].wanted = min(l.people[who].wanted, i)
		}
	}
}

// give tells each person the best thing that is ready. Who has work in hand is called
// away from it only when nobody is idle.
func (l *laneDraft) give() {
	for i := range l.prompts {
		p := &l.prompts[i]
		if !p.Ready(l.now) {
			break
		}
		if !l.given[i] {
			l.given[i] = l.tell(p, i)
		}
	}
	for range l.people { // work on trays that several can share
		a := l.adviser(l.after, l.now)
		if a.s.Sheet == nil || a.s == l.s {
			return
		}
		a.chores()
		for i := range a.out {
			if p := &a.out[i]; p.Act == ActChore && p.Ready(l.now) && decides(l.s, p.Command, l.now) {
				l.tell(p, len(l.prompts))
			}
		}
	}
}

// tell gives a prompt to the person who suits best, if it stays possible beside what
// the others are told already.
func (l *laneDraft) tell(p *Prompt, rank int) bool {
	who := l.choose(p, rank)
	if who < 0 {
		return false
	}
	after, _, no := Do(l.after, p.Command, l.now, l.people[who].name)
	if no != nil {
		if p = l.elsewhere(p); p == nil {
			return false
		}
		after, _, _ = Do(l.after, p.Command, l.now, l.people[who].name)
	}
	l.after, l.people[who].told = after, p
	return true
}

// elsewhere is a prompt that what the others are told stands in the way of, as it can
// be done all the same: at another place; nil where it cannot.
func (l *laneDraft) elsewhere(p *Prompt) *Prompt {
	b := l.after.Batch(p.Batch)
	if b == nil {
		return nil
	}
	a := l.adviser(l.after, l.now)
	a.batch(b)
	for i := range a.out {
		if q := &a.out[i]; q.Batch == p.Batch && q.From == p.From && q.Ready(l.now) && decides(l.s, q.Command, l.now) {
			return q
		}
	}
	return nil
}

func decides(s *State, c Command, now time.Time) bool {
	_, no := Decide(s, c, now)
	return no == nil
}

func (l *laneDraft) adviser(s *State, now time.Time) adviser {
	return adviser{s: s, in: s.WithStandIns(), now: now, order: l.v.Order, fans: l.v.Fans, advice: l.v}
}

// choose is who should do what a prompt asks for now; -1 where nobody can.
func (l *laneDraft) choose(p *Prompt, rank int) int {
	planned, by, hand := l.planned(p), l.begunBy(p), l.byHand(p)
	signed := l.signedHere(p)
	best, least := -1, 0
	for i := range l.people {
		w := &l.people[i]
		if w.away || w.told != nil || w.hand != nil && hand || signed && !l.signed(w.name, p) {
			continue
		}
		cost := 2
		switch {
		case i == planned:
			cost = 0
		case w.wanted != rank && w.wanted < len(l.prompts):
			cost = 3 + len(l.prompts) - w.wanted // their own work, the less of it the better
		case i == by:
			cost = 1
		}
		switch { // uncut greens wait best
		case w.hand == nil:
		case l.s.Site.Stations[w.hand.From.Station].Kind == Cut:
			cost += 1 << 20
		default:
			cost += 2 << 20
		}
		if best < 0 || cost < least {
			best, least = i, cost
		}
	}
	return best
}

// begunBy is who began the step that a prompt is about; -1 where nobody here has.
func (l *laneDraft) begunBy(p *Prompt) int {
	if p.From.Station < 0 {
		return -1
	}
	step := l.s.StepAt(p.From)
	if step == nil || step.By == "" {
		return -1
	}
	return l.index(step.By)
}

// signed says whether a person may do alone what a prompt asks for.
func (l *laneDraft) signed(person string, p *Prompt) bool {
	for _, at := range [2]Place{p.From, p.To} {
		if at.Station < 0 {
			continue
		}
		if k := l.s.Site.Stations[at.Station].Kind; k.Dangerous() {
			if _, ok := l.s.SignedOff(person, k); !ok {
				return false
			}
		}
	}
	return true
}

// signedHere says whether somebody here is signed off for what a prompt asks for.
func (l *laneDraft) signedHere(p *Prompt) bool {
	return slices.ContainsFunc(l.people, func(w laneWork) bool { return !w.away && l.signed(w.name, p) })
}

// follow lays what comes later on the person who has it by the plan, else on who began
// it, else on who is free first.
func (l *laneDraft) follow() {
	free, called := make([]time.Time, len(l.people)), make([]time.Time, len(l.people))
	for i := range l.people {
		w := &l.people[i]
		free[i], called[i] = l.now, l.now
		if w.hand != nil {
			free[i] = later(l.now, w.hand.At)
		}
		if w.told == nil {
			continue
		}
		if w.hand != nil {
			w.next = append(w.next, *w.hand)
		}
		free[i] = free[i].Add(l.lasts(w.told))
		if !l.byHand(w.told) {
			called[i] = l.now.Add(w.told.Hands)
		}
	}
	lay := func(p *Prompt) {
		who, q := l.follows(p, free), *p
		from := &called[who] // an errand calls a person away from work in hand
		if l.byHand(p) {
			from = &free[who]
		}
		q.At = later(q.At, *from)
		*from = q.At.Add(l.lasts(&q))
		free[who] = later(free[who], *from)
		l.people[who].next = append(l.people[who].next, q)
	}
	for i := range l.prompts {
		if !l.given[i] {
			lay(&l.prompts[i])
		}
	}
	for _, p := range l.beyond() {
		lay(&p)
	}
}

// follows is who has a prompt that comes later.
func (l *laneDraft) follows(p *Prompt, free []time.Time) int {
	signed := l.signedHere(p)
	for _, who := range []int{l.planned(p), l.begunBy(p)} {
		if who >= 0 && !l.people[who].away && (!signed || l.signed(l.people[who].name, p)) {
			return who
		}
	}
	best := -1
	for i := range free {
		if !l.people[i].away && (!signed || l.signed(l.people[i].name, p)) && (best < 0 || free[i].Before(free[best])) {
			best = i
		}
	}
	return best
}

// lasts is how long what a prompt asks for ties its person up.
func (l *laneDraft) lasts(p *Prompt) time.Duration {
	if l.byHand(p) {
		return p.Hands + l.v.HandTime(l.s, p.To, p.Crop, p.Trays, "")
	}
	return p.Hands
}

// beyond is what becomes possible once everybody has done what is in their lanes now.
func (l *laneDraft) beyond() []Prompt {
	s, at := l.after, l.now
	for i := range l.people {
		if w := &l.people[i]; w.hand != nil && w.told == nil {
			at = later(at, w.hand.At)
			if next, _, no := Do(s, w.hand.Command, at, w.name); no == nil {
				s = next
			}
		}
	}
	if s == l.s {
		return nil
	}
	var out []Prompt
	for _, p := range l.v.Prompts(s, at) {
		known := func(o Prompt) bool {
			return o.Batch == p.Batch && o.Chore == p.Chore && o.From == p.From && o.Load == p.Load
		}
		if p.Act != ActClose && !slices.ContainsFunc(l.prompts, known) {
			out = append(out, p)
		}
	}
	return out
}

// lane is one person's part, as it is shown.
func (l *laneDraft) lane(w *laneWork) Lane {
	out := Lane{Person: w.name, Now: w.told, Next: w.next, Back: w.back}
	if w.told == nil && w.hand != nil {
		out.Now, out.Busy = w.hand, true
	}
	slices.SortStableFunc(out.Next, func(x, y Prompt) int { return x.At.Compare(y.At) })
	machine := func(p Prompt) bool { return l.machine(&p) }
	stops := slices.IndexFunc(out.Next, machine)
	switch {
	case out.Now != nil && !out.Busy && machine(*out.Now):
		out.Until = out.Now.At
	case out.Busy && (stops < 0 || out.Now.At.Before(out.Next[stops].At)):
		out.Until = out.Now.At
	case stops >= 0:
		out.Until = out.Next[stops].At
	case len(out.Next) > 0:
		out.Until = out.Next[0].At
	}
	out.Caution = out.Now != nil && len(l.s.SignOffs) > 0 && !l.signed(w.name, out.Now)
	return out
}

// machine says whether a prompt is to end a step that has a countdown.
func (l *laneDraft) machine(p *Prompt) bool {
	return (p.Act == ActFinish || p.Act == ActAdvance) && !l.throughout(p.From, p.Chore)
}
