package command

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"strings"
	"time"

	"shedbell/line"
	"shedbell/line/plan"
	"shedbell/line/plan/bench"
	"shedbell/line/say"
	"shedbell/ui/words"
)

type planCmd struct {
	Day    string        `placeholder:"FILE" complete:"file"`
	Budget time.Duration `default:"2s" placeholder:"TIME"`
	Seed   uint64        `default:"1" placeholder:"N"`
	Fresh  bool
	JSON   bool   `name:"json"`
	Bench  string `placeholder:"DIR" complete:"folder"`
	Sample int    `placeholder:"N"`
}

func (p *planCmd) Run(a *app) error {
	if p.Budget <= 0 || p.Budget > time.Hour {
		return say.Error("cmd.range", "--budget", p.Budget.String(), say.New("cmd.up-to", "1h"))
	}
	if p.Bench != "" {
		return p.bench(a)
	}
	in := a.readDay(p.Day)
	if len(in.faults) > 0 {
		return &faultsError{in.faults}
	}
	learned, err := in.unless(p.Fresh, a)
	if err != nil {
		return err
	}
	s, sheet, err := in.opened(a)
	if err != nil {
		return err
	}
	made, err := plan.Solve(a.ctx, s, sheet.Start, plan.Options{Paces: learned.Paces(), Budget: p.Budget, WhatIf: p.Budget / 2, Seed: p.Seed})
	var unmet *plan.Impossible
	if err != nil && (!errors.As(err, &unmet) || made == nil) {
		return err
	}
	rep := made.Report(unmet)
	if p.JSON {
		return writeJSON(a.env.Stdout, rep)
	}
	_, err = io.WriteString(a.env.Stdout, planText(a.words, s.Site.Name, sheet, made, &rep, unmet))
	return err
}

func planText(w *words.Speaker, site string, sheet *line.Sheet, p *plan.Plan, r *plan.Report, unmet *plan.Impossible) string {
	var b strings.Builder
	b.WriteString(wrap(w.Say("cmd-plan.title", w.Date(p.Made, dateForm), site), 2))
	b.WriteString(wrap(w.Say("cmd-plan.asked", w.Trays(sheet.Trays()), w.Say("cmd-count.crop", len(sheet.Crops))), 2) + "\n")
	var rows [][]string
	for i, s := range r.Steps {
		mark := ""
		if s.Tight {
			mark = "*"
		}
		rows = append(rows, []string{w.TimeOfDay(s.Start, ""), w.TimeOfDay(s.End, ""), mark, s.Station, w.Sentence(p.Steps[i].Said()), w.Setting(s.Setting)})
	}
	b.WriteString(table([]column{{head: w.Say("cmd-plan.start")}, {head: w.Say("cmd-plan.end")}, {head: "*"},
		{head: w.Say("cmd-plan.station"), most: 20}, {head: w.Say("cmd-plan.what"), most: 22}, {head: w.Say("cmd-plan.setting")}}, rows))
	b.WriteString("\n" + wrap(w.Say("cmd-plan.holds-up", p.Binding.Words), 2) + "\n")
	proof := w.Say("cmd-plan.proved")
	if !p.Optimal {
		proof = w.Say("cmd-plan.not-proved", 100*p.Gap())
	}
	labelled(&b, [][2]string{
		{w.Say("cmd-plan.finish"), w.Value(say.TimeToSecond(p.Finish))},
		{w.Say("cmd-plan.bound"), w.Say("cmd-plan.bound-is", say.TimeToSecond(p.LowerBound))},
		{w.Say("cmd-plan.proof"), proof},
		{w.Say("cmd-plan.wet-wait"), w.Say("cmd-plan.wet-wait-is", p.WetWait.Minutes())},
	})
	if unmet != nil {
		for _, d := range unmet.Demands {
			b.WriteString(wrap(w.Say("cmd-plan.cannot", d), 2))
		}
	}
	if len(p.WhatIf) > 0 {
		b.WriteString("\n" + w.Say("cmd-plan.one-more") + "\n")
	}
	var more [][2]string
	for _, x := range p.WhatIf {
		more = append(more, [2]string{"  " + w.Sentence(x.What), w.TimeOfDay(x.Finish, "") + ", " + savesText(w, &x)})
	}
	labelled(&b, more)
	return printableLines(b.String())
}

// savesText says what one more of something saves, as far as that is proved.
func savesText(w *words.Speaker, x *plan.Saving) string {
	least, most := x.Least.Minutes(), x.Most.Minutes()
	switch {
	case x.Most < time.Minute:
		return w.Say("cmd-plan.no-gain")
	case x.Least < time.Minute:
		return w.Say("cmd-plan.saves-perhaps", most)
	case x.Most-x.Least < time.Minute:
		return w.Say("cmd-plan.saves", x.Saves.Minutes())
	}
	return w.Say("cmd-plan.saves-between", least, most)
}

// bench scores the solver on published instances.
func (p *planCmd) bench(a *app) error {
	if info, err := os.Stat(p.Bench); err != nil || !info.IsDir() {
		return say.Error("cmd-plan.no-instances", p.Bench)
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
		return say.Error("cmd-plan.no-instance", p.Bench)
	}
	fmt.Fprintln(a.env.Stdout)
	if err := bench.WriteSummary(a.env.Stdout, bench.Summarize(rows)); err != nil {
		return err
	}
	for _, r := range rows {
		if len(r.Rejected) > 0 {
			return say.Error("cmd-plan.rejected", r.Set, r.Instance, strings.Join(r.Rejected, "; "))
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
