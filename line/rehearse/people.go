package rehearse

import (
	"slices"
	"time"

	"shedbell/line"
)

// runDue carries out the commands of errands and ends work by hand whose time has
// come.
func (r *run) runDue() {
	for i := range r.people {
		p := &r.people[i]
		r.acting = i
		for len(p.errand) > 0 && !p.errand[0].at.After(r.now) {
			cmd := p.errand[0].cmd
			p.errand = p.errand[1:]
			if !r.do(cmd, p.name) {
				p.errand = nil // the rest of the errand has lost its ground
				p.freeAt = r.now
			}
		}
		if p.job != nil && !p.freeAt.After(r.now) && !r.jobEnd(p).After(r.now) {
			p.busy += max(0, r.now.Sub(p.job.since))
			place := p.job.place
			p.job = nil
			r.do(line.Finish{At: place}, p.name)
		}
	}
}

// jobEnd is when a person's work by hand will be over if nothing interrupts it.
func (r *run) jobEnd(p *person) time.Time {
	since := p.job.since
	if p.freeAt.After(since) {
		since = p.freeAt
	}
	return since.Add(p.job.left)
}

// assign gives every free person the best thing that is ready and not taken. It
// says whether anybody got something.
func (r *run) assign() bool {
	given := false
	here := r.s.Here(r.now)
	for _, first := range []func(*person) bool{idle, r.cuts, anybody} {
		for i := range r.people {
			p := &r.people[i]
			if p.name != "" && !slices.Contains(here, p.name) {
				continue
			}
			if !p.freeAt.After(r.now) && len(p.errand) == 0 && first(p) && r.give(p) {
				given = true
			}
		}
	}
	return given
}

// Who goes on an errand: those with nothing in hand, then those who cut, because
// uncut greens wait best.
func idle(p *person) bool { return p.job == nil }
func (r *run) cuts(p *person) bool {
	return p.job != nil && r.s.Site.Stations[p.job.place.Station].Kind == line.Cut
}
func anybody(*person) bool { return true }

func (r *run) give(p *person) bool {
	prompts := r.opt.Advice.Prompts(r.s, r.now)
	for i := range prompts {
		pr := &prompts[i]
		if !pr.Ready(r.now) {
			return false
		}
		if pr.Act == line.ActClose || r.byHandEnd(pr) || r.taken(pr) {
			continue
		}
		if p.job != nil && r.byHand(pr) {
			continue // two pieces of work by hand at once are one too many
		}
		r.take(p, pr)
		return true
	}
	return false
}

// byHandEnd says whether a prompt is the end of work by hand; that comes when the
// work is done, not when it was expected.
func (r *run) byHandEnd(pr *line.Prompt) bool {
	if pr.Act != line.ActFinish && pr.Act != line.ActAdvance || pr.Chore == line.ChangeWater {
		return false
	}
	step := r.s.StepAt(pr.From)
	return step != nil && r.s.Site.StationOf(step).Hands == line.HandsThroughout
}

// byHand says whether a prompt starts work that ties a person up throughout.
func (r *run) byHand(pr *line.Prompt) bool {
	starts := pr.Act == line.ActStart || pr.Act == line.ActChore || pr.Act == line.ActResume || pr.Act == line.ActAdvance && pr.ByHand
	return starts && pr.Chore != line.ChangeWater && r.station(pr).Hands == line.HandsThroughout
}

// station is where a prompt starts something, as it is done there.
func (r *run) station(pr *line.Prompt) *line.Station {
	return r.s.Site.StationOf(&line.Step{Place: pr.To, ByHand: pr.ByHand})
}

func (r *run) taken(pr *line.Prompt) bool {
	for i := range r.people {
		p := &r.people[i]
		if len(p.errand) == 0 {
			continue
		}
		if pr.Act == line.ActConfirm && p.errand[0].cmd == pr.Command {
			return true
		}
		if pr.Batch != 0 && pr.Batch == p.target.batch {
			return true
		}
		if p.target.place == pr.To && pr.To != line.Nowhere || p.target.place == pr.From && pr.From != line.Nowhere {
			return true
		}
	}
	return false
}

// take sends a person on what a prompt asks for.
func (r *run) take(p *person, pr *line.Prompt) {
	if p.job != nil { // set the work by hand down for now
		p.busy += max(0, r.now.Sub(p.job.since))
		p.job.left = max(0, p.job.left-max(0, r.now.Sub(p.job.since)))
	}
	begin := r.now
	at := r.now.Add(r.react())
	p.target = target{batch: pr.Batch, place: pr.To}
	if pr.To == line.Nowhere {
		p.target.place = pr.From
	}
	switch {
	case r.byHand(pr):
		if pr.Act == line.ActAdvance {
			at = at.Add(r.work(r.handsEnd(pr.From) + r.walk(pr.From)))
		}
		p.errand = []planned{{at, pr.Command}}
		left := max(r.opt.Advice.HandTime(r.s, pr.To, pr.Crop, pr.Trays, p.name), r.countdown(pr))
		if step := r.s.StepAt(pr.To); step != nil && pr.Act == line.ActResume {
			left = max(0, left-step.Ran(r.now))
		}
		if r.opt.Hand != nil {
			left = r.opt.Hand(r.s, pr.To, pr.Crop, pr.Trays, p.name)
		} else {
			left = r.work(left) + r.pause()
		}
		p.job = &job{place: pr.To, left: left, since: at}
		p.freeAt = at
		return
	case pr.Act == line.ActAdvance || pr.Act == line.ActPut && r.s.StepAt(pr.From) != nil && r.s.StepAt(pr.From).Active():
		out := at.Add(r.work(r.handsEnd(pr.From)))
		in := out.Add(r.work(r.walk(pr.From) + r.handsStart(pr.To)))
		next := pr.Command
		if adv, ok := next.(line.Advance); ok {
			next = line.Start(adv)
		}
		p.errand = []planned{{out, line.Finish{At: pr.From}}, {in, next}}
	default:
		p.errand = []planned{{at.Add(r.work(pr.Hands + r.walk(pr.From))), pr.Command}}
	}
	p.freeAt = p.errand[len(p.errand)-1].at
	p.busy += p.freeAt.Sub(begin)
	if p.job != nil {
		p.job.since = p.freeAt
	}
}

// countdown is what the step that a prompt starts by hand has to run all the same.
func (r *run) countdown(pr *line.Prompt) time.Duration {
	b := r.s.Batch(pr.Batch)
	if b == nil || !pr.ByHand {
		return 0
	}
	recipe, _ := r.s.RecipeOf(b)
	return line.PlannedTime(r.s, b, pr.To, &recipe, "")
}

func (r *run) walk(from line.Place) time.Duration {
	if from.Station < 0 {
		return 0
	}
	return r.s.Site.Stations[from.Station].Walk
}

func (r *run) handsStart(to line.Place) time.Duration { return r.s.Site.HandsAtStart(to.Station) }
func (r *run) handsEnd(from line.Place) time.Duration { return r.s.Site.HandsAtEnd(from.Station) }

// nextInstant is when something happens next. ok is false when nothing will.
func (r *run) nextInstant() (next time.Time, ok bool) {
	consider := func(t time.Time) {
		if t.After(r.now) && (!ok || t.Before(next)) {
			next, ok = t, true
		}
	}
	if change := r.s.HandsChange(r.now); !change.IsZero() {
		consider(change)
	}
	for i := range r.people {
		p := &r.people[i]
		if len(p.errand) > 0 {
			consider(p.errand[0].at)
		}
		consider(p.freeAt)
		if p.job != nil {
			consider(r.jobEnd(p))
		}
	}
	prompts := r.opt.Advice.Prompts(r.s, r.now)
	for i := range prompts {
		if !r.byHandEnd(&prompts[i]) {
			consider(prompts[i].At)
		}
	}
	return next, ok
}
