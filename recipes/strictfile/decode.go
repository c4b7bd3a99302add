package strictfile

import (
	"bytes"
	"encoding"
	"errors"
	"math"
	"reflect"
	"shedbell/line/say"
	"strconv"
	"strings"

	"github.com/pelletier/go-toml/v2/unstable"
)

// Decode reads a TOML file into a struct with toml tags and returns every fault
// at once, in the order of the file. When there is a fault, into is only partly
// filled and must not be used.
//
// Beyond the usual tag toml:"name", a field may carry need:"crop = ..." to
// say that the key must be there, with what to write when it is not. Types with
// an UnmarshalText method read text, numbers and dates alike and may return a
// *BadValue. Text must be free of control characters.
//
// A wrong target (not a pointer, a type that TOML cannot hold) is a mistake in
// the program and panics.
func Decode(file string, data []byte, into any) (*Positions, []Fault) {
	target := reflect.ValueOf(into)
	if target.Kind() != reflect.Pointer || target.IsNil() {
		panic("strictfile: Decode needs a pointer")
	}
	file = Printable(file)
	if len(data) > MaxBytes {
		return newPositions(file, newTable(place{1, 1})), []Fault{{File: file,
			Problem: say.New("fault.bytes-are", len(data)),
			Mend:    say.New("fault.file-may", MaxBytes)}}
	}
	data = bytes.TrimPrefix(data, []byte("\xef\xbb\xbf"))
	root, faults := build(file, data[:len(data):len(data)])
	d := &decoder{file: file, faults: faults}
	d.value("", root, target.Elem())
	if len(d.faults) == 0 {
		d.faults = remaining(file, data)
	}
	return newPositions(file, root), Tidy(file, d.faults)
}

type decoder struct {
	file   string
	faults []Fault
}

func (d *decoder) fault(path string, n *node, problem, mend say.Sentence) {
	d.faults = append(d.faults, Fault{File: d.file, Line: n.at.line, Column: n.at.column,
		Key: path, Value: clip(n.raw), Problem: problem, Mend: mend})
}

func (d *decoder) wrong(path string, n *node, mend say.Sentence) {
	d.fault(path, n, say.New(kindIs(n.kind)), mend)
}

// kindIs is the text for a value of another kind than is asked for.
func kindIs(k unstable.Kind) string {
	switch k {
	case unstable.Table:
		return "fault.is-table"
	case unstable.Array:
		return "fault.is-list"
	case unstable.String:
		return "fault.is-text"
	case unstable.Bool:
		return "fault.is-bool"
	case unstable.Integer, unstable.Float:
		return "fault.is-number"
	default:
		return "fault.is-date"
	}
}

func (d *decoder) value(path string, n *node, v reflect.Value) {
	if v.Kind() == reflect.Pointer {
		if v.IsNil() {
			v.Set(reflect.New(v.Type().Elem()))
		}
		d.value(path, n, v.Elem())
		return
	}
	if u, ok := v.Addr().Interface().(encoding.TextUnmarshaler); ok {
		d.text(path, n, u)
		return
	}
	switch v.Kind() {
	case reflect.Struct:
		d.table(path, n, v)
	case reflect.Map:
		d.dictionary(path, n, v)
	case reflect.Slice:
		d.list(path, n, v)
	case reflect.String:
		if n.kind != unstable.String {
			d.wrong(path, n, say.New("fault.write-text"))
		} else if d.clean(path, n) {
			v.SetString(n.text)
		}
	case reflect.Bool:
		if n.kind != unstable.Bool {
			d.wrong(path, n, say.New("fault.write-true"))
		} else {
			v.SetBool(n.text == "true")
		}
	case reflect.Int, reflect.Int8, reflect.Int16, reflect.Int32, reflect.Int64:
		d.integer(path, n, v)
	case reflect.Float32, reflect.Float64:
		d.float(path, n, v)
	default:
		panic("strictfile: cannot read into " + v.Type().String())
	}
}

func (d *decoder) clean(path string, n *node) bool {
	for _, r := range n.text {
		if IsControl(r) {
			d.fault(path, n, say.New("fault.has-control", r), say.New("fault.write-line"))
			return false
		}
	}
	return true
}

func (d *decoder) text(path string, n *node, u encoding.TextUnmarshaler) {
	if n.kind == unstable.Table || n.kind == unstable.Array {
		d.wrong(path, n, say.New("fault.write-value"))
		return
	}
	if !d.clean(path, n) {
		return
	}
	err := u.UnmarshalText([]byte(n.text))
	if err == nil {
		return
	}
	var bad *BadValue
	if errors.As(err, &bad) {
		d.fault(path, n, bad.Problem, bad.Mend)
		return
	}
	d.fault(path, n, say.New("fault.not-understood", Printable(err.Error())), say.New("fault.write-as"))
}

func (d *decoder) integer(path string, n *node, v reflect.Value) {
	if n.kind != unstable.Integer {
		d.wrong(path, n, say.New("fault.give-whole"))
		return
	}
	i, err := strconv.ParseInt(strings.ReplaceAll(n.text, "_", ""), 0, 64)
	if err != nil || v.OverflowInt(i) {
		d.fault(path, n, say.New("fault.not-number"), say.New("fault.give-smaller"))
		return
	}
	v.SetInt(i)
}

func (d *decoder) float(path string, n *node, v reflect.Value) {
	if n.kind != unstable.Integer && n.kind != unstable.Float {
		d.wrong(path, n, say.New("fault.give-number"))
		return
	}
	digits := strings.ReplaceAll(n.text, "_", "")
	f, err := strconv.ParseFloat(digits, 64)
	if err != nil && n.kind == unstable.Integer {
		var i int64
		i, err = strconv.ParseInt(digits, 0, 64)
		f = float64(i)
	}
	if err != nil || math.IsNaN(f) || math.IsInf(f, 0) {
		d.fault(path, n, say.New("fault.not-number-that"), say.New("fault.give-ordinary"))
		return
	}
	v.SetFloat(f)
}

func (d *decoder) list(path string, n *node, v reflect.Value) {
	if n.kind != unstable.Array {
		mend := say.New("fault.write-list")
		if n.kind == unstable.Table && n.header {
			mend = say.New("fault.write-two", path)
		}
		d.wrong(path, n, mend)
		return
	}
	out := reflect.MakeSlice(v.Type(), len(n.items), len(n.items))
	for i, item := range n.items {
		d.value(itemPath(path, i), item, out.Index(i))
	}
	v.Set(out)
}

func (d *decoder) dictionary(path string, n *node, v reflect.Value) {
	if n.kind != unstable.Table {
		d.wrong(path, n, say.New("fault.write-a-table", path))
		return
	}
	out := reflect.MakeMapWithSize(v.Type(), len(n.keys))
	for _, key := range n.keys {
		child := n.fields[key]
		if strings.ContainsFunc(key, IsControl) {
			d.fault(joinPath(path, key), child, say.New("fault.name-has"), say.New("fault.write-plain"))
			continue
		}
		elem := reflect.New(v.Type().Elem()).Elem()
		d.value(joinPath(path, key), child, elem)
		out.SetMapIndex(reflect.ValueOf(key).Convert(v.Type().Key()), elem)
	}
	v.Set(out)
}
