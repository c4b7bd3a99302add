package power

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"
)

// The refusals as a person reads them. Times to trip are those of the model: 21 of
// 20 A from a heat of 0.09 takes 20.16 ln((1.1025-0.09)/0.1025) = 46.2 s.
func TestRefusalsInWords(t *testing.T) {
	motor := Load{Settings: amps(6), StartingA: 25, StartingTime: 500 * time.Millisecond}
	p := &Panel{VoltageV: 120, Feeders: []Feeder{{Name: "shed", RatingA: 30}},
		Circuits: []Circuit{{Name: "tub, spin", RatingA: 15}, {Name: "rack, cold", RatingA: 20, Feeder: "shed", Leg: LegA},
			{Name: "pump", RatingA: 30, Feeder: "shed", Leg: LegBoth}},
		Loads: []Load{
			{Name: "washer", Circuit: 0, Settings: amps(14), Alone: true},
			{Name: "rack fans", Circuit: 1, Settings: []Setting{{"low", 2}, {"high", 9}}},
			{Name: "fridge", Circuit: 1, Settings: amps(6), Cycles: true, StaysOn: true},
			{Name: "blower", Circuit: 1, Settings: motor.Settings, StartingA: 25, StartingTime: motor.StartingTime},
			{Name: "pump", Circuit: 2, Settings: amps(18)},
			{Name: "spinner", Circuit: 0, Settings: amps(5), StartingA: 80, StartingTime: time.Second},
			{Name: "mixer", Circuit: 1, Settings: amps(0)},
		},
	}
	end := t0.Add(21 * time.Minute)
	fans := NewState(p).Switched(p, 1, Status{On: true, Setting: 1, Since: t0, Until: end}, t0)
	for _, c := range []struct {
		s    State
		q    Ask
		now  time.Time
		want string
	}{
		{fans, Ask{Load: 3}, t0, `Not now: "rack, cold" would carry 21.0 of 20 A: 15.0 A now plus 6.0 A. It could trip in about 46 s. ` +
			`6.0 A of it is kept for fridge, which may start by itself. Switch off rack fans, or wait until 14:51.`},
		{fans, Ask{Load: 0}, end, `Not now: washer runs alone. On now: rack fans. "tub, spin" carries 0.0 A now and would carry 14.0 of 15 A. Switch off rack fans, or confirm that rack fans is off.`},
		{fans, Ask{Load: 4}, t0, `Not now: feeder "shed" leg A would carry 33.0 of 30 A: 15.0 A now plus 18.0 A. It could trip in about 35 s. ` +
			`6.0 A of it is kept for fridge, which may start by itself. Switch off rack fans, or wait until 14:51.`},
		{NewState(p), Ask{Load: 5}, t0, `Not now: Starting spinner takes "tub, spin" to 80.0 A for 1 s, 0.0 A now and 5.0 A after, limit 15 A: ` +
			`above 5 times its rating it may trip at once. It won't fit on this circuit even with everything else off.`},
		{NewState(p), Ask{Load: 6}, t0, `Not now: mixer has no amps at "on". Read its nameplate and enter them. "rack, cold" carries 6.0 A now and would carry 6.0 of 20 A.`},
		{NewState(p).Tripped(p, 1, t0), Ask{Load: 3}, t0, `Not now: "rack, cold" has tripped. Find out why, then reset it. "rack, cold" carries 0.0 A now and would carry 6.0 of 20 A.`},
		{NewState(p), Ask{Load: 1, Setting: 1, For: 4 * time.Hour}, t0, `"rack, cold" would carry 15.0 of 20 A: room for 2.8 A more.`},
		{NewState(p).Switched(p, 3, on(0, t0), t0), Ask{Load: 1, Setting: 1, For: 4 * time.Hour}, t0.Add(time.Second),
			`Not now: "rack, cold" would carry 21.0 of 20 A: 12.0 A now plus 9.0 A. It could trip in about 45 s. ` +
				`6.0 A of it is kept for fridge, which may start by itself. Switch off blower.`},
		{NewState(p).Switched(p, 1, on(0, t0), t0), Ask{Load: 1, Setting: 1, For: 6 * time.Hour}, t0.Add(time.Second),
			`"rack, cold" would carry 15.0 of 20 A: room for 2.8 A more.`},
	} {
		v := p.Judge(c.s, c.q, c.now)
		if got := v.Says().String(); got != c.want {
			t.Errorf("got  %s\nwant %s", got, c.want)
		}
	}
}

// Every refusal gives the place, the figures, a rule and a way out or says that
// there is none; an allowed start gives none of it.
func TestRefusalsAreComplete(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, s, q, now := askSomething(t, 8)
		v := p.Judge(s, q, now)
		if v.Allowed {
			if len(v.Reasons)+len(v.SwitchOff)+len(v.Confirm) > 0 || len(v.WayOut) > 0 || !v.Earliest.IsZero() || v.TripIn != 0 || v.Margin < 0 || v.MarginA < -1e-9 && v.AmpsAfter > v.AmpsNow {
				t.Fatalf("allowed, yet %+v", v)
			}
			return
		}
		first := v.Reasons[0]
		if len(v.WayOut) == 0 && first.Rule != RuleTripped && rulesOf(v)[0] != RuleUnknown {
			t.Fatalf("no way out: %+v", v)
		}
		for _, r := range v.Reasons {
			if r.Rule == "" || !strings.HasSuffix(r.Says.String(), ".") || strings.ContainsAny(r.Says.String(), "!\n") {
				t.Fatalf("%q says %q", r.Rule, r.Says)
			}
		}
		if first.Rule == RuleRating || first.Rule == RuleFeeder {
			for _, want := range []string{v.Where().String(), fmt.Sprintf("%.1f of", v.AmpsAfter), fmt.Sprintf("%.1f A now", v.AmpsNow), fmt.Sprintf("%.4g A", v.LimitA)} {
				if !strings.Contains(first.Says.String(), want) {
					t.Fatalf("%q lacks %q", first.Says, want)
				}
			}
		}
	})
}
