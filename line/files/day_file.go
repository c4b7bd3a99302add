package files

import (
	"fmt"
	"slices"
	"time"

	"shedbell/line"
	"shedbell/recipes"
	"shedbell/recipes/strictfile"
)

const (
	mostLines = 200            // lines of one kind on a day sheet
	latestDue = 48 * time.Hour // after the start; what is due later belongs on another sheet
)

// dayFile is the day sheet as it is written.
type dayFile struct {
	Date  calendarDate `toml:"date" need:"add date = 2026-12-03"`
	Start clockTime    `toml:"start" need:"add start = 07:30:00"`
	Crew  []string     `toml:"crew"`
	Crops []fileDemand `toml:"crop" need:"start each crop with [[crop]]"`
	Apart [][]string   `toml:"apart"`
	Sow   []fileSow    `toml:"sow"`
}

type fileDemand struct {
	Name  string    `toml:"name" need:"add name = \"pea\""`
	Trays int       `toml:"trays" need:"add trays = 4"`
	Due   clockTime `toml:"due"`
}

type fileSow struct {
	Crop  string `toml:"crop" need:"add crop = \"pea\""`
	Trays int    `toml:"trays" need:"add trays = 4"`
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
		d.fault("start", "has a date", "write the time of day alone, like 07:30:00")
	}
	sheet.Start = d.instant("start", file.Start, file.Date.Time, loc)
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
		d.fault(path, "the clocks jump over this time on that day", "give a time an hour later")
	}
	return t
}

func (d *dayChecker) demands(file *dayFile, sheet *line.Sheet, loc *time.Location) {
	if d.where.Has("crop") && len(file.Crops) == 0 {
		d.fault("crop", "nothing to cut", "start each crop with [[crop]]")
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
				d.fault(path+"name", fmt.Sprintf("there twice with the same due time, first on line %d", at), "add the trays together on one line")
				break
			}
		}
		sheet.Crops = append(sheet.Crops, demand)
	}
}

// trays checks one number of trays and the day's sum so far, which it returns.
func (d *dayChecker) trays(path string, n, total int) int {
	d.number(path, float64(n), 1, line.MaxDayTrays, "trays")
	if !d.given(path) {
		return total
	}
	if before := total; before <= line.MaxDayTrays && before+n > line.MaxDayTrays {
		d.fault(path, fmt.Sprintf("makes %d trays in all", before+n), fmt.Sprintf("a day may have up to %d", line.MaxDayTrays))
	}
	return total + n
}

func (d *dayChecker) due(path string, due, start time.Time) {
	switch {
	case due.IsZero() || start.IsZero():
	case !due.After(start):
		d.fault(path, "before the day starts", fmt.Sprintf("give a time after %s", start.Format(time.TimeOnly)))
	case due.Sub(start) > latestDue:
		d.fault(path, "too far ahead", "give a time within two days of the start, or leave it for that day's sheet")
	}
}

// crop checks that a crop has a recipe, and that the line can run it.
func (d *dayChecker) crop(path, name string) {
	if !d.given(path) {
		return
	}
	r, ok := d.book.Current(name)
	if !ok {
		mend := "add a recipe for it first"
		if best := nearest(name, d.crops); best != "" {
			mend = fmt.Sprintf("did you mean %q? Else add a recipe for it first", best)
		}
		d.fault(path, "has no recipe", mend)
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
			d.fault(path, fmt.Sprintf("its recipe dries with the fans on %q, which %s cannot do", r.Fan, fans.Name),
				"change the recipe's fan setting, or the settings in the line file")
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
			d.fault(path, fmt.Sprintf("in a pair of %d", len(pair)), `name two crops, like ["radish", "pea"]`)
			continue
		}
		for k, crop := range pair {
			d.knownCrop(fmt.Sprintf("%s[%d]", path, k), crop, file)
		}
		if pair[0] == pair[1] {
			d.fault(path+"[1]", "a crop cannot be kept apart from itself", "name another crop")
		}
		sheet.Apart = append(sheet.Apart, [2]string{pair[0], pair[1]})
	}
}

// knownCrop checks a crop that is only referred to; the day need not have it, as
// the pairs to keep apart are often the same every week.
func (d *dayChecker) knownCrop(path, name string, file *dayFile) {
	blamedBefore := slices.ContainsFunc(file.Crops, func(f fileDemand) bool { return f.Name == name })
	if _, ok := d.book.Current(name); !ok && !blamedBefore && d.given(path) {
		d.fault(path, "unknown crop", oneOf(name, d.crops))
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
			d.fault(path+"crop", fmt.Sprintf("there twice, first on line %d", at), "add the trays together on one line")
		} else {
			first[f.Crop] = i
		}
		sheet.Sow = append(sheet.Sow, line.SowItem{Crop: f.Crop, Trays: f.Trays})
	}
}
