package journal

import (
	"encoding/binary"
	"errors"
	"hash/crc32"
	"io/fs"
	"os"
	"path/filepath"
	"sync"
	"time"
)

// The heartbeat has a small file of its own. In the database it would be durable
// only with a commit of its own, several pages each second, and would stand in
// line behind a slow Append; here it is one block, overwritten in place, which
// works on a full disk too.
const beatName = "shedbell.beat"

// Two slots are written in turn, in different blocks, so that a write that the
// power cut tears leaves the beat before it whole.
const (
	beatStride = 4096
	beatSize   = 40
	beatMagic  = 0x31425453 // "STB1"
)

// beat is one heartbeat.
type beat struct {
	number uint64 // rises by one with each write; 0 for none
	at     time.Time
	seq    int64 // records on the disk then
	clean  bool
}

type beatFile struct {
	mu     sync.Mutex
	f      *os.File
	newest beat
}

func openBeats(dir string) (*beatFile, error) {
	path := filepath.Join(dir, beatName)
	f, err := os.OpenFile(path, os.O_RDWR|os.O_CREATE, 0o600)
	if err != nil {
		return nil, err
	}
	b := &beatFile{f: f, newest: newestBeat(f)}
	if info, err := f.Stat(); err != nil || info.Size() < 2*beatStride {
		_, werr := f.WriteAt([]byte{0}, 2*beatStride-1)
		if err = errors.Join(err, werr, f.Sync(), syncDir(dir)); err != nil {
			return nil, errors.Join(err, f.Close())
		}
	}
	return b, nil
}

func readBeats(dir string) (beat, error) {
	f, err := os.Open(filepath.Join(dir, beatName))
	if errors.Is(err, fs.ErrNotExist) {
		return beat{}, nil
	}
	if err != nil {
		return beat{}, err
	}
	defer f.Close()
	return newestBeat(f), nil
}

func newestBeat(f *os.File) beat {
	var best beat
	for slot := range int64(2) {
		var buf [beatSize]byte
		if _, err := f.ReadAt(buf[:], slot*beatStride); err != nil {
			continue
		}
		if b, ok := decodeBeat(buf[:]); ok && b.number > best.number {
			best = b
		}
	}
	return best
}

func encodeBeat(b beat) []byte {
	_, zone := b.at.Zone()
	out := make([]byte, 0, beatSize)
	out = binary.LittleEndian.AppendUint32(out, beatMagic)
	out = binary.LittleEndian.AppendUint64(out, b.number)
	out = binary.LittleEndian.AppendUint64(out, uint64(b.at.UnixNano()))
	out = binary.LittleEndian.AppendUint32(out, uint32(int32(zone)))
	out = binary.LittleEndian.AppendUint64(out, uint64(b.seq))
	clean := uint32(0)
	if b.clean {
		clean = 1
	}
	out = binary.LittleEndian.AppendUint32(out, clean)
	return binary.LittleEndian.AppendUint32(out, crc32.Checksum(out, castagnoli))
}

func decodeBeat(b []byte) (beat, bool) {
	le := binary.LittleEndian
	if len(b) != beatSize || le.Uint32(b) != beatMagic || le.Uint32(b[36:]) != crc32.Checksum(b[:36], castagnoli) {
		return beat{}, false
	}
	w := row{atNS: int64(le.Uint64(b[12:])), zoneS: int64(int32(le.Uint32(b[20:])))}
	return beat{number: le.Uint64(b[4:]), at: w.at(), seq: int64(le.Uint64(b[24:])), clean: le.Uint32(b[32:]) == 1}, true
}

func (b *beatFile) write(next beat) error {
	b.mu.Lock()
	defer b.mu.Unlock()
	next.number = b.newest.number + 1
	if _, err := b.f.WriteAt(encodeBeat(next), int64(next.number%2)*beatStride); err != nil {
		return err
	}
	if err := b.f.Sync(); err != nil {
		return err
	}
	b.newest = next
	return nil
}

// markRunning takes the clean end back as soon as a program has the journal: one
// that dies before its first beat has not ended cleanly. The instant stays, as
// nothing is known to have run since.
func (b *beatFile) markRunning() error {
	if b.newest.number == 0 || !b.newest.clean {
		return nil
	}
	next := b.newest
	next.clean = false
	return b.write(next)
}

func (b *beatFile) close() error {
	if b == nil {
		return nil
	}
	return b.f.Close()
}

// Beat says that the program runs at now. It waits for the disk, but never for an
// Append.
func (j *Journal) Beat(now time.Time) error {
	if err := j.writing(); err != nil {
		return err
	}
	err := j.beats.write(beat{at: now, seq: j.last.Load()})
	return explain("journal-doing.heartbeat", filepath.Join(j.dir, beatName), err)
}

// LastBeat is the last instant at which the program before this one is known to
// have run: its last heartbeat or its last record, whichever is later. ok is false
// for a new journal. Later beats do not change it.
func (j *Journal) LastBeat() (at time.Time, ok bool) { return j.found.at, j.hadAny }

// WasClean says whether the program before this one was quit by its operator; true
// for a new journal.
func (j *Journal) WasClean() bool { return !j.hadAny || j.found.clean }

// WriterBeat reads the newest heartbeat from the disk, by which a viewer sees
// whether the line's program still runs.
func (j *Journal) WriterBeat() (at time.Time, ok bool) {
	b, err := readBeats(j.dir)
	return b.at, err == nil && b.number > 0
}
