package command

import (
	"fmt"
	"io"
	"strings"
	"time"

	"shedbell/line/say"
	"shedbell/power"
	"shedbell/ui/words"
)

type checkCmd struct {
	Day string `placeholder:"FILE" complete:"file"`
}

func (c *checkCmd) Run(a *app) error {
	in := a.readDay(c.Day).learnedLimits(a)
	if len(in.faults) > 0 {
		return &faultsError{in.faults}
	}
	_, err := io.WriteString(a.env.Stdout, c.text(a, in))
	return err
}

func (c *checkCmd) text(a *app, in *inputs) string {
	var b strings.Builder
	w, p := a.words, &in.site.Panel
	in.day.instead = w.Say("cmd-check.none")
	var files [][2]string
	for _, f := range []struct {
		of   source
		name string
		good string
	}{{in.line, "cmd-check.line", in.goodLine(w)}, {in.recipes, "cmd-check.recipes", w.Say("cmd-check.good-recipes", w.Say("cmd-count.crop", len(in.book.Crops())))},
		{in.day, "cmd-check.day", in.goodDay(w)}} {
		if !f.of.found {
			f.of.name = f.of.instead
		}
		files = append(files, [2]string{w.Say(f.name), f.of.name + ": " + f.good})
	}
	labelled(&b, files)
	b.WriteString("\n")
	if text := cannotStart(w, p); text != "" {
		b.WriteString(text + "\n")
	}
	b.WriteString(totals(w, p))
	b.WriteString("\n")
	b.WriteString(never(w, p))
	for _, part := range []string{together(w, p), findings(w, p), c.proposal(a, in), c.trips(a, in)} {
		if part != "" {
			b.WriteString("\n" + part)
		}
	}
	b.WriteString("\n")
	b.WriteString(wrap(w.Say("cmd.caution"), 0))
	return b.String()
}

// goodLine says in a few words what a good line file holds.
func (in *inputs) goodLine(w *words.Speaker) string {
	return w.Say("cmd-check.good-line", w.Say("cmd-count.circuit", len(in.site.Panel.Circuits)), w.Say("cmd-count.load", len(in.site.Panel.Loads)),
		w.Say("cmd-count.station", len(in.site.Stations)), w.Say("cmd-count.person", len(in.site.Crew)))
}

func (in *inputs) goodDay(w *words.Speaker) string {
	if in.sheet == nil {
		return w.Say("cmd-check.no-day")
	}
	return w.Say("cmd-check.good-day", w.Date(in.sheet.Start, dateForm), w.Trays(in.sheet.Trays()), w.Say("cmd-count.crop", crops(in.sheet)))
}

// totals is a table of what hangs on each breaker.
func totals(w *words.Speaker, p *power.Panel) string {
	var b strings.Builder
	var rows [][]string
	all := limits(p)
	for i := range all {
		l := &all[i]
		rows = append(rows, []string{strings.ReplaceAll(w.Sentence(l.name), `"`, ""), fmt.Sprintf("%.1f", l.ratingA),
			fmt.Sprintf("%.1f", l.worstA(p)), fmt.Sprintf("%.1f", l.reserved)})
	}
	b.WriteString(table([]column{{head: w.Say("cmd-check.circuit"), most: 40}, {head: w.Say("cmd-check.limit"), right: true},
		{head: w.Say("cmd-check.all-on"), right: true}, {head: w.Say("cmd-check.kept-free"), right: true}}, rows))
	b.WriteString("\n")
	for i := range p.Circuits {
		var names []string
		for k := range p.Loads {
			if p.Loads[k].Circuit == i {
				names = append(names, p.Loads[k].Name+" "+settingsText(&p.Loads[k]))
			}
		}
		if len(names) == 0 {
			names = []string{w.Say("cmd-check.nothing")}
		}
		b.WriteString(wrap(w.Say("cmd-check.on", p.Circuits[i].Name, strings.Join(names, ", ")), 2))
	}
	return b.String()
}

func settingsText(l *power.Load) string {
	var parts []string
	for _, s := range l.Settings {
		parts = append(parts, fmt.Sprintf("%.4g", s.AmpsA))
	}
	return strings.Join(parts, "/") + " A"
}

// cannotStart lists what the interlock would let start in no setting, not even with
// everything else off, and why.
func cannotStart(w *words.Speaker, p *power.Panel) string {
	var b strings.Builder
	now := time.Date(2000, 1, 1, 0, 0, 0, 0, time.UTC)
	for _, u := range lowest(p, switched(p)) {
		if p.MayRun([]power.Use{u}) {
			continue
		}
		v := p.Judge(p.Rested(now), power.Ask{Load: u.Load, Setting: u.Setting}, now.Add(time.Hour))
		for _, r := range v.Reasons {
			b.WriteString(wrap("  "+p.Loads[u.Load].Name+": "+w.Speech(r.Says)+" ("+w.Sentence(r.Source)+")", 4))
		}
	}
	if b.Len() == 0 {
		return ""
	}
	return w.Say("cmd-check.cannot-start") + "\n" + b.String()
}

// never lists what can never be on at once.
func never(w *words.Speaker, p *power.Panel) string {
	var b strings.Builder
	for i := range p.Loads {
		if text := alone(p, i); !text.IsZero() {
			b.WriteString(wrap("  "+w.Sentence(text), 4))
		}
	}
	sets, more := overloads(p)
	for _, o := range sets {
		if p.MayRun(lowest(p, o.loads)) {
			continue
		}
		sum := o.reserved
		for _, i := range o.loads {
			sum += lowestA(&p.Loads[i])
		}
		names := strings.Join(loadNames(p, o.loads), " + ")
		text := w.Say("cmd-check.sum", names, sum, o.ratingA, o.name)
		if o.reserved > 0 {
			text = w.Say("cmd-check.sum-kept", names, sum, o.ratingA, o.name, o.reserved)
		}
		b.WriteString(wrap("  "+text, 4))
	}
	for _, name := range more {
		b.WriteString(wrap("  "+w.Say("cmd-check.more-on", name), 4))
	}
	if b.Len() == 0 && p.MayRun(lowest(p, switched(p))) {
		return w.Say("cmd-check.everything") + "\n"
	}
	if b.Len() == 0 {
		return w.Say("cmd-check.not-everything") + "\n"
	}
	return w.Say("cmd-check.never") + "\n" + b.String()
}

// switched are the loads that people switch.
func switched(p *power.Panel) (loads []int) {
	for i := range p.Loads {
		if l := &p.Loads[i]; !l.Cycles && !l.StaysOn && l.WorstA() > 0 {
			loads = append(loads, i)
		}
	}
	return loads
}

// lowest has loads run at the setting that draws least.
func lowest(p *power.Panel, loads []int) (uses []power.Use) {
	for _, i := range loads {
		l := &p.Loads[i]
		u := power.Use{Load: i}
		for k := range l.Settings {
			if a := l.Settings[k].AmpsA; a > 0 && (l.Settings[u.Setting].AmpsA <= 0 || a < l.Settings[u.Setting].AmpsA) {
				u.Setting = k
			}
		}
		if !l.Cycles && !l.StaysOn && l.WorstA() > 0 {
			uses = append(uses, u)
		}
	}
	return uses
}

// alone says what a load that runs alone is never on with, and what may stay on.
func alone(p *power.Panel, load int) say.Sentence {
	if !p.Loads[load].Alone {
		return say.Sentence{}
	}
	var off, stay []int
	for i := range p.Loads {
		switch {
		case i == load:
		case apart(p, load, i):
			off = append(off, i)
		default:
			stay = append(stay, i)
		}
	}
	switch name := p.Loads[load].Name; {
	case len(off) == 0:
		return say.Sentence{}
	case len(stay) == 0:
		return say.New("cmd-check.alone", name, either(loadNames(p, off)))
	default:
		return say.New("cmd-check.alone-beside", name, either(loadNames(p, off)), say.Names(loadNames(p, stay)))
	}
}
