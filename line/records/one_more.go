package records

import (
	"context"
	"slices"
	"time"

	"shedbell/line"
	"shedbell/line/rehearse"
	"shedbell/line/say"
)

// OneMore is how long the day takes when it is rehearsed as it was asked for: as the
// line was, and with one more place or person at the bottleneck.
type OneMore struct {
	More say.Sentence // "one more pair of hands", "one more place at the rack", another circuit
	As   time.Duration
	With time.Duration
}

// Saves is how much earlier the day ends.
func (r *OneMore) Saves() time.Duration { return max(0, r.As-r.With) }

// RehearseOneMore rehearses the last day of a date and puts what one more of its
// bottleneck saves beside it, with the paces that were learned (nil: those of the line file). A rehearsal has no delays and no slips, so what counts is
// the difference. A day that cannot be rehearsed, as its line file does not fit its
// sheet any more, is left as it is. The error is that of ctx.
func RehearseOneMore(ctx context.Context, b *Book, date string, paces line.Paces) error {
	day := b.DayOf(date)
	if day == nil || day.Flow.Bottleneck.Name == "" {
		return nil
	}
	n := &day.Flow.Bottleneck
	as, err := rehearseDay(ctx, day, nil, paces)
	if err != nil {
		return ctx.Err()
	}
	more, change := say.New("record-says.one-more-place", n.Name), oneMoreSlot(n.Name)
	switch {
	case n.Hands:
		more, change = say.New("record-says.one-more-pair-hands"), oneMoreHand
	case n.Circuit:
		load := day.crowds(n.Name)
		more, change = say.New("record-says.circuit-of-its-own", load), ownCircuit(load)
	}
	with, err := rehearseDay(ctx, day, change, paces)
	if err != nil {
		return ctx.Err()
	}
	n.OneMore = &OneMore{More: more, As: as.Finish.Sub(day.Opened), With: with.Finish.Sub(day.Opened)}
	return nil
}

// crowds is the load on a circuit that was waited for longest.
func (d *Day) crowds(circuit string) string {
	for i := range d.Held {
		if h := &d.Held[i]; h.Cause == HeldByCircuit && h.Name == circuit && h.First != "" {
			return h.First
		}
	}
	return ""
}

// rehearseDay works a day again as it was asked for, with something changed about it.
func rehearseDay(ctx context.Context, day *Day, change func(*line.Site, *line.Sheet), paces line.Paces) (*rehearse.Result, error) {
	site, book, sheet := day.Begin()
	if len(sheet.Crew) == 0 {
		sheet.Crew = site.Crew
	}
	if change != nil {
		change(&site, &sheet)
	}
	s := line.NewState(&site, book)
	s, _, no := line.Do(s, line.OpenDay{Sheet: sheet}, day.Opened, "")
	if no != nil {
		return nil, no
	}
	return rehearse.Run(ctx, s, day.Opened, rehearse.Options{Advice: line.Advice{Paces: paces}})
}

// oneMoreHand has one more person on the line all day.
func oneMoreHand(_ *line.Site, sheet *line.Sheet) {
	sheet.Crew = append(slices.Clone(sheet.Crew), "one more")
}

// oneMoreSlot gives a station one more place.
func oneMoreSlot(name string) func(*line.Site, *line.Sheet) {
	return func(site *line.Site, _ *line.Sheet) {
		site.Stations = slices.Clone(site.Stations)
		for i := range site.Stations {
			if site.Stations[i].Name == name {
				site.Stations[i].Slots++
			}
		}
	}
}

// ownCircuit hangs a load on a circuit like its own that nothing else hangs on.
func ownCircuit(load string) func(*line.Site, *line.Sheet) {
	return func(site *line.Site, _ *line.Sheet) {
		site.Panel.Circuits, site.Panel.Loads = slices.Clone(site.Panel.Circuits), slices.Clone(site.Panel.Loads)
		if i, ok := site.Panel.LoadByName(load); ok {
			own := site.Panel.Circuits[site.Panel.Loads[i].Circuit]
			own.Name += " 2"
			site.Panel.Loads[i].Circuit = len(site.Panel.Circuits)
			site.Panel.Circuits = append(site.Panel.Circuits, own)
		}
	}
}
