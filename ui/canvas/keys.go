package canvas

import (
	"bytes"
	"regexp"
	"time"
)

// A terminal sends more than keys: answers to questions, reports of its cursor, its
// focus and its mouse. They arrive whenever it likes, in pieces, and bubbletea takes
// the text in them for keys. keyFilter lets through what a person has pressed or
// pasted and swallows every other control string of ECMA-48 whole.
type keyFilter struct {
	// told gets the text of a whole OSC string; nil: nobody wants it.
	told func(osc string)

	state  inputState
	held   []byte // of a sequence that has not ended
	need   int    // bytes that are still to come of a character or of a mouse report
	pasted int
	last   time.Time // when something last came
	lone   time.Time // when an Esc that nothing had followed went through
}

type inputState uint8

const (
	atKeys inputState = iota
	inRune
	inEscape
	inCSI
	inSS3
	inMouse
	inString
	inStringEscape
	inPaste
)

const (
	// stringQuiet ends a control string whose end never comes, pasteQuiet a paste.
	stringQuiet = 200 * time.Millisecond
	pasteQuiet  = time.Second

	maxHeld  = 128
	maxPaste = 4096

	escape, can, sub = 0x1b, 0x18, 0x1a

	pasteBegin = "\x1b[200~"
	pasteEnd   = "\x1b[201~"
)

// csiKeys are the CSI sequences that keys send; F3 with a modifier is left out, as a
// report of the cursor looks the same. A late rest is what may follow an Esc that
// went through alone: nobody types that within one read.
var (
	csiKeys  = regexp.MustCompile(`^\x1b\[((1;[2-8])?[ABCDHF]|Z|[abcd]|\[[A-E]|1;[2-8][PQS]|[0-9]{1,2}(;[2-8])?~|[5-8][\^$@])$`)
	lateRest = regexp.MustCompile(`^(\][0-9lLI]|P[0-9>$+!]|\[[0-9?<>=A-HZ])`)
)

// feed takes what has come at an instant and appends to out what goes through.
func (f *keyFilter) feed(out, in []byte, now time.Time) []byte {
	if len(in) == 0 {
		return out
	}
	switch quiet := now.Sub(f.last); {
	case f.state == inPaste && quiet > pasteQuiet:
		out = append(append(out, f.held...), pasteEnd...)
		f.reset()
	case f.state == inStringEscape && in[0] == '\\': // however late
	case f.state != inPaste && f.state != atKeys && quiet > stringQuiet:
		f.reset()
	}
	if f.state == atKeys && !f.lone.IsZero() && now.Sub(f.lone) < pasteQuiet && lateRest.Match(in) {
		f.begin(inEscape, escape)
	}
	f.last, f.lone = now, time.Time{}
	for _, b := range in {
		out = f.take(out, b)
	}
	return out
}

// waits says that an Esc has come and nothing after it: the key, or the beginning of
// more. flush lets it through as the key.
func (f *keyFilter) waits() bool { return f.state == inEscape }

func (f *keyFilter) flush(out []byte, now time.Time) []byte {
	f.reset()
	f.lone = now
	return append(out, escape)
}

func (f *keyFilter) reset() { f.state, f.held, f.pasted = atKeys, f.held[:0], 0 }

func (f *keyFilter) begin(state inputState, held ...byte) {
	f.state, f.need, f.held = state, 0, append(f.held[:0], held...)
}

func (f *keyFilter) take(out []byte, b byte) []byte {
	switch f.state {
	case inRune:
		return f.inRune(out, b)
	case inEscape:
		return f.inEscape(out, b)
	case inCSI:
		return f.inCSI(out, b)
	case inSS3:
		return f.inSS3(out, b)
	case inMouse:
		if f.need--; f.need == 0 {
			f.reset()
		}
		return out
	case inString, inStringEscape:
		return f.inString(out, b)
	case inPaste:
		return f.inPaste(out, b)
	}
	switch {
	case b == escape:
		f.begin(inEscape, b)
	case b < 0x80:
		return append(out, b)
	case b == 0x9b: // the 8-bit forms; within a character they are taken by inRune
		f.begin(inCSI, escape, '[')
	case b == 0x8f:
		f.begin(inSS3, escape, 'O')
	case b == 0x90, b == 0x98, b == 0x9d, b == 0x9e, b == 0x9f:
		f.begin(inString, b)
	case b >= 0xc2 && b <= 0xf4:
		f.begin(inRune, b)
		f.need = following(b)
	}
	return out
}

// following is how many bytes follow the first one of a character in UTF-8.
func following(first byte) int {
	switch {
	case first >= 0xf0 && first <= 0xf4:
		return 3
	case first >= 0xe0 && first < 0xf0:
		return 2
	case first >= 0xc2 && first < 0xe0:
		return 1
	}
	return 0
}

func (f *keyFilter) inRune(out []byte, b byte) []byte {
	if b&0xc0 != 0x80 {
		f.reset()
		return f.take(out, b)
	}
	f.held = append(f.held, b)
	if f.need--; f.need > 0 {
		return out
	}
	return f.through(out)
}

// through lets through what is held.
func (f *keyFilter) through(out []byte) []byte {
	out = append(out, f.held...)
	f.reset()
	return out
}

func (f *keyFilter) inEscape(out []byte, b byte) []byte {
	switch {
	case b == escape:
	case b == '[':
		f.begin(inCSI, escape, b)
	case b == 'O':
		f.begin(inSS3, escape, b)
	case b == ']':
		f.begin(inString, 0x9d)
	case b == 'P', b == 'X', b == '^', b == '_':
		f.begin(inString, 0)
	case b == '\\': // the end of a string that has been given up
		f.reset()
	case b < 0x80: // a key with Alt
		f.held = append(f.held, b)
		return f.through(out)
	case following(b) > 0:
		f.held = append(f.held, b)
		f.state, f.need = inRune, following(b)
	default:
		f.reset()
		return f.take(out, b)
	}
	return out
}

func (f *keyFilter) inCSI(out []byte, b byte) []byte {
	n := len(f.held)
	last := b >= 0x40 && b <= 0x7e && !(n == 2 && b == '[') || n == 3 && b == '$' && f.held[2] >= '5' && f.held[2] <= '8'
	switch {
	case b == can, b == sub:
		f.reset()
		return out
	case b < 0x20 || b >= 0x7f: // broken off
		f.reset()
		return f.take(out, b)
	case !last && n < maxHeld:
		f.held = append(f.held, b)
		return out
	case !last:
		return out
	case n == 2 && b == 'M':
		f.begin(inMouse)
		f.need = 3
		return out
	}
	f.held = append(f.held, b)
	switch {
	case string(f.held) == pasteBegin:
		f.begin(inPaste)
		return append(out, pasteBegin...)
	case csiKeys.Match(f.held):
		return f.through(out)
	}
	f.reset()
	return out
}

// inSS3 passes the keys that bubbletea knows, gives Home and End the form that it does,
// and the number pad, where an earlier program has left it in application mode, its
// characters.
func (f *keyFilter) inSS3(out []byte, b byte) []byte {
	if b >= '0' && b <= '9' || b == ';' { // with a modifier, which bubbletea does not know
		f.need = 1
		return out
	}
	modified := f.need > 0
	f.reset()
	switch {
	case b == can, b == sub, modified && b >= 0x20 && b < 0x7f:
	case b >= 'A' && b <= 'D', b >= 'P' && b <= 'S':
		return append(out, escape, 'O', b)
	case b == 'H', b == 'F':
		return append(out, escape, '[', b)
	case b >= 'j' && b <= 'y', b == 'M':
		return append(out, b-0x40)
	case b < 0x20, b >= 0x7f:
		return f.take(out, b)
	}
	return out
}

// inString swallows a string up to BEL, ST, CAN or SUB; another sequence breaks it off.
func (f *keyFilter) inString(out []byte, b byte) []byte {
	if f.state == inStringEscape {
		f.state = inString
		if b == '\\' {
			return f.ended(out)
		}
		f.begin(inEscape, escape)
		return f.take(out, b)
	}
	within := f.need > 0 && b&0xc0 == 0x80
	switch {
	case b == escape:
		f.state = inStringEscape
	case b == '\a', b == 0x9c && !within:
		return f.ended(out)
	case b == can, b == sub:
		f.reset()
	case len(f.held) < maxHeld:
		f.held = append(f.held, b)
	}
	if within {
		f.need--
	} else {
		f.need = following(b)
	}
	return out
}

func (f *keyFilter) ended(out []byte) []byte {
	if f.held[0] == 0x9d && len(f.held) < maxHeld && f.told != nil {
		f.told(string(f.held[1:]))
	}
	f.reset()
	return out
}

// inPaste passes all that is pasted, up to more than anybody means to.
func (f *keyFilter) inPaste(out []byte, b byte) []byte {
	f.held = append(f.held, b)
	for len(f.held) > 0 && !bytes.HasPrefix([]byte(pasteEnd), f.held) {
		if f.pasted++; f.pasted <= maxPaste {
			out = append(out, f.held[0])
		}
		f.held = append(f.held[:0], f.held[1:]...)
	}
	if len(f.held) == len(pasteEnd) {
		return f.through(out)
	}
	return out
}
