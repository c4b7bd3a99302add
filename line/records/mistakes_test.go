package records_test

import (
	"context"
	"fmt"
	"strings"
	"testing"
	"time"

	"shedbell/line"
	"shedbell/line/files"
	"shedbell/line/linetest"
	"shedbell/line/records"
	"shedbell/line/rehearse"
	"shedbell/recipes"
)

// trainee does commands on the test shed at their instants.
type trainee struct {
	t    *testing.T
	s    *line.State
	now  time.Time
	fold *records.Mistakes
}

func newTrainee(t *testing.T) *trainee {
	s := linetest.Open()
	return &trainee{t: t, s: s, now: linetest.Morning, fold: records.NewMistakes(s, 0)}
}

func (x *trainee) wait(d time.Duration) { x.now = x.now.Add(d) }

// do puts a command to the line as the live board does: a refusal is kept.
func (x *trainee) do(c line.Command) {
	x.t.Helper()
	next, records, no := line.Do(x.s, c, x.now, "Rowan")
	if no != nil {
		d := line.Decision{Events: []line.Event{line.Refused{Rule: no.Rule, Says: no.Says}}}
		records = d.Records(x.s, x.now, "Rowan")
		next = line.Apply(x.s, records[0])
	}
	x.s = next
	for _, r := range records {
		x.fold.Add(r)
	}
}

// first brings pea 1 to a step that runs.
func (x *trainee) first(steps ...line.Command) {
	x.t.Helper()
	for _, c := range steps {
		if b := x.s.Batch(1); b.Fate == line.OnLine && b.Step.Active() {
			x.wait(max(b.Step.Left(x.now), 0))
			if b.Step.Planned == 0 {
				x.wait(13 * time.Minute)
			}
		}
		x.do(c)
	}
}

var (
	cut    = line.Start{Batch: 1, To: line.Anywhere}
	onward = line.Advance{Batch: 1, To: line.Anywhere}
)

func (x *trainee) said() string {
	var out []string
	for _, m := range x.fold.At(x.now) {
		text := fmt.Sprint(m.Kind, " ", m.Batch, " ", m.Where, " ", m.Amount, " ", m.Limit)
		if m.Kind == records.MistakeOrder {
			text = fmt.Sprint("order: ", m.State.Batch(m.Prompt.Batch).Name())
		}
		if m.Kind == records.MistakeRefused {
			text = "refused: " + m.Says.String()
		}
		if m.Stands {
			text += ", stands"
		}
		out = append(out, strings.Join(strings.Fields(text), " "))
	}
	return strings.Join(out, "\n")
}

// The recipe of the test shed's pea: soak 3:00 and drain 0:30, spin 4:00, dry
// 18:00, at most 15:00 wet. What counts as a mistake is common practice, no source.
func TestMistakes(t *testing.T) {
	for _, c := range []struct {
		name string
		play func(x *trainee)
		want string
	}{
		{"as the sentence says", func(x *trainee) { x.first(cut, onward, onward, onward) }, ""},
		{"out of the tub too early", func(x *trainee) {
			x.first(cut, onward)
			x.wait(2 * time.Minute)
			x.do(onward)
		}, "early pea 1 tub 1m30s 0s"},
		{"cut in two seconds", func(x *trainee) {
			x.do(cut)
			x.wait(2 * time.Second)
			x.do(onward)
		}, "hasty pea 1 cutting table 2s 0s"},
		{"a second too early is none", func(x *trainee) {
			x.first(cut, onward)
			x.wait(3*time.Minute + 29*time.Second)
			x.do(onward)
		}, ""},
		{"too early after taking time off the clock", func(x *trainee) {
			x.first(cut, onward)
			x.do(line.Adjust{At: line.Place{Station: linetest.Tub}, By: -2 * time.Minute})
			x.wait(90 * time.Second)
			x.do(onward)
		}, "early pea 1 tub 2m0s 0s"},
		{"time taken off the clock, and undone", func(x *trainee) {
			x.first(cut, onward)
			x.do(line.Adjust{At: line.Place{Station: linetest.Tub}, By: -2 * time.Minute})
			x.do(line.Undo{})
			x.wait(3*time.Minute + 30*time.Second)
			x.do(onward)
		}, ""},
		{"less of the time that was put on before", func(x *trainee) {
			x.first(cut, onward)
			x.do(line.Adjust{At: line.Place{Station: linetest.Tub}, By: 2 * time.Minute})
			x.do(line.Adjust{At: line.Place{Station: linetest.Tub}, By: -time.Minute})
			x.wait(4*time.Minute + 30*time.Second)
			x.do(onward)
		}, ""},
		{"too early, and undone", func(x *trainee) {
			x.first(cut, onward)
			x.wait(2 * time.Minute)
			x.do(onward)
			x.do(line.Undo{})
		}, ""},
		{"out of the spinner too early", func(x *trainee) {
			x.first(cut, onward, onward)
			x.wait(time.Minute)
			x.do(onward)
		}, "early pea 1 spinner 3m0s 0s"},
		{"off the shelf too early", func(x *trainee) {
			x.first(cut, onward, onward, onward)
			x.wait(10 * time.Minute)
			x.do(line.Finish{At: line.Place{Station: linetest.Rack}})
		}, "early pea 1 rack a 8m0s 0s"},
		{"two minutes late are none", func(x *trainee) {
			x.first(cut, onward)
			x.wait(5*time.Minute + 30*time.Second)
		}, ""},
		{"late, and nobody has come yet", func(x *trainee) {
			x.first(cut, onward)
			x.wait(6 * time.Minute)
		}, "late pea 1 tub 2m30s 0s, stands"},
		{"late, and then done", func(x *trainee) {
			x.first(cut, onward)
			x.wait(8 * time.Minute)
			x.do(onward)
			x.wait(time.Minute)
		}, "late pea 1 tub 4m30s 0s"},
		{"waiting wet beyond the limit", func(x *trainee) {
			x.first(cut, onward)
			x.wait(3*time.Minute + 30*time.Second)
			x.do(line.Finish{At: line.Place{Station: linetest.Tub}})
			x.wait(16 * time.Minute)
		}, "wet pea 1 16m0s 15m0s, stands"},
		{"waited wet as long as it may", func(x *trainee) {
			x.first(cut, onward)
			x.wait(3*time.Minute + 30*time.Second)
			x.do(line.Finish{At: line.Place{Station: linetest.Tub}})
			x.wait(15 * time.Minute)
			x.do(onward)
		}, ""},
		{"new work while greens wait wet", func(x *trainee) {
			x.first(cut, onward)
			x.wait(3*time.Minute + 30*time.Second)
			x.do(line.Finish{At: line.Place{Station: linetest.Tub}})
			x.wait(time.Minute)
			x.do(line.Start{Batch: 2, To: line.Anywhere})
		}, "order: pea 1"},
		{"a refused start", func(x *trainee) {
			x.first(cut)
			x.do(line.Start{Batch: 2, To: line.Anywhere})
			x.wait(20 * time.Second)
			x.do(line.Start{Batch: 2, To: line.Anywhere}) // pressed again: the same mistake
		}, "refused: no free place at cut for pea 2."},
		{"a refused start for amps", func(x *trainee) {
			x.first(cut, onward)
			x.wait(time.Minute)
			x.do(line.SwitchOn{Load: linetest.Washer})
		}, `refused: pressure washer runs alone. On now: tub blower. "wet wall" carries 5.8 A now and would carry 19.8 of 20 A. Switch off tub blower, or wait until 07:47.`},
		{"nothing to undo is a slip of the finger", func(x *trainee) {
			for range 3 {
				x.do(line.Undo{})
			}
		}, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			x := newTrainee(t)
			c.play(x)
			if got := x.said(); got != c.want {
				t.Errorf("found:\n%s\nwant:\n%s", got, c.want)
			}
		})
	}
}

// Who follows the sentence makes no mistake, on the test shed and on the day of the
// demo, alone.
func TestFollowerMakesNoMistake(t *testing.T) {
	starter := line.NewState(files.Starter(), recipes.Starters())
	day := files.PracticeDay(linetest.Morning)
	opened, _, no := line.Do(starter, line.OpenDay{Sheet: *day}, linetest.Morning, "Rowan")
	if no != nil {
		t.Fatal(no)
	}
	for name, s := range map[string]*line.State{"test shed": linetest.Open(), "practice day": opened} {
		fold := records.NewMistakes(s, 0)
		res, err := rehearse.Run(context.Background(), s, linetest.Morning, rehearse.Options{Watch: func(_ *line.State, r line.Record) { fold.Add(r) }})
		if err != nil {
			t.Fatal(name, err)
		}
		for _, m := range fold.At(res.Finish) {
			t.Errorf("%s: %+v", name, m)
		}
	}
}

// Slow people are late at times; but who follows the sentence is never told that
// something else came first, or that it was too early.
func TestSlowFollower(t *testing.T) {
	slow := rehearse.Delays{React: rehearse.Typical.React, ReactSigma: 0.4, WorkSigma: rehearse.Typical.WorkSigma} // nobody away for a minute
	for seed := range uint64(20) {
		fold := records.NewMistakes(linetest.Open(), 0)
		res, err := rehearse.Run(context.Background(), linetest.Open(), linetest.Morning, rehearse.Options{Seed: seed, Delays: slow,
			Watch: func(_ *line.State, r line.Record) { fold.Add(r) }})
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range fold.At(res.Finish) {
			if m.Kind != records.MistakeLate && m.Kind != records.MistakeWet {
				t.Errorf("seed %d: %+v", seed, m)
			}
		}
	}
}

// The same records give the same mistakes, however often the board looks between
// them.
func TestLookingChangesNothing(t *testing.T) {
	play := func(x *trainee, look bool) {
		x.first(cut, onward)
		for range 20 {
			x.wait(time.Minute)
			if look {
				x.fold.At(x.now)
			}
		}
		x.do(onward)
	}
	a, b := newTrainee(t), newTrainee(t)
	play(a, false)
	play(b, true)
	if a.said() != b.said() || a.said() == "" {
		t.Errorf("%s\nand then\n%s", a.said(), b.said())
	}
}
