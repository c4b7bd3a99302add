package plan

import (
	"context"
	"errors"
	"time"

	"shedbell/line"
	"shedbell/line/rehearse"
)

// Followed is what the prompts make of a plan: the order to give them, and how the
// day goes with it and without.
type Followed struct {
	Advice       line.Advice // without order and fans where the prompts do as well without
	With, Before time.Time   // end of the day with the order, and first come, first served

	MissedWith, MissedBefore int // due times missed
}

// Follow finds the order for line.Prompts that serves the plan best, and never one
// that is worse than first come, first served, which is to say that misses more due
// times, or as many and ends later: it rehearses the rest of the day both ways,
// without delays. Prompts also follow rules of
// their own, so a good plan is not always a good order for them.
func (p *Plan) Follow(ctx context.Context, s *line.State, now time.Time) (Followed, error) {
	end := func(v line.Advice) (time.Time, int, error) {
		res, err := rehearse.Run(ctx, s, now, rehearse.Options{Advice: v})
		if err != nil {
			return time.Time{}, 0, err
		}
		return res.Finish, missed(res), nil
	}
	plain := line.Advice{Paces: p.m.paces}
	before, late, err := end(plain)
	if err != nil {
		return Followed{}, err
	}
	f := Followed{Advice: plain, With: before, Before: before, MissedWith: late, MissedBefore: late}
	for _, v := range p.advice() {
		t, missed, err := end(v)
		if ctx.Err() != nil {
			break // what was found so far stands
		}
		if errors.Is(err, rehearse.ErrStuck) {
			continue
		}
		if err != nil {
			return f, err
		}
		if missed < f.MissedWith || missed == f.MissedWith && t.Before(f.With) {
			f.Advice, f.With, f.MissedWith = v, t, missed
		}
	}
	return f, nil
}

// missed counts the due times that a rehearsed day misses.
func missed(res *rehearse.Result) int {
	n := 0
	for i := range res.Final.Batches {
		b := &res.Final.Batches[i]
		if !b.Due.IsZero() && b.Fate == line.Cold && b.ColdAt.After(b.Due) {
			n++
		}
	}
	return n
}

// advice is the plan's starts at each kind of station, and its order of entering the
// line for everything.
func (p *Plan) advice() []line.Advice {
	enters := map[int]int{}
	for i := range p.Steps {
		st := &p.Steps[i]
		if _, ok := enters[st.Batch]; !ok && st.Batch != 0 {
			enters[st.Batch] = i
		}
	}
	return []line.Advice{p.Advice(), {Fans: p.fans(), Paces: p.m.paces, Order: func(batch int, _ line.Kind) int {
		if i, ok := enters[batch]; ok {
			return i
		}
		return len(p.Steps)
	}}}
}
