// Package records says what the journal says: where the time went, what was made
// of what and went to whom, the safety records, and what the troubles cost.
//
// Everything derives from line.Records, fed one by one in their order; the same
// records give the same answer byte for byte. The package is pure: no I/O, no
// clock. Times of hands at a machine and of walking are worked out from the line
// file, as nobody writes those down; all other times are the journal's instants.
package records

import (
	"slices"
	"strings"
	"time"

	"shedbell/line"
	"shedbell/line/pace"
	"shedbell/line/say"
	"shedbell/recipes"
)

// Filter narrows what is kept. Its zero value keeps everything.
type Filter struct {
	From, To string // ISO 8601 calendar dates, both included; empty: open
	Crop     string
	Lot      string
}

// Day says whether a date is within the filter.
func (f *Filter) Day(date string) bool {
	return (f.From == "" || date >= f.From) && (f.To == "" || date <= f.To)
}

// Narrow says that only some of a day's batches are kept.
func (f *Filter) Narrow() bool { return f.Crop != "" || f.Lot != "" }

func (f *Filter) batch(b *Batch) bool {
	return (f.Crop == "" || b.Crop == f.Crop) && (f.Lot == "" || b.Lot == f.Lot)
}

// Share is what a stretch of time was spent on.
type Share int

// Shares, in the order of every table. The time of a batch is split among the
// first seven; that of a person among hands-on, walking, blocked by power and
// free.
const (
	HandsOn      Share = iota // work by hand on it
	Machine                   // its countdown ran
	WaitWet                   // wet greens waited
	WaitDry                   // waited, dry or uncut
	Walking                   // carried from place to place
	BlockedPower              // waited for amps or a breaker
	BlockedHands              // waited while everybody was at work
	Free                      // people: nothing of the above
	shareCount
)

var shareNames = [shareCount]string{"hands-on", "machine", "waiting wet", "waiting dry", "walking", "blocked by power", "blocked by hands", "free"}

// String is the share's name in reports.
func (s Share) String() string { return shareNames[s] }

// Says is the word for it.
func (s Share) Says() say.Sentence {
	return say.New("share." + strings.ReplaceAll(shareNames[s], " ", "-"))
}

// Shares is time by what it was spent on.
type Shares [shareCount]time.Duration

// Total is all of them together.
func (s *Shares) Total() (sum time.Duration) {
	for _, d := range s {
		sum += d
	}
	return sum
}

// Add adds other shares.
func (s *Shares) Add(o Shares) {
	for i := range s {
		s[i] += o[i]
	}
}

// Batch is one batch as it ran.
type Batch struct {
	ID       int
	Date     string // of its day
	Crop     string
	No       int
	Trays    int
	Lost     int // of them and not counted any more: dropped or spoiled on the way
	Lot      string
	Revision int // recipe revision of its last wet step
	Packages int
	NetG     float64

	PackagesBy, NetBy line.Source // how they are known

	By     []string // who worked on it, in order of appearance
	Packer string

	Cut    time.Time // cutting began
	Packed time.Time
	Cold   time.Time
	Fate   line.Fate
	Into   int   // merged into
	Of     []int // batches that were split off from or merged into this one

	Vessels []int // indexes into Book.Vessels: tub waters and baskets it was in
	Seeds   []int // indexes into Book.Sowings that its trays came from
	Shares  Shares
	Wet     time.Duration // longest to be avoided: all waits wet together
}

// Name is what people call the batch.
func (b *Batch) Name() string { return (&line.Batch{Crop: b.Crop, No: b.No}).Name() }

// Lead is how long it took from the first cut into the cold.
func (b *Batch) Lead() time.Duration {
	if b.Cut.IsZero() || b.Cold.IsZero() {
		return 0
	}
	return b.Cold.Sub(b.Cut)
}

// Vessel is one filling of a tub or one use of a basket between cleanings: what
// was in it touched the same water or the same mesh.
type Vessel struct {
	Basket  bool
	Place   string
	Since   time.Time
	Batches []int // their numbers
}

// Sowing is trays of a crop sown at one time from one seed lot.
type Sowing struct {
	Seq      int64 // of the record that sowed them
	At       time.Time
	By       string
	Crop     string
	Trays    int
	SeedLot  string // empty: nobody said
	Supplier string
}

// Station is one station's day. With a filter by crop or lot its shares, steps and
// trays are those of the batches that are kept.
type Station struct {
	Name   string
	Kind   line.Kind
	Slots  int
	Trays  int
	Steps  int
	Shares Shares
	Busy   time.Duration // slot time that a step ran or its greens stood there
}

// Person is one person's day. The shares add up to the day.
type Person struct {
	Name   string
	Shares Shares
}

// Day is one processing day.
type Day struct {
	Date     string
	Opened   time.Time
	Closed   time.Time // its last record where nobody closed it
	Open     bool      // nobody closed it
	HandOver string    // the closing note
	Crew     int       // people on the line, the most at a time
	Asked    int       // trays on the day sheet
	DueAt    time.Time // when the first customer waited; zero: none
	Trays    int       // of batches that are cold
	Batches  int
	NetG     float64
	AssumedG float64 // of NetG, what nobody weighed or typed
	Shares   Shares  // of batches and chores
	Stations []Station
	People   []Person
	Hands    time.Duration // work by hand, all people together
	Flow     Flow
	Held     []Held // what batches waited for, the longest first
	Alarms   Alarms
	first    int // of its batches in Book.Batches

	sheet   line.Sheet // with what it began, to be rehearsed anew
	site    *line.Site
	recipes recipes.Book
}

// Begin gives the line as it was when the day was opened, for a rehearsal of what
// was asked for.
func (d *Day) Begin() (site line.Site, book recipes.Book, sheet line.Sheet) {
	return *d.site, d.recipes, d.sheet
}

// Length is from the opening to the closing.
func (d *Day) Length() time.Duration { return d.Closed.Sub(d.Opened) }

// Mark is a change that should show on the time axis.
type Mark struct {
	At   time.Time
	Date string
	Text string

	Expects line.Expected // what it should save; zero: nothing was rehearsed
	paces   line.Paces    // that were learned by then
}

// Note is a line in somebody's words.
type Note struct {
	At   time.Time
	By   string
	Text string
}

// Book is everything that the records hold, as far as the filter goes.
type Book struct {
	Filter   Filter
	Site     *line.Site
	Recipes  recipes.Book
	Days     []Day
	Batches  []Batch
	Vessels  []Vessel
	Sowings  []Sowing
	Entries  []line.KeptEntry
	Waters   []WaterChange
	Sales    []line.Sale
	Thrown   []line.PackagesThrown
	Orders   []line.SaleOrder // still open
	Troubles []Trouble
	SignOffs []SignOff     // of all days; Signed narrows them
	Pace     *pace.Learned // nil: nobody asked the reader to learn
	Detail   *Detail       // nil: the reader kept none
	Pins     []line.PinnedPace
	Marks    []Mark
	Notes    []Note

	Corrections []Correction // what was put right, in the order in which that was entered

	Last time.Time // instant of the last record
	laid []laid
}

// laid is a line file with the number of the record that laid it.
type laid struct {
	seq  int64
	site *line.Site
}

// SiteAt is the line as it was laid when a record was made.
func (b *Book) SiteAt(seq int64) *line.Site {
	for i := len(b.laid) - 1; i >= 0; i-- {
		if b.laid[i].seq < seq {
			return b.laid[i].site
		}
	}
	return b.Site
}

// WaterChange is a change of a tub's water by the line's own chore.
type WaterChange struct {
	From, To time.Time
	By       string
	Place    string
	Date     string
	Batches  []int // that the water had seen
}

// Batch returns a batch by its number, or nil. Numbers rise from day to day and
// within a day, so that no index is needed.
func (b *Book) Batch(id int) *Batch {
	i, ok := slices.BinarySearchFunc(b.Batches, id, func(bt Batch, id int) int { return bt.ID - id })
	if !ok {
		return nil
	}
	return &b.Batches[i]
}

// BatchesOf returns the batches of a day.
func (b *Book) BatchesOf(day int) []Batch {
	end := len(b.Batches)
	if day+1 < len(b.Days) {
		end = b.Days[day+1].first
	}
	return b.Batches[b.Days[day].first:end]
}

// DayOf returns the last day of a date, or nil.
func (b *Book) DayOf(date string) *Day {
	for i := len(b.Days) - 1; i >= 0; i-- {
		if b.Days[i].Date == date {
			return &b.Days[i]
		}
	}
	return nil
}
