package files

import (
	"fmt"
	"slices"
	"time"

	"shedbell/line"
	"shedbell/line/say"
	"shedbell/recipes"
	"shedbell/recipes/strictfile"
)

const (
	mostLines = 200            // lines of one kind on a day sheet
	latestDue = 48 * time.Hour // after the start; what is due later belongs on another sheet
)

// dayFile is the day sheet as it is written.
type dayFile struct {
	Date  calendarDate `toml:"date" need:"date = 2026-12-03"`
	Start clockTime    `toml:"start" need:"start = 07:30:00"`
	Crew  []string     `toml:"crew"`
	Hours []fileHours  `toml:"hours"`
	Crops []fileDemand `toml:"crop" need:"fault.start-each-crop"`
	Apart [][]string   `toml:"apart"`
	Sow   []fileSow    `toml:"sow"`
}

type fileDemand struct {
	Name  string    `toml:"name" need:"name = \"pea\""`
	Trays int       `toml:"trays" need:"trays = 4"`
	Due   clockTime `toml:"due"`
}

type fileHours struct {
	Name string    `toml:"name" need:"name = \"Rowan\""`
	From clockTime `toml:"from"`
	To   clockTime `toml:"to"`
}

type fileSow struct {
	Crop  string `toml:"crop" need:"crop = \"pea\""`
	Trays int    `toml:"trays" need:"trays = 4"`
}

// ReadDay reads a day sheet for a site, its times of day in a zone. Either there are
// no faults and the sheet is good, or every fault is listed and no sheet is returned.
// Without a site, what depends on it is not checked.
func ReadDay(loc *time.Location, name string, data []byte, site *line.Site, book recipes.Book) (*line.Sheet, []strictfile.Fault) {
	var file dayFile
	where, faults := strictfile.Decode(name, data, &file)
	if hopeless(faults) {
		return nil, faults
	}
	d := &dayChecker{checker: newChecker(where, faults), site: site, book: book, crops: book.Crops()}
	sheet := d.sheet(&file, loc)
	if len(d.faults) > 0 {
		return nil, strictfile.Tidy(strictfile.Printable(name), d.faults)
	}
	return sheet, nil
}

// dayChecker checks a day sheet against the line and the recipes.
type dayChecker struct {
	*checker
	site  *line.Site
	book  recipes.Book
	crops []string
}

func (d *dayChecker) sheet(file *dayFile, loc *time.Location) *line.Sheet {
	sheet := &line.Sheet{Date: file.Date.Format(time.DateOnly), Crew: file.Crew}
	d.crew(file.Crew)
	if file.Start.dated {
		d.fault("start", say.New("fault.has-date"), say.New("fault.write-time"))
	}
	sheet.Start = d.instant("start", file.Start, file.Date.Time, loc)
	if d.fewEnough("hours", len(file.Hours), mostLines) {
		d.hours(file, sheet, loc)
	}
	if d.fewEnough("crop", len(file.Crops), mostLines) {
		d.demands(file, sheet, loc)
	}
	if d.fewEnough("apart", len(file.Apart), mostLines) {
		d.apart(file, sheet)
	}
	if d.fewEnough("sow", len(file.Sow), mostLines) {
		d.sow(file, sheet)
	}
	return sheet
}

// instant is a time of day on the sheet's date.
func (d *dayChecker) instant(path string, c clockTime, date time.Time, loc *time.Location) time.Time {
	if !d.given(path) || !d.given("date") {
		return time.Time{}
	}
	t, ok := c.on(date, loc)
	if !ok {
		d.fault(path, say.New("fault.clocks-jump"), say.New("fault.give-time-hour"))
	}
	return t
}

// hours are when those of the crew are there who are not all day. Two stretches of one
// person have a break between them.
func (d *dayChecker) hours(file *dayFile, sheet *line.Sheet, loc *time.Location) {
	crew := file.Crew
	if len(crew) == 0 && d.site != nil {
		crew = d.site.Crew
	}
	for i, f := range file.Hours {
		path := fmt.Sprintf("hours[%d].", i)
		if d.given(path+"name") && len(crew) > 0 && !slices.Contains(crew, f.Name) {
			d.fault(path+"name", say.New("fault.not-in-crew"), oneOf(f.Name, crew))
		}
		h := line.Hours{Name: f.Name}
		last := path + "name"
		if d.given(path + "from") {
			h.From, last = d.instant(path+"from", f.From, file.Date.Time, loc), path+"from"
		}
		if d.given(path + "to") {
			h.To, last = d.instant(path+"to", f.To, file.Date.Time, loc), path+"to"
		}
		switch begins := later(h.From, sheet.Start); {
		case !d.given(path+"from") && !d.given(path+"to"):
			d.fault(path+"name", say.New("fault.hours-none"), say.New("fault.give-hours"))
		case !h.To.IsZero() && !h.To.After(begins):
			d.fault(path+"to", say.New("fault.hours-end"), say.New("fault.give-time-after", begins.Format(time.TimeOnly)))
		}
		for k, o := range sheet.Hours {
			if o.Name == f.Name && d.given(path+"name") && (o.To.IsZero() || h.From.Before(o.To)) && (h.To.IsZero() || o.From.Before(h.To)) {
				at, _, _ := d.where.At(fmt.Sprintf("hours[%d].name", k))
				d.fault(last, say.New("fault.hours-overlap", at), say.New("fault.part-hours"))
				break
			}
		}
		sheet.Hours = append(sheet.Hours, h)
	}
	slices.SortStableFunc(sheet.Hours, func(a, b line.Hours) int { return a.From.Compare(b.From) })
}

func later(a, b time.Time) time.Time {
	if a.After(b) {
		return a
	}
	return b
}

func (d *dayChecker) demands(file *dayFile, sheet *line.Sheet, loc *time.Location) {
	if d.where.Has("crop") && len(file.Crops) == 0 {
		d.fault("crop", say.New("fault.nothing-to-cut"), say.New("fault.start-each-crop"))
	}
	total := 0
	for i, f := range file.Crops {
		path := fmt.Sprintf("crop[%d].", i)
		d.crop(path+"name", f.Name)
		total = d.trays(path+"trays", f.Trays, total)
		demand := line.Demand{Crop: f.Name, Trays: f.Trays}
		if d.given(path + "due") {
			demand.Due = d.instant(path+"due", f.Due, file.Date.Time, loc)
			d.due(path+"due", demand.Due, sheet.Start)
		}
		for k, other := range sheet.Crops {
			if other.Crop == f.Name && other.Due.Equal(demand.Due) && d.given(path+"name") {
				at, _, _ := d.where.At(fmt.Sprintf("crop[%d].name", k))
				d.fault(path+"name", say.New("fault.there-twice-same", at), say.New("fault.add-trays"))
				break
			}
		}
		sheet.Crops = append(sheet.Crops, demand)
	}
}

// trays checks one number of trays and the day's sum so far, which it returns.
func (d *dayChecker) trays(path string, n, total int) int {
	d.number(path, float64(n), 1, line.MaxDayTrays, "fault.unit-trays")
	if !d.given(path) {
		return total
	}
	if before := total; before <= line.MaxDayTrays && before+n > line.MaxDayTrays {
		d.fault(path, say.New("fault.makes-trays", before+n), say.New("fault.day-may", line.MaxDayTrays))
	}
	return total + n
}

func (d *dayChecker) due(path string, due, start time.Time) {
	switch {
	case due.IsZero() || start.IsZero():
	case !due.After(start):
		d.fault(path, say.New("fault.before-day"), say.New("fault.give-time-after", start.Format(time.TimeOnly)))
	case due.Sub(start) > latestDue:
		d.fault(path, say.New("fault.too-far"), say.New("fault.give-time-within"))
	}
}

// crop checks that a crop has a recipe, and that the line can run it.
func (d *dayChecker) crop(path, name string) {
	if !d.given(path) {
		return
	}
	r, ok := d.book.Current(name)
	if !ok {
		mend := say.New("fault.add-recipe")
		if best := nearest(name, d.crops); best != "" {
			mend = say.New("fault.did-you", best)
		}
		d.fault(path, say.New("fault.has-no"), mend)
		return
	}
	if d.site == nil {
		return
	}
	for _, i := range d.site.StationsOf(line.Dry) {
		st := &d.site.Stations[i]
		if st.Load == line.NoLoad || st.Setting != "" {
			continue
		}
		fans := &d.site.Panel.Loads[st.Load]
		if _, ok := fans.SettingByName(r.Fan); !ok {
			d.fault(path, say.New("fault.its-recipe", r.Fan, fans.Name),
				say.New("fault.change-recipe"))
		}
	}
}

func (d *dayChecker) apart(file *dayFile, sheet *line.Sheet) {
	for i, pair := range file.Apart {
		path := fmt.Sprintf("apart[%d]", i)
		if len(pair) != 2 {
			if len(pair) > 0 {
				path += "[0]"
			}
			d.fault(path, say.New("fault.pair-of", len(pair)), say.New("fault.name-two"))
			continue
		}
		for k, crop := range pair {
			d.knownCrop(fmt.Sprintf("%s[%d]", path, k), crop, file)
		}
		if pair[0] == pair[1] {
			d.fault(path+"[1]", say.New("fault.crop-cannot"), say.New("fault.name-another"))
		}
		sheet.Apart = append(sheet.Apart, [2]string{pair[0], pair[1]})
	}
}

// knownCrop checks a crop that is only referred to; the day need not have it, as
// the pairs to keep apart are often the same every week.
func (d *dayChecker) knownCrop(path, name string, file *dayFile) {
	blamedBefore := slices.ContainsFunc(file.Crops, func(f fileDemand) bool { return f.Name == name })
	if _, ok := d.book.Current(name); !ok && !blamedBefore && d.given(path) {
		d.fault(path, say.New("fault.unknown-crop"), oneOf(name, d.crops))
	}
}

func (d *dayChecker) sow(file *dayFile, sheet *line.Sheet) {
	total := 0
	first := map[string]int{}
	for i, f := range file.Sow {
		path := fmt.Sprintf("sow[%d].", i)
		d.knownCrop(path+"crop", f.Crop, file)
		total = d.trays(path+"trays", f.Trays, total)
		if before, twice := first[f.Crop]; twice && d.given(path+"crop") {
			at, _, _ := d.where.At(fmt.Sprintf("sow[%d].crop", before))
			d.fault(path+"crop", say.New("fault.there-twice-first", at), say.New("fault.add-trays"))
		} else {
			first[f.Crop] = i
		}
		sheet.Sow = append(sheet.Sow, line.SowItem{Crop: f.Crop, Trays: f.Trays})
	}
}
