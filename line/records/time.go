package records

import (
	"cmp"
	"slices"
	"time"

	"shedbell/line"
)

// Group is by what a table of times is grouped.
type Group string

// Groups of time tables.
const (
	ByDay     Group = "day"
	ByCrop    Group = "crop"
	ByStation Group = "station"
	ByPerson  Group = "person"
)

// TimeRow is one line of a time table.
type TimeRow struct {
	Name    string
	Days    int
	Batches int // or steps at a station; 0 for people
	Trays   int
	Shares  Shares
}

// PerTray is a share for one tray.
func (t *TimeRow) PerTray(s Share) time.Duration {
	if t.Trays == 0 {
		return 0
	}
	return t.Shares[s] / time.Duration(t.Trays)
}

// Time says where the time went, of the batches that the filter leaves. By day and station it counts batches and chores,
// by crop the batches alone, by person the people's days.
func (b *Book) Time(g Group) []TimeRow {
	t := table{at: map[string]int{}}
	switch g {
	case ByDay:
		for i := range b.Days {
			d := &b.Days[i]
			if b.Filter.Narrow() {
				t.row(d.Date).ofBatches(b.BatchesOf(i))
				continue
			}
			t.row(d.Date).add(1, d.Batches, d.Trays, d.Shares)
		}
	case ByCrop:
		day := map[string]string{}
		for i := range b.Batches {
			bt := &b.Batches[i]
			n := 0
			if day[bt.Crop] != bt.Date {
				day[bt.Crop], n = bt.Date, 1
			}
			t.row(bt.Crop).add(n, 1, bt.Trays, bt.Shares)
		}
	case ByStation:
		for i := range b.Days {
			for k := range b.Days[i].Stations {
				s := &b.Days[i].Stations[k]
				if s.Steps > 0 || s.Shares.Total() > 0 {
					t.row(s.Name).add(1, s.Steps, s.Trays, s.Shares)
				}
			}
		}
	case ByPerson:
		for i := range b.Days {
			for _, p := range b.Days[i].People {
				name := p.Name
				if name == "" {
					name = "(not named)"
				}
				t.row(name).add(1, 0, 0, p.Shares)
			}
		}
	}
	if g == ByCrop || g == ByPerson {
		slices.SortFunc(t.rows, func(x, y TimeRow) int { return cmp.Compare(x.Name, y.Name) })
	}
	return t.rows
}

type table struct {
	rows []TimeRow
	at   map[string]int
}

func (t *table) row(name string) *TimeRow {
	i, ok := t.at[name]
	if !ok {
		i = len(t.rows)
		t.at[name] = i
		t.rows = append(t.rows, TimeRow{Name: name})
	}
	return &t.rows[i]
}

// ofBatches adds a day of which only these batches are kept.
func (r *TimeRow) ofBatches(all []Batch) {
	r.Days++
	for i := range all {
		trays := all[i].Trays
		if all[i].Fate != line.Cold {
			trays = 0
		}
		r.add(0, 1, trays, all[i].Shares)
	}
}

func (r *TimeRow) add(days, batches, trays int, s Shares) {
	r.Days += days
	r.Batches += batches
	r.Trays += trays
	r.Shares.Add(s)
}
