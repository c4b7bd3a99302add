package journal

import (
	"bytes"
	"encoding/binary"
	"errors"
	"io"
	"os"
)

// pageSize is SQLite's default, which every journal has.
const pageSize = 4096

// Sizes of section 4.1 of https://sqlite.org/fileformat2.html.
const (
	logHeader   = 32
	frameHeader = 24
)

// frame is one page in the write-ahead log.
type frame struct {
	number uint32 // of the page
	commit bool   // ends a transaction
	valid  bool   // it and everything before it is as it was written
	page   []byte
}

// frames lists the frames of the log's present generation; older ones, which were
// copied into the database long ago, have another salt.
func frames(wal []byte) []frame {
	if len(wal) < logHeader+frameHeader+pageSize {
		return nil
	}
	sum := logSum{order: binary.ByteOrder(binary.LittleEndian)}
	if wal[3]&1 == 1 {
		sum.order = binary.BigEndian
	}
	valid := bytes.Equal(wal[:3], []byte{0x37, 0x7f, 0x06}) && sum.matches(wal[24:32], wal[:24])
	salt := wal[16:24]
	if !valid {
		salt = wal[logHeader+8 : logHeader+16]
	}
	var out []frame
	for at := logHeader; at+frameHeader+pageSize <= len(wal); at += frameHeader + pageSize {
		h, page := wal[at:at+frameHeader], wal[at+frameHeader:][:pageSize]
		known := bytes.Equal(h[8:16], salt)
		valid = valid && known && sum.matches(h[16:24], h[:8], page)
		if known {
			out = append(out, frame{number: binary.BigEndian.Uint32(h), commit: binary.BigEndian.Uint32(h[4:]) != 0,
				valid: valid, page: page})
		}
	}
	return out
}

// logSum is the log's running checksum (section 4.2).
type logSum struct {
	order  binary.ByteOrder
	s0, s1 uint32
}

func (s *logSum) matches(want []byte, parts ...[]byte) bool {
	for _, b := range parts {
		for ; len(b) >= 8; b = b[8:] {
			s.s0 += s.order.Uint32(b) + s.s1
			s.s1 += s.order.Uint32(b[4:]) + s.s0
		}
	}
	return s.s0 == binary.BigEndian.Uint32(want) && s.s1 == binary.BigEndian.Uint32(want[4:])
}

// logBroken says whether a write-ahead log is damaged ahead of its end. SQLite
// takes what follows a bad frame for a write that the power cut short and drops it
// without a word. One transaction may be cut short so; a second one behind it
// was only begun when the first was on the disk, so there something was destroyed.
func logBroken(path string) (bool, error) {
	wal, err := readLog(path + "-wal")
	if err != nil {
		return false, err
	}
	commits := 0
	for _, f := range frames(wal) {
		if f.commit && !f.valid {
			commits++
		}
	}
	return commits >= 2, nil
}

// readLog reads the log of a journal that may be in use: it tries again when a new
// generation was begun meanwhile.
func readLog(path string) ([]byte, error) {
	for range 5 {
		wal, err := readIfThere(path)
		if err != nil || len(wal) < logHeader {
			return nil, err
		}
		head, err := readHead(path)
		if err != nil || bytes.Equal(head, wal[:logHeader]) {
			return wal, err
		}
	}
	return nil, nil // in busy use, so certainly not broken at its beginning
}

func readHead(path string) ([]byte, error) {
	f, err := os.Open(path)
	if errors.Is(err, os.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	defer f.Close()
	head := make([]byte, logHeader)
	n, err := io.ReadFull(f, head)
	if err == io.EOF || err == io.ErrUnexpectedEOF {
		err = nil
	}
	return head[:n], err
}
