package say

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"reflect"
	"strconv"
	"strings"
	"time"
)

// kinds are the typed values by the names that records keep them under. A name is
// never reused.
var kinds = map[string]reflect.Type{
	"amps": reflect.TypeFor[Amps](), "volts": reflect.TypeFor[Volts](), "grams": reflect.TypeFor[Grams](), "metres": reflect.TypeFor[Metres](),
	"litres": reflect.TypeFor[Litres](), "celsius": reflect.TypeFor[Celsius](), "percent": reflect.TypeFor[Percent](),
	"span": reflect.TypeFor[Span](), "clock": reflect.TypeFor[Clock](),
	"time": reflect.TypeFor[Time](), "second": reflect.TypeFor[TimeToSecond](), "date": reflect.TypeFor[Date](), "instant": reflect.TypeFor[DateTime](),
	"crop": reflect.TypeFor[Crop](), "station": reflect.TypeFor[Station](), "person": reflect.TypeFor[Person](), "load": reflect.TypeFor[Load](), "circuit": reflect.TypeFor[Circuit](),
	"setting": reflect.TypeFor[Setting](), "english": reflect.TypeFor[kept](),
	"number": reflect.TypeFor[float64](),
}

var kindNames = func() map[reflect.Type]string {
	out := map[reflect.Type]string{}
	for name, t := range kinds {
		out[t] = name
	}
	return out
}()

var timeType = reflect.TypeFor[time.Time]()

// MarshalJSON keeps the types of the values: {"id":"x","args":[{"amps":7.2},3]}.
func (s Sentence) MarshalJSON() ([]byte, error) { return s.json(nil), nil }

func (s Sentence) json(b []byte) []byte {
	b = append(quoted(append(b, `{"id":`...), s.ID), `,"args":`...)
	return append(values(b, s.Args), '}')
}

func quoted(b []byte, text string) []byte {
	data, err := json.Marshal(text)
	if err != nil {
		panic(err) // a string always has a form
	}
	return append(b, data...)
}

func values[T any](b []byte, list []T) []byte {
	b = append(b, '[')
	for i, x := range list {
		if i > 0 {
			b = append(b, ',')
		}
		b = keepValue(b, x)
	}
	return append(b, ']')
}

// keepValue is a value as records keep it. One that JSON cannot hold, such as a year
// beyond 9999, is kept as it is written: a record is never lost over its words.
func keepValue(b []byte, a any) []byte {
	switch a := plain(a).(type) {
	case string:
		return quoted(b, a)
	case int:
		return strconv.AppendInt(b, int64(a), 10)
	case Sentence:
		return a.json(b)
	case Speech:
		return append(values(append(b, `{"speech":`...), a), '}')
	case List:
		return append(values(append(b, `{"list":`...), a), '}')
	case Or:
		return append(values(append(b, `{"or":`...), a), '}')
	case Batch:
		b = quoted(append(b, `{"batch":{"crop":`...), a.Crop)
		return append(strconv.AppendInt(append(b, `,"no":`...), int64(a.No), 10), "}}"...)
	default:
		v := reflect.ValueOf(a)
		data, err := json.Marshal(v.Convert(basic(v.Type())).Interface())
		if err != nil {
			return quoted(b, English().Value(a))
		}
		b = append(append(quoted(append(b, '{'), kindNames[v.Type()]), ':'), data...)
		return append(b, '}')
	}
}

// basic is the type of package time or of the language that a typed value is made of.
func basic(t reflect.Type) reflect.Type {
	switch {
	case t.ConvertibleTo(timeType):
		return timeType
	case t.Kind() == reflect.Float64:
		return reflect.TypeFor[float64]()
	case t.Kind() == reflect.String:
		return reflect.TypeFor[string]()
	}
	return reflect.TypeFor[int64]()
}

// UnmarshalJSON reads what MarshalJSON wrote, and nothing else.
func (s *Sentence) UnmarshalJSON(data []byte) error {
	d := json.NewDecoder(bytes.NewReader(data))
	d.UseNumber()
	var x any
	if err := d.Decode(&x); err != nil {
		return err
	}
	if _, err := d.Token(); err != io.EOF {
		return fmt.Errorf("there is more than a sentence")
	}
	read, err := sentence(x, 0)
	if err == nil {
		*s = read
	}
	return err
}

// deepest is how deep sentences stand in one another at most.
const deepest = 8

func sentence(x any, depth int) (Sentence, error) {
	m, ok := x.(map[string]any)
	id, isText := m["id"].(string)
	if !ok || !isText || depth > deepest {
		return Sentence{}, fmt.Errorf("%.40v is no sentence", x)
	}
	s := Sentence{ID: id}
	for key, x := range m {
		list, isList := x.([]any)
		switch {
		case key == "id":
		case key != "args" || !isList:
			return s, fmt.Errorf("a sentence has no %.40q", key)
		default:
			for _, x := range list {
				a, err := arg(x, depth+1)
				if err != nil {
					return s, err
				}
				s.Args = append(s.Args, a)
			}
		}
	}
	return s, nil
}

// arg reads a value.
func arg(x any, depth int) (any, error) {
	switch x := x.(type) {
	case string:
		return x, nil
	case json.Number:
		return strconv.Atoi(x.String())
	case map[string]any:
		if _, ok := x["id"]; ok {
			return sentence(x, depth)
		}
		if len(x) == 1 && depth <= deepest {
			for name, v := range x {
				return typed(name, v, depth)
			}
		}
	}
	return nil, fmt.Errorf("%.40v is no value", x)
}

// typed reads the value of a kind.
func typed(kind string, x any, depth int) (any, error) {
	list, isList := x.([]any)
	switch {
	case (kind == "list" || kind == "or") && isList:
		out := make([]any, len(list))
		for i, x := range list {
			a, err := arg(x, depth+1)
			if err != nil {
				return nil, err
			}
			out[i] = a
		}
		if kind == "or" {
			return Or(out), nil
		}
		return List(out), nil
	case kind == "speech" && isList:
		out := make(Speech, len(list))
		for i, x := range list {
			s, err := sentence(x, depth+1)
			if err != nil {
				return nil, err
			}
			out[i] = s
		}
		return out, nil
	case kind == "batch":
		m, _ := x.(map[string]any)
		crop, isText := m["crop"].(string)
		no, isNumber := m["no"].(json.Number)
		if n, err := strconv.Atoi(no.String()); isText && isNumber && err == nil && len(m) == 2 {
			return Batch{crop, n}, nil
		}
		return nil, fmt.Errorf("%.40v is no batch", x)
	}
	t, ok := kinds[kind]
	if !ok {
		return nil, fmt.Errorf("there is no kind of value %.40q", kind)
	}
	data, err := json.Marshal(x)
	if err != nil || x == nil {
		return nil, fmt.Errorf("%.40v is no %s", x, kind)
	}
	v := reflect.New(basic(t))
	if err := json.Unmarshal(data, v.Interface()); err != nil {
		return nil, fmt.Errorf("%.40v is no %s", x, kind)
	}
	return v.Elem().Convert(t).Interface(), nil
}

// Keep is the sentence as a text of a record.
func (s Sentence) Keep() string {
	switch {
	case s.IsZero():
		return ""
	case s.ID == "" && len(s.Args) == 1:
		if old, ok := s.Args[0].(kept); ok {
			return string(old)
		}
	}
	return string(s.json(nil))
}

// Kept is the sentence that a text of a record keeps. In records of earlier versions
// such a text is English.
func Kept(text string) Sentence {
	if text == "" {
		return Sentence{}
	}
	var s Sentence
	if strings.HasPrefix(text, `{"id":`) && json.Unmarshal([]byte(text), &s) == nil {
		return s
	}
	return Sentence{Args: []any{kept(text)}}
}
