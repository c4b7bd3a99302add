package say

import (
	"encoding/json"
	"math"
	"reflect"
	"strings"
	"testing"
	"time"
)

var noon = time.Date(2026, 12, 3, 12, 40, 5, 0, time.FixedZone("", 3600))

// everyValue has a value of each type that a sentence can hold.
func everyValue() Sentence {
	return New("power.over", Amps(7.2), Volts(120), Grams(250), Metres(15), Litres(40), Celsius(24), Percent(71), Span(90*time.Minute), Clock(12*time.Minute),
		Time(noon), TimeToSecond(noon), Date(noon), DateTime(noon), Crop("pea"), Station("tub"), Person("Ash"), Load("rack-fans"), Circuit("wet wall"), Setting("high"), kept("start of tub, pea 1"),
		Batch{"pea", 1}, 3, 2.5, "words", New("inner", 1), Speech{New("a"), New("b", "c")}, List{Load("x"), "y", 4}, Or{"a"})
}

func TestSentencesKeepTheirTypes(t *testing.T) {
	want := everyValue()
	data, err := json.Marshal(want)
	if err != nil {
		t.Fatal(err)
	}
	var got Sentence
	if err := json.Unmarshal(data, &got); err != nil {
		t.Fatalf("%v\n%s", err, data)
	}
	for i, a := range want.Args {
		b := got.Args[i]
		if reflect.TypeOf(a) != reflect.TypeOf(b) || English().Value(a) != English().Value(b) {
			t.Errorf("%T %v came back as %T %v", a, a, b, b)
		}
	}
	again, err := json.Marshal(got)
	if err != nil || string(again) != string(data) {
		t.Errorf("%s became %s, %v", data, again, err)
	}
	short, err := json.Marshal(New("power.over", Amps(7.2), Circuit("wet wall")))
	if want := `{"id":"power.over","args":[{"amps":7.2},{"circuit":"wet wall"}]}`; err != nil || string(short) != want {
		t.Errorf("%s, want %s, %v", short, want, err)
	}
}

// A record is never lost because JSON has no form for a value of its sentence.
func TestWhatJSONCannotHold(t *testing.T) {
	s := New("x", Amps(math.Inf(1)), math.NaN(), Date(time.Date(12000, 1, 2, 0, 0, 0, 0, time.UTC)), List{Grams(math.NaN())}, "\xff")
	data, err := json.Marshal(s)
	if err != nil {
		t.Fatal(err)
	}
	var back Sentence
	if err := json.Unmarshal(data, &back); err != nil {
		t.Fatalf("%v\n%s", err, data)
	}
	if got := English().Value(back.Args[2]); got != "12000-01-02" {
		t.Errorf("the year is %q", got)
	}
}

func TestGarbageIsNoSentence(t *testing.T) {
	deep := strings.Repeat(`{"id":"a","args":[`, 20) + strings.Repeat(`]}`, 20)
	for _, text := range []string{``, `3`, `"x"`, `null`, `[]`, `{}`, `{"id":3}`, `{"id":"a","arg":[]}`, `{"id":"a","args":3}`, `{"id":"a","args":[null]}`, `{"id":"a","args":[true]}`,
		`{"id":"a","args":[1.5]}`, `{"id":"a","args":[99999999999999999999]}`, `{"id":"a","args":[{"amps":"x"}]}`, `{"id":"a","args":[{"amps":null}]}`, `{"id":"a","args":[{"pints":1}]}`,
		`{"id":"a","args":[{"amps":1,"volts":2}]}`, `{"id":"a","args":[{"time":"today"}]}`, `{"id":"a","args":[{"batch":{"crop":"pea"}}]}`, `{"id":"a","args":[{"list":3}]}`,
		`{"id":"a","args":[{"clock":1.5}]}`, `{"id":"a"}x`, deep} {
		var s Sentence
		if err := json.Unmarshal([]byte(text), &s); err == nil {
			t.Errorf("%.60s is read as %#v", text, s)
		}
	}
}

// FuzzSentence: whatever a record holds, it is an error or a sentence that can be said
// in every language and is written as it was read.
func FuzzSentence(f *testing.F) {
	data, err := json.Marshal(everyValue())
	if err != nil {
		f.Fatal(err)
	}
	for _, s := range []string{string(data), `{"id":"count.trays","args":[1]}`, `{"id":"count.trays","args":["%d"]}`, `{"id":"+","args":["; ",{"id":"a"}]}`, `{"id":"","args":[]}`,
		`{"id":"%d%s%[9]d","args":[{"list":[]}]}`, `{"id":"%*d","args":[9999999,1]}`} {
		f.Add([]byte(s))
	}
	var speakers []*Speaker
	for _, name := range Languages() {
		for _, p := range []Prefs{{}, {TwelveHour: true, US: true}} {
			s, err := NewSpeaker(name, p)
			if err != nil {
				f.Fatal(err)
			}
			speakers = append(speakers, s)
		}
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		var s Sentence
		if json.Unmarshal(data, &s) != nil {
			return
		}
		for _, speaker := range speakers {
			if said := speaker.Sentence(s); len(said) > 1000*(len(data)+100) {
				t.Errorf("%d bytes are said in %d", len(data), len(said))
			}
		}
		once, err := json.Marshal(s)
		if err != nil {
			t.Fatal(err)
		}
		var back Sentence
		if err := json.Unmarshal(once, &back); err != nil {
			t.Fatalf("%v: %s", err, once)
		}
		if twice, err := json.Marshal(back); err != nil || string(twice) != string(once) {
			t.Errorf("%s became %s, %v", once, twice, err)
		}
	})
}
