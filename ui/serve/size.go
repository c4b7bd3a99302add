package serve

import (
	"encoding/binary"

	"shedbell/ui/screen"
)

// The largest terminal that is drawn on: twice the size of the largest one that the
// screens are made for, 300x90. A client that asks for more gets this.
const (
	maxWidth  = 600
	maxHeight = 180
)

// usual is the size where a client gives none.
var usual = screen.Size{W: 80, H: 24}

const maxTermName = 64

// ptyRequest reads a "pty-req" as RFC 4254, 6.2 has it: the terminal's name, then
// the size; the terminal modes after it are of no use here. ok is false for one
// that is cut short.
func ptyRequest(payload []byte) (term string, size screen.Size, ok bool) {
	if len(payload) < 4 {
		return "", usual, false
	}
	n, rest := binary.BigEndian.Uint32(payload), payload[4:]
	if uint64(n) > uint64(len(rest)) {
		return "", usual, false
	}
	size, ok = windowSize(rest[n:], usual)
	return string(rest[:min(n, maxTermName)]), size, ok
}

// windowSize reads a size in cells and pixels, as "window-change" has it in RFC
// 4254, 6.7. Zero dimensions are ignored, as 6.2 demands, and the old ones stay.
func windowSize(payload []byte, old screen.Size) (size screen.Size, ok bool) {
	const fields = 4 * 4
	if len(payload) < fields {
		return old, false
	}
	cells := func(at int, before, most int) int {
		n := binary.BigEndian.Uint32(payload[at:])
		if n == 0 {
			return before
		}
		return int(min(n, uint32(most)))
	}
	return screen.Size{W: cells(0, old.W, maxWidth), H: cells(4, old.H, maxHeight)}, true
}
