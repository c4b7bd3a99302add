package say

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"reflect"
	"strconv"
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

// sentenceJSON is a sentence as records keep it.
type sentenceJSON struct {
	ID   string `json:"id"`
	Args []any  `json:"args,omitempty"`
}

// MarshalJSON keeps the types of the values: {"id":"x","args":[{"amps":7.2},3]}.
func (s Sentence) MarshalJSON() ([]byte, error) { return json.Marshal(s.record()) }

func (s Sentence) record() sentenceJSON {
	out := sentenceJSON{ID: s.ID}
	for _, a := range s.Args {
		out.Args = append(out.Args, record(a))
	}
	return out
}

// record is a value as records keep it. One that JSON cannot hold, such as a year
// beyond 9999, is kept as it is written: a record is never lost over its words.
func record(a any) any {
	switch a := plain(a).(type) {
	case string, int:
		return a
	case Sentence:
		return a.record()
	case Speech:
		list := make([]sentenceJSON, len(a))
		for i, s := range a {
			list[i] = s.record()
		}
		return map[string]any{"speech": list}
	case Batch:
		return map[string]any{"batch": map[string]any{"crop": a.Crop, "no": a.No}}
	case List:
		list := make([]any, len(a))
		for i, x := range a {
			list[i] = record(x)
		}
		return map[string]any{"list": list}
	default:
		v := reflect.ValueOf(a)
		var kept any = v.Convert(basic(v.Type())).Interface()
		if _, err := json.Marshal(kept); err != nil {
			return English().Value(a)
		}
		return map[string]any{kindNames[v.Type()]: kept}
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
	case kind == "list" && isList:
		out := make(List, len(list))
		for i, x := range list {
			a, err := arg(x, depth+1)
			if err != nil {
				return nil, err
			}
			out[i] = a
		}
		return out, nil
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
