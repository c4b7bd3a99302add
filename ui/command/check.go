package command

import (
	"fmt"
	"strings"

	"shedbell/power"
)

type checkCmd struct {
	Day string `placeholder:"FILE" help:"Day sheet. Else day.toml of the data folder, where there is one."`
}

// Help is shown after the summary of the flags.
func (*checkCmd) Help() string {
	return `Reports every fault in the line file, the recipes and the day sheet at once, each with file, line, column, the value and how to mend it, and changes nothing. Exit code 1 when there is one.

Where the files are good it says what hangs on each circuit, which loads can never run together, and which run alone. Where the data folder holds a journal, it lists the trips in it beside what the model held then, and what they teach.

` + caution
}

func (c *checkCmd) Run(a *app) error {
	in := a.readDay(c.Day)
	if len(in.faults) > 0 {
		return &faultsError{in.faults}
	}
	_, err := a.env.Stdout.Write([]byte(c.text(a, in)))
	return err
}

func (c *checkCmd) text(a *app, in *inputs) string {
	var b strings.Builder
	p := &in.site.Panel
	from := func(s source, what string) {
		if !s.found {
			s.name = s.instead
		}
		b.WriteString(wrap(fmt.Sprintf("%-9s %s: %s", what, s.name, in.about(what)), 10))
	}
	in.day.instead = "none given"
	from(in.line, "line")
	from(in.recipes, "recipes")
	from(in.day, "day")
	b.WriteString("\n")
	b.WriteString(totals(p))
	b.WriteString("\n")
	b.WriteString(never(p))
	for _, part := range []string{together(p), findings(p), c.proposal(a, in), c.trips(a, in)} {
		if part != "" {
			b.WriteString("\n" + part)
		}
	}
	b.WriteString("\n")
	b.WriteString(wrap(caution, 0))
	return b.String()
}

// about says in a few words what a good file holds.
func (in *inputs) about(what string) string {
	switch what {
	case "line":
		return fmt.Sprintf("good. %s, %s, %s, %s", count(len(in.site.Panel.Circuits), "circuit", "circuits"),
			count(len(in.site.Panel.Loads), "load", "loads"), count(len(in.site.Stations), "station", "stations"),
			count(len(in.site.Crew), "person", "people"))
	case "recipes":
		return "good. " + count(len(in.book.Crops()), "crop", "crops")
	}
	if in.sheet == nil {
		return "name one with --day to have it checked"
	}
	return fmt.Sprintf("good. %s, %s of %s", in.sheet.Start.Format(dateForm),
		count(in.sheet.Trays(), "tray", "trays"), count(crops(in.sheet), "crop", "crops"))
}

// totals is a table of what hangs on each breaker.
func totals(p *power.Panel) string {
	var b strings.Builder
	var rows [][]string
	all := limits(p)
	for i := range all {
		l := &all[i]
		rows = append(rows, []string{strings.ReplaceAll(l.name, `"`, ""), fmt.Sprintf("%.1f", l.ratingA),
			fmt.Sprintf("%.1f", l.worstA(p)), fmt.Sprintf("%.1f", l.reserved)})
	}
	b.WriteString(table([]column{{head: "circuit", most: 40}, {head: "limit A", right: true},
		{head: "all on A", right: true}, {head: "kept free A", right: true}}, rows))
	b.WriteString("\n")
	for i := range p.Circuits {
		var names []string
		for k := range p.Loads {
			if p.Loads[k].Circuit == i {
				names = append(names, p.Loads[k].Name+" "+settingsText(&p.Loads[k]))
			}
		}
		if len(names) == 0 {
			names = []string{"nothing"}
		}
		b.WriteString(wrap(fmt.Sprintf("On %q: %s", p.Circuits[i].Name, strings.Join(names, ", ")), 2))
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

// never lists what can never be on at once.
func never(p *power.Panel) string {
	var b strings.Builder
	for i := range p.Loads {
		b.WriteString(alone(p, i))
	}
	sets, more := overloads(p)
	for _, o := range sets {
		sum := o.reserved
		for _, i := range o.loads {
			sum += lowestA(&p.Loads[i])
		}
		kept := ""
		if o.reserved > 0 {
			kept = fmt.Sprintf(", %.4g A of it kept free", o.reserved)
		}
		b.WriteString(wrap(fmt.Sprintf("  %s (%.1f of %.4g A on %s%s)",
			strings.Join(loadNames(p, o.loads), " + "), sum, o.ratingA, o.name, kept), 4))
	}
	for _, name := range more {
		b.WriteString(wrap("  and more on "+name+" that are not listed", 4))
	}
	if b.Len() == 0 {
		return "Everything may be on at once at its lowest setting.\n"
	}
	return "Never together, even at their lowest settings:\n" + b.String()
}

// alone says what a load that runs alone is never on with, and what may stay on.
func alone(p *power.Panel, load int) string {
	if !p.Loads[load].Alone {
		return ""
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
	if len(off) == 0 {
		return ""
	}
	text := fmt.Sprintf("%s with %s (it runs alone", p.Loads[load].Name, listed(loadNames(p, off), "or"))
	if len(stay) > 0 {
		text += "; beside it only " + listed(loadNames(p, stay), "and")
	}
	return wrap("  "+text+")", 4)
}
