package linetest

import (
	"context"
	"time"

	"shedbell/line"
	"shedbell/line/rehearse"
)

// Worked are the records of days, one after the other, on which two people are as quick
// and as late as they are made to be.
func Worked(days int, paces line.Paces, delays rehearse.Delays) []line.Record {
	site, book := Site(), Book()
	out := []line.Record{{At: Morning, By: "Ash", Event: line.FirstRecord(site, book)}}
	last := line.NewState(site, book)
	for day := range days {
		sheet := Sheet()
		start := Morning.AddDate(0, 0, day)
		sheet.Date, sheet.Start, sheet.Crew = start.Format(time.DateOnly), start, []string{"Ash", "Rowan"}
		s, opened, no := line.Do(last, line.OpenDay{Sheet: sheet}, start, "Ash")
		if no != nil {
			panic(no)
		}
		out = append(out, opened...)
		res, err := rehearse.Run(context.Background(), s, start, rehearse.Options{Seed: uint64(day), Delays: delays,
			Advice: line.Advice{Paces: paces}, Watch: func(_ *line.State, r line.Record) { out = append(out, r) }})
		if err != nil {
			panic(err)
		}
		next, closed, no := line.Do(res.Final, line.CloseDay{}, res.Finish, "Ash")
		if no != nil {
			panic(no)
		}
		last, out = next, append(out, closed...)
	}
	for i := range out {
		out[i].Seq, out[i].Group, out[i].Undo = int64(i+1), int64(i+1), ""
	}
	return out
}
