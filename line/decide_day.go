package line

import (
	"fmt"
	"slices"

	"shedbell/recipes"
)

// MaxDayTrays is more than a small shed can cut in a day; a larger number on a
// day sheet is a slip of the finger.
const MaxDayTrays = 500

func (d *draft) openDay(c OpenDay) *Refusal {
	if d.s.Sheet != nil {
		return refuse(RuleDay, "the day of %s is still open. Close it first.", d.s.Sheet.Date)
	}
	if n := c.Sheet.Trays(); n < 1 || n > MaxDayTrays {
		return refuse(RuleValue, "a day of %d trays cannot be meant. Give 1 to %d.", n, MaxDayTrays)
	}
	e := DayOpened{Sheet: c.Sheet}
	next := d.s.LastID
	count := map[string]int{}
	for _, demand := range c.Sheet.Crops {
		made, no := d.makeBatches(demand, next, count)
		if no != nil {
			return no
		}
		next += len(made)
		e.Batches = append(e.Batches, made...)
	}
	d.undo = "opening of the day"
	d.emit(e)
	return nil
}

// makeBatches splits trays of a crop evenly into batches that the smallest tub,
// basket and shelf hold.
func (d *draft) makeBatches(demand Demand, lastID int, count map[string]int) ([]NewBatch, *Refusal) {
	r, ok := d.s.Recipe(demand.Crop)
	if !ok {
		return nil, refuse(RuleUnknown, "%s has no recipe. Add one first.", demand.Crop)
	}
	if demand.Trays < 1 {
		return nil, refuse(RuleValue, "%d trays of %s cannot be meant.", demand.Trays, demand.Crop)
	}
	size := d.s.Site.BatchTrays()
	if r.BatchTrays > 0 && (size == 0 || r.BatchTrays < size) {
		size = r.BatchTrays
	}
	if size == 0 {
		size = demand.Trays
	}
	n := (demand.Trays + size - 1) / size
	out := make([]NewBatch, n)
	for i := range out {
		count[demand.Crop]++
		trays := demand.Trays / n
		if i < demand.Trays%n {
			trays++
		}
		out[i] = NewBatch{ID: lastID + i + 1, Crop: demand.Crop, No: count[demand.Crop], Trays: trays, Due: demand.Due}
	}
	return out, nil
}

func (d *draft) addTrays(c AddTrays) *Refusal {
	if d.s.Sheet == nil {
		return refuse(RuleDay, "no day is open.")
	}
	total := c.Demand.Trays
	count := map[string]int{}
	for i := range d.s.Batches {
		b := &d.s.Batches[i]
		count[b.Crop] = max(count[b.Crop], b.No)
		if b.Fate != Merged {
			total += b.Trays
		}
	}
	if total > MaxDayTrays {
		return refuse(RuleValue, "that would make a day of %d trays. Give at most %d.", total, MaxDayTrays)
	}
	made, no := d.makeBatches(c.Demand, d.s.LastID, count)
	if no != nil {
		return no
	}
	d.undo = fmt.Sprintf("%d trays of %s", c.Demand.Trays, c.Demand.Crop)
	d.emit(BatchesAdded{Batches: made, Sow: []SowItem{{Crop: c.Demand.Crop, Trays: c.Demand.Trays}}})
	return nil
}

func (d *draft) closeDay(c CloseDay) *Refusal {
	if d.s.Sheet == nil {
		return refuse(RuleDay, "no day is open.")
	}
	if n := d.s.Unfinished(); n > 0 {
		return refuse(RuleDay, "%d batches are not in the cold yet. Finish or scrap them first.", n)
	}
	if len(d.s.Chores) > 0 {
		return refuse(RuleDay, "%s is still going on.", d.s.Chores[0].Kind)
	}
	d.undo = "closing of the day"
	d.emit(DayClosed(c))
	return nil
}

func (d *draft) layLine(c LayLine) *Refusal {
	if d.s.Sheet != nil && len(d.s.Batches) > 0 && !d.s.DayDone() {
		return refuse(RuleDay, "the line file changed while a day is open. The change is taken over when the day is closed.")
	}
	d.emit(LineLaid{Site: c.Site})
	return nil
}

func (d *draft) revise(c Revise) *Refusal {
	r := c.Recipe
	if r.Crop == "" {
		return refuse(RuleValue, "a recipe needs a crop.")
	}
	for _, t := range []struct {
		name string
		ok   bool
	}{
		{"soak", r.Soak >= 0 && r.Soak <= MaxCountdown},
		{"rinse", r.Rinse >= 0 && r.Rinse <= MaxCountdown},
		{"drain", r.Drain >= 0 && r.Drain <= MaxCountdown},
		{"spin", r.Spin >= 0 && r.Spin <= MaxCountdown},
		{"dry", r.Dry >= 0 && r.Dry <= MaxCountdown},
	} {
		if !t.ok {
			return refuse(RuleValue, "a %s time like that cannot be meant. Give 0 to 24 hours.", t.name)
		}
	}
	if r.Soak < r.MinSoak {
		return refuse(RuleValue, "the wash of %s is not to be shorter than %s.", r.Crop, clock(r.MinSoak))
	}
	r.Revision = len(d.s.Book.History(r.Crop)) + 1
	r.At = d.now
	d.undo = fmt.Sprintf("recipe %s, revision %d", r.Crop, r.Revision)
	d.emit(RecipeRevised{Recipe: r})
	return nil
}

func (d *draft) markBroken(c MarkBroken) *Refusal {
	if !d.s.valid(c.At) {
		return refuse(RuleUnknown, "the line has no such place.")
	}
	if d.s.IsBroken(c.At) {
		return refuse(RuleBroken, "%s is already out of use.", d.s.PlaceName(c.At))
	}
	if step := d.s.StepAt(c.At); step != nil && step.Progress == Running {
		return refuse(RuleOrder, "something runs at %s. Hold it first.", d.s.PlaceName(c.At))
	}
	d.undo = d.s.PlaceName(c.At) + " out of use"
	d.emit(SlotBroken(c))
	return nil
}

func (d *draft) markMended(c MarkMended) *Refusal {
	if !slices.Contains(d.s.Broken, c.At) {
		return refuse(RuleNothing, "that place is in use already.")
	}
	d.undo = d.s.PlaceName(c.At) + " back in use"
	d.emit(SlotMended(c))
	return nil
}

// FirstRecord is what a new journal begins with: the line and the recipes it was
// given.
func FirstRecord(site *Site, book recipes.Book) LineLaid {
	e := LineLaid{Site: *site}
	for _, crop := range book.Crops() {
		e.Recipes = append(e.Recipes, book.History(crop)...)
	}
	return e
}
