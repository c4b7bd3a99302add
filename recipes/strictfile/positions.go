package strictfile

import (
	"shedbell/line/say"
	"strconv"
	"strings"

	"github.com/pelletier/go-toml/v2/unstable"
)

// Positions knows where each value of a file stands. A path is written like
// loads[2].amps, items counted from 0; a key with other characters than
// letters, digits, _ and - is quoted: "drum left".amps.
type Positions struct {
	file   string
	places map[string]entry
}

type entry struct {
	at  place
	raw string
}

func newPositions(file string, root *node) *Positions {
	p := &Positions{file: file, places: map[string]entry{}}
	p.add("", root)
	return p
}

func (p *Positions) add(path string, n *node) {
	p.places[path] = entry{n.at, clip(n.raw)}
	switch n.kind {
	case unstable.Table:
		for _, key := range n.keys {
			p.add(joinPath(path, key), n.fields[key])
		}
	case unstable.Array:
		for i, item := range n.items {
			p.add(itemPath(path, i), item)
		}
	}
}

// Has reports whether the file gives a value for the path.
func (p *Positions) Has(path string) bool {
	_, ok := p.places[path]
	return ok
}

// At returns the place of a value and the value as written. For a path that the
// file does not have, it is the place of the nearest table around it, with no
// value.
func (p *Positions) At(path string) (line, column int, value string) {
	if e, ok := p.places[path]; ok {
		return e.at.line, e.at.column, e.raw
	}
	for path != "" {
		path = parentPath(path)
		if e, ok := p.places[path]; ok {
			return e.at.line, e.at.column, ""
		}
	}
	return 1, 1, ""
}

// Fault makes a fault about the value at a path, with its place filled in.
func (p *Positions) Fault(path string, problem, mend say.Sentence) Fault {
	line, column, value := p.At(path)
	return Fault{File: p.file, Line: line, Column: column, Key: path, Value: value, Problem: problem, Mend: mend}
}

func joinPath(path, key string) string {
	if path == "" {
		return quoteKey(key)
	}
	return path + "." + quoteKey(key)
}

func itemPath(path string, i int) string { return path + "[" + strconv.Itoa(i) + "]" }

// parentPath cuts the last key or index off a path.
func parentPath(path string) string {
	if strings.HasSuffix(path, "]") {
		return path[:strings.LastIndexByte(path, '[')]
	}
	last := lastPart(path)
	return strings.TrimSuffix(strings.TrimSuffix(path, last), ".")
}

func quoteKey(key string) string {
	for _, r := range key {
		if r != '_' && r != '-' && (r < '0' || r > '9') && (r < 'A' || r > 'Z') && (r < 'a' || r > 'z') {
			return `"` + strings.ReplaceAll(Printable(key), `"`, "?") + `"`
		}
	}
	return key
}
