package meter_test

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"shedbell/line/meter"
)

// A made-up shed of plugs that each send what such plugs do: volts, a counter of energy,
// power with its factor, current. Whichever machine is switched on, the first proposal is
// the current of its own plug, whatever the others draw at rest; with the current left
// out it is the power. What was never heard at rest is still proposed, last.
func TestFinderProposesThePlugOfTheMachine(t *testing.T) {
	for seed := range uint64(500) {
		rnd := rand.New(rand.NewPCG(seed, 17))
		n, volts := 2+rnd.IntN(10), 110+130*rnd.Float64()
		plate := make([]float64, n)
		for i := range plate {
			plate[i] = 2 + 13*rnd.Float64()
		}
		var f meter.Finder
		withCurrent := rnd.IntN(2) == 0
		total := make([]float64, n) // Wh since it was new
		for i := range total {
			total[i] = 900 * rnd.Float64()
		}
		speak := func(i int, a float64) {
			total[i] += a / 30 // in a second
			power := a * volts * (0.6 + 0.4*rnd.Float64())
			current := ""
			if withCurrent {
				current = fmt.Sprintf(`, "a/b": %.3f`, a)
			}
			f.Take(fmt.Sprint("shed/", i), fmt.Appendf(nil, `{"v": %.0f, "total": %.1f, "m": [{"p": %.1f}]%s, "on": true}`, volts, total[i], power, current))
		}
		for i := range plate {
			speak(i, 0.0004*rnd.Float64())
		}
		f.Take("rude\x1b[2J", []byte("not JSON"))
		machine := rnd.IntN(n)
		f.Mark()
		for range 3 {
			for i := range plate {
				a := 0.0004 * rnd.Float64()
				if i == machine {
					a = plate[i] * (0.4 + 0.6*rnd.Float64())
				}
				speak(i, a)
			}
		}
		got := f.Risen(plate[machine], volts)
		want, unit := "/m/0/p", "W"
		if withCurrent {
			want, unit = "/a~1b", "A"
		}
		if len(got) == 0 || got[0].Topic != fmt.Sprint("shed/", machine) || got[0].Pointer != want || got[0].Unit != unit {
			t.Fatalf("seed %d: machine %d of %.1f A, %.0f V: %+v", seed, machine, plate[machine], volts, got)
		}
		if f.Topics() != n {
			t.Fatalf("%d topics of %d", f.Topics(), n)
		}
		f.Mark()
		f.Take("late", fmt.Appendf(nil, "%f", plate[machine]))
		if got := f.Risen(plate[machine], volts); len(got) == 0 || got[0].Topic != "late" || got[0].Pointer != "" {
			t.Fatalf("seed %d: heard for the first time: %+v", seed, got)
		}
	}
}

// A meter that sends without end fills no memory.
func TestFinderRemembersOnlySoMuch(t *testing.T) {
	var f meter.Finder
	for i := range 5000 {
		f.Take(fmt.Sprint("t", i), []byte("1"))
	}
	if f.Topics() != 2000 {
		t.Error(f.Topics())
	}
}
