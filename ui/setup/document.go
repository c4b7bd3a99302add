package setup

import (
	"slices"
	"strings"
)

// document is a TOML file as text, with where its tables and keys stand. It only
// takes what a reader has found to be valid TOML.
type document struct {
	src    string
	blocks []*block
}

// block is the top of the file or one table under a header.
type block struct {
	kind string // as the header has it; empty for the top
	many bool   // the header has double brackets
	keys []entry
	head int // offset of the header; 0 for the top
	end  int // offset after the line of its header or last key
}

// entry is a key with its value.
type entry struct {
	key      string // dotted parts joined by points, quotes taken off
	line     int    // offset of the line that the key is on
	from, to int    // offsets of the value
}

func parse(src string) *document {
	d := &document{src: src, blocks: []*block{{}}}
	for at := 0; at < len(src); {
		at = d.lineAt(at)
	}
	return d
}

// lineAt reads what begins on the line at an offset and returns the offset of the
// next line.
func (d *document) lineAt(at int) int {
	start := at
	for at < len(d.src) && (d.src[at] == ' ' || d.src[at] == '\t') {
		at++
	}
	b := d.blocks[len(d.blocks)-1]
	switch {
	case at >= len(d.src) || strings.ContainsRune("\r\n#", rune(d.src[at])):
		return d.lineEnd(at)
	case d.src[at] == '[':
		end := d.lineEnd(at)
		many := strings.HasPrefix(d.src[at:], "[[")
		name, _ := d.name(at+1+len("[")*bit(many), ']')
		d.blocks = append(d.blocks, &block{kind: name, many: many, head: start, end: end})
		return end
	}
	key, at := d.name(at, '=')
	from := at + 1
	for from < len(d.src) && (d.src[from] == ' ' || d.src[from] == '\t') {
		from++
	}
	to := d.valueEnd(from)
	b.end = d.lineEnd(to)
	b.keys = append(b.keys, entry{key: key, line: start, from: from, to: to})
	return b.end
}

func bit(v bool) int {
	if v {
		return 1
	}
	return 0
}

// lineEnd is the offset after the line break; a comment is skipped on the way.
func (d *document) lineEnd(at int) int {
	if i := strings.IndexByte(d.src[at:], '\n'); i >= 0 {
		return at + i + 1
	}
	return len(d.src)
}

// name reads a key up to a stop outside of quotes.
func (d *document) name(at int, stop byte) (string, int) {
	var parts strings.Builder
	for at < len(d.src) && d.src[at] != stop {
		switch c := d.src[at]; c {
		case '"', '\'':
			end := d.stringEnd(at)
			parts.WriteString(d.src[at+1 : end-1])
			at = end
		case ' ', '\t':
			at++
		default:
			parts.WriteByte(c)
			at++
		}
	}
	return parts.String(), at
}

// stringEnd is the offset after a string that begins at an offset.
func (d *document) stringEnd(at int) int {
	quote := d.src[at : at+1]
	if strings.HasPrefix(d.src[at:], strings.Repeat(quote, 3)) {
		quote = strings.Repeat(quote, 3)
	}
	for i := at + len(quote); i < len(d.src); i++ {
		switch {
		case d.src[i] == '\\' && quote[0] == '"':
			i++
		case strings.HasPrefix(d.src[i:], quote):
			for i++; len(quote) == 3 && strings.HasPrefix(d.src[i:], quote); i++ {
			} // up to two quotes may stand before the closing three
			return i + len(quote) - 1
		}
	}
	return len(d.src)
}

// valueEnd is the offset after a value: what is in brackets may go over lines.
func (d *document) valueEnd(at int) int {
	depth, last := 0, at
	for at < len(d.src) {
		switch c := d.src[at]; c {
		case '"', '\'':
			at = d.stringEnd(at)
			last = at
			continue
		case '[', '{':
			depth++
		case ']', '}':
			depth--
		case '#', '\n':
			if depth == 0 {
				return last
			}
			if c == '#' {
				at = d.lineEnd(at)
				continue
			}
		}
		if c := d.src[at]; c != ' ' && c != '\t' && c != '\r' && c != '\n' {
			last = at + 1
		}
		at++
	}
	return last
}

// headEnd is the offset after the brackets of a header.
func (d *document) headEnd(b *block) int {
	brackets := 1 + bit(b.many)
	_, at := d.name(b.head+strings.IndexByte(d.src[b.head:], '[')+brackets, ']')
	return at + brackets
}

// of finds the tables of a kind; the top for an empty one.
func (d *document) of(kind string) []*block {
	var out []*block
	for i, b := range d.blocks {
		if b.kind == kind && (b.many || i == 0) {
			out = append(out, b)
		}
	}
	return out
}

func (b *block) find(key string) (entry, bool) {
	i := slices.IndexFunc(b.keys, func(e entry) bool { return e.key == key })
	if i < 0 {
		return entry{}, false
	}
	return b.keys[i], true
}
