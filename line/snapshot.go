package line

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"hash/crc32"
	"reflect"
	"strings"
	"sync"
	"time"

	"shedbell/power"
)

// snapshotFormat is raised whenever Apply makes another state of the same records
// without a change to the types that the state is made of.
const snapshotFormat = 3

// ErrSnapshot says that a snapshot is damaged or was written by a program whose
// state looks different. The records have to be replayed instead.
var ErrSnapshot = errors.New("not a snapshot of this version")

// snapshot is a state as it is kept. Undo holds, of each state that undo would come
// back to, only what differs from the one above it.
type snapshot struct {
	Format int
	Shape  string
	State  fields
	Undo   []undoSnapshot
	Since  []recordSnapshot
}

type fields map[string]json.RawMessage

type undoSnapshot struct {
	Text   string
	Group  int64
	At     time.Time
	By     string
	Fix    *Corrected `json:",omitempty"`
	Fixed  time.Time  `json:",omitzero"`
	With   int64      `json:",omitempty"`
	Prior  []recordSnapshot
	Before fields
}

type recordSnapshot struct {
	Seq, Group int64
	At         time.Time
	By, Undo   string
	Event      Events
	Power      *power.State `json:",omitempty"` // with a correction
}

func (t *told) snapshot() (out []recordSnapshot) {
	for _, one := range t.list() {
		r := one.r
		out = append(out, recordSnapshot{r.Seq, r.Group, r.At, r.By, r.Undo, Events{r.Event}, one.power})
	}
	return out
}

func toldAgain(kept []recordSnapshot) (t *told) {
	for _, k := range kept {
		if len(k.Event) == 1 {
			t = &told{r: Record{Seq: k.Seq, Group: k.Group, At: k.At, By: k.By, Undo: k.Undo, Event: k.Event[0]}, power: k.Power, prev: t}
		}
	}
	return t
}

// EncodeState writes a state, and what undo would come back to, so that
// DecodeState gives one that goes on in the same way.
func EncodeState(s *State) ([]byte, error) {
	out := snapshot{Format: snapshotFormat, Shape: stateShape()}
	var err error
	if out.State, err = encodeFields(s, nil, nil); err != nil {
		return nil, err
	}
	out.Since = s.since.snapshot()
	later, encoded := s, out.State
	for i := len(s.undo) - 1; i >= 0; i-- {
		u := s.undo[i]
		all, err := encodeFields(&u.before, later, encoded)
		if err != nil {
			return nil, err
		}
		out.Undo = append(out.Undo, undoSnapshot{Text: u.text, Group: u.group, At: u.at, By: u.by, Fix: u.fix, Fixed: u.fixed, With: u.with,
			Prior: u.prior.snapshot(), Before: all.without(encoded)})
		later, encoded = &u.before, all
	}
	return json.Marshal(out)
}

// DecodeState is the inverse of EncodeState. Its error is ErrSnapshot.
func DecodeState(data []byte) (*State, error) {
	var in snapshot
	if err := json.Unmarshal(data, &in); err != nil {
		return nil, fmt.Errorf("%w: %w", ErrSnapshot, err)
	}
	if in.Format != snapshotFormat || in.Shape != stateShape() {
		return nil, ErrSnapshot
	}
	s := &State{}
	if err := in.State.decode(s); err != nil {
		return nil, err
	}
	later := s
	s.since = toldAgain(in.Since)
	undo := make([]*action, len(in.Undo))
	for i, u := range in.Undo {
		entry := &action{text: u.Text, group: u.Group, at: u.At, by: u.By, fix: u.Fix, fixed: u.Fixed, with: u.With, prior: toldAgain(u.Prior), before: *later} // shares what its fields do not replace
		entry.before.undo, entry.before.since = nil, nil
		if err := u.Before.decode(&entry.before); err != nil {
			return nil, err
		}
		undo[len(undo)-1-i] = entry
		later = &entry.before
	}
	if len(undo) > 0 {
		s.undo = undo
	}
	return s, nil
}

// encodeFields writes each field of a state. One that shares its memory with the
// state next to it is taken from there: a long list of tastings is written once.
func encodeFields(s, near *State, encoded fields) (fields, error) {
	out := fields{}
	v := reflect.ValueOf(s).Elem()
	for i, f := range reflect.VisibleFields(v.Type()) {
		if !f.IsExported() {
			continue
		}
		if near != nil && sameMemory(v.Field(i), reflect.ValueOf(near).Elem().Field(i)) {
			out[f.Name] = encoded[f.Name]
			continue
		}
		data, err := json.Marshal(v.Field(i).Interface())
		if err != nil {
			return nil, fmt.Errorf("state, %s: %w", f.Name, err)
		}
		out[f.Name] = data
	}
	return out, nil
}

func sameMemory(a, b reflect.Value) bool {
	switch a.Kind() {
	case reflect.Slice:
		return a.Len() == b.Len() && a.IsNil() == b.IsNil() && a.UnsafePointer() == b.UnsafePointer()
	case reflect.Pointer:
		return a.UnsafePointer() == b.UnsafePointer()
	}
	return false
}

func (f fields) without(other fields) fields {
	out := fields{}
	for name, data := range f {
		if !bytes.Equal(data, other[name]) {
			out[name] = data
		}
	}
	return out
}

// decode puts the fields into a state. Each is made anew, so that nothing is
// written into memory that another state shares.
func (f fields) decode(s *State) error {
	v := reflect.ValueOf(s).Elem()
	for name, data := range f {
		field, ok := v.Type().FieldByName(name)
		if !ok || !field.IsExported() {
			return fmt.Errorf("%w: unknown field", ErrSnapshot)
		}
		fresh := reflect.New(field.Type)
		if err := json.Unmarshal(data, fresh.Interface()); err != nil {
			return fmt.Errorf("%w: %w", ErrSnapshot, err)
		}
		v.FieldByIndex(field.Index).Set(fresh.Elem())
	}
	return nil
}

// stateShape tells states apart whose types differ: a program that keeps more in
// its state than the one before it has to derive that from the records.
var stateShape = sync.OnceValue(func() string {
	var b strings.Builder
	writeShape(&b, reflect.TypeFor[State](), map[reflect.Type]bool{})
	return fmt.Sprintf("%08x", crc32.ChecksumIEEE([]byte(b.String())))
})

func writeShape(b *strings.Builder, t reflect.Type, seen map[reflect.Type]bool) {
	b.WriteString(t.String())
	if seen[t] {
		return
	}
	seen[t] = true
	switch t.Kind() {
	case reflect.Pointer, reflect.Slice, reflect.Array:
		writeShape(b, t.Elem(), seen)
	case reflect.Map:
		writeShape(b, t.Key(), seen)
		writeShape(b, t.Elem(), seen)
	case reflect.Struct:
		if t.PkgPath() == "time" {
			return // differs between releases of the standard library
		}
		for i := range t.NumField() {
			f := t.Field(i)
			fmt.Fprintf(b, " %s %s ", f.Name, f.Tag)
			writeShape(b, f.Type, seen)
		}
	}
}
