package setup

import (
	"cmp"
	"errors"
	"slices"
	"strings"

	"shedbell/line/files"
	"shedbell/recipes/strictfile"
)

// ErrByHand says that a file is written in a way that cannot be changed in place.
var ErrByHand = errors.New("the line file is written in a way that set-up cannot change without spoiling it, such as " +
	"tables within brackets. Change it by hand; check tells whether it is right")

// change replaces a part of the text.
type change struct {
	from, to int
	text     string
}

// origin is the file that a shed was read from.
type origin struct {
	doc    *document
	before *shed
}

// text is the shed as a file: a new one, or the file that it was read from with
// what differs changed and all else as it was, byte for byte.
func (s *shed) text() (string, error) {
	if s.from == nil {
		return s.file(), nil
	}
	d := s.from.doc
	was, is := s.from.before.tables(), s.tables()
	var changes []change
	for _, kind := range []string{"", "circuit", "load", "station"} {
		old, now, blocks := ofKind(was, kind), ofKind(is, kind), d.of(kind)
		if same(old, now) {
			continue
		}
		if len(blocks) != len(old) {
			return "", ErrByHand
		}
		for i := range now {
			if i >= len(old) {
				changes = append(changes, d.added(blocks, now[i]))
				continue
			}
			changes = append(changes, d.changed(blocks[i], old[i].fields, now[i].fields)...)
		}
	}
	return apply(d.src, changes), nil
}

// proved is the text, read back: it says what was answered, and has no fault.
func (s *shed) proved() (string, error) {
	out, err := s.text()
	if err != nil {
		return "", err
	}
	site, faults := files.ReadLine("line.toml", []byte(out))
	if len(faults) > 0 {
		if slices.ContainsFunc(faults, func(f strictfile.Fault) bool { return f.Key == "" || strings.Contains(f.Problem, "written twice") }) {
			return "", ErrByHand
		}
		return "", strictfile.Join(faults)
	}
	if got, err := load([]byte(out), site); err != nil || !same(got.tables(), s.tables()) {
		return "", ErrByHand
	}
	return out, nil
}

func ofKind(all []table, kind string) []table {
	return slices.DeleteFunc(slices.Clone(all), func(t table) bool { return t.kind != kind })
}

// apply makes the changes; those at one place keep their order.
func apply(src string, changes []change) string {
	slices.SortStableFunc(changes, func(a, b change) int { return cmp.Compare(a.from, b.from) })
	var b strings.Builder
	at := 0
	for _, c := range changes {
		b.WriteString(src[at:c.from])
		b.WriteString(c.text)
		at = c.to
	}
	b.WriteString(src[at:])
	return b.String()
}

// changed are the changes to one table.
func (d *document) changed(b *block, was, is []field) []change {
	var out []change
	for i, f := range is {
		if f.value == was[i].value {
			continue
		}
		e, there := b.find(f.key)
		switch {
		case there && f.value != "":
			out = append(out, change{e.from, e.to, f.value})
		case there:
			out = append(out, d.gone(e))
		case f.value != "":
			out = append(out, change{b.end, b.end, d.broken(b.end) + f.key + " = " + f.value + d.newline()})
		}
	}
	return out
}

// gone takes a key away. A comment behind it stays.
func (d *document) gone(e entry) change {
	end := d.lineEnd(e.to)
	rest := d.src[e.to:end]
	if i := strings.IndexByte(rest, '#'); i >= 0 {
		return change{e.line, e.to + i, ""}
	}
	return change{e.line, end, ""}
}

// added puts a new table behind the last of its kind, or at the end.
func (d *document) added(blocks []*block, t table) change {
	at := len(d.src)
	if len(blocks) > 0 {
		last := blocks[len(blocks)-1]
		at = last.end
		for i, b := range d.blocks { // a table of its own within it belongs to it
			if i > 0 && b.head >= at && strings.HasPrefix(b.kind, t.kind+".") {
				at = b.end
			}
		}
	}
	return change{at, at, d.broken(at) + strings.ReplaceAll(t.block(), "\n", d.newline())}
}

// broken is the line break that is missing at the end of a file without one.
func (d *document) broken(at int) string {
	if at > 0 && d.src[at-1] != '\n' {
		return d.newline()
	}
	return ""
}

func (d *document) newline() string {
	if strings.Contains(d.src, "\r\n") {
		return "\r\n"
	}
	return "\n"
}

// block is a table as text, with an empty line before it.
func (t *table) block() string {
	var b strings.Builder
	b.WriteString("\n[[" + t.kind + "]]\n")
	t.write(&b)
	return b.String()
}

func (t *table) write(b *strings.Builder) {
	for _, f := range t.fields {
		if f.value != "" {
			b.WriteString(f.key + " = " + f.value + "\n")
		}
	}
}

const fileHead = `# The line file: the shed, its wiring, its stations and its people.
# Made by: shedbell setup. Change it there, or here and then: shedbell check
#
# Electricity and water can kill. This file is used to give advice; it is no
# protective device. Sockets where it is wet belong behind a GFCI (RCD). Wiring,
# breakers and sockets are for a licensed electrician; your local code decides.

`

var partHeads = map[string]string{
	"circuit": "\n# ---- circuits: one for each breaker in the panel\n",
	"load":    "\n# ---- loads: everything that draws current\n",
	"station": "\n# ---- stations: where the work is done\n",
}

// file is the whole shed as a new file.
func (s *shed) file() string {
	var b strings.Builder
	b.WriteString(fileHead)
	part := ""
	for _, t := range s.tables() {
		if t.kind == "" {
			t.write(&b)
			continue
		}
		if t.kind != part {
			part = t.kind
			b.WriteString(partHeads[part])
		}
		b.WriteString(t.block())
	}
	return b.String()
}
