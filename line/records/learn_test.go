package records_test

import (
	"math"
	"testing"
	"time"

	"shedbell/line"
	"shedbell/line/linetest"
	"shedbell/line/pace"
	"shedbell/line/records"
	"shedbell/line/rehearse"
)

func learn(all []line.Record, more ...line.Record) *pace.Learned {
	r := records.NewReader(records.Filter{})
	r.Pace = &pace.Learner{}
	for _, rec := range append(all, more...) {
		r.Add(rec)
	}
	r.Book()
	return r.Pace.Learned("")
}

// Paces and delays that people are made to have in rehearsals are found again in the
// records. A person who is busy answers late, so the reaction may come out longer, never
// shorter by much.
func TestLearnFromRecords(t *testing.T) {
	slow := line.Pace{Fixed: 2 * time.Minute, PerTray: 150 * time.Second}
	truth := func(st *line.Station, crop, _ string) (line.Pace, bool) {
		if st.Kind == line.Pack && crop == "pea" {
			return line.Pace{Fixed: 3 * time.Minute, PerTray: 225 * time.Second}, true
		}
		return slow, st.Kind == line.Pack
	}
	delays := rehearse.Delays{React: 25 * time.Second, ReactSigma: 0.5, WorkSigma: 0.2}
	all := linetest.Worked(40, truth, delays)
	got := learn(all)
	check := func(what string, got, want, within float64) {
		t.Helper()
		if math.Abs(got/want-1) > within {
			t.Errorf("%s: %.3f, want %.3f within %.0f %%", what, got, want, 100*within)
		}
	}
	time4 := func(station, crop string) float64 {
		e, ok := got.Estimate(station, crop, "")
		if !ok {
			t.Fatalf("nothing was learned of %s", station)
		}
		return e.Fixed + 4*e.PerTray
	}
	check("packing radish", time4("packing table", "radish"), 12, 0.06)
	check("packing pea", time4("packing table", "pea"), 18, 0.06)
	check("cutting", time4("cutting table", ""), 4*200.0/60, 0.05)
	d := got.Delays()
	if d.React < 20*time.Second || d.React > 80*time.Second || d.ReactSigma < 0.3 || d.ReactSigma > 1.5 {
		t.Errorf("people react after %s (%v), learned %s (%v)", delays.React, delays.ReactSigma, d.React, d.ReactSigma)
	}
	check("spread of work", d.WorkSigma, 0.2, 0.25)
	if got := learn(nil).Delays(); got != rehearse.Typical {
		t.Errorf("from nothing: %+v", got)
	}
	if p := learn(nil).Paces(); p != nil {
		t.Error("paces from nothing")
	}

	last := all[len(all)-1]
	forgot := learn(all, line.Record{Seq: last.Seq + 1, Group: last.Seq + 1, At: last.At, Event: line.PaceForgotten{Station: "packing table"}})
	if _, ok := forgot.Estimate("packing table", "", ""); ok {
		t.Error("a forgotten pace is still known")
	}
}

// Work that was held, or that a reported trouble slowed, is no evidence of a pace as it is.
func TestWhatIsNoEvidence(t *testing.T) {
	day := func(add ...line.Command) *pace.Learner {
		now := linetest.Morning
		s := linetest.Open()
		first := line.Record{Seq: 1, At: now, Event: line.FirstRecord(s.Site, s.Book)}
		fresh, opened, _ := line.Do(line.NewState(s.Site, s.Book), line.OpenDay{Sheet: linetest.Sheet()}, now, "Ash")
		all := append([]line.Record{first}, opened...)
		do := func(c line.Command) {
			next, recs, no := line.Do(fresh, c, now, "Ash")
			if no != nil {
				t.Fatalf("%T: %s", c, no.Error())
			}
			fresh, all = next, append(all, recs...)
		}
		cut := line.Place{Station: linetest.Cut}
		do(line.Start{Batch: 1, To: cut})
		for _, c := range add {
			now = now.Add(10 * time.Minute)
			do(c)
		}
		now = now.Add(10 * time.Minute)
		do(line.Finish{At: cut})
		r := records.NewReader(records.Filter{})
		r.Pace = &pace.Learner{}
		for _, rec := range all {
			r.Add(rec)
		}
		r.Book()
		return r.Pace
	}
	cut := line.Place{Station: linetest.Cut}
	if got := day().Learned("").Rows(); len(got) == 0 || got[0].N != 1 {
		t.Fatalf("one cut: %+v", got)
	}
	if got := day(line.Hold{At: cut}, line.Resume{At: cut}).Learned("").Rows(); len(got) != 0 {
		t.Errorf("a cut that was held is evidence: %+v", got)
	}
	plain, _ := day().Learned("").Estimate("cutting table", "", "")
	slowed, _ := day(line.ReportTrouble{At: cut, What: "blunt knife", Effect: line.EffectSlow, SlowPercent: 100}).Learned("").Estimate("cutting table", "", "")
	if math.Abs(slowed.PerTray/plain.PerTray-1) > 1e-9 {
		t.Errorf("20 min at half speed show %.3f min a tray, 10 min show %.3f", slowed.PerTray, plain.PerTray)
	}
}
