package journal

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"strconv"
	"strings"
	"time"
)

// Word is a link of the chain of hashes in a form short enough for paper: its first
// 80 bits. It stands for every record up to its own.
type Word [10]byte

// String is the word in four groups of five hexadecimal digits.
func (w Word) String() string {
	s := hex.EncodeToString(w[:])
	return s[:5] + "-" + s[5:10] + "-" + s[10:15] + "-" + s[15:]
}

// ParseWord reads a word as somebody types it from paper: in any case, with or without
// the dashes.
func ParseWord(text string) (w Word, ok bool) {
	b, err := hex.DecodeString(strings.ReplaceAll(text, "-", ""))
	return w, err == nil && copy(w[:], b) == len(b) && len(b) == len(w)
}

// Link is the chain after one record.
type Link struct {
	Seq  int64
	At   time.Time
	Word Word
}

// Chain calls fn with the link of every record, in order. The chain is worked out from
// what the records say now and is stored nowhere: the word on paper is what it is held
// against, and a key beside the file would witness nothing. A link is the SHA-256 (FIPS
// 180-4) of the link before it, 32 zero bytes at first, and the columns of the record
// as netstrings, seq to data in the order of the table.
func (j *Journal) Chain(ctx context.Context, fn func(Link) error) error {
	var link [sha256.Size]byte
	var text []byte
	err := eachRow(ctx, j.r, fromOn, []any{1}, func(w *row) error {
		text = append(text[:0], link[:]...)
		for _, n := range []int64{w.seq, w.grp, w.atNS, w.zoneS} {
			text = netstring(text, strconv.FormatInt(n, 10))
		}
		for _, s := range []string{w.by, w.undo, w.kind} {
			text = netstring(text, s)
		}
		text = netstring(text, w.data)
		link = sha256.Sum256(text)
		return fn(Link{Seq: w.seq, At: w.at(), Word: Word(link[:len(Word{})])})
	})
	return explainSQL("reading", j.path, stopped(err))
}

func netstring[T string | []byte](to []byte, s T) []byte {
	to = append(strconv.AppendInt(to, int64(len(s)), 10), ':')
	return append(append(to, s...), ',')
}
