package canvas

import (
	"bytes"
	"strings"
	"unicode"
	"unicode/utf8"

	"github.com/charmbracelet/x/ansi"
)

// paintedCell is one cell of a row with the escape sequence that gives it its look.
type paintedCell struct {
	text  string
	style string
}

// bridge is the longest run of unchanged cells that is written again rather than
// jumped over: a jump takes about as many bytes.
const bridge = 6

// changed writes what differs between two rows. Terminals do not agree on how wide
// some characters are; a row with any that is not plainly one cell wide is written
// whole, so that nothing is written beside its place.
func (s *Terminal) changed(b *bytes.Buffer, y int, before, after string) {
	was, ok := paintedCells(before)
	is, okToo := paintedCells(after)
	if !ok || !okToo || len(was) != len(is) || len(is) > s.w {
		s.whole(b, y, after)
		return
	}
	for x := 0; x < len(is); {
		if was[x] == is[x] {
			x++
			continue
		}
		end := x + 1 // one after the last changed cell
		for at := end; at < len(is) && at-end <= bridge; at++ {
			if was[at] != is[at] {
				end = at + 1
			}
		}
		b.WriteString(ansi.CursorPosition(x+1, y+1))
		writeCells(b, is[x:end])
		x = end
	}
}

// writeCells writes cells with their looks and leaves none of them on.
func writeCells(b *bytes.Buffer, line []paintedCell) {
	style := ""
	for _, c := range line {
		if c.style != style {
			if style != "" {
				b.WriteString(ansi.ResetStyle)
			}
			b.WriteString(c.style)
			style = c.style
		}
		b.WriteString(c.text)
	}
	if style != "" {
		b.WriteString(ansi.ResetStyle)
	}
}

// paintedCells takes a row apart; ok is false where it holds anything but looks and
// characters that are one cell wide everywhere.
func paintedCells(row string) (out []paintedCell, ok bool) {
	out = make([]paintedCell, 0, len(row))
	style := ""
	for len(row) > 0 {
		if row[0] == '\x1b' {
			seq := lookOf(row)
			if seq == "" {
				return nil, false
			}
			row = row[len(seq):]
			if style += seq; seq == "\x1b[0m" || seq == "\x1b[m" {
				style = ""
			}
			continue
		}
		r, n := utf8.DecodeRuneInString(row)
		if !oneCellWide(r) {
			return nil, false
		}
		out = append(out, paintedCell{row[:n], style})
		row = row[n:]
	}
	return out, true
}

// lookOf is the escape sequence for a look that the text begins with, and empty
// where that is another sequence.
func lookOf(text string) string {
	if !strings.HasPrefix(text, "\x1b[") {
		return ""
	}
	for i := 2; i < len(text); i++ {
		switch c := text[i]; {
		case c == 'm':
			return text[:i+1]
		case c != ';' && c != ':' && (c < '0' || c > '9'):
			return ""
		}
	}
	return ""
}

// oneCellWide says that a character takes one cell on every terminal, and joins with no
// other.
func oneCellWide(r rune) bool {
	switch {
	case r < 0x20 || r == 0x7f || r == utf8.RuneError:
		return false
	case r < 0x7f:
		return true
	case r > 0xffff || unicode.In(r, unicode.M, unicode.C):
		return false
	}
	return ansi.StringWidth(string(r)) == 1
}
