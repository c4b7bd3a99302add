package line_test

import (
	"testing"
	"time"

	"shedbell/line"
	"shedbell/line/linetest"
)

// busyShed has 24 batches on the line: in the tub, the spinner and on the shelves.
func busyShed(b *testing.B) (*line.State, time.Time) {
	site := linetest.Site()
	for _, i := range []int{linetest.Cut, linetest.Tub, linetest.Spin, linetest.Rack, linetest.Pack} {
		site.Stations[i].Slots = 26
	}
	site.Stations[linetest.Tub].WaterBatches = 0
	sheet := linetest.Sheet()
	sheet.Apart = nil
	for i := range sheet.Crops {
		sheet.Crops[i].Trays = 28
	}
	now := linetest.Morning
	s := line.NewState(site, linetest.Book())
	do := func(c line.Command) {
		next, _, no := line.Do(s, c, now, "Ash")
		if no != nil {
			b.Fatal(no)
		}
		s = next
	}
	do(line.OpenDay{Sheet: sheet})
	for id := 1; id <= 24; id++ {
		for range 1 + id%5 {
			now = now.Add(5 * time.Second)
			do(line.Advance{Batch: id, To: line.Anywhere})
		}
	}
	if s.Unfinished() != 28 {
		b.Fatalf("%d batches", s.Unfinished())
	}
	return s, now
}

func BenchmarkDecide(b *testing.B) {
	s, now := busyShed(b)
	for _, bm := range []struct {
		name string
		c    line.Command
	}{
		{"advance", line.Advance{Batch: 1, To: line.Anywhere}},
		{"start", line.Start{Batch: 25, To: line.Anywhere}},
		{"refused", line.SwitchOn{Load: linetest.Washer}},
	} {
		b.Run(bm.name, func(b *testing.B) {
			for b.Loop() {
				_, _ = line.Decide(s, bm.c, now)
			}
		})
	}
}

func BenchmarkApply(b *testing.B) {
	s, now := busyShed(b)
	r := line.Record{Seq: s.Seq + 1, Group: s.Seq + 1, At: now, Undo: "x", Event: line.StepFinished{Batch: 1}}
	for b.Loop() {
		line.Apply(s, r)
	}
}

// BenchmarkReplay100k applies 100,000 records of days on the test shed.
func BenchmarkReplay100k(b *testing.B) {
	records := manyRecords(b, 100_000)
	b.ResetTimer()
	for b.Loop() {
		s := line.NewState(linetest.Site(), linetest.Book())
		for _, r := range records {
			s = line.Apply(s, r)
		}
		if s.Seq != 100_000 {
			b.Fatal(s.Seq)
		}
	}
}

// manyRecords follows the prompts day after day.
func manyRecords(b *testing.B, n int) []line.Record {
	s := line.NewState(linetest.Site(), linetest.Book())
	now := linetest.Morning
	var out []line.Record
	for len(out) < n {
		var c line.Command = line.OpenDay{Sheet: linetest.Sheet()}
		if s.Sheet != nil {
			ps := line.Prompts(s, now, nil)
			if len(ps) == 0 {
				b.Fatal("the day stands still")
			}
			if ps[0].At.After(now) {
				now = ps[0].At
			}
			c = ps[0].Command
		}
		next, records, no := line.Do(s, c, now, "Ash")
		if no != nil {
			now = now.Add(time.Minute)
			continue
		}
		s, out = next, append(out, records...)
	}
	return out[:n]
}

func BenchmarkPrompts(b *testing.B) {
	s, now := busyShed(b)
	for b.Loop() {
		line.Prompts(s, now, nil)
	}
}

func BenchmarkAlarms(b *testing.B) {
	s, now := busyShed(b)
	now = now.Add(time.Hour)
	for b.Loop() {
		line.Alarms(s, now)
	}
}
