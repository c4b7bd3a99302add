package records

import (
	"slices"
	"strconv"
	"time"

	"shedbell/line"
	"shedbell/line/pace"
	"shedbell/recipes"
)

// Reader folds records into a Book, one by one.
type Reader struct {
	ExpectDays int           // how many days will be kept, as far as that is known
	Now        time.Time     // zero: that of the last record
	Pace       *pace.Learner // learns how long the work takes; nil: nobody does
	Detail     *Detail       // keeps every step for tables; nil: nobody asks

	settled undoFilter
	book    *Book
	site    *line.Site
	names   map[string]string
	sales   map[int64]line.Sold
	filled  []line.SaleOrder
	day     *dayFold

	water  map[int]int        // station -> vessel at present
	basket map[line.Place]int // slot -> vessel at present
	seeds  map[string]line.SeedUsed
	grows  line.Racks
	base   []baseline // per station: how long steps usually take
	open   []int      // troubles that are not mended
	reads  int64

	teams map[string][]string // lists of people, each once
	order []int64             // used again for every day
	fits  map[fitKey]fit      // what the interlock says on this line
	spare *dayFold            // the last day, whose lists are used again
	idle  []*persons          // theirs
}

// NewReader returns a reader that keeps what the filter asks for.
func NewReader(f Filter) *Reader {
	r := &Reader{book: &Book{Filter: f, Site: &line.Site{}},
		site: &line.Site{}, names: map[string]string{}, sales: map[int64]line.Sold{}, seeds: map[string]line.SeedUsed{}, teams: map[string][]string{}}
	r.settled.out = r.take
	r.settled.put = func(c Correction) { r.book.Corrections = append(r.book.Corrections, c) }
	r.clearPlaces()
	return r
}

// Add takes the next record.
func (r *Reader) Add(rec line.Record) {
	r.reads++
	r.book.Last = rec.At
	r.settled.add(rec)
}

// Count is how many records have been added.
func (r *Reader) Count() int64 { return r.reads }

// Book ends the reading and returns what was read. The reader is not used again.
func (r *Reader) Book() *Book {
	r.settled.flush()
	if r.day != nil {
		r.endDay(r.lasted(), true)
	}
	r.book.Site = r.site
	if r.Detail != nil {
		r.Detail.end(r.book)
		r.book.Detail = r.Detail
	}
	if r.Pace != nil {
		r.book.Pace = r.Pace.Learned("")
	}
	return r.book
}

// ReadDay reads the open day alone: first what the line was when it began. A learner
// goes on learning from it.
func ReadDay(history []line.Record, before *line.State, now time.Time, p *pace.Learner) *Book {
	r := NewReader(Filter{})
	r.Now, r.Pace = now, p
	if len(history) > 0 {
		first := history[0]
		was := line.Record{Seq: first.Seq - 1, Group: first.Seq - 1, At: first.At, Event: line.FirstRecord(before.Site, before.Book)}
		r.Add(was)
		for _, t := range before.Backlog {
			if p == nil {
				break // nobody asks what slows a place
			}
			was.Seq, was.Group, was.At = t.ID, t.ID, t.Since
			was.Event = line.TroubleReported{At: t.At, Where: t.Where, What: t.What, Effect: t.Effect, SlowPercent: t.SlowPercent}
			r.Add(was)
		}
	}
	for _, rec := range history {
		r.Add(rec)
	}
	return r.Book()
}

// lasted is until when the day that is open has lasted: until now, unless that is
// another date, on which nobody works on it.
func (r *Reader) lasted() time.Time {
	last := r.book.Last
	if now := r.Now.In(last.Location()); now.After(last) && now.Format(time.DateOnly) == last.Format(time.DateOnly) {
		return now
	}
	return last
}

// name gives one string for equal names, so that ten years hold each only once.
func (r *Reader) name(s string) string {
	if kept, ok := r.names[s]; ok {
		return kept
	}
	r.names[s] = s
	return s
}

func (r *Reader) clearPlaces() {
	r.water, r.basket = map[int]int{}, map[line.Place]int{}
	r.base = make([]baseline, len(r.site.Stations))
	r.fits = map[fitKey]fit{}
}

// wants says whether what is dated so is kept.
func (r *Reader) wants(at time.Time) bool { return r.book.Filter.Day(at.Format(time.DateOnly)) }

// take is called with records that count, in their order.
func (r *Reader) take(rec line.Record) {
	if r.Detail != nil {
		r.Detail.take(r, rec)
	}
	switch e := rec.Event.(type) {
	case line.StepStarted, line.StepFinished, line.TraysFound, line.TraysLost, line.BatchMoved, line.StepSkipped, line.BatchLoaded, line.BatchCooled, line.StepAdjusted, line.StepHeld,
		line.StepResumed, line.BatchSplit, line.BatchMerged, line.BatchScrapped, line.ChoreStarted, line.ChoreFinished,
		line.BatchesAdded, line.WatchLost, line.Refused, line.BreakerTripped, line.BreakerReset, line.LoadSwitched,
		line.FoundOn, line.FoundOff, line.Unplugged, line.PowerLost, line.PowerBack,
		line.AlarmRaised, line.AlarmsAcked, line.AlarmShelved, line.CrewChanged, line.HoursSet, line.WorkGivenOver:
		if r.day != nil {
			r.day.take(rec)
		}
	case line.DayOpened:
		r.openDay(e, rec)
	case line.DayClosed:
		if r.day != nil {
			r.day.day.HandOver = e.Note
			if r.Pace != nil && r.day.lasted != 0 {
				r.Pace.DayEnded(r.day.day.Date, time.Unix(0, r.day.lasted).In(rec.At.Location()))
			}
			r.endDay(rec.At, false)
		}
	case line.LineLaid:
		r.lay(e, rec.Seq)
	case line.PluggedIn:
		r.plug(e)
	case line.CircuitLimited:
		r.limit(e)
	case line.RecipeRevised:
		r.book.Recipes = r.book.Recipes.With(e.Recipe)
		if e.Recipe.Revision > 1 {
			r.mark(rec, "recipe "+e.Recipe.Crop+", revision "+digits(e.Recipe.Revision))
		}
	default:
		r.takeEntry(rec)
	}
}

// plug has a load hang on another circuit.
func (r *Reader) plug(e line.PluggedIn) {
	site := *r.site
	if e.Load >= 0 && e.Load < len(site.Panel.Loads) {
		site.Panel.Loads = slices.Clone(site.Panel.Loads)
		site.Panel.Loads[e.Load].Circuit = e.Circuit
		r.site, r.fits = &site, map[fitKey]fit{}
	}
}

// limit has a circuit carry less.
func (r *Reader) limit(e line.CircuitLimited) {
	site := *r.site
	if e.Circuit >= 0 && e.Circuit < len(site.Panel.Circuits) {
		site.Panel.Circuits = slices.Clone(site.Panel.Circuits)
		site.Panel.Circuits[e.Circuit].EffectiveA = e.EffectiveA
		r.site, r.fits = &site, map[fitKey]fit{}
	}
}

// takeEntry keeps what was only written down.
func (r *Reader) takeEntry(rec line.Record) {
	b := r.book
	switch e := rec.Event.(type) {
	case line.EntryMade:
		r.entry(e.Entry, rec)
	case line.TroubleReported:
		r.addTrouble(r.trouble(e, rec))
	case line.TroubleMended:
		r.mended(func(t *Trouble) bool { return t.ID == e.ID }, e.How, rec.At)
	case line.SlotBroken:
		r.slotBroken(e, rec)
	case line.SlotMended:
		r.mended(func(t *Trouble) bool { return t.slot && t.At == e.At }, "", rec.At)
	case line.Sold:
		r.sold(e, rec)
	case line.PackagesThrown:
		b.Thrown = append(b.Thrown, e)
	case line.GrowingCounted:
		r.grows = r.grows.Counted(e, rec.Seq)
	case line.OrderTaken:
		b.Orders = append(b.Orders, line.SaleOrder{ID: rec.Seq, Customer: e.Customer, Crop: e.Crop, Packages: e.Packages, Due: e.Due, NetG: e.NetG, At: e.At})
	case line.OrderCancelled:
		r.orderGone(e.ID)
	case line.SeedUsed:
		r.seeds[e.Crop] = e
		r.mark(rec, "seed lot "+e.SeedLot+" of "+e.Crop)
	case line.MarkAdded:
		r.mark(rec, e.Text)
		if n := len(b.Marks); e.Expects.Kind != "" && n > 0 && b.Marks[n-1].At.Equal(rec.At) {
			b.Marks[n-1].Expects = e.Expects
			if r.Pace != nil {
				b.Marks[n-1].paces = r.Pace.Learned("").Paces()
			}
		}
	case line.TimesKept:
		r.learnKept(e)
	case line.SignedOff:
		r.signedOff(e, rec)
	case line.SignOffRevoked:
		r.signOffRevoked(e, rec)
	case line.PacePinned:
		r.unpin(e.Pin.Station, e.Pin.Crop, e.Pin.Person)
		b.Pins = append(b.Pins, e.Pin)
	case line.PaceUnpinned:
		r.unpin(e.Station, e.Crop, e.Person)
	case line.Promised:
		if r.Pace != nil && r.day != nil {
			r.Pace.Promise(promise(e, rec.At, r.day.day.Date))
		}
	case line.PaceForgotten:
		if r.Pace != nil {
			r.Pace.Forget(e)
		}
	case line.NoteAdded:
		if r.wants(rec.At) {
			b.Notes = append(b.Notes, Note{rec.At, rec.By, e.Text})
		}
	}
}

func (r *Reader) unpin(station, crop, person string) {
	r.book.Pins = slices.DeleteFunc(r.book.Pins, func(p line.PinnedPace) bool {
		return p.Station == station && p.Crop == crop && p.Person == person
	})
}

func (r *Reader) mark(rec line.Record, text string) {
	if date := rec.At.Format(time.DateOnly); r.book.Filter.Day(date) {
		r.book.Marks = append(r.book.Marks, Mark{At: rec.At, Date: date, Text: text})
	}
}

func (r *Reader) lay(e line.LineLaid, seq int64) {
	site := e.Site
	r.site = &site
	r.book.laid = append(r.book.laid, laid{seq, &site})
	r.clearPlaces()
	if len(e.Recipes) > 0 {
		r.book.Recipes = recipes.NewBook(e.Recipes...)
	}
	r.relayTroubles()
	if r.day != nil {
		r.day.lay(r.site)
	}
}

func (r *Reader) entry(e line.Entry, rec line.Record) {
	b := r.book
	for i := range b.Entries {
		if e.Corrects != 0 && b.Entries[i].Seq == e.Corrects {
			b.Entries[i].Corrected = rec.Seq
		}
	}
	if r.wants(e.Made) && (b.Filter.Lot == "" || e.Lot == b.Filter.Lot) {
		b.Entries = append(b.Entries, line.KeptEntry{Seq: rec.Seq, At: rec.At, By: r.name(rec.By), Entry: e})
	}
}

func (r *Reader) sold(e line.Sold, rec line.Record) {
	b := r.book
	r.sales[rec.Seq] = e
	b.Orders, r.filled = line.Fill(b.Orders, r.filled, r.sales[e.Corrects], e)
	if e.Corrects != 0 {
		b.Sales = slices.DeleteFunc(b.Sales, func(s line.Sale) bool { return s.Seq == e.Corrects })
	}
	if e.Packages > 0 && (b.Filter.Crop == "" || e.Crop == b.Filter.Crop) && (b.Filter.Lot == "" || e.Lot == b.Filter.Lot) {
		b.Sales = append(b.Sales, line.Sale{Seq: rec.Seq, At: rec.At, By: r.name(rec.By), Sold: e})
	}
}

func (r *Reader) orderGone(id int64) {
	if id != 0 {
		r.book.Orders = slices.DeleteFunc(r.book.Orders, func(o line.SaleOrder) bool { return o.ID == id })
	}
}

func digits(n int) string { return strconv.Itoa(n) }
