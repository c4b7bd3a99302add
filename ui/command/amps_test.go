package command_test

import (
	"slices"
	"testing"
	"time"

	"shedbell/ui/command"
)

// answer is what a script reads from `amps --json`, declared apart from the
// program's own types so that a renamed key fails here.
type answer struct {
	Allowed   *bool
	Circuit   string
	AmpsNow   float64 `json:"amps_now"`
	AmpsAfter float64 `json:"amps_after"`
	LimitA    float64 `json:"limit_a"`
	Reasons   []struct{ Rule, Text string }
	SwitchOff []string `json:"switch_off"`
	Earliest  *string
	MarginS   *float64 `json:"margin_s"`
}

func TestAmps(t *testing.T) {
	tight := testdata + "command/tight_line.toml"
	for _, tc := range []struct {
		name              string
		line, on, start   string
		code              int
		circuit           string
		now, after, limit float64
		rules, off        []string
	}{
		// 14 A for a pressure washer: common practice, no source. The sums are
		// Kirchhoff's current law.
		{name: "washer beside a fan", line: tight, on: "fan", start: "pressure-washer", code: 3,
			circuit: "wet", now: 2, after: 16, limit: 15, rules: []string{"rating"}, off: []string{"fan"}},
		{name: "fan confirmed off", line: tight, start: "pressure-washer", code: 0, circuit: "wet", now: 0, after: 14, limit: 15},
		{name: "runs alone", on: "fans:low,fridge", start: "pressure-washer", code: 3,
			circuit: "wet wall", now: 0, after: 14, limit: 20, rules: []string{"alone"}, off: []string{"rack-fans"}},
		{name: "beside what stays on", on: "fridge,lights", start: "washer", code: 0, circuit: "wet wall", now: 0, after: 14, limit: 20},
		{name: "the fridge is reserved for unnamed", start: "fans:high", code: 0, circuit: "cold wall", now: 6, after: 10.2, limit: 20},
		{name: "the fridge counts once", on: "fridge", start: "fans:high", code: 0, circuit: "cold wall", now: 6, after: 10.2, limit: 20},
		{name: "no setting is the hungriest", on: "fridge", start: "fans", code: 0, circuit: "cold wall", now: 6, after: 10.2, limit: 20},
		{name: "up a setting", on: "fans:low", start: "rack-fans:high", code: 0, circuit: "cold wall", now: 7.6, after: 10.2, limit: 20},
		{name: "case and spaces", on: " Fans:low , FRIDGE ", start: "Tub-Blower", code: 0, circuit: "wet wall", now: 0, after: 5.8, limit: 20},
	} {
		t.Run(tc.name, func(t *testing.T) {
			args := []string{"amps", "--json", "--start", tc.start}
			if tc.on != "" {
				args = append(args, "--on", tc.on)
			}
			if tc.line != "" {
				args = append(args, "--line", tc.line)
			}
			s := newShell(t)
			s.want(t, tc.code, args...)
			if s.err.Len() > 0 {
				t.Errorf("standard error: %s", s.err.String())
			}
			var a answer
			s.decode(t, &a)
			if a.Allowed == nil || *a.Allowed != (tc.code == 0) {
				t.Errorf("allowed is %v with exit code %d", a.Allowed, tc.code)
			}
			if a.Circuit != tc.circuit || a.AmpsNow != tc.now || a.AmpsAfter != tc.after || a.LimitA != tc.limit {
				t.Errorf("%q %g A now, %g A after, of %g A", a.Circuit, a.AmpsNow, a.AmpsAfter, a.LimitA)
			}
			sameWays(t, &a, tc.rules, tc.off)
		})
	}
}

// sameWays checks which rules refuse and what is to be switched off; neither is
// ever null.
func sameWays(t *testing.T, a *answer, rules, off []string) {
	t.Helper()
	var got []string
	for _, r := range a.Reasons {
		got = append(got, r.Rule)
		if r.Text == "" {
			t.Errorf("rule %s has no text", r.Rule)
		}
	}
	if a.Reasons == nil || !slices.Equal(got, rules) {
		t.Errorf("rules %v, want %v", got, rules)
	}
	if a.SwitchOff == nil || !slices.Equal(a.SwitchOff, off) {
		t.Errorf("switch off %v, want %v", a.SwitchOff, off)
	}
}

// Two motors are not to start at once: the answer is how long to wait, which is
// right when a second less is refused.
func TestWaitForAnotherMotor(t *testing.T) {
	s := newShell(t)
	ask := func(code int, onFor string) (a answer) {
		s.want(t, code, "amps", "--json", "--on", "spinner", "--on-for", onFor, "--start", "tub-blower")
		s.decode(t, &a)
		return a
	}
	a := ask(command.ExitRefused, "0s")
	if len(a.Reasons) != 1 || a.Reasons[0].Rule != "overlap" || len(a.SwitchOff) != 0 || a.Earliest == nil {
		t.Fatalf("answer %+v", a)
	}
	if wait := instant(t, *a.Earliest).Sub(nine); wait != time.Second { // the starter line's spinner starts for 1 s
		t.Errorf("wait for %s", wait)
	}
	if a := ask(command.ExitOK, "1s"); a.Earliest != nil || a.MarginS == nil || *a.MarginS <= 0 {
		t.Errorf("a second later: %+v", a)
	}
}

// What the answer says to switch off makes the same question allowed.
func TestSwitchingOffHelps(t *testing.T) {
	loads := []string{"tub-blower", "spinner", "drain-pump", "rack-fans:high", "fridge", "lights"}
	whole := map[string]string{"rack-fans": "rack-fans:high"}
	asked := 0
	for set := range 1 << len(loads) {
		var on []string
		for i, l := range loads {
			if set>>i&1 == 1 {
				on = append(on, l)
			}
		}
		s := newShell(t)
		if s.run(ampsArgs(on)...) != command.ExitRefused {
			continue
		}
		var a answer
		s.decode(t, &a)
		asked++
		left := slices.DeleteFunc(slices.Clone(on), func(l string) bool {
			return slices.ContainsFunc(a.SwitchOff, func(off string) bool { return off == l || whole[off] == l })
		})
		if len(a.SwitchOff) == 0 || len(left) != len(on)-len(a.SwitchOff) {
			t.Errorf("on %v: switch off %v", on, a.SwitchOff)
		}
		s.want(t, command.ExitOK, ampsArgs(left)...)
	}
	if asked < 60 { // all but the four sets of fridge and lights are refused
		t.Errorf("only %d of the questions were refused", asked)
	}
}

func ampsArgs(on []string) []string {
	args := []string{"amps", "--json", "--start", "pressure-washer"}
	for _, l := range on {
		args = append(args, "--on", l)
	}
	return args
}
