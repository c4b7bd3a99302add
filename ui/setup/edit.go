package setup

import (
	"cmp"
	"errors"
	"slices"
	"strings"

	"shedbell/line/files"
	"shedbell/recipes/strictfile"
	"shedbell/ui/words"
)

// errByHand says that a file is written in a way that cannot be changed in place.
var errByHand = errors.New("the line file cannot be changed in place")

// change replaces a part of the text.
type change struct {
	from, to int
	text     string
	whole    bool // it puts in a table of its own
}

// rank orders changes at one place: keys belong to the table before it, then come
// new tables, and last what is taken away behind it.
func (c change) rank() int { return bit(c.whole) + 2*bit(c.to > c.from) }

// origin is the file that a shed was read from.
type origin struct {
	doc    *document
	before *shed
}

// text is the shed as a file: a new one, or the file that it was read from with
// what differs changed and all else as it was, byte for byte.
func (s *shed) text(w *words.Speaker) (string, error) {
	if s.from == nil {
		return s.file(w), nil
	}
	d := s.from.doc
	was, is := s.from.before.tables(), s.tables()
	var changes []change
	for _, kind := range append([]string{""}, kinds...) {
		old, now, blocks := ofKind(was, kind), ofKind(is, kind), d.of(kind)
		if same(old, now) {
			continue
		}
		if len(blocks) != len(old) {
			return "", errByHand
		}
		changes = append(changes, d.differences(blocks, old, now)...)
	}
	return apply(d.src, changes), nil
}

// differences are the changes to the tables of one kind, whose blocks are those of
// the old ones.
func (d *document) differences(blocks []*block, old, now []table) []change {
	var out []change
	stays := map[int]bool{}
	for _, t := range now {
		if t.place < 0 {
			out = append(out, d.added(blocks, t))
			continue
		}
		stays[t.place] = true
		out = append(out, d.changed(blocks[t.place], old[t.place].fields, t.fields)...)
	}
	for i, b := range blocks {
		if !stays[i] {
			out = append(out, d.removed(b)...)
		}
	}
	return out
}

// proved is the text, read back: it says what was answered, and has no fault.
func (s *shed) proved(w *words.Speaker) (string, error) {
	out, err := s.text(w)
	if err != nil {
		return "", err
	}
	site, faults := files.ReadLine("line.toml", []byte(out))
	if len(faults) > 0 {
		if slices.ContainsFunc(faults, func(f strictfile.Fault) bool { return f.Key == "" || f.Problem.ID == "fault.written-twice" }) {
			return "", errByHand
		}
		return "", strictfile.Join(faults)
	}
	if got, err := load([]byte(out), site); err != nil || !same(got.tables(), s.tables()) {
		return "", errByHand
	}
	return out, nil
}

func ofKind(all []table, kind string) []table {
	return slices.DeleteFunc(slices.Clone(all), func(t table) bool { return t.kind != kind })
}

// apply makes the changes; those at one place keep their order.
func apply(src string, changes []change) string {
	slices.SortStableFunc(changes, func(a, b change) int { return cmp.Or(cmp.Compare(a.from, b.from), cmp.Compare(a.rank(), b.rank())) })
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
			out = append(out, change{from: e.from, to: e.to, text: f.value})
		case there:
			out = append(out, d.gone(e))
		case f.value != "":
			out = append(out, change{from: b.end, to: b.end, text: d.broken(b.end) + f.key + " = " + f.value + d.newline()})
		}
	}
	return out
}

// gone takes a key away. A comment behind it stays.
func (d *document) gone(e entry) change {
	end := d.lineEnd(e.to)
	rest := d.src[e.to:end]
	if i := strings.IndexByte(rest, '#'); i >= 0 {
		return change{from: e.line, to: e.to + i}
	}
	return change{from: e.line, to: end}
}

// removed takes a table away, and the empty line before it. Its comments stay.
func (d *document) removed(b *block) []change {
	from := b.head
	if before := strings.TrimSuffix(strings.TrimSuffix(d.src[:from], "\n"), "\r"); from > 0 && strings.HasSuffix(before, "\n") {
		from = len(before)
	}
	out := []change{d.gone(entry{line: from, to: d.headEnd(b)})}
	for _, e := range b.keys {
		out = append(out, d.gone(e))
	}
	for _, in := range d.within(b) {
		out = append(out, d.removed(in)...)
	}
	return out
}

// within are the tables of its own that a table has.
func (d *document) within(b *block) []*block {
	var out []*block
	for _, in := range d.blocks[slices.Index(d.blocks, b)+1:] {
		if !strings.HasPrefix(in.kind, b.kind+".") {
			break
		}
		out = append(out, in)
	}
	return out
}

// added puts a new table behind the last of its kind, or at the end.
func (d *document) added(blocks []*block, t table) change {
	at := len(d.src)
	if len(blocks) > 0 {
		last := blocks[len(blocks)-1]
		at = last.end
		for _, in := range d.within(last) {
			at = in.end
		}
	}
	return change{from: at, to: at, text: d.broken(at) + strings.ReplaceAll(t.block(), "\n", d.newline()), whole: true}
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

// file is the whole shed as a new file, with heads that tell a reader what is what.
func (s *shed) file(w *words.Speaker) string {
	var b strings.Builder
	b.WriteString(w.Say("setup-file.head") + "\n")
	part := ""
	for _, t := range s.tables() {
		if t.kind == "" {
			t.write(&b)
			continue
		}
		if t.kind != part {
			part = t.kind
			b.WriteString("\n# ---- " + w.Say("setup-file."+part) + "\n")
		}
		b.WriteString(t.block())
	}
	return b.String()
}
