package uitest_test

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"shedbell/line"
	"shedbell/line/linetest"
	"shedbell/ui/uitest"
)

// truth is something that happened in a shed and is told later, by keys of a number pad.
// What the board has then has to be what it would have had, had it been known in time.
type truth struct {
	name   string
	before []line.Command         // what went on, a minute apart
	is     []line.Command         // what happened, at once
	later  time.Duration          // until it is told
	keys   string                 // "E" is Enter
	most   int                    // keys at most; 0: five, from the screen where it is told
	holds  func(*line.State) bool // what has to be true, where no command says so
}

// The places of the test shed.
func place(station, slot int) line.Place { return line.Place{Station: station, Slot: slot} }

func start(batch int) line.Command   { return line.Start{Batch: batch, To: line.Anywhere} }
func advance(batch int) line.Command { return line.Advance{Batch: batch, To: line.Anywhere} }

var (
	washing  = []line.Command{start(1), advance(1)}
	spinning = []line.Command{start(1), advance(1), advance(1)}
	drying   = []line.Command{start(1), advance(1), advance(1), advance(1)}
)

var truths = []truth{
	{"the washer was started by hand", nil, []line.Command{line.MarkOn{Load: linetest.Washer}}, 10 * time.Minute, "/11.110E", 8, nil},
	{"the washer was started beside the spinner", spinning, []line.Command{line.MarkOn{Load: linetest.Washer}}, 2 * time.Minute, "/11.12E", 7, nil},
	{"the fans ran on high", nil, []line.Command{line.MarkOn{Load: linetest.Fans, Setting: 2}}, 10 * time.Minute, "/14.1310E", 9, nil},
	{"the blower had stopped", washing, []line.Command{line.MarkOff{Load: linetest.Blower}}, 2 * time.Minute, "/12.22E", 7, nil},
	{"the spinner had stopped", spinning, []line.Command{line.MarkOff{Load: linetest.Spinner}}, 3 * time.Minute, "/13.23E", 7, nil},
	{"the washer was off again", []line.Command{line.MarkOn{Load: linetest.Washer}}, []line.Command{line.MarkOff{Load: linetest.Washer}}, 5 * time.Minute, "/11.25E", 7, nil},
	{"the fridge was unplugged", nil, []line.Command{line.MarkUnplugged{Load: linetest.Fridge}}, 10 * time.Minute, "/15.610E", 8, nil},
	{"the fridge was plugged in again", []line.Command{line.MarkUnplugged{Load: linetest.Fridge}}, []line.Command{line.MarkPlugged{Load: linetest.Fridge, Circuit: 1}}, 5 * time.Minute, "/15.65E", 7, nil},
	{"the fridge hung on the wet wall", nil, []line.Command{line.MarkPlugged{Load: linetest.Fridge, Circuit: 0}}, 9 * time.Minute, "/15.719E", 8, nil},
	{"the spinner hung on the cold wall", spinning, []line.Command{line.MarkPlugged{Load: linetest.Spinner, Circuit: 1}}, 3 * time.Minute, "/13.723E", 8, nil},
	{"the wet wall had no power", spinning, []line.Command{line.MarkPowerLost{Circuit: 0}}, 3 * time.Minute, "/13.43E", 7, nil},
	{"the power was away everywhere", spinning, []line.Command{line.MarkPowerLost{Everywhere: true}}, 3 * time.Minute, "/13.53E", 7, nil},
	{"an outage of twenty minutes was over", []line.Command{line.MarkPowerLost{Everywhere: true}}, []line.Command{line.MarkPowerBack{Everywhere: true}}, 4 * time.Minute, "/13.54E", 7, nil},
	{"the power was back on the wet wall", []line.Command{line.MarkPowerLost{Circuit: 0}}, []line.Command{line.MarkPowerBack{Circuit: 0}}, 4 * time.Minute, "/13.44E", 7, nil},
	{"the breaker of the wet wall was out", spinning, []line.Command{line.MarkTripped{Circuit: 0}}, 3 * time.Minute, "/13.33E", 7, nil},
	{"it was closed again", []line.Command{line.MarkTripped{Circuit: 0}}, []line.Command{line.ResetBreaker{Circuit: 0}}, 3 * time.Minute, "/13.33E", 7, nil},

	{"one tray fell", drying, []line.Command{line.DropTrays{Batch: 1, Trays: 1, Reason: "dropped"}}, 0, "44/1", 0, nil},
	{"there were four trays", drying, []line.Command{line.CountTrays{Batch: 1, Trays: 4}}, 0, "44/24E", 6, nil},
	{"greens were lifted early", washing, []line.Command{line.Finish{At: place(linetest.Tub, 0)}}, 0, "22/3", 0, nil},
	{"greens stand on another shelf", drying, []line.Command{line.Move{Batch: 1, To: place(linetest.Rack, 1)}}, 0, "44/41", 0, nil},
	{"greens are too wet and spin again", drying, []line.Command{line.Again{Batch: 1, Kind: line.Spin}}, 0, "44/5", 0, nil},
	{"the tub was drained early", washing, []line.Command{line.DrainTub{Station: linetest.Tub}}, 0, "22/9", 0, nil},
	{"the spinner is broken", washing, []line.Command{line.MarkBroken{At: place(linetest.Spin, 0), Why: "won't run"}}, 0, "33/81", 0, nil},
	{"a batch is held", washing, []line.Command{line.Hold{At: place(linetest.Tub, 0)}}, 0, "22.", 0, nil},

	{"the cut began half a minute sooner", []line.Command{start(1)}, nil, 5 * time.Minute, "011--E", 6, func(s *line.State) bool {
		return s.Batch(1).Step.Started.Equal(linetest.Morning.Add(30*time.Minute - 30*time.Second))
	}},
	{"there were four trays in what was started", []line.Command{start(1)}, []line.Command{line.CountTrays{Batch: 1, Trays: 4}}, 5 * time.Minute, "012+E", 0, nil},
	{"somebody else began it", []line.Command{line.SetCrew{Names: []string{"Ash", "Rowan"}}, start(1)}, nil, time.Minute, "013E", 0, func(s *line.State) bool {
		return s.Batch(1).Step.By == "Rowan"
	}},
	{"it was on the second shelf from the start", drying, []line.Command{line.Move{Batch: 1, To: place(linetest.Rack, 1)}}, time.Minute, "014E", 0, nil},
	{"it was never started", []line.Command{start(1)}, nil, time.Minute, "019E", 0, func(s *line.State) bool { return s.Batch(1).Fate == line.Waiting }},
	{"it was started after all", []line.Command{start(1), line.Undo{}}, nil, time.Minute, "019E", 0, func(s *line.State) bool {
		return s.Batch(1).Fate == line.OnLine && s.Batch(1).Step.Started.Equal(linetest.Morning.Add(30*time.Minute))
	}},

	{"Rowan went home", []line.Command{line.SetCrew{Names: []string{"Ash", "Rowan"}}}, nil, 0, "/.21", 0, func(s *line.State) bool {
		return slices.Equal(s.Here(s.At.Add(time.Minute)), []string{"Ash"})
	}},
	{"a helper came", nil, nil, 0, "/.21", 0, func(s *line.State) bool {
		return slices.Equal(s.Here(s.At.Add(time.Minute)), []string{"Ash", "helper 2"})
	}},
	{"the phone rang for a quarter of an hour", []line.Command{start(1)}, nil, 15 * time.Minute, "", 0, func(s *line.State) bool {
		return s.Batch(1).Step.Progress == line.Running && s.Batch(1).Step.Started.Equal(linetest.Morning.Add(30*time.Minute))
	}},
}

func TestTruthsToldLate(t *testing.T) {
	for _, c := range truths {
		t.Run(c.name, func(t *testing.T) {
			sheet := linetest.Sheet()
			begin := func() *uitest.Driver {
				d := uitest.New(t, uitest.Options{Sheet: &sheet, W: 120, H: 40})
				d.Skip(30 * time.Minute)
				for _, cmd := range c.before {
					if adv, ok := cmd.(line.Advance); ok { // when its time is up
						step := d.State().Batch(adv.Batch).Step
						d.Skip(max(time.Minute, step.Planned))
					}
					d.Do(cmd)
					d.Skip(time.Minute)
				}
				return d
			}
			told := begin()
			told.Skip(c.later)
			keys := strings.Split(strings.ReplaceAll(c.keys, "E", "\n"), "")
			if most := max(c.most, 5); len(keys) > most {
				t.Errorf("%d keys, at most %d", len(keys), most)
			}
			for _, k := range keys {
				if k == "\n" {
					k = "enter"
				}
				told.Press(k)
			}
			knew := begin()
			for _, cmd := range c.is {
				knew.Do(cmd)
			}
			knew.Skip(c.later)
			if c.holds != nil {
				if !c.holds(told.State()) {
					t.Errorf("%s\n%s", world(told.State(), told.Clock.Now()), told.Screen())
				}
				return
			}
			if got, want := world(told.State(), told.Clock.Now()), world(knew.State(), knew.Clock.Now()); got != want {
				t.Errorf("told late:\n%s\nknown in time:\n%s\n%s", got, want, told.Screen())
			}
		})
	}
}

// world is what is true of a shed, however the board came to know it.
func world(s *line.State, now time.Time) string {
	var b strings.Builder
	p := &s.Site.Panel
	for i := range p.Loads {
		st := &s.Power.Loads[i]
		fmt.Fprintf(&b, "%s on %v at %d, in doubt %v, plug out %v, on circuit %d, without power %v", p.Loads[i].Name, st.On, st.Setting, st.InDoubt, st.DeclaredOff,
			p.Loads[i].Circuit, s.Power.Open(p.Loads[i].Circuit))
		if st.On {
			fmt.Fprintf(&b, ", since %s", st.OnSince.Round(time.Minute).Format(time.TimeOnly))
		}
		b.WriteByte('\n')
	}
	for c := range p.Circuits {
		fmt.Fprintf(&b, "%s heat %.3f\n", p.Circuits[c].Name, math.Round(1000*p.CircuitOutlook(s.Power, c, now).Heat)/1000)
	}
	for i := range s.Batches {
		x := &s.Batches[i]
		fmt.Fprintf(&b, "%s %d trays, lost %d, %v at %v, step %d held since %s\n", x.Name(), x.Trays, x.Lost, x.Fate, x.Step.Place, x.Step.Progress,
			x.Step.Stopped.Round(time.Minute).Format(time.TimeOnly))
	}
	for i := range s.Water {
		fmt.Fprintf(&b, "water %d empty %v\n", i, s.Water[i].Empty)
	}
	fmt.Fprintf(&b, "broken %v, crew %v", s.Broken, s.Crew)
	return b.String()
}
