package journal

import (
	"context"
	"database/sql"
	"errors"

	"shedbell/line"
)

const selectRows = `SELECT seq, grp, at_ns, zone_s, "by", undo, type, data, sum FROM events`

// ErrStop ends a Replay early, without an error, when its function returns it.
var ErrStop = errors.New("stop")

// Replay calls fn with every record from number from on, in order. It stops at the
// first error of fn and returns that. A record that is damaged or missing gives
// ErrDamaged; gaps that a salvage has recorded are passed over.
func (j *Journal) Replay(from int64, fn func(line.Record) error) error {
	gaps, err := readGaps(j.r)
	if err != nil {
		return explain("journal-doing.read", j.path, err)
	}
	want := max(from, 1)
	var sums summer
	err = eachRow(context.Background(), j.r, fromOn, []any{want}, func(w *row) error {
		want = gaps.skip(want)
		if w.seq != want {
			return damaged(nil, "journal.lacks", j.path, want, w.seq-1)
		}
		want++
		r, err := j.record(&sums, w)
		if err != nil {
			return err
		}
		return fn(r)
	})
	return explainSQL("reading", j.path, stopped(err))
}

// record is a row's record if the row is as it was written.
func (j *Journal) record(sums *summer, w *row) (line.Record, error) {
	if sums.sum(w) != w.sum {
		return line.Record{}, damaged(nil, "journal.altered-in", w.seq, j.path)
	}
	return w.record()
}

func stopped(err error) error {
	if errors.Is(err, ErrStop) {
		return nil
	}
	return err
}

// explainSQL leaves errors that do not come from SQLite as they are.
func explainSQL(doing, path string, err error) error {
	if kindOf(err) == nil {
		return err
	}
	return explain(doing, path, err)
}

// fromOn asks eachRow for the rows from a number on.
const fromOn = " WHERE seq >= ? ORDER BY seq"

// eachRow reads the rows that where asks for. fn must not keep the row.
func eachRow(ctx context.Context, db *sql.DB, where string, args []any, fn func(*row) error) error {
	rows, err := db.QueryContext(ctx, selectRows+where, args...)
	if err != nil {
		return err
	}
	defer rows.Close()
	var w row
	var data sql.RawBytes
	for rows.Next() {
		if err := rows.Scan(&w.seq, &w.grp, &w.atNS, &w.zoneS, &w.by, &w.undo, &w.kind, &data, &w.sum); err != nil {
			return err
		}
		w.data = data
		if err := fn(&w); err != nil {
			return err
		}
	}
	return rows.Err()
}

// gaps are ranges of numbers that a salvage could not recover, in order.
type gaps []gap

type gap struct{ first, last int64 }

func readGaps(db *sql.DB) (gaps, error) {
	rows, err := db.Query("SELECT first_seq, last_seq FROM losses ORDER BY first_seq")
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	var out gaps
	for rows.Next() {
		var g gap
		if err := rows.Scan(&g.first, &g.last); err != nil {
			return nil, err
		}
		out = append(out, g)
	}
	return out, rows.Err()
}

// skip returns the first number from seq on that is in no gap.
func (g gaps) skip(seq int64) int64 {
	for _, one := range g {
		if one.first <= seq && seq <= one.last {
			seq = one.last + 1
		}
	}
	return seq
}
