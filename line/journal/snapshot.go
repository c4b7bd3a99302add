package journal

import (
	"database/sql"
	"encoding/binary"
	"hash/crc32"
)

// keptSnapshots is how many are kept: should the newest prove unusable, an older
// one still saves most of the replay.
const keptSnapshots = 3

// SaveSnapshot keeps a state as it is after record seq, so that the next start
// need not replay what came before. What data means is up to the caller, who also
// has to recognise data of another program version.
func (j *Journal) SaveSnapshot(seq int64, data []byte) error {
	if err := j.writing(); err != nil {
		return err
	}
	j.mu.Lock()
	defer j.mu.Unlock()
	if last := j.last.Load(); seq > last {
		return newFault(ErrSequence, "journal.snapshot-early", seq, last)
	}
	err := j.inTx(func(tx *sql.Tx) error {
		_, err := tx.Exec("INSERT OR REPLACE INTO snapshots (seq, data, sum) VALUES (?, ?, ?)", seq, data, snapshotSum(seq, data))
		if err != nil {
			return err
		}
		_, err = tx.Exec("DELETE FROM snapshots WHERE seq NOT IN (SELECT seq FROM snapshots ORDER BY seq DESC LIMIT ?)", keptSnapshots)
		return err
	})
	return explain("journal-doing.save", j.path, err)
}

// LatestSnapshot returns the newest whole snapshot; ok is false where there is
// none, and everything has to be replayed.
func (j *Journal) LatestSnapshot() (seq int64, data []byte, ok bool, err error) {
	rows, err := j.r.Query(`SELECT seq, data, sum FROM snapshots
		WHERE seq <= (SELECT max(seq) FROM events) ORDER BY seq DESC`)
	if err != nil {
		return 0, nil, false, explain("journal-doing.read", j.path, err)
	}
	defer rows.Close()
	for rows.Next() {
		var sum int64
		if err := rows.Scan(&seq, &data, &sum); err != nil {
			return 0, nil, false, explain("journal-doing.read", j.path, err)
		}
		if sum == snapshotSum(seq, data) {
			return seq, data, true, nil
		}
	}
	return 0, nil, false, explain("journal-doing.read", j.path, rows.Err())
}

// DropSnapshots deletes every snapshot. Nothing is lost by it.
func (j *Journal) DropSnapshots() error {
	if err := j.writing(); err != nil {
		return err
	}
	j.mu.Lock()
	defer j.mu.Unlock()
	_, err := j.w.Exec("DELETE FROM snapshots")
	return explain("journal-doing.save", j.path, err)
}

func snapshotSum(seq int64, data []byte) int64 {
	number := binary.LittleEndian.AppendUint64(nil, uint64(seq))
	return int64(crc32.Update(crc32.Checksum(number, castagnoli), castagnoli, data))
}
