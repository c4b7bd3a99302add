// Package relief rehearses days of the records anew, with one more of what held them
// up. A rehearsal has no delays and no slips, so what counts is the difference.
package relief

import (
	"context"
	"slices"

	"shedbell/line"
	"shedbell/line/records"
	"shedbell/line/rehearse"
	"shedbell/power"
)

// Fill rehearses the last day of a date and puts what the relief of its bottleneck
// saves beside it. A day that cannot be rehearsed, as its line file does not fit its
// sheet any more, is left as it is. The error is that of ctx.
func Fill(ctx context.Context, b *records.Book, date string) error {
	day := b.DayOf(date)
	if day == nil || day.Flow.Narrow.Name == "" {
		return nil
	}
	n := &day.Flow.Narrow
	as, err := run(ctx, day, nil)
	if err != nil {
		return ctx.Err()
	}
	more := power.Say("one more place at the %s", n.Name)
	if n.Hands {
		more = power.Say("one more pair of hands")
	}
	with, err := run(ctx, day, n)
	if err != nil {
		return ctx.Err()
	}
	n.Relief = &records.Relief{More: more, As: as.Finish.Sub(day.Opened), With: with.Finish.Sub(day.Opened)}
	return nil
}

func run(ctx context.Context, day *records.Day, more *records.Bottleneck) (*rehearse.Result, error) {
	site, book, sheet := day.Begin()
	if len(sheet.Crew) == 0 {
		sheet.Crew = site.Crew
	}
	switch {
	case more == nil:
	case more.Hands:
		sheet.Crew = append(slices.Clone(sheet.Crew), "one more")
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
	return rehearse.Run(ctx, s, day.Opened, rehearse.Options{})
}
