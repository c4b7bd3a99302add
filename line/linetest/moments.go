package linetest

import (
	"context"
	"math/rand/v2"
	"time"

	"shedbell/line"
	"shedbell/line/rehearse"
)

// Moment is a state in the middle of a day.
type Moment struct {
	State *line.State
	Now   time.Time
}

// Moments rehearses a day with human delays and picks so many states from it, at
// instants a little after their last record, some of them after a mishap: a step
// held, a slot broken, a batch scrapped, a helper gone or come.
func Moments(s *line.State, n int, seed uint64) []Moment {
	rnd := rand.New(rand.NewPCG(seed, 0x707))
	var all []Moment
	_, err := rehearse.Run(context.Background(), s, Morning, rehearse.Options{Seed: seed, Delays: rehearse.Typical,
		Watch: func(s *line.State, r line.Record) { all = append(all, Moment{s, r.At}) }})
	if err != nil {
		panic(err)
	}
	var out []Moment
	for range n {
		m := all[rnd.IntN(len(all))]
		m.Now = m.Now.Add(time.Duration(rnd.IntN(90)) * time.Second)
		if rnd.IntN(2) == 0 {
			m.State = mishap(m, rnd)
		}
		out = append(out, m)
	}
	return out
}

func mishap(m Moment, rnd *rand.Rand) *line.State {
	do := func(c line.Command) *line.State {
		if next, _, no := line.Do(m.State, c, m.Now, ""); no == nil {
			return next
		}
		return m.State
	}
	switch rnd.IntN(5) {
	case 0:
		for i := range m.State.Batches {
			if b := &m.State.Batches[i]; b.Fate == line.OnLine && b.Step.Progress == line.Running {
				return do(line.Hold{At: b.Step.Place})
			}
		}
	case 1:
		rack := m.State.Site.StationsOf(line.Dry)[0]
		return do(line.MarkBroken{At: line.Place{Station: rack, Slot: rnd.IntN(4)}, Why: "a fan is loose"})
	case 2:
		for i := range m.State.Batches {
			if b := &m.State.Batches[i]; b.Fate == line.Waiting {
				return do(line.Scrap{Batch: b.ID, Reason: "mould"})
			}
		}
	case 3:
		return do(line.SetCrew{Names: []string{"Ash"}})
	case 4:
		return do(line.SetCrew{Names: []string{"Ash", "Rowan", "Hazel"}})
	}
	return m.State
}
