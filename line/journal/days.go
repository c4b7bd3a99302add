package journal

import (
	"context"
	"database/sql"

	"shedbell/line"
)

// Day says which records belong to a processing day.
type Day struct {
	Date  string // ISO 8601, as on its day sheet
	First int64  // number of the record that opened it
	Last  int64  // number of the one that closed it; 0 while it is open
}

// indexDay keeps the index of days up to date. An opening that is undone stays in
// the index, and a closing that is undone is put right by the next one: the index
// says where to start reading, the records say what happened.
func indexDay(tx *sql.Tx, seq int64, e line.Event) error {
	switch e := e.(type) {
	case line.DayOpened:
		if _, err := tx.Exec("UPDATE days SET last_seq = ? WHERE last_seq IS NULL", seq-1); err != nil {
			return err
		}
		_, err := tx.Exec("INSERT OR REPLACE INTO days (first_seq, day) VALUES (?, ?)", seq, e.Sheet.Date)
		return err
	case line.DayClosed:
		_, err := tx.Exec("UPDATE days SET last_seq = ? WHERE first_seq = (SELECT max(first_seq) FROM days)", seq)
		return err
	}
	return nil
}

// Days lists the processing days, oldest first.
func (j *Journal) Days() ([]Day, error) {
	rows, err := j.r.Query("SELECT day, first_seq, coalesce(last_seq, 0) FROM days ORDER BY first_seq")
	if err != nil {
		return nil, explain("journal-doing.read", j.path, err)
	}
	defer rows.Close()
	var out []Day
	for rows.Next() {
		var d Day
		if err := rows.Scan(&d.Date, &d.First, &d.Last); err != nil {
			return nil, explain("journal-doing.read", j.path, err)
		}
		out = append(out, d)
	}
	return out, explain("journal-doing.read", j.path, rows.Err())
}

// before are the events that records of later days are read by: what the line was, and
// what was wrong with it.
var before = []string{"line-laid", "recipe-revised", "trouble-reported", "trouble-mended", "pace-pinned", "pace-unpinned"}

// LastDays calls fn with the records of the last n days and, before them, with what these
// rest on; actions that were taken back in those earlier days are among it.
func (j *Journal) LastDays(ctx context.Context, n int, fn func(line.Record) error) error {
	days, err := j.Days()
	if err != nil {
		return err
	}
	from := int64(1)
	if len(days) > n {
		from = days[len(days)-n].First
	}
	err = j.OfTypes(ctx, 0, from, before, func(r line.Record) error {
		r.Undo = ""
		return fn(r)
	})
	if err != nil {
		return err
	}
	return j.Scan(ctx, from, 0, fn)
}
