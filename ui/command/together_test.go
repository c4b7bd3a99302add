package command

import (
	"fmt"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"pgregory.net/rapid"

	"shedbell/power"
)

// The smallest overloads are compared with trying out every set of loads.
func TestNeverTogetherIsExact(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := &power.Panel{VoltageV: 120, Circuits: []power.Circuit{{Name: "c", RatingA: 15}}}
		for i := range rapid.IntRange(0, 7).Draw(t, "loads") {
			p.Loads = append(p.Loads, power.Load{Name: fmt.Sprint(i), Cycles: rapid.IntRange(0, 5).Draw(t, "cycles") == 0,
				Alone: rapid.IntRange(0, 3).Draw(t, "alone") == 0, StaysOn: rapid.Bool().Draw(t, "stays"),
				Settings: []power.Setting{{Name: "high", AmpsA: 20}, {Name: "low", AmpsA: float64(rapid.IntRange(1, 12).Draw(t, "amps"))}}})
			if l := &p.Loads[i]; l.Cycles {
				l.Settings, l.Alone = []power.Setting{{Name: "on", AmpsA: 2}}, false
			}
		}
		l := limits(p)[0]
		sets, more := l.neverTogether(p)
		got := map[uint]bool{}
		for _, set := range sets {
			var mask uint
			for _, i := range set {
				mask |= 1 << i
			}
			if got[mask] {
				t.Fatalf("set %b is listed twice", mask)
			}
			got[mask] = true
			refusedInAnyOrder(t, p, set)
		}
		want := smallest(p)
		if more != (len(want) > mostSets) || !more && len(got) != len(want) {
			t.Fatalf("%d sets, more %v, want %d", len(got), more, len(want))
		}
		for mask := range got {
			if !want[mask] {
				t.Fatalf("set %b is not one of the smallest", mask)
			}
		}
	})
}

// refusedInAnyOrder starts a set at its lowest settings, from either end: the
// interlock does not let all of it run.
func refusedInAnyOrder(t *rapid.T, p *power.Panel, set []int) {
	back := slices.Clone(set)
	slices.Reverse(back)
	for _, order := range [][]int{set, back} {
		now, refused := time.Date(2026, 12, 3, 8, 0, 0, 0, time.UTC), false
		s := power.NewState(p)
		for _, i := range order {
			now = now.Add(time.Minute)
			low := len(p.Loads[i].Settings) - 1
			if refused = !p.Judge(s, power.Ask{Load: i, Setting: low}, now).Allowed; refused {
				break
			}
			s = s.Switched(p, i, power.Status{On: true, Setting: low, Since: now}, now)
		}
		if !refused {
			t.Fatalf("the interlock lets %v run together", order)
		}
	}
}

// smallest tries every set of loads that do not cycle: it exceeds 15 A, without
// any one of its loads it does not, and one that runs alone is only with loads
// that stay on.
func smallest(p *power.Panel) map[uint]bool {
	sum := func(mask uint) int {
		s := 0
		for i := range p.Loads {
			switch l := &p.Loads[i]; {
			case l.Cycles:
				s += 2
			case mask>>i&1 == 1:
				s += int(l.Settings[1].AmpsA)
			}
		}
		return s
	}
	out := map[uint]bool{}
	for mask := range uint(1) << len(p.Loads) {
		ok := sum(mask) > 15 && mask != 0
		for i := range p.Loads {
			if mask>>i&1 == 1 && (p.Loads[i].Cycles || sum(mask&^(1<<i)) > 15) {
				ok = false
			}
			for k := range p.Loads {
				both := mask>>i&1 == 1 && mask>>k&1 == 1 && i != k
				if both && p.Loads[i].Alone && (p.Loads[k].Alone || !p.Loads[k].StaysOn) {
					ok = false
				}
			}
		}
		if ok {
			out[mask] = true
		}
	}
	return out
}

// Many small loads have more sets than can be gone through; those that fit
// together are not.
func TestNeverTogetherOfManyLoads(t *testing.T) {
	p := &power.Panel{VoltageV: 120, Circuits: []power.Circuit{{Name: "c", RatingA: 15}}}
	for i := range 150 {
		p.Loads = append(p.Loads, power.Load{Name: fmt.Sprint(i), StaysOn: i > 0, Alone: i == 0, Settings: []power.Setting{{Name: "on", AmpsA: 0.1}}})
	}
	if sets, more := limitOf(p).neverTogether(p); len(sets) != 0 || more {
		t.Errorf("150 times 0.1 A fit on 15 A, yet %d sets do not", len(sets))
	}
	p.Circuits[0].RatingA = 10
	if sets, more := limitOf(p).neverTogether(p); len(sets) != mostSets || !more {
		t.Errorf("%d sets, more %v", len(sets), more)
	}
}

func limitOf(p *power.Panel) *limit { return &limits(p)[0] }

// Expected folders are those of the XDG Base Directory Specification 0.8,
// "$XDG_DATA_HOME ... $HOME/.local/share should be used", and "If an
// implementation encounters a relative path ... it should ... ignore it"; those
// of other systems are from memory.
func TestDataFolder(t *testing.T) {
	for _, tc := range []struct {
		asked, goos string
		vars        map[string]string
		want        string
	}{
		{"here", "linux", map[string]string{"SHEDBELL_DATA": "/env", "HOME": "/home/ash"}, "here"},
		{"", "linux", map[string]string{"SHEDBELL_DATA": "/env", "XDG_DATA_HOME": "/xdg", "HOME": "/home/ash"}, "/env"},
		{"", "linux", map[string]string{"XDG_DATA_HOME": "/xdg", "HOME": "/home/ash"}, "/xdg/shedbell"},
		{"", "linux", map[string]string{"XDG_DATA_HOME": "xdg", "HOME": "/home/ash"}, "/home/ash/.local/share/shedbell"},
		{"", "linux", map[string]string{"HOME": "/home/ash"}, "/home/ash/.local/share/shedbell"},
		{"", "darwin", map[string]string{"HOME": "/Users/ash"}, "/Users/ash/Library/Application Support/shedbell"},
		{"", "windows", map[string]string{"LOCALAPPDATA": "/local", "USERPROFILE": "/ash"}, "/local/shedbell"},
		{"", "windows", map[string]string{"USERPROFILE": "/ash"}, "/ash/AppData/Local/shedbell"},
		{"", "linux", nil, ""},
	} {
		got, err := dataFolder(tc.asked, tc.goos, func(k string) string { return tc.vars[k] })
		if (err != nil) != (tc.want == "") || filepath.ToSlash(got) != tc.want {
			t.Errorf("%q on %s with %v: %q, %v, want %q", tc.asked, tc.goos, tc.vars, got, err, tc.want)
		}
	}
}
