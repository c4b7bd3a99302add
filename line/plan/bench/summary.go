package bench

import (
	"fmt"
	"io"
	"math"
	"strings"
	"text/tabwriter"
	"time"

	"shedbell/line/plan/sched"
)

// Summary scores one set of instances.
type Summary struct {
	Set       string
	Instances int
	// AtBest counts schedules no longer than the published upper bound, and
	// refutations of instances published as infeasible. Proved counts proofs
	// of either kind.
	AtBest, Proved int
	// Solved counts instances with an accepted schedule, Unsolved those with
	// neither schedule nor refutation, Rejected those whose schedule the
	// checker turned down.
	Solved, Unsolved, Rejected int
	// AboveUpper and AboveCriticalPath are means in percent over the solved
	// instances that have the reference; NaN if none has.
	AboveUpper, AboveCriticalPath float64
	// Gap is the mean distance from our own lower bound, in percent.
	Gap     float64
	Elapsed time.Duration // mean
}

// Summarize scores rows set by set, in order of appearance.
func Summarize(rows []Row) []Summary {
	var out []Summary
	at := map[string]int{}
	sums := map[string]*[3]mean{}
	for _, r := range rows {
		if _, ok := at[r.Set]; !ok {
			at[r.Set] = len(out)
			out = append(out, Summary{Set: r.Set})
			sums[r.Set] = &[3]mean{}
		}
		s := &out[at[r.Set]]
		s.add(r)
		if r.Solved() {
			m := sums[r.Set]
			if r.Known != nil && !r.Known.Infeasible {
				m[0].add(percentAbove(r.Makespan, r.Known.Upper))
			}
			m[1].add(percentAbove(r.Makespan, r.CriticalPath))
			m[2].add(percentAbove(r.Makespan, r.LowerBound))
		}
	}
	for i := range out {
		s, m := &out[i], sums[out[i].Set]
		s.AboveUpper, s.AboveCriticalPath, s.Gap = m[0].value(), m[1].value(), m[2].value()
		s.Elapsed /= time.Duration(s.Instances)
	}
	return out
}

// Solved tells whether the row has a schedule that the checker accepts.
func (r *Row) Solved() bool { return r.Scheduled && len(r.Rejected) == 0 }

func (s *Summary) add(r Row) {
	s.Instances++
	s.Elapsed += r.Elapsed
	refuted := r.Status == sched.Infeasible
	switch {
	case r.Solved():
		s.Solved++
	case len(r.Rejected) > 0:
		s.Rejected++
	case !refuted:
		s.Unsolved++
	}
	if refuted || r.Solved() && r.Status == sched.Optimal {
		s.Proved++
	}
	if k := r.Known; k != nil {
		if k.Infeasible && refuted || !k.Infeasible && r.Solved() && r.Makespan <= k.Upper {
			s.AtBest++
		}
	}
}

// mean ignores NaN.
type mean struct {
	sum float64
	n   int
}

func (m *mean) add(x float64) {
	if !math.IsNaN(x) {
		m.sum += x
		m.n++
	}
}

func (m *mean) value() float64 {
	if m.n == 0 {
		return math.NaN()
	}
	return m.sum / float64(m.n)
}

// News tells what a row has that contradicts or betters the published bounds,
// in words, or "".
func (r *Row) News() string {
	k := r.Known
	if k == nil {
		return ""
	}
	var out []string
	switch {
	case k.Infeasible && r.Solved():
		out = append(out, "a schedule, published as infeasible")
	case k.Infeasible:
	case r.Status == sched.Infeasible:
		out = append(out, fmt.Sprintf("refuted, published as %d", k.Upper))
	case r.LowerBound > k.Upper:
		out = append(out, fmt.Sprintf("bound above the published upper %d", k.Upper))
	case r.Solved() && r.Makespan < k.Upper:
		out = append(out, fmt.Sprintf("below the published upper %d", k.Upper))
	case r.LowerBound > k.Lower:
		out = append(out, fmt.Sprintf("bound above the published lower %d", k.Lower))
	}
	return strings.Join(out, "; ")
}

// RowHeader and Row.String are one line per instance, in aligned columns.
const RowHeader = "set      instance        makespan  bound   path  known        proof       time  note"

func (r Row) String() string {
	num := func(n int, ok bool) string {
		if !ok {
			return "-"
		}
		return fmt.Sprint(n)
	}
	known := "-"
	if k := r.Known; k != nil {
		switch {
		case k.Infeasible:
			known = "infeasible"
		case k.Lower == k.Upper:
			known = fmt.Sprint(k.Upper)
		default:
			known = fmt.Sprintf("%d-%d", k.Lower, k.Upper)
		}
	}
	proof := map[sched.Status]string{sched.Optimal: "optimal", sched.Infeasible: "infeasible"}[r.Status]
	if proof == "" {
		proof = "no"
	}
	note := r.News()
	if len(r.Rejected) > 0 {
		note = "REJECTED: " + r.Rejected[0]
	}
	return strings.TrimRight(fmt.Sprintf("%-8s %-14s %9s %6s %6s  %-11s  %-10s %5.2fs  %s", r.Set, r.Instance,
		num(r.Makespan, r.Scheduled), num(r.LowerBound, r.Status != sched.Infeasible), num(r.CriticalPath, true),
		known, proof, r.Elapsed.Seconds(), note), " ")
}

// WriteSummary prints a table with a line for each set.
func WriteSummary(w io.Writer, sums []Summary) error {
	tw := tabwriter.NewWriter(w, 0, 0, 2, ' ', tabwriter.AlignRight)
	fmt.Fprintln(tw, "set\tinstances\tat best known\tproved\tsolved\trejected\tabove upper\tabove critical path\tabove own bound\tmean time\t")
	for _, s := range sums {
		fmt.Fprintf(tw, "%s\t%d\t%s\t%s\t%d\t%d\t%s\t%s\t%s\t%.2fs\t\n", s.Set, s.Instances,
			share(s.AtBest, s.Instances), share(s.Proved, s.Instances), s.Solved, s.Rejected,
			percent(s.AboveUpper), percent(s.AboveCriticalPath), percent(s.Gap), s.Elapsed.Seconds())
	}
	return tw.Flush()
}

func share(n, of int) string {
	if of == 0 {
		return "-"
	}
	return fmt.Sprintf("%d (%.0f%%)", n, 100*float64(n)/float64(of))
}

func percent(x float64) string {
	if math.IsNaN(x) {
		return "-"
	}
	return fmt.Sprintf("%.2f%%", x)
}
