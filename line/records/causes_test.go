package records_test

import (
	"context"
	"math"
	"testing"
	"time"

	"shedbell/line"
	"shedbell/line/linetest"
	"shedbell/line/records"
	"shedbell/line/rehearse"
	"shedbell/recipes"
)

// worked rehearses the test day on a line and reads its records.
func worked(t *testing.T, site *line.Site, book recipes.Book, crew ...string) *records.Book {
	t.Helper()
	sheet := linetest.Sheet()
	sheet.Crew, sheet.Apart = crew, nil
	first := line.Decision{Events: []line.Event{line.FirstRecord(site, book)}}
	all := first.Records(&line.State{}, linetest.Morning, "Ash")
	s, recs, no := line.Do(line.NewState(site, book), line.OpenDay{Sheet: sheet}, linetest.Morning, "Ash")
	if no != nil {
		t.Fatal(no)
	}
	all = append(all, recs...)
	if _, err := rehearse.Run(context.Background(), s, linetest.Morning, rehearse.Options{Watch: func(_ *line.State, r line.Record) { all = append(all, r) }}); err != nil {
		t.Fatal(err)
	}
	return linetest.ReadSlice(all, records.Filter{})
}

// apart is a shed with hands, rack and tables enough, whose tub and spinner can never run together, or can.
func apart(together bool) *line.Site {
	site := linetest.Site()
	site.Stations[linetest.Cut].PerTray, site.Stations[linetest.Cut].Slots = 30*time.Second, 8
	site.Stations[linetest.Rack].Slots, site.Stations[linetest.Pack].Slots = 12, 8
	for i := range site.Stations {
		site.Stations[i].HandsTime, site.Stations[i].Walk = time.Second, 0
	}
	site.Stations[linetest.Tub].WaterBatches = 0
	site.Panel.Loads[linetest.Spinner].Settings[0].AmpsA = 15 // 5.8 + 15 A are more than 20 A
	if together {
		site.Panel.Loads[linetest.Spinner].Circuit = 2
		site.Panel.Circuits[2].RatingA = 20
	}
	return site
}

func waiting(d *records.Day) time.Duration {
	s := &d.Shares
	return s[records.WaitWet] + s[records.WaitDry] + s[records.BlockedPower] + s[records.BlockedHands]
}

// spins is a book of recipes that spin for a time, which the tub never waits for by itself.
func spins(spin time.Duration) recipes.Book {
	b := linetest.Book()
	for _, crop := range b.Crops() {
		r, _ := b.Current(crop)
		r.Spin = spin
		b = b.With(r)
	}
	return b
}

// What batches wait longer for because tub and spinner keep each other off is put down to
// their circuit, by name. The same day on the same line with a circuit for each is the
// measure; the spinner is faster than the tub, so that nothing waits for it there.
func TestCircuitGetsTheRiseInWaiting(t *testing.T) {
	crew := []string{"Ash", "Rowan", "Kim", "Lee", "Sam", "Max"}
	for _, spin := range []time.Duration{time.Minute, 2 * time.Minute, 3 * time.Minute} {
		one, two := worked(t, apart(false), spins(spin), crew...), worked(t, apart(true), spins(spin), crew...)
		with, without := &one.Days[0], &two.Days[0]
		rise, got := waiting(with)-waiting(without), with.Shares[records.BlockedPower]-without.Shares[records.BlockedPower]
		t.Logf("spin %s: waited %s and %s, a rise of %s; for power %s", spin, waiting(with), waiting(without), rise, got)
		if rise <= 0 || math.Abs(float64(got-rise)) > 0.1*float64(rise) {
			t.Errorf("the circuit gets %s of a rise of %s", got, rise)
		}
		named := time.Duration(0)
		for _, h := range with.Held {
			if h.Cause == records.HeldByCircuit {
				if named += h.For; h.Name != "wet wall" || h.First == "" || h.Wants == "" || h.First == h.Wants {
					t.Errorf("%+v", h)
				}
			}
		}
		if named != with.Shares[records.BlockedPower] {
			t.Errorf("by name %s, in all %s", named, with.Shares[records.BlockedPower])
		}
		if n := with.Flow.Bottleneck; !n.Circuit || n.Name != "wet wall" {
			t.Errorf("the bottleneck is %+v", n)
		}
	}
}

// Every wait is given away whole: what held batches adds up to what they waited, on the
// line of the tests with one person and with two, and over days with slips and delays.
func TestCausesAddUp(t *testing.T) {
	books := []*records.Book{worked(t, linetest.Site(), linetest.Book(), "Ash"), worked(t, linetest.Site(), linetest.Book(), "Ash", "Rowan"),
		worked(t, apart(false), linetest.Book(), "Ash"), linetest.Read(linetest.Years(linetest.Morning, 5), records.Filter{})}
	for _, b := range books {
		for i := range b.Days {
			var held, waited, hands time.Duration
			for _, h := range b.Days[i].Held {
				held += h.For
				if h.Cause == records.HeldByHands {
					hands += h.For
				}
			}
			for _, bt := range b.BatchesOf(i) {
				s := bt.Shares
				waited += s[records.WaitWet] + s[records.WaitDry] + s[records.BlockedPower] + s[records.BlockedHands]
				if bt.Fate == line.Cold && s.Total() != bt.Lead() {
					t.Errorf("%s: %s of %s", bt.Name(), s.Total(), bt.Lead())
				}
			}
			// Work that lay while its hands did other work is no wait for a station.
			if lay := waited - held; lay < 0 || lay > b.Days[i].Shares[records.BlockedHands]-hands {
				t.Errorf("%s: held %s, waited %s", b.Days[i].Date, held, waited)
			}
		}
	}
}

// Hands hold batches where there are few of them, and nowhere where each batch has its own.
func TestFewHandsHold(t *testing.T) {
	site := apart(false)
	site.Stations[linetest.Cut].PerTray = 2 * time.Minute
	few, many := worked(t, site, spins(3*time.Minute), "Ash"), worked(t, site, spins(3*time.Minute), "Ash", "Rowan", "Kim", "Lee", "Sam", "Max")
	by := func(b *records.Book, c records.Cause) (sum time.Duration) {
		for _, h := range b.Held() {
			if h.Cause == c {
				sum += h.For
			}
		}
		return sum
	}
	if by(few, records.HeldByHands) == 0 || by(few, records.HeldByCircuit) == 0 {
		t.Errorf("one pair of hands: %v", few.Held())
	}
	if by(many, records.HeldByHands) != 0 {
		t.Errorf("six pairs of hands: %v", many.Held())
	}
}

// Where a circuit is the bottleneck, what is rehearsed is the load on a circuit of its own.
func TestReliefOfACircuit(t *testing.T) {
	crew := []string{"Ash", "Rowan", "Kim", "Lee", "Sam", "Max"}
	b := worked(t, apart(false), spins(2*time.Minute), crew...)
	fill(t, b, b.Days[0].Date)
	r := b.Days[0].Flow.Bottleneck.OneMore
	if r == nil || r.Saves() < 5*time.Minute || r.More.String() != "spinner on a circuit of its own" {
		t.Errorf("%+v", r)
	}
}
