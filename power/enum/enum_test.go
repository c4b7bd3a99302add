package enum

import (
	"encoding/json"
	"testing"
)

type size uint8

var sizes = []string{"small", "large"}

func (s size) MarshalText() ([]byte, error)     { return Text(s, sizes) }
func (s *size) UnmarshalJSON(data []byte) error { return Read(s, data, sizes) }

func TestValuesComeBack(t *testing.T) {
	for v := range size(255) {
		data, err := json.Marshal(v)
		if err != nil || data[0] != '"' {
			t.Fatalf("%d: %s %v", v, data, err)
		}
		var back size
		if err := json.Unmarshal(data, &back); err != nil || back != v {
			t.Errorf("%d was written as %s and came back as %d (%v)", v, data, back, err)
		}
	}
}

func TestRead(t *testing.T) {
	for text, want := range map[string]size{`"large"`: 1, `1`: 1, `"1"`: 1, `"l\u0061rge"`: 1, `200`: 200, `null`: 7} {
		got := size(7)
		if err := json.Unmarshal([]byte(text), &got); err != nil || got != want {
			t.Errorf("%s gave %d (%v), want %d", text, got, err, want)
		}
	}
	for _, text := range []string{`"huge"`, `256`, `-1`, `1.5`, `"1.5"`, `""`, `true`, `{}`, `["large"]`} {
		var got size
		if err := json.Unmarshal([]byte(text), &got); err == nil {
			t.Errorf("%s gave %d", text, got)
		}
	}
}
