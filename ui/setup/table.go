package setup

import (
	"fmt"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"shedbell/recipes/strictfile"
)

// field is one key of a table with its value as TOML; an empty value means that
// the key is not there.
type field struct{ key, value string }

// table is one table of the file: its kind (empty for the top), its fields in the
// order in which a new file has them, and where it stood in the file before (-1:
// it is new).
type table struct {
	kind   string
	fields []field
	place  int
}

// tables are all tables, in the order of the file.
func (s *shed) tables() []table {
	out := []table{{fields: fields(s.LineFile)}}
	add := func(kind string, i int, list []field) { out = append(out, table{kind, list, s.place(kind, i)}) }
	for i := range s.Feeders {
		add(kindFeeder, i, fields(s.Feeders[i]))
	}
	for i := range s.Circuits {
		add(kindCircuit, i, fields(s.Circuits[i]))
	}
	for i := range s.machines {
		add(kindMachine, i, s.machines[i].fields())
	}
	for i := range s.Stations {
		add(kindStation, i, fields(s.Stations[i]))
	}
	return out
}

func (m *machine) fields() []field {
	out := fields(m.LoadEntry)
	if len(m.settings) > 0 {
		var parts []string
		for _, s := range m.settings {
			parts = append(parts, tomlKey(s.name)+" = "+number(s.amps))
		}
		at := slices.IndexFunc(out, func(f field) bool { return f.key == "settings" })
		out[at].value = "{ " + strings.Join(parts, ", ") + " }"
	}
	return out
}

// fields are the keys of an entry of the line file. Tables within it have no value
// of their own.
func fields(entry any) []field {
	v := reflect.ValueOf(entry)
	var out []field
	for i := range v.NumField() {
		out = append(out, field{v.Type().Field(i).Tag.Get("toml"), value(v.Field(i))})
	}
	return out
}

func value(v reflect.Value) string {
	if v.IsZero() {
		return ""
	}
	switch x := v.Interface().(type) {
	case fmt.Stringer:
		return text(x.String())
	case string:
		return text(x)
	case []string:
		return texts(x)
	case [][]float64:
		out := make([]string, len(x))
		for i := range x {
			for _, v := range x[i] {
				out[i] += ", " + number(v)
			}
			out[i] = "[" + strings.TrimPrefix(out[i], ", ") + "]"
		}
		return "[" + strings.Join(out, ", ") + "]"
	case bool:
		return "true"
	case int:
		return strconv.Itoa(x)
	case float64:
		return number(x)
	}
	return ""
}

// same says whether two tables have equal values.
func same(a, b []table) bool {
	return slices.EqualFunc(a, b, func(x, y table) bool { return x.kind == y.kind && slices.Equal(x.fields, y.fields) })
}

func text(s string) string {
	return `"` + strings.NewReplacer(`\`, `\\`, `"`, `\"`).Replace(strictfile.Printable(s)) + `"`
}

func texts(list []string) string {
	out := make([]string, len(list))
	for i, s := range list {
		out[i] = text(s)
	}
	return "[" + strings.Join(out, ", ") + "]"
}

func number(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

// tomlKey quotes a key that is not a bare one.
func tomlKey(s string) string {
	for _, r := range s {
		if r != '_' && r != '-' && (r < '0' || r > '9') && (r < 'A' || r > 'Z') && (r < 'a' || r > 'z') {
			return text(s)
		}
	}
	return s
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
