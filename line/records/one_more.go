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
	more := say.New("record-says.one-more-place", n.Name)
	switch {
	case n.Hands:
		more = say.New("record-says.one-more-pair-hands")
	case n.Circuit:
		more = say.New("record-says.circuit-of-its-own", day.crowds(n.Name))
	}
	with, err := rehearseDay(ctx, day, n, paces)
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

func rehearseDay(ctx context.Context, day *Day, more *Bottleneck, paces line.Paces) (*rehearse.Result, error) {
	site, book, sheet := day.Begin()
	if len(sheet.Crew) == 0 {
		sheet.Crew = site.Crew
	}
	switch {
	case more == nil:
	case more.Hands:
		sheet.Crew = append(slices.Clone(sheet.Crew), "one more")
	case more.Circuit:
		site.Panel.Circuits, site.Panel.Loads = slices.Clone(site.Panel.Circuits), slices.Clone(site.Panel.Loads)
		if i, ok := site.Panel.LoadByName(day.crowds(more.Name)); ok {
			own := site.Panel.Circuits[site.Panel.Loads[i].Circuit]
			own.Name += " 2"
			site.Panel.Loads[i].Circuit = len(site.Panel.Circuits)
			site.Panel.Circuits = append(site.Panel.Circuits, own)
		}
	default:
		site.Stations = slices.Clone(site.Stations)
		for i := range site.Stations {
			if site.Stations[i].Name == more.Name {
				site.Stations[i].Slots++
			}
		}
	}
	s := line.NewState(&site, book)
	s, _, no := line.Do(s, line.OpenDay{Sheet: sheet}, day.Opened, "")
	if no != nil {
		return nil, no
	}
	return rehearse.Run(ctx, s, day.Opened, rehearse.Options{Advice: line.Advice{Paces: paces}})
}
