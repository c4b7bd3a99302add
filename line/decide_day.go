package line

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"shedbell/recipes"
)

// MaxDayTrays is more than a small shed can cut in a day; a larger number on a
// day sheet is a slip of the finger.
const MaxDayTrays = 500

func (c OpenDay) decide(d *draft) *Refusal {
	if d.s.Sheet != nil {
		return refuse(RuleDay, "the day of %s is still open. Close it first.", d.s.Sheet.Date)
	}
	sheet := c.Sheet.clone()
	if no := d.sheetFits(&sheet); no != nil {
		return no
	}
	e := DayOpened{Sheet: sheet}
	next := d.s.LastID
	count := map[string]int{}
	for _, demand := range sheet.Crops {
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

// sheetFits checks what makeBatches does not: the day as a whole and the sow list.
func (d *draft) sheetFits(sheet *Sheet) *Refusal {
	total := 0
	for _, demand := range sheet.Crops {
		if no := demandFits(demand); no != nil {
			return no
		}
		total += demand.Trays
	}
	if total < 1 || total > MaxDayTrays {
		return refuse(RuleValue, "a day of %d trays cannot be meant. Give 1 to %d.", total, MaxDayTrays)
	}
	for _, it := range sheet.Sow {
		if it.Trays < 0 || it.Trays > MaxDayTrays {
			return refuse(RuleValue, "sowing %d trays of %s cannot be meant. Give 0 to %d.", it.Trays, it.Crop, MaxDayTrays)
		}
		if _, ok := d.s.Recipe(it.Crop); !ok {
			return refuse(RuleUnknown, "%s has no recipe to sow by. Add one first.", it.Crop)
		}
	}
	if !writable(sheet.Start) {
		return refuse(RuleValue, "a day in the year %d cannot be meant.", sheet.Start.Year())
	}
	return nil
}

func demandFits(demand Demand) *Refusal {
	if demand.Trays < 1 || demand.Trays > MaxDayTrays {
		return refuse(RuleValue, "%d trays of %s cannot be meant. Give 1 to %d.", demand.Trays, demand.Crop, MaxDayTrays)
	}
	if !writable(demand.Due) {
		return refuse(RuleValue, "%s due in the year %d cannot be meant.", demand.Crop, demand.Due.Year())
	}
	return nil
}

// writable says whether the journal can hold an instant: RFC 3339 ends with the
// year 9999.
func writable(t time.Time) bool { return t.Year() >= 0 && t.Year() <= 9999 }

func (c AddTrays) decide(d *draft) *Refusal {
	if d.s.Sheet == nil {
		return refuse(RuleDay, "no day is open.")
	}
	if no := demandFits(c.Demand); no != nil {
		return no
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

func (c CloseDay) decide(d *draft) *Refusal {
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

func (c LayLine) decide(d *draft) *Refusal {
	if d.s.Sheet != nil && len(d.s.Batches) > 0 && !d.s.DayDone() {
		return refuse(RuleDay, "the line file changed while a day is open. The change is taken over when the day is closed.")
	}
	for i := range d.s.Power.Loads {
		if l := &d.s.Site.Panel.Loads[i]; d.s.Power.Loads[i].On && !l.StaysOn {
			return refuse(RuleOrder, "%s is on. Switch it off before the changed line file is taken over.", l.Name)
		}
	}
	if err := c.Site.Check(); err != nil {
		return refuse(RuleValue, "the line file cannot be taken over: %v.", err)
	}
	d.emit(LineLaid{Site: c.Site.clone()})
	return nil
}

func (c SetCrew) decide(d *draft) *Refusal {
	if len(c.Names) == 0 {
		return refuse(RuleValue, "somebody has to be on the line. Name at least one person.")
	}
	for _, name := range c.Names {
		if strings.TrimSpace(name) == "" {
			return refuse(RuleValue, "a name is empty.")
		}
	}
	d.undo = "change of crew"
	d.emit(CrewChanged{Names: slices.Clone(c.Names)})
	return nil
}

func (c MarkBroken) decide(d *draft) *Refusal {
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

func (c MarkMended) decide(d *draft) *Refusal {
	if !slices.Contains(d.s.Broken, c.At) {
		return refuse(RuleNothing, "that place is in use already.")
	}
	d.undo = d.s.PlaceName(c.At) + " back in use"
	d.emit(SlotMended(c))
	d.mendedBy(c.At)
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

func (c AddNote) decide(d *draft) *Refusal {
	if strings.TrimSpace(c.Text) == "" {
		return refuse(RuleValue, "the note is empty.")
	}
	d.emit(NoteAdded(c))
	return nil
}

func (c Recover) decide(d *draft) *Refusal {
	// The last record's instant was watched, and nothing after now has been.
	beat := notBefore(c.LastBeat, d.s.At)
	if beat.After(d.now) {
		beat = d.now
	}
	d.emit(WatchLost{LastBeat: beat})
	return nil
}
