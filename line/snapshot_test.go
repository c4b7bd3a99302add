package line_test

import (
	"encoding/json"
	"errors"
	"fmt"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"shedbell/line"
	"shedbell/line/linetest"
	"shedbell/recipes"
)

// A state that was put aside and taken up again goes on as if nothing had been:
// the same records give the same facts, and undo comes back to the same.
func TestSnapshotAndTailEqualTheReplay(t *testing.T) {
	undone := 0
	rapid.Check(t, func(t *rapid.T) {
		m := newMachine(t)
		kept := m.live
		commands := 20 + pick(t, 80, "commands")
		at := pick(t, commands, "snapshot at")
		for i := range commands {
			if i == at {
				kept = again(t, m.live)
			}
			m.now = m.now.Add(drawStep(t))
			from := m.live
			if d, no := line.Decide(m.live, drawCommand(t, m.live, m.now), m.now); no == nil {
				records := d.Records(m.live, m.now, "Ash")
				m.record(records)
				for _, r := range records {
					if i >= at {
						kept = line.Apply(kept, r)
					}
				}
			}
			if _, ok := from.CanUndo(); ok {
				undone++
			}
		}
		for {
			if facts(kept) != facts(m.live) {
				t.Fatalf("snapshot and tail give\n%s\nthe replay\n%s", facts(kept), facts(m.live))
			}
			text, ok := m.live.CanUndo()
			if other, ok2 := kept.CanUndo(); ok != ok2 || text.Keep() != other.Keep() {
				t.Fatalf("undo would take back %q, after the snapshot %q", text, other)
			}
			if !ok {
				return
			}
			r := line.Record{Seq: m.live.Seq + 1, Group: m.live.Seq + 1, At: m.live.At, Event: line.Undone{Text: text.Keep(), KeepsOn: m.live.Seq%2 == 0}}
			m.live, kept = line.Apply(m.live, r), line.Apply(kept, r)
		}
	})
	if undone == 0 {
		t.Error("no state that could be undone was ever put aside")
	}
}

func again(t *rapid.T, s *line.State) *line.State {
	data, err := line.EncodeState(s)
	if err != nil {
		t.Fatal(err)
	}
	back, err := line.DecodeState(data)
	if err != nil {
		t.Fatal(err)
	}
	return back
}

func TestForeignSnapshotsAreRefused(t *testing.T) {
	data, err := line.EncodeState(linetest.Open())
	if err != nil {
		t.Fatal(err)
	}
	var whole map[string]any
	if err := json.Unmarshal(data, &whole); err != nil {
		t.Fatal(err)
	}
	for name, spoil := range map[string]func() []byte{
		"empty":        func() []byte { return nil },
		"cut off":      func() []byte { return data[:len(data)/2] },
		"no JSON":      func() []byte { return []byte("snapshot") },
		"other format": func() []byte { return []byte(strings.Replace(string(data), `"Format":3`, `"Format":4`, 1)) },
		"other shape": func() []byte {
			return []byte(strings.Replace(string(data), fmt.Sprintf(`"Shape":%q`, whole["Shape"]), `"Shape":"00000000"`, 1))
		},
		"other field": func() []byte { return []byte(strings.Replace(string(data), `"Batches":`, `"Lots":`, 1)) },
		"other type":  func() []byte { return []byte(strings.Replace(string(data), `"LastID":`, `"LastID":"x","At":`, 1)) },
	} {
		if _, err := line.DecodeState(spoil()); !errors.Is(err, line.ErrSnapshot) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// longState is a state with as much of the past as is ever kept.
func longState() *line.State {
	s := linetest.Open()
	for i := range line.PastBatches {
		s.Past = append(s.Past, line.PackedBatch{ID: i, Ran: recipes.Ran{Batch: fmt.Sprintf("pea %d of 2026-12-03", i),
			Lot: fmt.Sprint(i), Crop: "pea", Soak: 4 * time.Minute, Dry: time.Hour, Packed: linetest.Morning}})
	}
	for i := range line.KeptTastings {
		s.Tastings = append(s.Tastings, recipes.Tasting{Ran: s.Past[i%len(s.Past)].Ran, At: linetest.Morning, Wetness: 3, By: "Ash"})
	}
	for i := range 20 {
		s, _, _ = line.Do(s, line.SwitchOn{Load: linetest.Fans, Setting: i % 3}, linetest.Morning.Add(time.Duration(i)*time.Minute), "Ash")
	}
	return s
}

func BenchmarkSnapshot(b *testing.B) {
	s := longState()
	data, err := line.EncodeState(s)
	if err != nil {
		b.Fatal(err)
	}
	b.Run("encode", func(b *testing.B) {
		b.SetBytes(int64(len(data)))
		for b.Loop() {
			_, _ = line.EncodeState(s)
		}
	})
	b.Run("decode", func(b *testing.B) {
		b.SetBytes(int64(len(data)))
		for b.Loop() {
			_, _ = line.DecodeState(data)
		}
	})
}
