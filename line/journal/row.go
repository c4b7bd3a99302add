package journal

import (
	"encoding/binary"
	"fmt"
	"hash/crc32"
	"math"
	"time"

	"shedbell/line"
)

// row is a record as the events table holds it.
type row struct {
	seq, grp    int64
	atNS, zoneS int64 // Unix nanoseconds; seconds east of UTC
	by, undo    string
	kind        string // the event's journal name
	data        []byte // its JSON
	sum         int64  // checksum over all of the above
}

// Instants outside what nanoseconds in an int64 can hold are a programming error
// or a clock far out of order; they must not be stored as another instant.
var (
	earliest = time.Unix(0, math.MinInt64)
	latest   = time.Unix(0, math.MaxInt64)
)

func rowOf(r line.Record, s *summer) (row, error) {
	kind, data, err := line.EncodeEvent(r.Event)
	if err != nil {
		return row{}, fmt.Errorf("record %d: %w", r.Seq, err)
	}
	if r.At.Before(earliest) || r.At.After(latest) {
		return row{}, fmt.Errorf("record %d: the instant %v cannot be stored", r.Seq, r.At)
	}
	_, zone := r.At.Zone()
	w := row{seq: r.Seq, grp: r.Group, atNS: r.At.UnixNano(), zoneS: int64(zone),
		by: r.By, undo: r.Undo, kind: kind, data: data}
	w.sum = s.sum(&w)
	return w, nil
}

func (w *row) record() (line.Record, error) {
	e, err := line.DecodeEvent(w.kind, w.data)
	if err != nil {
		return line.Record{}, fmt.Errorf("record %d: %w", w.seq, err)
	}
	return line.Record{Seq: w.seq, Group: w.grp, At: w.at(), By: w.by, Undo: w.undo, Event: e}, nil
}

// at restores the instant with the offset it was recorded with: in the local zone
// where that has the same offset then, so that a shed sees its own zone's name.
func (w *row) at() time.Time {
	t := time.Unix(0, w.atNS)
	if _, offset := t.Zone(); int64(offset) == w.zoneS {
		return t
	}
	if w.zoneS == 0 {
		return t.UTC()
	}
	return t.In(time.FixedZone("", int(w.zoneS)))
}

// castagnoli is the CRC-32C polynomial, which processors compute in hardware.
var castagnoli = crc32.MakeTable(crc32.Castagnoli)

// summer computes row checksums in a buffer that it keeps.
type summer struct{ buf []byte }

// sum covers every column, lengths included, so that no byte can move from one
// column to the next unnoticed.
func (s *summer) sum(w *row) int64 {
	b := s.buf[:0]
	for _, n := range [...]int64{w.seq, w.grp, w.atNS, w.zoneS} {
		b = binary.LittleEndian.AppendUint64(b, uint64(n))
	}
	for _, text := range [...]string{w.by, w.undo, w.kind} {
		b = binary.LittleEndian.AppendUint32(b, uint32(len(text)))
		b = append(b, text...)
	}
	s.buf = b
	return int64(crc32.Update(crc32.Checksum(b, castagnoli), castagnoli, w.data))
}
