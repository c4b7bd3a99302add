package line

import (
	"slices"
	"strings"
	"time"

	"shedbell/line/say"
	"shedbell/recipes"
)

// MaxDayTrays is more than a small shed can cut in a day; a larger number on a
// day sheet is a slip of the finger.
const MaxDayTrays = 500

func (c OpenDay) decide(d *draft) *Refusal {
	if d.s.Sheet != nil {
		return refuse(RuleDay, "line.day-open", d.s.Sheet.Date)
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
	d.undo = say.New("undo.open-day")
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
		return refuse(RuleValue, "line.day-trays", total, MaxDayTrays)
	}
	for _, it := range sheet.Sow {
		if it.Trays < 0 || it.Trays > MaxDayTrays {
			return refuse(RuleValue, "line.sow-trays", it.Trays, say.Crop(it.Crop), MaxDayTrays)
		}
		if _, ok := d.s.Recipe(it.Crop); !ok {
			return refuse(RuleUnknown, "line.sow-no-recipe", say.Crop(it.Crop))
		}
	}
	for _, h := range sheet.Hours {
		if len(sheet.Crew) > 0 && !slices.Contains(sheet.Crew, h.Name) {
			return refuse(RuleUnknown, "line.not-in-crew", say.Person(printable(h.Name)))
		}
		of := slices.DeleteFunc(slices.Clone(sheet.Hours), func(o Hours) bool { return o.Name != h.Name })
		if _, no := hoursOf(h.Name, of); no != nil {
			return no
		}
	}
	if !writable(sheet.Start) {
		return refuse(RuleValue, "line.day-year", sheet.Start.Year())
	}
	return nil
}

func demandFits(demand Demand) *Refusal {
	if demand.Trays < 1 || demand.Trays > MaxDayTrays {
		return refuse(RuleValue, "line.crop-trays", demand.Trays, say.Crop(demand.Crop), MaxDayTrays)
	}
	if !writable(demand.Due) {
		return refuse(RuleValue, "line.due-year", say.Crop(demand.Crop), demand.Due.Year())
	}
	return nil
}

// writable says whether the journal can hold an instant: RFC 3339 ends with the
// year 9999.
func writable(t time.Time) bool { return t.Year() >= 0 && t.Year() <= 9999 }

func (c AddTrays) decide(d *draft) *Refusal {
	if d.s.Sheet == nil {
		return refuse(RuleDay, "line.no-day")
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
		return refuse(RuleValue, "line.day-too-large", total, MaxDayTrays)
	}
	made, no := d.makeBatches(c.Demand, d.s.LastID, count)
	if no != nil {
		return no
	}
	d.undo = say.New("undo.trays", c.Demand.Trays, say.Crop(c.Demand.Crop))
	d.emit(BatchesAdded{Batches: made, Sow: []SowItem{{Crop: c.Demand.Crop, Trays: c.Demand.Trays}}})
	return nil
}

func (c CloseDay) decide(d *draft) *Refusal {
	if d.s.Sheet == nil {
		return refuse(RuleDay, "line.no-day")
	}
	if n := d.s.Unfinished(); n > 0 {
		return refuse(RuleDay, "line.not-cold", n)
	}
	if len(d.s.Chores) > 0 {
		return refuse(RuleDay, "line.work-goes-on", d.s.Chores[0].Kind)
	}
	d.undo = say.New("undo.close-day")
	d.emit(DayClosed(c))
	return nil
}

func (c LayLine) decide(d *draft) *Refusal {
	if err := c.Site.Check(); err != nil {
		return refuse(RuleValue, "line.file-bad", err)
	}
	if d.s.Sheet != nil && len(d.s.Batches) > 0 && !d.s.DayDone() {
		return refuse(RuleDay, "line.file-day-open", d.s.LineFile().Differences(&c.Site))
	}
	for i := range d.s.Power.Loads {
		if l := &d.s.Site.Panel.Loads[i]; d.s.Power.Loads[i].On && !l.StaysOn {
			return refuse(RuleOrder, "line.file-load-on", say.Load(l.Name))
		}
	}
	d.emit(LineLaid{Site: c.Site.clone()})
	return nil
}

func (c SetCrew) decide(d *draft) *Refusal {
	if len(c.Names) == 0 {
		return refuse(RuleValue, "line.crew-nobody")
	}
	for _, name := range c.Names {
		if strings.TrimSpace(name) == "" {
			return refuse(RuleValue, "line.crew-no-name")
		}
	}
	d.undo = say.New("undo.crew")
	d.emit(CrewChanged{Names: slices.Clone(c.Names)})
	return nil
}

func (c MarkBroken) decide(d *draft) *Refusal {
	if !d.s.valid(c.At) {
		return refuse(RuleUnknown, "line.no-place")
	}
	if d.s.IsBroken(c.At) {
		return refuse(RuleBroken, "line.already-out-of-use", d.at(c.At))
	}
	if strings.TrimSpace(c.Why) != "" {
		if no := (ReportTrouble{At: c.At, What: c.Why, Effect: EffectOut}).decide(d); no != nil {
			return no
		}
	} else {
		d.breaks(c.At, "")
	}
	d.undo = say.New("undo.break", d.at(c.At))
	return nil
}

func (c MarkMended) decide(d *draft) *Refusal {
	if !slices.Contains(d.s.Broken, c.At) {
		return refuse(RuleNothing, "line.in-use-already")
	}
	d.undo = say.New("undo.mend", d.at(c.At))
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
		return refuse(RuleValue, "line.note-empty")
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
