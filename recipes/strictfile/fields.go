package strictfile

import (
	"reflect"
	"shedbell/line/say"
	"slices"
	"strings"

	"github.com/pelletier/go-toml/v2/unstable"
)

type field struct {
	name  string
	need  string
	value reflect.Value
}

// fieldsOf lists the keys that a struct takes, those of embedded structs too.
func fieldsOf(v reflect.Value) []field {
	var out []field
	for i := range v.NumField() {
		f := v.Type().Field(i)
		name, _, _ := strings.Cut(f.Tag.Get("toml"), ",")
		switch {
		case name == "-":
		case f.Anonymous && name == "" && f.Type.Kind() == reflect.Struct:
			out = append(out, fieldsOf(v.Field(i))...)
		case f.IsExported():
			if name == "" {
				name = strings.ToLower(f.Name)
			}
			out = append(out, field{name, f.Tag.Get("need"), v.Field(i)})
		}
	}
	return out
}

func (d *decoder) table(path string, n *node, v reflect.Value) {
	if n.kind != unstable.Table {
		d.wrong(path, n, say.New("fault.write-table"))
		return
	}
	fields := fieldsOf(v)
	for _, key := range n.keys {
		child := n.fields[key]
		i := slices.IndexFunc(fields, func(f field) bool { return f.name == key })
		if i < 0 {
			d.unknown(joinPath(path, key), key, child, fields)
			continue
		}
		d.value(joinPath(path, key), child, fields[i].value)
	}
	for _, f := range fields {
		if _, ok := n.fields[f.name]; !ok && f.need != "" {
			d.fault(joinPath(path, f.name), &node{at: n.at}, say.New("fault.missing"), f.mend())
		}
	}
}

// mend says what to add: the tag is the text for it, or what to write.
func (f *field) mend() say.Sentence {
	if strings.HasPrefix(f.need, "fault.") {
		return say.New(f.need)
	}
	return say.New("fault.add", f.need)
}

// unknown points at the key, not at its value, as the key is what is wrong.
func (d *decoder) unknown(path, key string, n *node, fields []field) {
	best, distance := "", 3
	var known []string
	for _, f := range fields {
		known = append(known, f.name)
		if e := Edits(key, f.name); e < distance {
			best, distance = f.name, e
		}
	}
	mend := say.New("fault.known-here", strings.Join(known, ", "))
	if best != "" {
		mend = say.New("fault.write-remove", best)
	}
	d.fault(path, &node{at: n.keyAt, raw: n.raw}, say.New("fault.unknown-key"), mend)
}

// Edits is the Levenshtein distance between two names, in bytes; long ones are not
// compared, as nobody mistypes a short name as a very long one.
func Edits(a, b string) int {
	const longest = 40
	if len(a) > longest || len(b) > longest {
		return longest
	}
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := range len(a) {
		diagonal := row[0]
		row[0] = i + 1
		for j := range len(b) {
			cost := diagonal
			if a[i] != b[j] {
				cost++
			}
			diagonal = row[j+1]
			row[j+1] = min(cost, row[j+1]+1, row[j]+1)
		}
	}
	return row[len(b)]
}
