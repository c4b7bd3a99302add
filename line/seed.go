package line

import (
	"shedbell/line/say"
	"slices"
	"strings"
)

// UseSeed says from which seed lot a crop is sown from now on, one step back in
// the trace.
type UseSeed struct {
	Crop     string
	SeedLot  string
	Supplier string
}

// SeedUsed is a seed lot that a crop is sown from.
type SeedUsed struct {
	Crop     string
	SeedLot  string
	Supplier string `json:",omitempty"`
}

// AddMark writes a change down that should show on the time axis of the charts:
// "second basket", "drain screen".
type AddMark struct {
	Text    string
	Expects Expected
}

// MarkAdded is a change that somebody made to how the work is done.
type MarkAdded struct {
	Text    string
	Expects Expected `json:",omitzero"`
}

// Expected is what a change should save, as it was rehearsed when somebody took it on:
// minutes a working day, 90 percent sure between low and high. Its zero value: nothing was
// rehearsed.
type Expected struct {
	Kind      string // as the records name it
	Name      string `json:",omitempty"` // of the station or the machine
	Minutes   float64
	Low, High float64
}

// SeedOf is the seed lot that a crop is sown from now; false when nobody said.
func (s *State) SeedOf(crop string) (SeedUsed, bool) {
	for i := range s.Seeds {
		if s.Seeds[i].Crop == crop {
			return s.Seeds[i], true
		}
	}
	return SeedUsed{}, false
}

func (c UseSeed) decide(d *draft) *Refusal {
	e := SeedUsed{Crop: c.Crop, SeedLot: strings.TrimSpace(c.SeedLot), Supplier: strings.TrimSpace(c.Supplier)}
	if _, ok := d.s.Recipe(c.Crop); !ok {
		return refuse(RuleUnknown, "line.no-recipe", say.Crop(printable(c.Crop)))
	}
	if e.SeedLot == "" || unfit(e.SeedLot) || unfit(e.Supplier) {
		return refuse(RuleValue, "line.seed-lot")
	}
	if now, ok := d.s.SeedOf(c.Crop); ok && now == e {
		return refuse(RuleNothing, "line.so-already")
	}
	d.undo = say.New("undo.seed", say.Crop(c.Crop))
	d.emit(e)
	return nil
}

// day is the minutes of one: no change saves or costs as much.
const day = 24 * 60

func (c AddMark) decide(d *draft) *Refusal {
	e := MarkAdded{Text: strings.TrimSpace(c.Text), Expects: c.Expects}
	if e.Text == "" || unfit(e.Text) {
		return refuse(RuleValue, "line.mark-what")
	}
	if x := e.Expects; unfit(x.Kind) || unfit(x.Name) || !(x.Low <= x.Minutes && x.Minutes <= x.High && x.Low > -day && x.High < day) {
		return refuse(RuleValue, "line.mark-what")
	}
	d.undo = say.New("undo.mark", e.Text)
	d.emit(e)
	return nil
}

func (e SeedUsed) apply(s *State, _ Record) {
	s.Seeds = slices.DeleteFunc(slices.Clone(s.Seeds), func(o SeedUsed) bool { return o.Crop == e.Crop })
	s.Seeds = append(s.Seeds, e)
}

// Only the charts show it.
func (MarkAdded) apply(*State, Record) {}
