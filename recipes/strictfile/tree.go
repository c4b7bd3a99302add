package strictfile

import (
	"errors"
	"shedbell/line/say"
	"sort"
	"strings"
	"unicode/utf8"

	"github.com/pelletier/go-toml/v2"
	"github.com/pelletier/go-toml/v2/unstable"
)

const (
	// MaxBytes is the largest file that is read at all.
	MaxBytes = 1 << 20
	// MaxDepth is the deepest nesting of tables and arrays.
	MaxDepth = 16
	// MaxFaults is how many faults are listed before the rest is only counted.
	MaxFaults = 200
	// maxSyntaxFaults bounds how often reading is taken up again after a line
	// that is not TOML.
	maxSyntaxFaults = 20
)

type place struct{ line, column int }

// node is one value with the place where it stands.
type node struct {
	kind   unstable.Kind // Table, Array or one of the scalar kinds
	text   string        // decoded value of a scalar
	raw    string        // the value as written
	at     place         // of the value; of the header for a [table]
	keyAt  place
	keys   []string
	fields map[string]*node
	items  []*node

	header bool // made by its own [header]
	sealed bool // an inline value, which nothing may be added to
}

func newTable(at place) *node {
	return &node{kind: unstable.Table, at: at, keyAt: at, fields: map[string]*node{}}
}

func (n *node) set(key string, child *node) {
	n.keys = append(n.keys, key)
	n.fields[key] = child
}

// builder turns the flat list of TOML expressions into one tree of nodes.
type builder struct {
	file    string
	data    []byte
	newline []int // offsets of the line ends
	parser  unstable.Parser
	root    *node
	current *node
	faults  []Fault

	// The place found last: values come in order, so counting goes on from there
	// instead of from the start of what may be a very long line.
	lastOffset int
	last       place
}

// build reads the whole document, taking up again on the next line after a
// syntax error, so that one typing error does not hide the others.
func build(file string, data []byte) (*node, []Fault) {
	b := &builder{file: file, data: data}
	for i, c := range data {
		if c == '\n' {
			b.newline = append(b.newline, i)
		}
	}
	var syntax []Fault
	for {
		b.root = newTable(place{1, 1})
		b.current, b.faults = b.root, nil
		b.parser.Reset(b.data)
		for b.parser.NextExpression() {
			b.expression(b.parser.Expression())
		}
		err := b.parser.Error()
		if err == nil {
			break
		}
		fault, offset := b.syntaxFault(err)
		syntax = append(syntax, fault)
		if len(syntax) == maxSyntaxFaults || !b.blankLine(offset) {
			break
		}
	}
	return b.root, append(syntax, b.faults...)
}

// remaining asks the full decoder for what the tree does not check itself, such
// as a number with leading zeros or a date that does not exist.
func remaining(file string, data []byte) []Fault {
	var ignored map[string]any
	err := toml.Unmarshal(data, &ignored)
	if err == nil {
		return nil
	}
	f := Fault{File: file, Problem: say.Of(trimPrefix(err.Error())), Mend: say.New("fault.mend-this")}
	var where *toml.DecodeError
	if errors.As(err, &where) {
		f.Line, f.Column = where.Position()
	}
	return []Fault{f}
}

func trimPrefix(message string) string { return strings.TrimPrefix(message, "toml: ") }

func (b *builder) syntaxFault(err error) (Fault, int) {
	why := trimPrefix(err.Error())
	f := Fault{File: b.file, Problem: say.New("fault.not-readable", why), Mend: say.New("fault.write-name")}
	var perr *unstable.ParserError
	offset := 0
	if errors.As(err, &perr) {
		offset = min(max(cap(b.data)-cap(perr.Highlight), 0), len(b.data))
	}
	at := b.place(offset)
	f.Line, f.Column = at.line, at.column
	f.Value = b.lineText(at.line)
	if f.Value != "" {
		f.Problem = say.New("fault.not-readable-line", f.Value, why)
	}
	return f, offset
}

// blankLine overwrites the line at offset with spaces in a copy of the data. It
// refuses when the line opens something that runs over several lines, because
// the lines after it would then make no sense by themselves.
func (b *builder) blankLine(offset int) bool {
	start, end := b.lineBounds(b.place(offset).line)
	text := string(b.data[start:end])
	if strings.TrimSpace(text) == "" || strings.Contains(text, `"""`) || strings.Contains(text, "'''") {
		return false
	}
	if strings.Count(text, "[") != strings.Count(text, "]") || strings.Count(text, "{") != strings.Count(text, "}") {
		return false
	}
	data := make([]byte, len(b.data))
	copy(data, b.data)
	for i := start; i < end; i++ {
		data[i] = ' '
	}
	b.data = data
	return true
}

func (b *builder) lineBounds(line int) (start, end int) {
	if line > 1 && line-2 < len(b.newline) {
		start = b.newline[line-2] + 1
	}
	end = len(b.data)
	if line-1 < len(b.newline) {
		end = b.newline[line-1]
	}
	return start, end
}

func (b *builder) lineText(line int) string {
	if line < 1 {
		return ""
	}
	start, end := b.lineBounds(line)
	return clip(strings.TrimSpace(string(b.data[start:end])))
}

func (b *builder) place(offset int) place {
	line := sort.SearchInts(b.newline, offset)
	start, column := 0, 1
	if line > 0 {
		start = b.newline[line-1] + 1
	}
	if b.last.line == line+1 && b.lastOffset <= offset {
		start, column = b.lastOffset, b.last.column
	}
	b.lastOffset = offset
	b.last = place{line + 1, utf8.RuneCount(b.data[start:offset]) + column}
	return b.last
}

func (b *builder) nodePlace(n *unstable.Node) place { return b.place(int(n.Raw.Offset)) }

func (b *builder) fault(at place, key, value string, problem, mend say.Sentence) {
	b.faults = append(b.faults, Fault{File: b.file, Line: at.line, Column: at.column,
		Key: quoteKey(key), Value: clip(value), Problem: problem, Mend: mend})
}
