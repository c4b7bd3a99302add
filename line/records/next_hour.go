package records

import (
	"cmp"
	"context"
	"math"
	"slices"
	"time"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"

	"shedbell/line"
	"shedbell/line/say"
)

// Change is something about the line or the day that saves time, with what it saved in
// rehearsals of the last days.
type Change struct {
	Kind, Name string // what is changed, and of which station or machine
	What       say.Sentence
	Free       bool    // it costs nothing but doing it
	Minutes    float64 // saved a week
	Low, High  float64 // 90 percent sure, by how the days differ
	Days       int     // that were rehearsed with it
	Held       []Held  // what of the records speaks for it
	Worth      float64 // money a week, of all who would be done sooner; 0: no wage is set, or it costs hands itself

	Fell *MeanChange // of a falling yield: grams a tray; else nil

	aWeek float64 // working days
}

// The kinds of changes, as journals keep them.
const (
	oneMoreHands  = "one-more-pair-hands"
	oneMorePlace  = "one-more-place"
	circuitOfOwn  = "circuit-of-its-own"
	longestFirst  = "longest-dry-first"
	shortestFirst = "shortest-dry-first"
	fallingYield  = "falling-yield"
)

var changeSays = map[string]string{
	oneMoreHands: "record-says.one-more-pair-hands", oneMorePlace: "record-says.one-more-place", circuitOfOwn: "record-says.circuit-of-its-own",
	longestFirst: "record-says.longest-dry-first", shortestFirst: "record-says.shortest-dry-first",
	fallingYield: "record-says.falling-yield",
}

// newChange names a change.
func newChange(kind, name string, held []Held) Change {
	c := Change{Kind: kind, Name: name, Held: held, Free: kind == longestFirst || kind == shortestFirst}
	switch says := changeSays[kind]; {
	case says == "":
		c.What = say.Of(kind) // of a later version
	case name == "":
		c.What = say.New(says)
	default:
		c.What = say.New(says, name)
	}
	return c
}

// Expects is what the change should save a working day.
func (c *Change) Expects() line.Expected {
	if c.Fell != nil {
		return line.Expected{} // no rehearsal has it
	}
	return line.Expected{Kind: c.Kind, Name: c.Name, Minutes: c.Minutes / c.aWeek, Low: c.Low / c.aWeek, High: c.High / c.aWeek}
}

// The days that are rehearsed: enough to see how they differ, few enough to be of the line
// as it is now.
const (
	mostRehearsed  = 10
	LeastRehearsed = 3
)

// candidate is a change that may save something.
type candidate struct {
	Change
	change func(*line.Site, *line.Sheet)
}

// NextHour ranks what could be changed by the minutes a week that it saves: each is
// rehearsed over the last days' sheets, as they were and with it, with the paces that were
// learned. What may save nothing is left out. The error is that of ctx.
func NextHour(ctx context.Context, b *Book, paces line.Paces) ([]Change, error) {
	var days []*Day
	for i := len(b.Days) - 1; i >= 0 && len(days) < mostRehearsed; i-- {
		if d := &b.Days[i]; d.Batches > 0 {
			days = append(days, d)
		}
	}
	if len(days) < LeastRehearsed {
		return nil, nil
	}
	as := make([]time.Duration, len(days))
	for i, d := range days {
		res, err := rehearseDay(ctx, d, nil, paces)
		if err != nil {
			if ctx.Err() != nil {
				return nil, ctx.Err()
			}
			continue // its line does not fit its sheet any more
		}
		as[i] = res.Finish.Sub(d.Opened)
	}
	crews := 0.0
	for _, d := range days {
		crews += float64(d.Crew)
	}
	var out []Change
	for _, c := range candidates(b, days[0]) {
		var saved []float64
		for i, d := range days {
			if as[i] == 0 {
				continue
			}
			res, err := rehearseDay(ctx, d, c.change, paces)
			if ctx.Err() != nil {
				return nil, ctx.Err()
			}
			if err == nil {
				saved = append(saved, (as[i] - res.Finish.Sub(d.Opened)).Minutes())
			}
		}
		if c.rate(saved, b.daysAWeek()); c.Low > 0 {
			if c.Kind != oneMoreHands {
				c.Worth = c.Minutes / 60 * days[0].site.Wage * crews / float64(len(days))
			}
			out = append(out, c.Change)
		}
	}
	out = append(out, b.fallingYields()...)
	slices.SortStableFunc(out, func(a, b Change) int { return cmp.Compare(b.Minutes, a.Minutes) })
	return out, nil
}

// rate works the saving of a week out from those of the days, and how sure it is, by
// Student's t.
func (c *Change) rate(saved []float64, aWeek float64) {
	if c.Days = len(saved); c.Days < LeastRehearsed {
		return
	}
	mean, sd := stat.MeanStdDev(saved, nil)
	t := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: float64(c.Days - 1)}.Quantile(0.95)
	half := t * sd / math.Sqrt(float64(c.Days))
	c.aWeek = aWeek
	c.Minutes, c.Low, c.High = mean*aWeek, (mean-half)*aWeek, (mean+half)*aWeek
}

// daysAWeek is how often the line has run in the four weeks before the last day.
func (b *Book) daysAWeek() float64 {
	if len(b.Days) == 0 {
		return 0
	}
	from, n := b.Days[len(b.Days)-1].Opened.AddDate(0, 0, -28), 0
	for i := range b.Days {
		if b.Days[i].Opened.After(from) {
			n++
		}
	}
	return float64(n) / 4
}

// candidates are the changes worth a rehearsal: one more of what batches waited for, a
// circuit of its own for what kept others off, and the crops in another order.
func candidates(b *Book, last *Day) []candidate {
	site, book, _ := last.Begin()
	held := b.Held()
	of := func(cause Cause, name string) (out []Held) {
		for _, h := range held {
			if h.Cause == cause && (h.Name == name || h.First == name) {
				out = append(out, h)
			}
		}
		return out
	}
	out := []candidate{{newChange(oneMoreHands, "", of(HeldByHands, "")), oneMoreHand}}
	for i := range site.Stations {
		if st := &site.Stations[i]; st.Kind.ForGreens() && st.Kind != line.Chill {
			out = append(out, candidate{newChange(oneMorePlace, st.Name, of(HeldByStation, st.Name)), oneMoreSlot(st.Name)})
		}
	}
	for i := range site.Panel.Loads {
		if l := &site.Panel.Loads[i]; !l.StaysOn {
			if h := of(HeldByCircuit, l.Name); len(h) > 0 {
				out = append(out, candidate{newChange(circuitOfOwn, l.Name, h), ownCircuit(l.Name)})
			}
		}
	}
	dry := func(crop string) time.Duration { r, _ := book.Current(crop); return r.Dry }
	for kind, sign := range map[string]int{longestFirst: -1, shortestFirst: 1} {
		out = append(out, candidate{newChange(kind, "", nil), func(_ *line.Site, sheet *line.Sheet) {
			sheet.Crops = slices.Clone(sheet.Crops)
			slices.SortStableFunc(sheet.Crops, func(x, y line.Demand) int { return sign * cmp.Compare(dry(x.Crop), dry(y.Crop)) })
		}})
	}
	return out
}
