package plan_test

import (
	"cmp"
	"context"
	"slices"
	"testing"
	"time"

	"shedbell/line"
	"shedbell/line/linetest"
	"shedbell/line/plan"
)

// played is a command at its instant; what ends something comes before what begins
// something at the same instant.
type played struct {
	at   time.Time
	rank int
	cmd  line.Command
}

// commands are what people who keep to a plan to the second ask of the line.
func commands(s *line.State, p *plan.Plan) []played {
	const ends, puts, begins = 0, 1, 2
	var out []played
	add := func(at time.Time, rank int, c line.Command) { out = append(out, played{at, rank, c}) }
	begin := func(st *plan.Step) line.Command {
		if st.Batch == 0 {
			return line.StartChore{Kind: st.Chore, To: st.Place, Trays: chosenTrays(st), Crop: st.Crop}
		}
		c := line.Start{Batch: st.Batch, To: st.Place}
		if load := s.Site.Stations[st.Place.Station].Load; st.Kind == line.Dry && load != line.NoLoad {
			c.Setting = s.Site.Panel.Loads[load].Settings[st.Setting].Name
		}
		return c
	}
	for _, t := range p.Hands {
		st := &p.Steps[t.Step]
		switch t.What {
		case "carry":
			if !st.Stands.IsZero() {
				add(t.End, puts, line.Put{Batch: st.Batch, To: st.Place})
				continue
			}
			add(t.End, begins, begin(st))
		case "start", "drain":
			add(t.End, begins, begin(st))
		case "take", "refill":
			add(t.End, ends, line.Finish{At: st.Place})
		}
	}
	for i := range p.Steps {
		st := &p.Steps[i]
		if !st.Stands.IsZero() && st.Stands.Equal(st.Start) { // no way to walk there
			add(st.Start, begins, begin(st))
		}
		if s.Site.Stations[st.Place.Station].Hands == line.HandsThroughout {
			add(st.Start, begins, begin(st))
			add(st.Ready, ends, line.Finish{At: st.Place})
		}
	}
	slices.SortStableFunc(out, func(a, b played) int { return cmp.Or(a.at.Compare(b.at), cmp.Compare(a.rank, b.rank)) })
	return out
}

// chosenTrays is how many trays a chore is begun with: sanitizing takes what there is.
func chosenTrays(st *plan.Step) int {
	if st.Chore == line.WashTrays || st.Chore == line.SowTrays {
		return st.Trays
	}
	return 0
}

// TestPlansPlayedEndOnTime: everything that a plan says can be asked of the line at the
// second that the plan says, is allowed, and the day is done when the plan says.
func TestPlansPlayedEndOnTime(t *testing.T) {
	days := map[string]func(seed uint64) *line.State{
		"random day": linetest.RandomDay,
		"small day":  func(seed uint64) *line.State { return smallDay(seed, 2) },
	}
	for name, day := range days {
		for seed := range uint64(20) {
			s := day(seed)
			p, err := plan.Repair(s, linetest.Morning, nil, plan.Options{Seed: seed})
			if seed%2 == 0 {
				p, err = plan.Solve(context.Background(), s, linetest.Morning, plan.Options{Budget: 200 * time.Millisecond, Seed: seed})
			}
			if p == nil {
				t.Fatal(name, seed, err)
			}
			play(t, name, seed, s, p)
		}
	}
}

func play(t *testing.T, name string, seed uint64, s *line.State, p *plan.Plan) {
	t.Helper()
	all := commands(s, p)
	for i, c := range all {
		next, _, no := line.Do(s, c.cmd, c.at, "")
		if no != nil {
			t.Errorf("%s %d: %+v at %s: %v", name, seed, c.cmd, c.at.Format("15:04:05"), no)
			return
		}
		if s = next; i < len(all)-1 && s.DayDone() {
			t.Errorf("%s %d: the day is done at %s, and the plan goes on", name, seed, c.at.Format("15:04:05"))
		}
	}
	if end := all[len(all)-1].at; !s.DayDone() || !end.Equal(p.Finish) {
		t.Errorf("%s %d: played until %s, done %v; the plan says %s", name, seed, end, s.DayDone(), p.Finish)
	}
}
