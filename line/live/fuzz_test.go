package live

import (
	"bytes"
	"testing"
	"time"

	"shedbell/line"
	"shedbell/line/linetest"
	"shedbell/recipes/strictfile/fuzztest"
)

// FuzzOpen opens a journal whose records are sound one by one, but do not fit each
// other: as after tampering, or with a program of another time. The line opens, or
// says why it does not.
func FuzzOpen(f *testing.F) {
	site, book := linetest.Site(), linetest.Book()
	first := line.Decision{Events: []line.Event{line.FirstRecord(site, book)}}
	s := line.NewState(site, book)
	begun := first.Records(s, linetest.Morning, "Ash")
	var day []byte
	now := linetest.Morning
	for _, c := range []line.Command{line.OpenDay{Sheet: linetest.Sheet()}, nil, nil, nil, nil, nil, nil, nil, nil} {
		if c == nil {
			c = line.Prompts(s, now, nil)[0].Command
		}
		d, no := line.Decide(s, c, now)
		if no != nil {
			f.Fatal(no)
		}
		for _, r := range d.Records(s, now, "Ash") {
			name, data, err := line.EncodeEvent(r.Event)
			if err != nil {
				f.Fatal(err)
			}
			day = append(append(append(append(day, name...), ' '), data...), '\n')
			s = line.Apply(s, r)
		}
		f.Add(bytes.Clone(day))
		now = now.Add(10 * time.Minute)
	}
	f.Add([]byte("step-started {\"Batch\":99}\nbatch-loaded {\"Batch\":1,\"At\":{\"Station\":-5,\"Slot\":700}}"))
	f.Fuzz(func(t *testing.T, data []byte) {
		if len(data) > 8192 {
			return
		}
		defer fuzztest.Bound(t)()
		store := &linetest.Memory{Records: begun}
		at := linetest.Morning
		for text := range bytes.Lines(data) {
			name, form, _ := bytes.Cut(bytes.TrimSuffix(text, []byte("\n")), []byte(" "))
			if e, err := line.DecodeEvent(string(name), form); err == nil {
				at = at.Add(time.Minute)
				n := int64(len(store.Records)) + 1
				store.Records = append(store.Records[:n-1:n-1], line.Record{Seq: n, Group: n, At: at, By: "Ash", Event: e})
			}
		}
		l, _, err := Open(store, site, book, linetest.NewManual(at.Add(time.Hour)), "Ash")
		if err != nil {
			return
		}
		l.Do(line.AddNote{Text: "it is open"})
		if err := l.Close(); err != nil {
			t.Error(err)
		}
	})
}
