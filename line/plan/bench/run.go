package bench

import (
	"context"
	"fmt"
	"io"
	"io/fs"
	"math"
	"path"
	"slices"
	"strconv"
	"strings"
	"time"

	"shedbell/line/plan/sched"
)

// Bound is what is published about an instance.
type Bound struct {
	Lower, Upper int
	// Infeasible: published as having no schedule.
	Infeasible bool
}

// Bounds maps "set/instance" to what is published.
type Bounds map[string]Bound

// ReadBounds reads a table with the columns set, instance, lower, upper and
// more: see the README beside it.
func ReadBounds(r io.Reader, name string) (Bounds, error) {
	data, err := io.ReadAll(r)
	if err != nil {
		return nil, err
	}
	out := Bounds{}
	for n, line := range strings.Split(strings.TrimRight(string(data), "\n"), "\n") {
		f := strings.Split(strings.TrimRight(line, "\r"), ",")
		if n == 0 {
			if len(f) < 4 || f[0] != "set" || f[1] != "instance" || f[2] != "lower" || f[3] != "upper" {
				return nil, fmt.Errorf("%s:1: the columns must begin with set,instance,lower,upper", name)
			}
			continue
		}
		if len(f) < 4 {
			return nil, fmt.Errorf("%s:%d: %d columns where at least 4 belong", name, n+1, len(f))
		}
		key := f[0] + "/" + f[1]
		if f[3] == "infeasible" {
			out[key] = Bound{Infeasible: true}
			continue
		}
		lo, err1 := strconv.Atoi(f[2])
		up, err2 := strconv.Atoi(f[3])
		if err1 != nil || err2 != nil || lo > up {
			return nil, fmt.Errorf("%s:%d: bounds %q to %q", name, n+1, f[2], f[3])
		}
		out[key] = Bound{Lower: lo, Upper: up}
	}
	return out, nil
}

// Row is the outcome on one instance.
type Row struct {
	Set, Instance string
	Status        sched.Status
	Scheduled     bool // a schedule was found
	Makespan      int
	LowerBound    int
	CriticalPath  int
	Known         *Bound
	Elapsed       time.Duration
	Conflicts     int64
	// Rejected holds the checker's complaints; such a schedule counts as none.
	Rejected []string
}

// Options steer Run.
type Options struct {
	Budget  time.Duration // per instance
	Workers int           // goroutines that search, 1 or 2; 0: 2
	Seed    uint64
	// Set names the set of instances that lie in no folder of their own.
	Set string
	// Now is the clock for Row.Elapsed; nil leaves it 0.
	Now func() time.Time
	// Progress is called after each instance.
	Progress func(Row)
}

// Run solves every instance under fsys, folder by folder in name order. The
// folder's name is the set; for instances at the top, opt.Set names it. It
// ends early, with what it has, when ctx does.
func Run(ctx context.Context, fsys fs.FS, bounds Bounds, opt Options) ([]Row, error) {
	var names []string
	err := fs.WalkDir(fsys, ".", func(name string, d fs.DirEntry, err error) error {
		if err == nil && !d.IsDir() && IsInstance(name) {
			names = append(names, name)
		}
		return err
	})
	if err != nil {
		return nil, err
	}
	slices.SortStableFunc(names, func(a, b string) int { return strings.Compare(path.Dir(a), path.Dir(b)) })
	var rows []Row
	for _, name := range names {
		if ctx.Err() != nil {
			break
		}
		row, err := runOne(ctx, fsys, name, bounds, opt)
		if err != nil {
			return rows, err
		}
		rows = append(rows, row)
		if opt.Progress != nil {
			opt.Progress(row)
		}
	}
	return rows, nil
}

func runOne(ctx context.Context, fsys fs.FS, name string, bounds Bounds, opt Options) (Row, error) {
	f, err := fsys.Open(name)
	if err != nil {
		return Row{}, err
	}
	defer f.Close()
	in, err := Read(f, name)
	if err != nil {
		return Row{}, err
	}
	set := path.Base(path.Dir(name))
	if set == "." {
		set = opt.Set
	}
	row := Row{Set: set, Instance: path.Base(name)}
	if k, ok := bounds[set+"/"+row.Instance]; ok {
		row.Known = &k
	}
	row.CriticalPath, _ = in.CriticalPath()
	began := opt.clock()
	if opt.Budget > 0 {
		var cancel context.CancelFunc
		ctx, cancel = context.WithTimeout(ctx, opt.Budget)
		defer cancel()
	}
	workers := opt.Workers
	if workers == 0 {
		workers = 2
	}
	res, err := sched.Solve(ctx, in.Problem(), sched.Options{Workers: workers, Seed: opt.Seed})
	if err != nil {
		return Row{}, fmt.Errorf("%s: %w", name, err)
	}
	row.Elapsed = opt.clock().Sub(began)
	row.Status, row.Conflicts = res.Status, res.Stats.Conflicts
	row.LowerBound = max(row.CriticalPath, res.Bounds[0])
	if res.Best == nil {
		return row, nil
	}
	row.Scheduled, row.Makespan = true, res.Best.Values[0]
	row.Rejected = in.Violations(res.Best.Start, row.Makespan)
	return row, nil
}

// clock reads the caller's clock.
func (o *Options) clock() time.Time {
	if o.Now == nil {
		return time.Time{}
	}
	return o.Now()
}

// percentAbove is how far a makespan is above a reference, in percent; NaN if
// there is none.
func percentAbove(makespan, reference int) float64 {
	if reference <= 0 {
		return math.NaN()
	}
	return 100 * float64(makespan-reference) / float64(reference)
}
