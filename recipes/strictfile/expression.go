package strictfile

import (
	"shedbell/line/say"

	"github.com/pelletier/go-toml/v2/unstable"
)

// expression adds one line of the document, a header or a key with its value.
func (b *builder) expression(n *unstable.Node) {
	switch n.Kind {
	case unstable.Table, unstable.ArrayTable:
		b.header(n)
	case unstable.KeyValue:
		b.keyValue(b.current, n, 1)
	}
}

type keyPart struct {
	name string
	at   place
	end  int // offset just after it
}

func (b *builder) keyParts(n *unstable.Node) []keyPart {
	var parts []keyPart
	for it := n.Key(); it.Next(); {
		k := it.Node()
		parts = append(parts, keyPart{string(k.Data), b.nodePlace(k), int(k.Raw.Offset + k.Raw.Length)})
	}
	return parts
}

// header makes [a.b] or [[a.b]] the table that the next keys go into. After a
// fault they go into a table of their own, so that they are not blamed as well.
func (b *builder) header(n *unstable.Node) {
	parts := b.keyParts(n)
	b.current = newTable(parts[0].at)
	if len(parts) > MaxDepth {
		b.fault(parts[0].at, parts[0].name, "", say.New("fault.nested-too"), say.New("fault.use-most", MaxDepth))
		return
	}
	at := b.root
	for _, p := range parts[:len(parts)-1] {
		if at = b.step(at, p); at == nil {
			return
		}
	}
	last := parts[len(parts)-1]
	old := at.fields[last.name]
	if n.Kind == unstable.ArrayTable {
		b.openItem(at, old, last)
		return
	}
	switch {
	case old == nil:
		at.set(last.name, b.current)
	case old.kind != unstable.Table || old.header || old.sealed:
		b.twice(last, old)
		return
	default:
		b.current = old
	}
	b.current.header, b.current.at, b.current.keyAt = true, last.at, last.at
}

// openItem starts one more [[item]].
func (b *builder) openItem(at, old *node, p keyPart) {
	if old == nil {
		old = &node{kind: unstable.Array, at: p.at, keyAt: p.at}
		at.set(p.name, old)
	} else if old.kind != unstable.Array || old.sealed {
		b.twice(p, old)
		return
	}
	b.current = newTable(p.at)
	b.current.header = true
	old.items = append(old.items, b.current)
}

func (b *builder) twice(p keyPart, old *node) {
	b.fault(p.at, p.name, old.raw, say.New("fault.written-twice", old.keyAt.line), say.New("fault.keep-two"))
}

// step goes from one table to the table under a key, making it when needed.
func (b *builder) step(at *node, p keyPart) *node {
	next := at.fields[p.name]
	switch {
	case next == nil:
		next = newTable(p.at)
		at.set(p.name, next)
	case next.sealed || (next.kind != unstable.Table && next.kind != unstable.Array):
		b.twice(p, next)
		return nil
	case next.kind == unstable.Array:
		return next.items[len(next.items)-1]
	}
	return next
}

func (b *builder) keyValue(table *node, n *unstable.Node, depth int) {
	parts := b.keyParts(n)
	if depth+len(parts) > MaxDepth {
		b.fault(parts[0].at, parts[0].name, "", say.New("fault.nested-too"), say.New("fault.use-most", MaxDepth))
		return
	}
	for _, p := range parts[:len(parts)-1] {
		if table = b.step(table, p); table == nil {
			return
		}
	}
	last := parts[len(parts)-1]
	if old := table.fields[last.name]; old != nil {
		b.twice(last, old)
		return
	}
	value := b.value(n.Value(), b.place(b.valueOffset(last.end)), depth+len(parts))
	value.keyAt = last.at
	table.set(last.name, value)
}

// valueOffset skips the equals sign: the parser keeps no place for an array.
func (b *builder) valueOffset(offset int) int {
	for offset < len(b.data) && (b.data[offset] == ' ' || b.data[offset] == '\t' || b.data[offset] == '=') {
		offset++
	}
	return offset
}

// value copies one parsed value into a node; near is used for a value that the
// parser keeps no place for.
func (b *builder) value(n *unstable.Node, near place, depth int) *node {
	out := &node{kind: n.Kind, at: near, keyAt: near, sealed: true}
	if n.Raw.Length > 0 {
		out.at = b.nodePlace(n)
		out.keyAt = out.at
		out.raw = string(b.parser.Raw(n.Raw))
	}
	switch n.Kind {
	case unstable.Array, unstable.InlineTable:
		if depth >= MaxDepth {
			b.fault(out.at, "", "", say.New("fault.nested-too"), say.New("fault.use-most", MaxDepth))
			return out
		}
		b.children(out, n, depth)
	default:
		out.text = string(n.Data)
	}
	return out
}

func (b *builder) children(out *node, n *unstable.Node, depth int) {
	if n.Kind == unstable.InlineTable {
		out.kind, out.raw = unstable.Table, "{...}"
		out.fields = map[string]*node{}
		for it := n.Children(); it.Next(); {
			if it.Node().Kind == unstable.KeyValue {
				b.keyValue(out, it.Node(), depth)
			}
		}
		return
	}
	out.raw = "[...]"
	for it := n.Children(); it.Next(); {
		if it.Node().Kind != unstable.Comment {
			out.items = append(out.items, b.value(it.Node(), out.at, depth+1))
		}
	}
}
