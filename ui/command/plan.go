package command

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"strings"
	"time"

	"shedbell/line"
	"shedbell/line/plan"
	"shedbell/line/plan/bench"
)

type planCmd struct {
	Day    string        `placeholder:"FILE" help:"Day sheet. Else day.toml of the data folder, else the starter day, today."`
	Budget time.Duration `default:"2s" placeholder:"TIME" help:"How long the search may take (default 2s); with --bench for each instance."`
	Seed   uint64        `default:"1" placeholder:"N" help:"Seed of the search (default 1)."`
	JSON   bool          `name:"json" help:"Print one JSON object."`
	Bench  string        `placeholder:"DIR" help:"Solve the open scheduling instances in DIR (.sm, .sch, .jss) and score the solver."`
	Sample int           `placeholder:"N" help:"With --bench: only about N instances, spread over the sets."`
}

// Help is shown after the summary of the flags.
func (*planCmd) Help() string {
	return `Finds the best order for the day: due times first, then greens that must not wait wet, then the day's end. The bound says that no plan can end earlier; where both meet, the plan is proved best. What one more person, basket, shelf or circuit would save is planned anew each time.`
}

func (p *planCmd) Run(a *app) error {
	if p.Budget <= 0 || p.Budget > time.Hour {
		return fmt.Errorf("--budget %s cannot be meant. Give up to 1h", p.Budget)
	}
	if p.Bench != "" {
		return p.bench(a)
	}
	in := a.readDay(p.Day)
	if len(in.faults) > 0 {
		return &faultsError{in.faults}
	}
	s, sheet, err := in.opened(a)
	if err != nil {
		return err
	}
	made, err := plan.Solve(a.ctx, s, sheet.Start, plan.Options{Budget: p.Budget, WhatIf: p.Budget / 2, Seed: p.Seed})
	var unmet *plan.Impossible
	if err != nil && (!errors.As(err, &unmet) || made == nil) {
		return err
	}
	rep := made.Report(unmet)
	if p.JSON {
		return writeJSON(a.env.Stdout, rep)
	}
	_, err = a.env.Stdout.Write([]byte(planText(s.Site.Name, sheet, &rep)))
	return err
}

func planText(site string, sheet *line.Sheet, r *plan.Report) string {
	var b strings.Builder
	fmt.Fprintf(&b, "Plan for %s, %s\n%s of %s\n\n", r.Made.Format("Mon 2 Jan 2006"), site,
		count(sheet.Trays(), "tray", "trays"), count(len(sheet.Crops), "crop", "crops"))
	var rows [][]string
	for _, s := range r.Steps {
		mark := ""
		if s.Tight {
			mark = "*"
		}
		rows = append(rows, []string{s.Start.Format("15:04"), s.End.Format("15:04"), mark, s.Station, s.Name, s.Setting})
	}
	b.WriteString(table([]column{{head: "start"}, {head: "end"}, {head: "*"}, {head: "station", most: 20}, {head: "what", most: 22}, {head: "setting"}}, rows))
	fmt.Fprintf(&b, "\n* holds up the day's end: %s\n\n", r.Binding)
	fmt.Fprintf(&b, "finish    %s\nbound     %s, no plan ends earlier\n", r.Finish.Format("15:04:05"), r.LowerBound.Format("15:04:05"))
	if r.Optimal {
		b.WriteString("proof     this plan is proved best\n")
	} else {
		fmt.Fprintf(&b, "proof     not proved best; at most %.1f %% of the day better\n", r.GapPercent)
	}
	fmt.Fprintf(&b, "wet wait  %.0f min over all batches\n", r.WetWaitS/60)
	for _, d := range r.Demands {
		b.WriteString(wrap("cannot be met: "+d, 2))
	}
	if len(r.WhatIf) > 0 {
		b.WriteString("\nWith one more ...\n")
	}
	width := 0
	for _, w := range r.WhatIf {
		width = max(width, len(w.What))
	}
	for _, w := range r.WhatIf {
		fmt.Fprintf(&b, "  %-*s  %s, %s\n", width, w.What, w.Finish.Format("15:04"), saves(time.Duration(w.SavesS*float64(time.Second))))
	}
	return printableLines(b.String())
}

func saves(d time.Duration) string {
	if d < time.Minute {
		return "no gain"
	}
	return fmt.Sprintf("saves %.0f min", d.Minutes())
}

// bench scores the solver on published instances.
func (p *planCmd) bench(a *app) error {
	if info, err := os.Stat(p.Bench); err != nil || !info.IsDir() {
		return fmt.Errorf("there is no folder %s. Give --bench one that holds instances (.sm, .sch, .jss)", p.Bench)
	}
	tree := os.DirFS(p.Bench)
	bounds := bench.Bounds{}
	if f, err := os.Open(filepath.Join(p.Bench, "bounds.csv")); err == nil {
		bounds, err = bench.ReadBounds(f, f.Name())
		f.Close()
		if err != nil {
			return err
		}
	}
	if p.Sample > 0 {
		var err error
		if tree, err = sample(tree, p.Sample); err != nil {
			return err
		}
	}
	fmt.Fprintln(a.env.Stdout, bench.RowHeader)
	rows, err := bench.Run(a.ctx, tree, bounds, bench.Options{Budget: p.Budget, Seed: p.Seed, Now: a.env.Now,
		Set: filepath.Base(filepath.Clean(p.Bench)), Progress: func(r bench.Row) { fmt.Fprintln(a.env.Stdout, r) }})
	if err != nil {
		return err
	}
	if len(rows) == 0 {
		return fmt.Errorf("there is no instance (.sm, .sch, .jss) in %s", p.Bench)
	}
	fmt.Fprintln(a.env.Stdout)
	if err := bench.WriteSummary(a.env.Stdout, bench.Summarize(rows)); err != nil {
		return err
	}
	for _, r := range rows {
		if len(r.Rejected) > 0 {
			return fmt.Errorf("the checker rejects the schedule of %s/%s: %s", r.Set, r.Instance, strings.Join(r.Rejected, "; "))
		}
	}
	return nil
}

// picked is a tree of files in which only some are seen.
type picked struct {
	fs.FS
	keep map[string]bool
}

// ReadDir leaves out the instances that were not picked.
func (p picked) ReadDir(name string) ([]fs.DirEntry, error) {
	all, err := fs.ReadDir(p.FS, name)
	out := all[:0]
	for _, e := range all {
		if e.IsDir() || p.keep[path.Join(name, e.Name())] {
			out = append(out, e)
		}
	}
	return out, err
}

// sample picks about n instances, evenly over the tree in name order.
func sample(tree fs.FS, n int) (fs.FS, error) {
	var all []string
	err := fs.WalkDir(tree, ".", func(name string, d fs.DirEntry, err error) error {
		if err == nil && !d.IsDir() && bench.IsInstance(name) {
			all = append(all, name)
		}
		return err
	})
	keep := map[string]bool{}
	for i := range n {
		if len(all) > 0 {
			keep[all[i*len(all)/n]] = true
		}
	}
	return picked{tree, keep}, err
}
