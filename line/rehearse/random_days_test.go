package rehearse_test

import (
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	"shedbell/line"
	"shedbell/line/linetest"
	"shedbell/line/rehearse"
	"shedbell/power"
)

// saneShed is the test shed with one to three people, more or fewer shelves and
// machines, and at times one circuit less.
func saneShed(r *rand.Rand) *line.Site {
	s := linetest.Site()
	s.Crew = []string{"Ash", "Birch", "Elm"}[:1+r.IntN(3)]
	s.Stations[linetest.Rack].Slots = 3 + r.IntN(6)
	s.Stations[linetest.Pack].Slots = 1 + r.IntN(2)
	s.Stations[linetest.Cut].Slots = 1 + r.IntN(3)
	s.Stations[linetest.Tub].WaterBatches = r.IntN(5)
	size := 2 + r.IntN(4)
	for _, i := range []int{linetest.Tub, linetest.Spin, linetest.Rack} {
		s.Stations[i].SlotTrays = size
	}
	for i := range s.Stations {
		s.Stations[i].HandsTime = time.Duration(10+r.IntN(40)) * time.Second
		s.Stations[i].Walk = time.Duration(r.IntN(20)) * time.Second
	}
	if r.IntN(3) == 0 { // a second spinner of its own name on the other circuit
		spinner := s.Panel.Loads[linetest.Spinner]
		spinner.Name, spinner.Circuit, spinner.Settings = "spinner 2", 1, []power.Setting{{Name: "on", AmpsA: 5}}
		s.Panel.Loads = append(s.Panel.Loads, spinner)
		st := s.Stations[linetest.Spin]
		st.Name, st.Load = "spinner 2", len(s.Panel.Loads)-1
		s.Stations = append(s.Stations, st)
	}
	if r.IntN(4) == 0 { // everything wet on 15 A
		s.Panel.Circuits[0].RatingA = 15
	}
	s.Panel.Loads[linetest.Spinner].SelfOff = r.IntN(2) == 0
	return s
}

// saneSheet is a day of 4 to 48 batches.
func saneSheet(r *rand.Rand, site *line.Site) line.Sheet {
	sheet := line.Sheet{Date: "2026-12-03", Start: linetest.Morning, Crew: site.Crew}
	size := min(4, site.BatchTrays())
	for batches := 4 + r.IntN(45); batches > 0; {
		n := min(batches, 1+r.IntN(12))
		batches -= n
		d := line.Demand{Crop: []string{"pea", "radish", "sunflower", "broccoli"}[r.IntN(4)], Trays: n * size}
		if r.IntN(4) == 0 {
			d.Due = linetest.Morning.Add(time.Duration(2+r.IntN(4)) * time.Hour)
		}
		sheet.Crops = append(sheet.Crops, d)
	}
	if r.IntN(2) == 0 {
		sheet.Apart = [][2]string{{"pea", "radish"}}
	}
	return sheet
}

// watcher checks every state that a rehearsal passes through. Between two records
// no current rises, so the states at the records are those of every second.
type watcher struct {
	t      *testing.T
	name   string
	longer time.Duration // longest single wait wet beyond the recipe's limit
	wet    map[int]time.Duration
}

func (w *watcher) see(s *line.State, r line.Record) {
	p := &s.Site.Panel
	for c := range p.Circuits {
		sum := 0.0
		for i := range p.Loads {
			l, st := &p.Loads[i], s.Power.Loads[i]
			on := st.On && !(l.SelfOff && !st.Until.IsZero() && !r.At.Before(st.Until))
			switch {
			case l.Circuit != c:
			case l.Cycles:
				sum += l.WorstA()
			case on:
				sum += l.Settings[st.Setting].AmpsA
			}
			if on && l.Alone {
				w.alone(s, i, r.At)
			}
		}
		if sum > p.Circuits[c].RatingA {
			w.t.Errorf("%s, %s: circuit %d carries %.1f of %.1f A", w.name, r.At.Format("15:04:05"), c, sum, p.Circuits[c].RatingA)
		}
	}
	for i := range s.Batches {
		b := &s.Batches[i]
		rec, _ := s.Recipe(b.Crop)
		if wait := b.WetSoFar - w.wet[b.ID]; wait > rec.MaxWetWait {
			w.longer = max(w.longer, wait-rec.MaxWetWait)
		}
		w.wet[b.ID] = b.WetSoFar
	}
}

func (w *watcher) alone(s *line.State, alone int, at time.Time) {
	for i := range s.Site.Panel.Loads {
		l, st := &s.Site.Panel.Loads[i], s.Power.Loads[i]
		if i != alone && st.On && !l.StaysOn && !(l.SelfOff && !st.Until.IsZero() && !at.Before(st.Until)) {
			w.t.Errorf("%s, %s: %s is on beside %s", w.name, at.Format("15:04:05"), l.Name, s.Site.Panel.Loads[alone].Name)
		}
	}
}

func TestRandomDays(t *testing.T) {
	waited, days := 0, 200
	if testing.Short() {
		days = 20
	}
	for seed := range uint64(days) {
		r := rand.New(rand.NewPCG(seed, 7))
		site := saneShed(r)
		sheet := saneSheet(r, site)
		s, _, no := line.Do(line.NewState(site, linetest.Book()), line.OpenDay{Sheet: sheet}, linetest.Morning, "Ash")
		if no != nil {
			t.Fatal(no)
		}
		people := []rehearse.Delays{{}}
		if seed%4 == 0 {
			people = append(people, rehearse.Typical)
		}
		for _, delays := range people {
			w := &watcher{t: t, name: fmt.Sprintf("seed %d, delays %v", seed, delays.React), wet: map[int]time.Duration{}}
			res, err := rehearse.Run(context.Background(), s, linetest.Morning, rehearse.Options{Seed: seed, Delays: delays, Watch: w.see})
			if err != nil {
				t.Errorf("%s: %d batches, %d people: %v", w.name, len(s.Batches), len(s.Crew), err)
				continue
			}
			checkDay(t, w.name, s, res)
			if w.longer > 0 {
				if delays == (rehearse.Delays{}) {
					t.Errorf("%s: %d batches, %d people: greens waited wet %s longer than they may", w.name, len(s.Batches), len(s.Crew), w.longer)
				} else {
					waited++
				}
			}
		}
	}
	t.Logf("%d of %d days with human delays had greens wait wet too long", waited, days/4)
}

// checkDay checks that everything was done, and in its order.
func checkDay(t *testing.T, name string, start *line.State, res *rehearse.Result) {
	f := res.Final
	if !f.DayDone() || f.Trays.Sown != start.Sheet.Trays() {
		t.Errorf("%s: not done: %+v, %d unfinished", name, f.Trays, f.Unfinished())
	}
	for i := range f.Batches {
		b := &f.Batches[i]
		if b.Fate != line.Cold || b.Packages == 0 || b.Lot == "" {
			t.Errorf("%s: batch %+v", name, b)
		}
		var at time.Time
		var kinds []line.Kind
		for _, st := range res.Steps {
			if st.Batch != b.ID {
				continue
			}
			if st.Start.Before(at) || st.End.Before(st.Start) {
				t.Errorf("%s: %s is in two places: %+v", name, b.Name(), st)
			}
			at = st.End
			kinds = append(kinds, f.Site.Stations[st.Station].Kind)
		}
		if want := []line.Kind{line.Cut, line.Wash, line.Spin, line.Dry, line.Pack, line.Chill}; !slices.Equal(kinds, want) {
			t.Errorf("%s: %s went through %v", name, b.Name(), kinds)
		}
	}
	if res.HandsBusy < 0 || res.HandsBusy > 1 {
		t.Errorf("%s: hands busy %.2f", name, res.HandsBusy)
	}
}

func TestRehearsalIsTheSameForTheSameSeed(t *testing.T) {
	var finish [2]time.Time
	for i := range finish {
		res, err := rehearse.Run(context.Background(), linetest.Open(), linetest.Morning, rehearse.Options{Seed: 3, Delays: rehearse.Typical})
		if err != nil {
			t.Fatal(err)
		}
		finish[i] = res.Finish
	}
	if !finish[0].Equal(finish[1]) {
		t.Errorf("finish %s and then %s", finish[0], finish[1])
	}
}

// The rehearsal goes on from any state, as the forecast of a day under way does.
func TestRehearsalGoesOnFromAnInterruptedDay(t *testing.T) {
	var at []*line.State
	_, err := rehearse.Run(context.Background(), linetest.Open(), linetest.Morning, rehearse.Options{Seed: 1, Delays: rehearse.Typical,
		Watch: func(s *line.State, _ line.Record) { at = append(at, s) }})
	if err != nil {
		t.Fatal(err)
	}
	for i, s := range at {
		now := s.At.Add(30 * time.Second)
		for _, c := range []line.Command{line.Recover{LastBeat: s.At}, line.MarkTripped{Circuit: 0}, line.ResetBreaker{Circuit: 0}} {
			next, _, no := line.Do(s, c, now, "Ash")
			if no != nil {
				t.Fatalf("record %d, %T: %s", i, c, no.Error())
			}
			s = next
		}
		res, err := rehearse.Run(context.Background(), s, now, rehearse.Options{Seed: 1})
		if err != nil || !res.Final.DayDone() {
			t.Errorf("from record %d: %v", i, err)
		}
	}
}

func TestRehearsalSwitchesOffWhatWasLeftOn(t *testing.T) {
	s, _, no := line.Do(linetest.Open(), line.SwitchOn{Load: linetest.Fans}, linetest.Morning, "Ash")
	if no != nil {
		t.Fatal(no)
	}
	s, _, no = line.Do(s, line.SwitchOn{Load: linetest.Drain}, linetest.Morning, "Ash")
	if no != nil {
		t.Fatal(no)
	}
	res, err := rehearse.Run(context.Background(), s, linetest.Morning, rehearse.Options{Seed: 1})
	if err != nil || !res.Final.DayDone() {
		t.Errorf("%v", err)
	}
}

func TestRehearsalNamesTheTrippedBreaker(t *testing.T) {
	s, _, no := line.Do(linetest.Open(), line.MarkTripped{Circuit: 0}, linetest.Morning, "Ash")
	if no != nil {
		t.Fatal(no)
	}
	_, err := rehearse.Run(context.Background(), s, linetest.Morning, rehearse.Options{Seed: 1})
	if !errors.Is(err, rehearse.ErrStuck) || !strings.Contains(err.Error(), "wet wall") {
		t.Errorf("%v, want the wet wall's breaker named", err)
	}
}

func BenchmarkRehearseDay(b *testing.B) {
	s := linetest.Open()
	for b.Loop() {
		if _, err := rehearse.Run(context.Background(), s, linetest.Morning, rehearse.Options{Seed: 1, Delays: rehearse.Typical}); err != nil {
			b.Fatal(err)
		}
	}
}
