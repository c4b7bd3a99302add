package linetest

import (
	"context"
	"fmt"
	"iter"
	"time"

	"shedbell/line"
	"shedbell/line/rehearse"
)

// dayTemplate is a rehearsed day whose records are moved to other dates.
type dayTemplate struct {
	records []line.Record
	batches int
	chores  int
	last    int64
}

// TraysADay makes about 39 batches, so that ten years of 260 days have 100,000.
const TraysADay = 156

// Years gives the records of days with work, five a week from a date on, the first of
// them the line and the recipes. The days are rehearsed once and moved, which is quick
// and keeps every rule that the line has.
func Years(from time.Time, days int) iter.Seq[line.Record] {
	var shapes []dayTemplate
	for seed := range 3 {
		shapes = append(shapes, rehearsedDay(uint64(seed+1)))
	}
	return func(yield func(line.Record) bool) {
		first := line.Decision{Events: []line.Event{line.FirstRecord(Site(), Book())}}
		seq, batch, chore := int64(1), 0, 0
		if !yield(first.Records(&line.State{}, from, "Ash")[0]) {
			return
		}
		date := from
		for day := range days {
			t := &shapes[day%len(shapes)]
			for i := range t.records {
				if !yield(movedTo(t.records[i], seq, batch, chore, date)) {
					return
				}
			}
			seq, batch, chore = seq+t.last, batch+t.batches, chore+t.chores
			if date = date.AddDate(0, 0, 1); date.Weekday() == time.Saturday {
				date = date.AddDate(0, 0, 2)
			}
		}
	}
}

// rehearsedDay rehearses one day on an empty journal's second record.
func rehearsedDay(seed uint64) dayTemplate {
	s := line.NewState(Site(), Book())
	var t dayTemplate
	put := func(c line.Command, at time.Time) {
		next, recs, no := line.Do(s, c, at, "Ash")
		if no != nil {
			panic(no)
		}
		s, t.records = next, append(t.records, recs...)
	}
	sheet := Sheet()
	for i := range sheet.Crops {
		sheet.Crops[i].Trays = TraysADay / len(sheet.Crops)
	}
	sheet.Crew, sheet.Apart = []string{"Ash", "Rowan", "Hazel"}, nil
	put(line.OpenDay{Sheet: sheet}, Morning)
	put(line.MakeEntry{Entry: line.Entry{Kind: line.EntryFridge, Initials: "A", Value: 3.5, Unit: line.UnitC}}, Morning)
	res, err := rehearse.Run(context.Background(), s, Morning, rehearse.Options{Seed: seed, Delays: rehearse.Typical,
		Watch: func(_ *line.State, r line.Record) {
			r.By = sheet.Crew[int(r.Seq)%3]
			t.records = append(t.records, r)
		}})
	if err != nil {
		panic(err)
	}
	s = res.Final
	put(line.MakeEntry{Entry: line.Entry{Kind: line.EntryStrength, Initials: "R", Value: 70, Unit: line.UnitPPM, Product: "peroxyacetic acid", Where: "tub"}}, res.Finish)
	put(line.CloseDay{}, res.Finish.Add(time.Minute))
	t.last = t.records[len(t.records)-1].Seq
	for _, r := range t.records {
		if e, ok := r.Event.(line.DayOpened); ok {
			t.batches = len(e.Batches)
		}
		if e, ok := r.Event.(line.ChoreStarted); ok {
			t.chores = max(t.chores, e.ID)
		}
	}
	return t
}

// movedTo is a record of a rehearsed day on another date with other numbers.
func movedTo(r line.Record, seq int64, batch, chore int, date time.Time) line.Record {
	r.Seq, r.Group = r.Seq+seq, r.Group+seq
	by := date.Sub(Morning)
	r.At = r.At.Add(by)
	switch e := r.Event.(type) {
	case line.DayOpened:
		e.Sheet.Date, e.Sheet.Start = date.Format(time.DateOnly), date
		made := make([]line.NewBatch, len(e.Batches))
		for i, b := range e.Batches {
			b.ID += batch
			made[i] = b
		}
		e.Batches = made
		r.Event = e
	case line.BatchLoaded:
		e.Batch += batch
		r.Event = e
	case line.StepStarted:
		e.Batch += batch
		r.Event = e
	case line.StepFinished:
		e.Batch += batch
		if e.Lot != "" {
			e.Lot = fmt.Sprintf("%s-%03d", date.Format(time.DateOnly), e.Batch)
		}
		r.Event = e
	case line.BatchCooled:
		e.Batch += batch
		r.Event = e
	case line.ChoreStarted:
		e.ID += chore
		r.Event = e
	case line.ChoreFinished:
		e.ID += chore
		r.Event = e
	case line.EntryMade:
		e.Entry.Made = e.Entry.Made.Add(by)
		r.Event = e
	}
	return r
}
