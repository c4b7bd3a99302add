package bench_test

import (
	"context"
	"math"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"shedbell/line/plan/bench"
	"shedbell/line/plan/sched"
	"shedbell/recipes/strictfile/fuzztest"
)

// A made-up project of two real jobs on one resource of 2 units: 3 long with
// 2 units, then 4 long with 1.
const tinySM = `************************************************************************
file with basedata            : made up
************************************************************************
projects                      :  1
jobs (incl. supersource/sink ):  4
horizon                       :  7
RESOURCES
  - renewable                 :  1   R
  - nonrenewable              :  0   N
  - doubly constrained        :  0   D
************************************************************************
PROJECT INFORMATION:
pronr.  #jobs rel.date duedate tardcost  MPM-Time
    1      2      0        7       0        7
************************************************************************
PRECEDENCE RELATIONS:
jobnr.    #modes  #successors   successors
   1        1          2           2   3
   2        1          1           4
   3        1          1           4
   4        1          0
************************************************************************
REQUESTS/DURATIONS:
jobnr. mode duration  R 1
------------------------------------------------------------------------
  1      1     0       0
  2      1     3       2
  3      1     4       1
  4      1     0       0
************************************************************************
RESOURCEAVAILABILITIES:
  R 1
    2
************************************************************************
`

// The same with a maximal lag: 2 may start at most 1 after 1 starts, which
// the shared resource forbids.
const tinySCH = "2\t1\t0\t0\r\n" +
	"0\t1\t2\t1\t2\t[0]\t[0]\r\n" +
	"1\t1\t1\t3\t[3]\r\n" +
	"2\t1\t2\t3\t1\t[4]\t[-1]\r\n" +
	"3\t1\t0\r\n" +
	"0\t1\t0\t0\r\n1\t1\t3\t2\r\n2\t1\t4\t1\r\n3\t1\t0\t0\r\n2\r\n"

const tinyJSS = "# two jobs\n2 2\n0 3 1 2\n1 2 0 4\n"

func TestReadsTheThreeFormats(t *testing.T) {
	cases := []struct {
		name, text string
		activities int
		path       int // longest chain of durations and lags, by hand
	}{
		{"a.sm", tinySM, 4, 4},
		{"a.SCH", tinySCH, 4, 4},
		{"a.jss", tinyJSS, 4, 6},
	}
	for _, c := range cases {
		in, err := bench.Read(strings.NewReader(c.text), c.name)
		if err != nil {
			t.Fatal(err)
		}
		if path, ok := in.CriticalPath(); len(in.Duration) != c.activities || !ok || path != c.path {
			t.Errorf("%s: %d activities, critical path %d, %v", c.name, len(in.Duration), path, ok)
		}
	}
}

func TestMalformedLinesAreNamed(t *testing.T) {
	cases := []struct{ name, text, from, to, want string }{
		{"a.sm", tinySM, "   2        1          1           4", "   2        1          2           4", "a.sm:19: 2 successors announced, 1 listed"},
		{"a.sm", tinySM, "   3        1          1           4", "   3        1          1           9", "a.sm:20: successor 9 of job 3"},
		{"a.sm", tinySM, "  2      1     3       2", "  2      1     x       2", `a.sm:27: "x" is not a whole number`},
		{"a.sm", tinySM, "  2      1     3       2", "  2      1     3", "a.sm:27: 0 requests for 1 resources"},
		{"a.sm", tinySM, "  3      1     4       1", "  3      1     -4       1", "a.sm:28: -4 is negative"},
		{"a.sm", tinySM, "nonrenewable              :  0", "nonrenewable              :  2", "a.sm:9: only renewable"},
		{"a.sm", tinySM, "    2\n****", "    2 3\n****", "a.sm:33: 2 capacities for 1 resources"},
		{"a.sch", tinySCH, "[-1]", "-1", `a.sch:4: "-1" is not a lag`},
		{"a.sch", tinySCH, "1\t1\t1\t3\t[3]", "1\t1\t2\t3\t[3]", "a.sch:3: 2 successors need 7 fields, not 5"},
		{"a.sch", tinySCH, "\r\n2\r\n", "\r\n", "a.sch:10: the file ends too early"},
		{"a.sch", tinySCH, "3\t1\t0\r\n0", "3\t1\t1\t7\t[0]\r\n0", "a.sch:5: successor 7"},
		{"a.jss", tinyJSS, "1 2 0 4", "1 2 2 4", "a.jss:4: machine 2"},
		{"a.jss", tinyJSS, "0 3 1 2", "0 3 1", "a.jss:3: 3 numbers"},
		{"a.jss", tinyJSS, "2 2", "9000000 2", "a.jss:2: 9000000 is beyond"},
		{"a.txt", "", "", "", "not one of"},
	}
	for _, c := range cases {
		_, err := bench.Read(strings.NewReader(strings.Replace(c.text, c.from, c.to, 1)), c.name)
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("got %v, want %q", err, c.want)
		}
	}
}

func TestRunScoresAndChecks(t *testing.T) {
	fsys := fstest.MapFS{
		"tiny/a.sm":   {Data: []byte(tinySM)},
		"lags/b.sch":  {Data: []byte(tinySCH)},
		"shop/c.jss":  {Data: []byte(tinyJSS)},
		"shop/readme": {Data: []byte("not an instance")},
		// More than there is of a resource is infeasible, not malformed.
		"lags/d.sch": {Data: []byte(strings.Replace(tinySCH, "1\t1\t3\t2\r\n", "1\t1\t3\t9\r\n", 1))},
	}
	bounds, err := bench.ReadBounds(strings.NewReader(
		"set,instance,lower,upper,critical_path,source\ntiny,a.sm,6,7,4,x\nlags,b.sch,5,5,4,x\nshop,c.jss,7,8,6,x\nlags,d.sch,infeasible,infeasible,4,x\n"), "bounds.csv")
	if err != nil {
		t.Fatal(err)
	}
	now := time.Unix(0, 0)
	seen := 0
	rows, err := bench.Run(context.Background(), fsys, bounds, bench.Options{
		Now:      func() time.Time { now = now.Add(time.Second); return now },
		Progress: func(bench.Row) { seen++ },
	})
	if err != nil || len(rows) != 4 || seen != 4 {
		t.Fatalf("%d rows, %d seen, %v", len(rows), seen, err)
	}
	// By hand: the two jobs of a.sm and b.sch share two units and need three,
	// so they run one after the other. In b.sch job 2 may start at most 1
	// after job 1, which is not done by then: so job 2 goes first.
	want := map[string]struct {
		status   sched.Status
		makespan int
	}{
		"a.sm":  {sched.Optimal, 7},
		"b.sch": {sched.Optimal, 7},
		"c.jss": {sched.Optimal, 7},
		"d.sch": {sched.Infeasible, 0},
	}
	for _, r := range rows {
		w := want[r.Instance]
		if r.Status != w.status || r.Makespan != w.makespan || len(r.Rejected) > 0 || r.Elapsed != time.Second {
			t.Errorf("%+v, want %+v", r, w)
		}
	}
	var text strings.Builder
	sums := bench.Summarize(rows)
	if err := bench.WriteSummary(&text, sums); err != nil {
		t.Fatal(err)
	}
	for _, s := range sums {
		if s.Set == "shop" && (s.AtBest != 1 || s.Proved != 1 || s.AboveUpper != -12.5) {
			t.Errorf("%+v", s)
		}
		if s.Set == "lags" && (s.Instances != 2 || s.Proved != 2 || s.AtBest != 1 || s.AboveUpper != 40) {
			t.Errorf("%+v", s)
		}
	}
	if !strings.Contains(text.String(), "-12.50%") {
		t.Error(text.String())
	}
	for _, r := range rows {
		if r.Instance == "c.jss" && !strings.Contains(r.String(), "below the published upper 8") {
			t.Error(r)
		}
	}
}

func TestCheckerSeesViolations(t *testing.T) {
	in, err := bench.Read(strings.NewReader(tinySM), "a.sm")
	if err != nil {
		t.Fatal(err)
	}
	if bad := in.Violations([]int{0, 0, 3, 7}, 7); len(bad) != 0 {
		t.Error(bad)
	}
	for _, starts := range [][]int{{0, 0, 2, 7}, {0, 0, 3, 6}, {0, -3, 0, 7}, {0, 0, 3}} {
		if bad := in.Violations(starts, 7); len(bad) == 0 {
			t.Errorf("%v was accepted", starts)
		}
	}
	if bad := in.Violations([]int{0, 0, 3, 7}, 6); len(bad) == 0 {
		t.Error("a false makespan was accepted")
	}
}

func TestBadBounds(t *testing.T) {
	for _, text := range []string{"", "set,instance\n", "set,instance,lower,upper\na,b,5\n", "set,instance,lower,upper\na,b,9,5\n", "set,instance,lower,upper\na,b,x,5\n"} {
		if _, err := bench.ReadBounds(strings.NewReader(text), "b.csv"); err == nil {
			t.Errorf("%q was accepted", text)
		}
	}
}

func TestNoReferenceNoFigure(t *testing.T) {
	s := bench.Summarize([]bench.Row{{Set: "x", Scheduled: true, Makespan: 5, LowerBound: 4}})
	if !math.IsNaN(s[0].AboveUpper) || !math.IsNaN(s[0].AboveCriticalPath) || s[0].Gap != 25 {
		t.Errorf("%+v", s[0])
	}
}

func fuzzFormat(f *testing.F, name string, seeds ...string) {
	for _, s := range seeds {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		defer fuzztest.Bound(t)()
		in, err := bench.Read(strings.NewReader(text), name)
		if err != nil {
			if !strings.HasPrefix(err.Error(), name+":") {
				t.Errorf("error without its place: %v", err)
			}
			return
		}
		if err := in.Problem().Check(); err != nil {
			t.Errorf("read a problem that the solver turns down: %v", err)
		}
	})
}

func FuzzSM(f *testing.F)  { fuzzFormat(f, "a.sm", tinySM) }
func FuzzSCH(f *testing.F) { fuzzFormat(f, "a.sch", tinySCH) }
func FuzzJSS(f *testing.F) { fuzzFormat(f, "a.jss", tinyJSS) }
