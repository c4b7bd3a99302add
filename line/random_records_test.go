package line_test

import (
	"math"
	"reflect"
	"slices"
	"strings"
	"time"

	"pgregory.net/rapid"

	"shedbell/line"
	"shedbell/line/linetest"
	"shedbell/line/records"
)

// texts are what people write, and what nobody should.
var texts = []string{"fan squeals", "Corner kitchen", " =1+1", "\x1b[2J", "\u202egnirts", "", "  ", "\xff", strings.Repeat("long ", 300)}

// drawRecordCommand draws what is written down beside the work: entries, troubles,
// sales, orders, seed lots, changes and who acts.
func drawRecordCommand(t *rapid.T, s *line.State, now time.Time) line.Command {
	text := one(t, "text", texts[0], texts[0], texts[1], texts[1], one(t, "odd text", texts...))
	switch pick(t, 18, "record") {
	case 0:
		return line.TickSurface{Entry: drawEntry(t, s, now, text)}
	case 1, 2, 3:
		return line.MakeEntry{Entry: drawEntry(t, s, now, text)}
	case 4:
		c := line.ReportTrouble{At: one(t, "at", drawPlace(t, s), line.Nowhere, line.Place{Station: pick(t, len(s.Site.Stations), "whole"), Slot: line.WholeStation}),
			What: text, Effect: one(t, "effect", line.EffectAnnoys, line.EffectSlow, line.EffectOut, line.EffectOut, "gone")}
		if c.Effect == line.EffectSlow || pick(t, 8, "percent") == 0 {
			c.SlowPercent = one(t, "slow", 20, 20, 0, 901, -1)
		}
		return c
	case 5, 6:
		id := s.Seq
		if len(s.Backlog) > 0 {
			id = s.Backlog[pick(t, len(s.Backlog), "trouble")].ID
		}
		return line.MendTrouble{ID: id, How: text}
	case 7:
		c := line.Sell{Lot: drawLot(t, s), Customer: text, Packages: one(t, "packages", 1, 2, 0, -1, math.MaxInt)}
		if len(s.Sales) > 0 && rapid.Bool().Draw(t, "puts right") {
			c.Corrects = s.Sales[pick(t, len(s.Sales), "sale")].Seq
		}
		return c
	case 8:
		return line.TakeOrder{Customer: text, Crop: one(t, "ordered", crops...), Packages: one(t, "packages", 3, 0, math.MaxInt), Due: one(t, "due", "2026-12-10", "2026-12-01", "soon")}
	case 9:
		id := s.Seq
		if len(s.Orders) > 0 {
			id = s.Orders[0].ID
		}
		return line.CancelOrder{ID: id}
	case 10:
		return line.UseSeed{Crop: one(t, "sown", "pea", "radish", "gravel"), SeedLot: text, Supplier: one(t, "supplier", "", "Hill seeds")}
	case 12:
		return line.PinPace{Pin: line.PinnedPace{Station: one(t, "paced", "packing table", "tub", "nowhere"), Crop: one(t, "crop", "", "pea"), Person: one(t, "person", "", "Ash"),
			Pace: line.Pace{Fixed: one(t, "fixed", 0, time.Minute, -time.Second), PerTray: one(t, "a tray", 0, time.Minute, 5*time.Hour)}}}
	case 13:
		return line.ForgetPace{Station: one(t, "paced", "packing table", "tub"), Crop: one(t, "crop", "", "pea"), Person: one(t, "person", "", "Ash")}
	case 14:
		c := line.KeepPromise{P50: now.Add(time.Hour), P90: now.Add(2 * time.Hour)}
		for i := range one(t, "parts", line.PromiseParts, line.PromiseParts, 3) {
			c.Ends = append(c.Ends, now.Add(time.Duration(i)*one(t, "step", time.Minute, -time.Minute)))
		}
		return c
	case 15:
		return line.KeepTimes{Times: []line.StepTime{{Date: one(t, "of", "2026-11-20", "2030-01-01", "yesterday"), Station: one(t, "timed", "packing table", "tub", "nowhere"),
			Crop: one(t, "crop", "", "pea", "gravel"), Person: one(t, "person", "", "Ash"), Trays: one(t, "trays", 1, 4, 0), Took: one(t, "took", 4*time.Minute, -time.Minute, 400*time.Hour)}}}
	case 16:
		return line.ThrowAway{Lot: drawLot(t, s), Packages: one(t, "packages", 1, 2, 0, math.MaxInt), Why: text}
	case 17:
		c := line.CountGrowing{Crop: one(t, "crop", "pea", "radish", "gravel"), Sown: now.Add(-one(t, "ago", time.Hour, 20*24*time.Hour, 400*24*time.Hour, -time.Hour)),
			Trays: one(t, "trays", 3, 0, -1), Why: text}
		if n := len(s.Growing); n > 0 && rapid.Bool().Draw(t, "again") {
			c.Sowing = s.Growing[pick(t, n, "sowing")].Sowing
		}
		return c
	case 11:
		return line.HandOn{To: one(t, "to", append([]string{"Elm ", ""}, s.Crew...)...)}
	}
	return line.AddMark{Text: text}
}

func drawLot(t *rapid.T, s *line.State) string {
	lots := []string{"", "2026-12-03-999"}
	for i := range s.Batches {
		if s.Batches[i].Lot != "" {
			lots = append(lots, s.Batches[i].Lot, s.Batches[i].Lot)
		}
	}
	return one(t, "lot", lots...)
}

func drawEntry(t *rapid.T, s *line.State, now time.Time, text string) line.Entry {
	specs := line.EntrySpecs()
	spec := specs[pick(t, len(specs), "spec")]
	e := line.Entry{Kind: spec.Kind, Initials: one(t, "initials", "A", "A", "A", "A", one(t, "odd initials", "", "A1")), Where: one(t, "where", "fridge", "fridge", "fridge", ""), Text: text,
		Product: one(t, "product", "chlorine", "chlorine", "chlorine", ""), Value: one(t, "value", 3.5, 3.5, 3.5, one(t, "odd value", 0, 500, -60, math.NaN(), math.Inf(1)))}
	if len(spec.Units) > 0 {
		e.Unit = one(t, "unit", spec.Units[0], spec.Units[0], spec.Units[len(spec.Units)-1], one(t, "odd unit", line.UnitNone, line.UnitYears))
	} else if pick(t, 4, "no reading") > 0 {
		e.Value = 0
	}
	e.Day = "2026-12-03"
	switch pick(t, 8, "when") {
	case 0:
		e.Made, e.Late = now.Add(-one(t, "ago", time.Minute, time.Hour, 400*24*time.Hour, -time.Hour)), rapid.Bool().Draw(t, "late")
	case 1:
		e.Day = one(t, "reviewed", "2026-12-03", "2026-13-01", "1999-01-01")
	}
	if n := len(s.Entries); n > 0 && pick(t, 3, "points back") == 0 {
		old := &s.Entries[pick(t, n, "entry")]
		if rapid.Bool().Draw(t, "corrects") {
			e.Corrects, e.Kind = old.Seq, old.Entry.Kind
		} else {
			e.About = old.Seq
		}
	}
	return e
}

// entries checks that nothing in the safety records is overwritten: what was entered
// stays as it was, with a hint at most to what corrects it, and every entry has a
// reading that can be meant with its unit, a signature, and both of its instants.
func (m *machine) entries(old *line.State) {
	for i := range old.Entries {
		was := old.Entries[i]
		is, ok := m.live.EntryNo(was.Seq)
		is.Corrected = was.Corrected
		if !ok || !reflect.DeepEqual(is, was) {
			m.t.Fatalf("entry %d was %+v and is %+v", was.Seq, was, is)
		}
	}
	for i := range m.live.Entries {
		k := &m.live.Entries[i]
		e := &k.Entry
		low, high := e.Unit.Bounds()
		late := k.At.Sub(e.Made)
		if e.Initials == "" || e.Unit == line.UnitNone && e.Value != 0 || !(e.Value >= low && e.Value <= high) ||
			late > line.LateAfter && !e.Late || late < -time.Minute {
			m.t.Fatalf("entry %+v", k)
		}
	}
}

// days checks what the records make of all that happened: the shares of every
// person's time add up to the day, and nothing took less than no time.
func (m *machine) days() {
	book := linetest.ReadSlice(m.all, records.Filter{})
	allDay := !slices.ContainsFunc(m.all, func(r line.Record) bool { // nobody came or went
		switch e := r.Event.(type) {
		case line.HoursSet, line.CrewChanged:
			return true
		case line.DayOpened:
			return len(e.Sheet.Hours) > 0
		}
		return false
	})
	for i := range book.Days {
		d := &book.Days[i]
		var stations records.Shares
		for k := range d.Stations {
			stations.Add(d.Stations[k].Shares)
		}
		if stations != d.Shares {
			m.t.Fatalf("%s: the stations have %v, the day has %v", d.Date, stations, d.Shares)
		}
		hands := time.Duration(0)
		for _, p := range d.People {
			hands += p.Shares[records.HandsOn]
			if total := p.Shares.Total(); total > d.Length() || allDay && total != d.Length() {
				m.t.Fatalf("%s: the shares of %s add up to %s and the day is %s: %v", d.Date, p.Name, p.Shares.Total(), d.Length(), p.Shares)
			}
			for share, took := range p.Shares {
				if took < 0 {
					m.t.Fatalf("%s: %s has %s of %s", d.Date, p.Name, took, records.Share(share))
				}
			}
		}
		if hands != d.Hands || hands != d.Shares[records.HandsOn] {
			m.t.Fatalf("%s: the people worked %s, the day %s, its stations %s", d.Date, hands, d.Hands, d.Shares[records.HandsOn])
		}
	}
	for i := range book.Batches {
		for share, took := range book.Batches[i].Shares {
			if took < 0 {
				m.t.Fatalf("%s has %s of %s", book.Batches[i].Name(), took, records.Share(share))
			}
		}
	}
	if m.live.Sheet != nil {
		m.batches(book)
	}
	m.signOffs(book)
	if n, want := len(book.Entries), m.entered; n != want {
		m.t.Fatalf("%d entries in the records, %d were made", n, want)
	}
}

// signOffs checks that the same people are signed off by the records as on the line.
func (m *machine) signOffs(book *records.Book) {
	var stand []line.KeptSignOff
	for _, o := range book.SignOffs {
		if o.Stands() {
			stand = append(stand, line.KeptSignOff{SignedOff: line.SignedOff{Person: o.Person, Station: o.Station, SignedBy: o.SignedBy}, Seq: o.Seq, At: o.At})
		}
	}
	if !slices.Equal(stand, m.live.SignOffs) {
		m.t.Fatalf("the line has %v signed off, the records %v", m.live.SignOffs, stand)
	}
}

// batches holds the records of the open day against the line's own state, however
// often things were taken back on the way to it.
func (m *machine) batches(book *records.Book) {
	for i := range m.live.Batches {
		b := &m.live.Batches[i]
		r := book.Batch(b.ID)
		if r == nil || r.Crop != b.Crop || r.Trays != b.Trays || r.Lot != b.Lot || r.Packages != b.Packages || max(r.Fate, line.OnLine) != max(b.Fate, line.OnLine) {
			m.t.Fatalf("the line has %+v, the records %+v", b, r)
		}
	}
}
