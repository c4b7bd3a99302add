package records

import (
	"slices"
	"time"

	"shedbell/line"
)

// lookBack bounds how long before an action the person can have set out for it.
const lookBack = 10 * time.Minute

// readShare is the part of the patience within which a person reads what has changed
// on the board: a quarter, half a minute where nothing else is said.
const readShare = 4

// keep remembers the state from an instant on.
func (f *Mistakes) keep(at time.Time) {
	old := 0
	for old+1 < len(f.past) && at.Sub(f.past[old+1].at) > lookBack {
		old++
	}
	f.past = append(slices.Delete(f.past, 0, old), pastState{f.state, at})
}

// before is the line as it was at an instant of the last while.
func (f *Mistakes) before(at time.Time) *line.State {
	for i := len(f.past) - 1; i > 0; i-- {
		if !f.past[i].at.After(at) {
			return f.past[i].state
		}
	}
	return f.past[0].state
}

// order finds that something more pressing was left for the action that a record
// begins. It must have been ready when the person set out, and there must have been
// nobody else on the line who could have gone.
func (f *Mistakes) order(r line.Record) {
	prompts := line.Prompts(f.state, r.At, nil)
	done, batch, counts := f.did(r, prompts)
	if !counts {
		return
	}
	out := r.At.Add(-f.patience / readShare)
	if done != nil {
		out = out.Add(-done.Hands)
		if done.From.Station >= 0 {
			out = out.Add(-f.state.Site.Stations[done.From.Station].Walk)
		}
	}
	earlier := line.Prompts(f.before(out), out, nil)
	var left []*line.Prompt
	for i := range prompts {
		p := &prompts[i]
		if p.Batch != 0 && p.Batch == batch || !p.Ready(r.At) || p.Act == line.ActConfirm || f.endsHandWork(p) {
			continue
		}
		more := done != nil && p.MorePressing(done) || done == nil && p.FreesWet()
		was := func(o line.Prompt) bool {
			return o.Batch == p.Batch && o.Chore == p.Chore && o.From == p.From && o.Ready(out)
		}
		if more && slices.ContainsFunc(earlier, was) {
			left = append(left, p)
		}
	}
	if len(left) >= max(1, len(f.state.Crew)) {
		f.found = append(f.found, Mistake{Kind: MistakeOrder, At: r.At, By: r.By, Prompt: left[0], State: f.state, group: r.Group})
	}
}

// did finds the prompt that an action follows, if it follows one. What ends work in
// hand does not count: that comes when it is done. Nor does what comes too early,
// which is a mistake of its own.
func (f *Mistakes) did(r line.Record, prompts []line.Prompt) (done *line.Prompt, batch int, counts bool) {
	follows := func(*line.Prompt) bool { return false }
	switch e := r.Event.(type) {
	case line.StepStarted:
		batch = e.Batch
	case line.BatchLoaded:
		batch = e.Batch
	case line.BatchCooled:
		batch = e.Batch
	case line.StepFinished:
		b := f.state.Batch(e.Batch)
		if b == nil || b.Step.Planned == 0 || b.Step.Left(r.At) > line.Early {
			return nil, 0, false
		}
		batch = e.Batch
	case line.ChoreStarted:
		follows = func(p *line.Prompt) bool { return p.Act == line.ActChore && p.Chore == e.Kind }
	default:
		return nil, 0, false
	}
	for i := range prompts {
		if p := &prompts[i]; batch != 0 && p.Batch == batch || batch == 0 && follows(p) {
			return p, batch, true
		}
	}
	return nil, batch, true
}

// endsHandWork says whether a prompt is about the end of work by hand.
func (f *Mistakes) endsHandWork(p *line.Prompt) bool {
	if p.Act != line.ActFinish && p.Act != line.ActAdvance {
		return false
	}
	step := f.state.StepAt(p.From)
	return step != nil && step.Planned == 0
}
