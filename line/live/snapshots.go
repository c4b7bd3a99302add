package live

import "shedbell/line"

// Snapshots is what a store may keep beside the records, so that a start need not
// replay years of them. What it returns may be out of date or of another version.
type Snapshots interface {
	LatestSnapshot() (seq int64, data []byte, ok bool, err error)
	SaveSnapshot(seq int64, data []byte) error
}

// fromSnapshot takes the line up as it was before its last day, and says from
// which record on to replay. Without a snapshot that is the first one.
func (l *Line) fromSnapshot() (from int64) {
	store, ok := l.store.(Snapshots)
	if !ok {
		return 0
	}
	seq, data, ok, err := store.LatestSnapshot()
	if err != nil || !ok {
		return 0
	}
	s, err := line.DecodeState(data)
	if err != nil || s.Seq != seq {
		return 0
	}
	l.state, l.before, l.kept = s, s, seq
	return seq + 1
}

// keepSnapshot keeps the line as it was before the day's first record, which is
// also what the day's log begins with. It is best effort: without it the next start
// takes longer.
func (l *Line) keepSnapshot() {
	l.mu.Lock()
	before, saved := l.before, l.saved
	l.mu.Unlock()
	if before.Seq <= l.kept || before.Seq > saved {
		return
	}
	l.kept = before.Seq
	store, ok := l.store.(Snapshots)
	if !ok {
		return
	}
	if data, err := line.EncodeState(before); err == nil {
		_ = store.SaveSnapshot(before.Seq, data)
	}
}
