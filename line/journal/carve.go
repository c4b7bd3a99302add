package journal

import (
	"encoding/binary"
	"errors"
	"io/fs"
	"maps"
	"os"
)

// carve finds records in the bytes of a damaged journal without SQLite, whose
// way to a page is lost when a page above it is. Every byte is tried as the start
// of a record as section 2.1 of https://sqlite.org/fileformat2.html lays it out;
// its checksum then proves that it is one. Records never change, so it does not
// matter how old the page is that one is found in.
func carve(path string) (map[int64]row, error) {
	db, err := readIfThere(path)
	if err != nil {
		return nil, err
	}
	wal, err := readIfThere(path + "-wal")
	if err != nil {
		return nil, err
	}
	return carveBytes(db, wal), nil
}

func carveBytes(db, wal []byte) map[int64]row {
	c := carver{found: map[int64]row{}, db: db, bytes: int64(len(db) + len(wal))}
	c.takeLog(wal)
	for _, page := range c.log {
		c.search(page)
	}
	for at := 0; at < len(db); at += pageSize {
		c.search(db[at:min(at+pageSize, len(db))])
	}
	return c.found
}

func readIfThere(path string) ([]byte, error) {
	data, err := os.ReadFile(path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	return data, err
}

type carver struct {
	db    []byte
	bytes int64             // of both files: no record is larger
	log   map[uint32][]byte // newest committed version of a page in the write-ahead log
	found map[int64]row
	sums  summer
	steps int // overflow pages that the record at hand may still visit
}

// takeLog takes the committed pages out of the write-ahead log. What follows the
// last commit was never acknowledged and stays out.
func (c *carver) takeLog(wal []byte) {
	c.log = map[uint32][]byte{}
	pending := map[uint32][]byte{}
	for _, f := range frames(wal) {
		pending[f.number] = f.page
		if f.commit {
			maps.Copy(c.log, pending)
			clear(pending)
		}
	}
}

// page returns page n, which counts from 1, in its versions, newest first.
func (c *carver) page(n uint32) [][]byte {
	var out [][]byte
	if p, ok := c.log[n]; ok {
		out = append(out, p)
	}
	if at := (int64(n) - 1) * pageSize; n > 0 && at+pageSize <= int64(len(c.db)) {
		out = append(out, c.db[at:at+pageSize])
	}
	return out
}

func (c *carver) search(page []byte) {
	for at := range page {
		w, ok := c.cell(page[at:])
		if !ok {
			continue
		}
		if _, have := c.found[w.seq]; !have {
			c.found[w.seq] = w
		}
	}
}

// cell reads a table leaf cell: payload size, row number, payload and, where it is
// too large for the page, the number of the first overflow page.
func (c *carver) cell(b []byte) (row, bool) {
	size, n := varint(b)
	seq, m := varint(b[n:])
	body := b[n+m:]
	if n == 0 || m == 0 || seq <= 0 || size < 10 || size > c.bytes || !plausible(body) {
		return row{}, false
	}
	local := localSize(int(size))
	if local > len(body) {
		return row{}, false
	}
	if local == int(size) {
		return c.payload(seq, body[:local])
	}
	if local+4 > len(body) {
		return row{}, false
	}
	// The size may be a chance find and the pages may form a ring: take no room before
	// the pages are there, and give up in time.
	c.steps = 64 + 4*int(size)/pageSize
	payload := append([]byte(nil), body[:local]...)
	return c.overflow(seq, payload, int(size), binary.BigEndian.Uint32(body[local:]))
}

// overflow follows a chain of overflow pages through every version of each.
func (c *carver) overflow(seq int64, payload []byte, size int, next uint32) (row, bool) {
	if len(payload) >= size {
		return c.payload(seq, payload[:size])
	}
	for _, page := range c.page(next) {
		if c.steps--; c.steps < 0 {
			break
		}
		longer := append(payload[:len(payload):len(payload)], page[4:]...)
		if w, ok := c.overflow(seq, longer, size, binary.BigEndian.Uint32(page)); ok {
			return w, true
		}
	}
	return row{}, false
}

// localSize is how much of a payload stands on the leaf page itself (section 1.6).
func localSize(size int) int {
	most := pageSize - 35
	if size <= most {
		return size
	}
	least := (pageSize-12)*32/255 - 23
	if k := least + (size-least)%(pageSize-4); k <= most {
		return k
	}
	return least
}

// plausible looks at the first bytes of a record header: at least nine columns, the
// first of which, the row's number, is stored as NULL.
func plausible(b []byte) bool { return len(b) > 10 && b[0] >= 10 && b[0] < 64 && b[1] == 0 }

// payload reads a record's columns in the order of the table.
func (c *carver) payload(seq int64, b []byte) (row, bool) {
	head := int(b[0])
	if head > len(b) {
		return row{}, false
	}
	f := fields{types: b[1:head], body: b[head:], ok: true}
	f.integer() // the number, NULL here
	w := row{seq: seq, grp: f.integer(), atNS: f.integer(), zoneS: f.integer()}
	w.by, w.undo, w.kind = string(f.bytes(13)), string(f.bytes(13)), string(f.bytes(13))
	w.data, w.sum = f.bytes(12), f.integer()
	ok := f.ok && len(f.types) == 0 && len(f.body) == 0 && c.sums.sum(&w) == w.sum
	return w, ok
}

// fields reads serial types and the values that belong to them (section 2.1).
type fields struct {
	types, body []byte
	ok          bool
}

func (f *fields) next() int64 {
	t, n := varint(f.types)
	f.types = f.types[n:]
	f.ok = f.ok && n > 0
	return t
}

func (f *fields) take(n int64) []byte {
	if n < 0 || n > int64(len(f.body)) {
		f.ok = false
		return nil
	}
	out := f.body[:n]
	f.body = f.body[n:]
	return out
}

func (f *fields) integer() int64 {
	t := f.next()
	switch {
	case t == 8 || t == 9:
		return t - 8
	case t == 0:
		return 0
	case t < 0 || t > 6:
		f.ok = false
		return 0
	}
	b := f.take([]int64{1: 1, 2: 2, 3: 3, 4: 4, 5: 6, 6: 8}[t])
	var v int64
	for i, x := range b {
		if i == 0 {
			v = int64(int8(x)) // two's complement
			continue
		}
		v = v<<8 | int64(x)
	}
	return v
}

// bytes reads a blob (base 12) or a text (base 13).
func (f *fields) bytes(base int64) []byte {
	t := f.next()
	if t < base || (t-base)%2 != 0 {
		f.ok = false
		return nil
	}
	return f.take((t - base) / 2)
}

// varint reads SQLite's variable-length integer; n is 0 when b is too short.
func varint(b []byte) (v int64, n int) {
	for i := range min(9, len(b)) {
		if i == 8 {
			return v<<8 | int64(b[i]), 9
		}
		v = v<<7 | int64(b[i]&0x7f)
		if b[i] < 0x80 {
			return v, i + 1
		}
	}
	return 0, 0
}
