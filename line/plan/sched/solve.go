package sched

import (
	"context"
)

// Solve searches until the goals are proved, a limit is reached or ctx ends.
// The error is about the problem's form; that no schedule exists is an answer.
func Solve(ctx context.Context, p *Problem, opt Options) (Result, error) {
	if err := p.Check(); err != nil {
		return Result{}, err
	}
	b := newPool(p, opt)
	defer context.AfterFunc(ctx, func() { b.stop.Store(true) })()
	if ctx.Err() != nil {
		b.stop.Store(true)
	}
	x, err := newExact(b)
	if err != nil {
		return Result{}, err
	}
	x.run()
	return b.result(), nil
}
