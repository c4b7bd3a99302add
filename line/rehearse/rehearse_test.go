package rehearse_test

import (
	"context"
	"testing"
	"time"

	"shedbell/line"
	"shedbell/line/linetest"
	"shedbell/line/rehearse"
)

func TestWholeDay(t *testing.T) {
	for _, tc := range []struct {
		name   string
		delays rehearse.Delays
	}{{"to the second", rehearse.Delays{}}, {"with human delays", rehearse.Typical}} {
		t.Run(tc.name, func(t *testing.T) {
			s := linetest.Open()
			washing := 0
			watch := func(s *line.State, r line.Record) {
				for c := range s.Site.Panel.Circuits {
					if a := s.Site.Panel.Amps(s.Power, c, r.At); a > s.Site.Panel.Circuits[c].RatingA {
						t.Errorf("%v: circuit %d carries %.1f A", r.At, c, a)
					}
				}
				if s.Power.Loads[linetest.Washer].On {
					washing++
					for l, st := range s.Power.Loads {
						if st.On && l != linetest.Washer && !s.Site.Panel.Loads[l].StaysOn {
							t.Errorf("%v: %s is on while the pressure washer runs", r.At, s.Site.Panel.Loads[l].Name)
						}
					}
				}
			}
			res, err := rehearse.Run(context.Background(), s, linetest.Morning, rehearse.Options{Seed: 1, Delays: tc.delays, Watch: watch})
			if err != nil {
				t.Fatal(err)
			}
			f := res.Final
			if f.Unfinished() != 0 || f.Trays.Sown != 18 || f.SowLeft() != 0 || f.Clean.IsZero() || washing == 0 {
				t.Errorf("the day is not done: %d unfinished, %+v", f.Unfinished(), f.Trays)
			}
			if len(res.Refusals) > 0 {
				t.Errorf("refusals: %+v", res.Refusals)
			}
			t.Logf("finish %s, greens cold %s, hands busy %.2f, wet wait %s, peak %v, %d steps", res.Finish.Sub(res.Start), res.Greens.Sub(res.Start), res.HandsBusy, res.WetWait, res.PeakA, len(res.Steps))
			for _, st := range res.Steps {
				t.Logf("%s %-14s %d %s %d trays %s", st.Start.Format("15:04:05"), f.Site.Stations[st.Station].Name, st.Batch, st.Crop, st.Trays, st.End.Sub(st.Start))
			}
		})
	}
}

// A helper for part of the day makes it shorter than without, and longer than with one
// all day; nobody does anything before they come or begins anything after they go.
func TestRehearsalKeepsHours(t *testing.T) {
	finish := func(hours ...line.Hours) time.Time {
		sheet := linetest.Sheet()
		sheet.Crew, sheet.Hours = []string{"Ash", "Rowan"}, hours
		s, _, no := line.Do(line.NewState(linetest.Site(), linetest.Book()), line.OpenDay{Sheet: sheet}, linetest.Morning, "Ash")
		if no != nil {
			t.Fatal(no)
		}
		res, err := rehearse.Run(context.Background(), s, linetest.Morning, rehearse.Options{Seed: 1})
		if err != nil {
			t.Fatal(err)
		}
		return res.Finish
	}
	never := line.Hours{Name: "Rowan", From: linetest.Morning.Add(24 * time.Hour)}
	part := line.Hours{Name: "Rowan", From: linetest.Morning.Add(30 * time.Minute), To: linetest.Morning.Add(2 * time.Hour)}
	alone, some, all := finish(never), finish(part), finish()
	if !all.Before(some) || !some.Before(alone) {
		t.Errorf("done at %s with a helper all day, %s for part of it, %s alone", all, some, alone)
	}
}
