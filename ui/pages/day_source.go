package pages

import (
	"context"
	"math"
	"slices"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"shedbell/line"
	"shedbell/ui/screen"
)

// daySource is what the form can be filled in with.
type daySource struct {
	label string
	sheet *line.Sheet // nil: empty
}

// weekMsg brings the last day of the same weekday from the journal.
type weekMsg struct {
	date  string // the day that it was looked for
	sheet *line.Sheet
}

// lookBack looks in the background for the last day of today's weekday.
func (f *Day) lookBack(env *screen.Env) tea.Cmd {
	today := env.Now
	if f.adding || env.Past == nil || f.looked == today.Format(time.DateOnly) {
		return nil
	}
	f.looked, f.week = today.Format(time.DateOnly), nil
	read := env.Past
	return func() tea.Msg {
		sheet, err := sameWeekday(today, read)
		if err != nil {
			sheet = nil // the form is as good without it; the records screen says what is wrong
		}
		return weekMsg{today.Format(time.DateOnly), sheet}
	}
}

// sameWeekday is the sheet of the last day before today that fell on its weekday,
// with what was added in the course of that day.
func sameWeekday(today time.Time, past func(context.Context, func(line.Record) error) error) (*line.Sheet, error) {
	var found, open, before *line.Sheet
	opening := false // the record before opened a day
	err := past(context.Background(), func(r line.Record) error {
		switch e := r.Event.(type) {
		case line.DayOpened:
			open, opening = nil, true
			date, err := time.Parse(time.DateOnly, e.Sheet.Date)
			if err == nil && date.Weekday() == today.Weekday() && e.Sheet.Date < today.Format(time.DateOnly) {
				sheet := e.Sheet
				sheet.Crops = slices.Clone(sheet.Crops)
				before, open, found = found, &sheet, &sheet
			}
			return nil
		case line.Undone:
			if opening && open != nil {
				found, open = before, nil
			}
		case line.BatchesAdded:
			if open != nil {
				for _, b := range e.Batches {
					addTrays(open, b.Crop, b.Trays)
				}
			}
		case line.DayClosed:
			open = nil
		}
		opening = false
		return nil
	})
	return found, err
}

// addTrays adds trays of a crop to a sheet.
func addTrays(s *line.Sheet, crop string, trays int) {
	for i := range s.Crops {
		if s.Crops[i].Crop == crop {
			s.Crops[i].Trays += trays
			return
		}
	}
	s.Crops = append(s.Crops, line.Demand{Crop: crop, Trays: trays})
}

// orderedWithin is how far ahead orders are cut for: a week from one day to the
// next (common practice, no source).
const orderedWithin = 7 * 24 * time.Hour

// orderedSheet is a sheet of the trays that the open orders need, rounded up to whole
// ones; nil where there are none.
func orderedSheet(s *line.State, now time.Time) *line.Sheet {
	last := now.Add(orderedWithin).Format(time.DateOnly)
	packages := map[string]int{}
	var crops []string
	for _, o := range s.Orders {
		if o.Due >= last {
			continue
		}
		if packages[o.Crop] == 0 {
			crops = append(crops, o.Crop)
		}
		packages[o.Crop] += o.Packages
	}
	sheet := &line.Sheet{}
	for _, crop := range crops {
		r, ok := s.Recipe(crop)
		if !ok || !(r.YieldG > 0) || !(r.PackageG > 0) {
			continue
		}
		trays := int(math.Ceil(float64(packages[crop])*r.PackageG/r.YieldG - 1e-9))
		sheet.Crops = append(sheet.Crops, line.Demand{Crop: crop, Trays: trays})
	}
	if len(sheet.Crops) == 0 {
		return nil
	}
	return sheet
}

// sources lists what there is to fill the form in with, the likeliest first. The
// last one is empty, for who types it all.
func (f *Day) sources(env *screen.Env) []daySource {
	var out []daySource
	if f.week != nil {
		when := f.week.Date
		if date, err := time.Parse(time.DateOnly, f.week.Date); err == nil {
			when = env.Words.Date(date, "Mon 2 Jan")
		}
		out = append(out, daySource{env.Words.Say("day.as-on", when), f.week})
	}
	if sheet := orderedSheet(env.State, env.Now); sheet != nil {
		out = append(out, daySource{env.Words.Say("day.from-orders"), sheet})
	}
	if env.Suggest != nil {
		out = append(out, daySource{env.Words.Say("day.from-sheet"), env.Suggest})
	}
	return append(out, daySource{env.Words.Say("day.empty"), nil})
}

// source is the one that the form is filled in from.
func (f *Day) source(env *screen.Env) (now, next daySource) {
	all := f.sources(env)
	i := min(f.from, len(all)-1)
	return all[i], all[(i+1)%len(all)]
}

// another fills the form in from the next source. What was typed is only given up
// when it is asked for twice.
func (f *Day) another(env *screen.Env) tea.Cmd {
	if f.adding {
		return nil
	}
	_, next := f.source(env)
	if f.touched && !f.sure {
		f.sure = true
		return screen.Say(env.Words.Say("day.sure", next.label))
	}
	from := (f.from + 1) % len(f.sources(env))
	f.fillFrom(env, from)
	return nil
}
