package journal

import (
	"context"
	"database/sql"
	"errors"
	"path/filepath"

	"shedbell/line/say"
)

// maxFaults bounds a list of faults: a destroyed file has one for every record.
const maxFaults = 50

// CheckReport is what Check found.
type CheckReport struct {
	Path    string
	Records int64
	Last    int64          // highest number
	Faults  []say.Sentence // empty for a whole journal
}

// OK says whether the journal is whole.
func (c CheckReport) OK() bool { return len(c.Faults) == 0 }

func (c *CheckReport) fault(says say.Sentence) {
	if len(c.Faults) < maxFaults {
		c.Faults = append(c.Faults, says)
	}
}

// Check reads the whole journal of a data folder: SQLite's own integrity check,
// every record's checksum and number, and whether what was saved last is there.
// Faults are in the report; the error says that it could not be checked at all.
func Check(dir string) (CheckReport, error) {
	path := filepath.Join(dir, dbName)
	report, err := checkFile(path)
	if err != nil {
		return report, explain("journal-doing.check", path, err)
	}
	if broken, err := logBroken(path); err != nil {
		return report, explain("journal-doing.check", path, err)
	} else if broken {
		report.fault(say.New("journal.log-damaged", dbName))
	}
	last, err := readBeats(dir)
	if err == nil && last.seq > report.Last {
		report.fault(say.New("journal.missing-at-end", report.Last+1, last.seq))
	}
	return report, explain("journal-doing.check", path, err)
}

func checkFile(path string) (CheckReport, error) {
	report := CheckReport{Path: path}
	err := checkInto(&report)
	if errors.Is(err, ErrDamaged) || errors.Is(kindOf(err), ErrDamaged) {
		report.fault(say.Of(err))
		err = nil
	}
	return report, err
}

func checkInto(report *CheckReport) error {
	if err := checkHeader(report.Path); err != nil {
		return err
	}
	db, err := openReader(report.Path)
	if err != nil {
		return err
	}
	defer db.Close()
	if _, err := checkSchema(report.Path, db); err != nil {
		return err
	}
	if err := integrity(db, report); err != nil {
		return err
	}
	known, err := readGaps(db)
	if err != nil {
		return err
	}
	want := int64(1)
	var sums summer
	return eachRow(context.Background(), db, fromOn, []any{0}, func(w *row) error {
		if want = known.skip(want); w.seq != want {
			report.fault(say.New("journal.missing", want, w.seq-1))
		}
		want = w.seq + 1
		report.Records, report.Last = report.Records+1, w.seq
		if sums.sum(w) != w.sum {
			report.fault(say.New("journal.altered", w.seq))
		} else if _, err := w.record(); err != nil {
			report.fault(say.Of(err))
		}
		return nil
	})
}

func integrity(db *sql.DB, report *CheckReport) error {
	rows, err := db.Query("PRAGMA integrity_check(20)")
	if err != nil {
		return err
	}
	defer rows.Close()
	for rows.Next() {
		var text string
		if err := rows.Scan(&text); err != nil {
			return err
		}
		if text != "ok" {
			report.fault(say.Of(text))
		}
	}
	return rows.Err()
}
