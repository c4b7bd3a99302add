package journal

import (
	"context"
	"database/sql"

	"shedbell/line"
)

const insertRow = `INSERT INTO events (seq, grp, at_ns, zone_s, "by", undo, type, data, sum)
VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)`

// Append saves records: all of them or, with an error, none. When it returns nil
// they are on the disk. Their numbers have to continue the journal's, else the
// error is ErrSequence and nothing was written. After any other error the same
// records can be given again.
//
// ctx is looked at before the write begins; a write that has begun is finished, so
// that nobody has to guess whether a record was saved.
func (j *Journal) Append(ctx context.Context, records []line.Record) error {
	if err := j.writing(); err != nil || len(records) == 0 {
		return err
	}
	j.mu.Lock()
	defer j.mu.Unlock()
	if err := ctx.Err(); err != nil {
		return err
	}
	rows, err := j.rowsOf(records)
	if err != nil {
		return err
	}
	err = j.inTx(func(tx *sql.Tx) error {
		insert := tx.Stmt(j.insert)
		for i := range rows {
			w := &rows[i]
			if _, err := insert.Exec(w.seq, w.grp, w.atNS, w.zoneS, w.by, w.undo, w.kind, w.data, w.sum); err != nil {
				return err
			}
			if err := indexDay(tx, w.seq, records[i].Event); err != nil {
				return err
			}
		}
		return j.inPlace()
	})
	if err != nil {
		return explain("journal-doing.save", j.path, err)
	}
	j.last.Store(rows[len(rows)-1].seq)
	return nil
}

func (j *Journal) rowsOf(records []line.Record) ([]row, error) {
	rows := make([]row, len(records))
	last := j.last.Load()
	for i, r := range records {
		if want := last + int64(i) + 1; r.Seq != want {
			return nil, newFault(ErrSequence, "journal.sequence", r.Seq, want)
		}
		w, err := rowOf(r, &j.sums)
		if err != nil {
			return nil, err
		}
		rows[i] = w
	}
	return rows, nil
}
