// Package report lays out what the records say as documents that can be written
// as text, CSV, JSON or PDF. It states values beside limits and their sources and
// passes no verdict.
package report

import (
	"fmt"
	"strings"
	"time"

	"shedbell/line"
	"shedbell/line/records"
	"shedbell/line/records/export"
	"shedbell/power"
)

// reckoned goes with every table of times.
const reckoned = "Hands at machines and walking are reckoned from the times in the line file; everything else is from the journal's instants. People are those that actions were recorded for."

// doc begins a report with the farm, its place and the dates that it covers.
func doc(b *records.Book, name, title string) *export.Doc {
	d := &export.Doc{Name: name, Title: title, Made: b.Last}
	farm := b.Site.Name
	if b.Site.Limits.Location != "" {
		farm += ", " + b.Site.Limits.Location
	}
	d.Lines = append(d.Lines, farm, covers(b))
	return d
}

func covers(b *records.Book) string {
	f := &b.Filter
	from, to := f.From, f.To
	if n := len(b.Days); n > 0 {
		if from == "" {
			from = b.Days[0].Date
		}
		if to == "" {
			to = b.Days[n-1].Date
		}
	}
	var parts []string
	switch {
	case from == "" && to == "":
		parts = append(parts, "no day yet")
	case to == "":
		parts = append(parts, "from "+from)
	case from == "":
		parts = append(parts, "up to "+to)
	case from == to:
		parts = append(parts, from)
	default:
		parts = append(parts, from+" to "+to)
	}
	if f.Crop != "" {
		parts = append(parts, "crop "+f.Crop)
	}
	if f.Lot != "" {
		parts = append(parts, "lot "+f.Lot)
	}
	days := "days"
	if len(b.Days) == 1 {
		days = "day"
	}
	return fmt.Sprintf("%s; %d %s with work", strings.Join(parts, ", "), len(b.Days), days)
}

func text(key, head string) export.Column { return export.Column{Key: key, Head: head} }

func num(key, head, unit string) export.Column {
	return export.Column{Key: key, Head: head, Unit: unit, Right: true}
}

// shareColumns are the columns of time shares.
func shareColumns(list []records.Share) []export.Column {
	var out []export.Column
	for _, s := range list {
		key := strings.NewReplacer(" ", "_", "-", "_").Replace(s.String()) + "_min"
		out = append(out, num(key, s.String(), "min"))
	}
	return out
}

var workShares = []records.Share{records.HandsOn, records.Machine, records.WaitWet, records.WaitDry, records.Walking, records.BlockedPower, records.BlockedHands}

var peopleShares = []records.Share{records.HandsOn, records.Walking, records.BlockedPower, records.Free}

// Time says where the time went: by day, crop, station and person.
func Time(b *records.Book) *export.Doc {
	d := doc(b, "time", "Where the time went")
	d.Foot = reckoned
	for _, g := range []records.Group{records.ByDay, records.ByCrop, records.ByStation} {
		d.Sections = append(d.Sections, timeSection(b, g))
	}
	if b.Filter.Narrow() {
		d.Lines = append(d.Lines, "Of these batches alone. People, and how the days flowed, are of all crops: leave out the crop and the lot to see them.")
		return d
	}
	d.Sections = append(d.Sections, timeSection(b, records.ByPerson), flowSection(b))
	return d
}

func timeSection(b *records.Book, g records.Group) export.Section {
	shares := workShares
	if g == records.ByPerson {
		shares = peopleShares
	}
	t := &export.Table{Columns: append([]export.Column{text(string(g), string(g)), num("days", "days", "")}, shareColumns(shares)...)}
	t.Columns = append(t.Columns, num("all_min", "all", "min"))
	if g != records.ByPerson {
		t.Columns = append(t.Columns, num("trays", "trays", ""), num("hands_on_min_a_tray", "hands-on a tray", "min"))
	}
	for _, r := range b.Time(g) {
		row := []export.Cell{export.Text(r.Name), export.Int(r.Days)}
		for _, s := range shares {
			row = append(row, export.Minutes(r.Shares[s]))
		}
		row = append(row, export.Minutes(r.Shares.Total()))
		if g != records.ByPerson {
			row = append(row, export.Int(r.Trays), export.Minutes(r.PerTray(records.HandsOn)))
		}
		t.Rows = append(t.Rows, row)
	}
	return export.Section{Name: "by_" + string(g), Title: "By " + string(g), Table: t}
}

func flowSection(b *records.Book) export.Section {
	t := &export.Table{Columns: []export.Column{text("day", "day"), num("trays", "trays", ""), num("day_h", "day", "h"),
		num("people", "people", ""), num("hours_a_tray", "people a tray", "h"), num("trays_an_hour", "trays an hour", ""), num("takt_min", "takt", "min"),
		num("cycle_min", "slowest cycle", "min"), num("wip", "on the line", "batches"), num("lead_min", "cut to cold", "min"),
		text("bottleneck", "bottleneck"), num("busy_percent", "busy", "%"), num("relief_min", "relief saves at most", "min")}}
	for i := range b.Days {
		d := &b.Days[i]
		f := &d.Flow
		t.Rows = append(t.Rows, []export.Cell{export.Text(d.Date), export.Int(d.Trays), export.Number(d.Length().Hours(), 2), export.Int(d.Crew),
			export.Number(f.HoursATray, 3), export.Number(f.TraysAnHour, 1), export.Minutes(f.Takt), export.Minutes(slowest(f)),
			export.Number(f.WIP, 2), export.Minutes(f.Lead), export.Text(f.Narrow.Name), export.Number(f.Narrow.Load*100, 0), export.Minutes(f.Narrow.SaveAtMost)})
	}
	return export.Section{Name: "flow", Title: "How the days flowed", Table: t,
		Text: []power.Sentence{power.Say("Takt is the time there was for a tray that was asked for; a cycle is the time a station takes for one. Where the cycle is longer than takt the day cannot be done in time. Batches on the line are a mean and satisfy Little's law, L = lambda W.")}}
}

func slowest(f *records.Flow) (most time.Duration) {
	for _, c := range f.Cycles {
		most = max(most, c.PerTray)
	}
	return most
}

// Backlog lists what is broken or annoys by the minutes that it cost.
func Backlog(b *records.Book) *export.Doc {
	d := doc(b, "backlog", "Backlog, the dearest first")
	t := &export.Table{Columns: []export.Column{text("where", "where"), text("what", "what"), text("effect", "effect"),
		num("cost_min", "cost so far", "min"), text("basis", "reckoned from"), text("since", "since"), text("by", "by"), text("mended", "mended"), text("how", "how")}}
	for _, k := range b.Backlog(true) {
		effect := string(k.Effect)
		if k.SlowPercent > 0 {
			effect = fmt.Sprintf("%s, %d %% longer", effect, k.SlowPercent)
		}
		t.Rows = append(t.Rows, []export.Cell{export.Text(k.Where), export.Text(k.What), export.Text(effect), export.Minutes(k.Cost), export.Text(k.Basis),
			export.Instant(k.Since), export.Text(k.By), export.Instant(k.Mended), export.Text(k.How)})
	}
	d.Sections = []export.Section{{Name: "backlog", Table: t}}
	return d
}

// Lots lists the lots.
func Lots(b *records.Book) *export.Doc {
	d := doc(b, "lots", "Lots")
	t := &export.Table{Columns: lotColumns()}
	for _, l := range b.Lots() {
		t.Rows = append(t.Rows, lotRow(&l))
	}
	d.Sections = []export.Section{{Name: "lots", Table: t}}
	return d
}

func lotColumns() []export.Column {
	return []export.Column{text("lot", "lot"), text("crop", "crop"), text("packed", "packed"), num("packages", "packages", ""),
		num("net_g", "net", "g"), num("sold", "sold", ""), num("left", "left", "")}
}

func lotRow(l *records.Lot) []export.Cell {
	return []export.Cell{export.Text(l.Code), export.Text(l.Crop), export.Instant(l.Packed), export.Int(l.Packages),
		export.Number(l.NetG, 0), export.Int(l.Sold), export.Int(l.Left())}
}

func salesTable(sales []line.Sale) *export.Table {
	t := &export.Table{Columns: []export.Column{text("lot", "lot"), text("crop", "crop"), text("customer", "customer"), num("packages", "packages", ""),
		text("reference", "reference"), text("sold", "sold"), text("by", "by")}}
	for i := range sales {
		s := &sales[i]
		t.Rows = append(t.Rows, []export.Cell{export.Text(s.Sold.Lot), export.Text(s.Sold.Crop), export.Text(s.Sold.Customer), export.Int(s.Sold.Packages),
			export.Text(s.Sold.Reference), export.Instant(s.At), export.Text(s.By)})
	}
	return t
}

// Labels are the texts of the packages' labels.
func Labels(b *records.Book) *export.Doc {
	d := doc(b, "labels", "Labels")
	d.Foot = "What a label has to say besides is for local law: the product's name, the packer's address, allergens."
	t := &export.Table{Columns: []export.Column{text("crop", "crop"), text("lot", "lot"), text("packed", "packed"), num("net_g", "net", "g"),
		text("label", "label"), num("count", "labels", "")}}
	for _, l := range b.Labels() {
		t.Rows = append(t.Rows, []export.Cell{export.Text(l.Crop), export.Text(l.Lot), export.Text(l.Packed.Format(time.DateOnly)), export.Number(l.NetG, 0),
			export.Text(strings.Join(l.Lines(), " / ")), export.Int(l.Count)})
	}
	d.Sections = []export.Section{{Name: "labels", Table: t}}
	return d
}

// LabelText is the labels as lines, one label after the other with an empty line
// between, as label printers take them.
func LabelText(b *records.Book) string {
	var out strings.Builder
	for i, l := range b.Labels() {
		if i > 0 {
			out.WriteString("\n")
		}
		for _, s := range l.Lines() {
			out.WriteString(export.Clean(s) + "\n")
		}
	}
	return out.String()
}

// Sow is the sow list for the coming orders.
func Sow(b *records.Book, today string) *export.Doc {
	d := doc(b, "sow", "Sow list for the coming orders")
	t := &export.Table{Columns: []export.Column{text("sow_by", "sow by"), text("crop", "crop"), num("trays", "trays", ""), num("seed_g", "seed", "g"),
		text("due", "due"), num("packages", "packages", ""), num("net_g", "net", "g"), num("yield_g", "yield a tray", "g"), text("note", "note")}}
	for _, l := range b.SowList(today) {
		var notes []string
		if l.Late {
			notes = append(notes, "the day to sow has passed")
		}
		if l.Measured {
			notes = append(notes, "yield as packed so far")
		}
		if l.Missing != "" {
			notes = append(notes, "the recipe lacks "+l.Missing)
		}
		t.Rows = append(t.Rows, []export.Cell{export.Text(l.SowBy), export.Text(l.Crop), export.Int(l.Trays), export.Number(l.SeedG, 0), export.Text(l.Due),
			export.Int(l.Packages), export.Number(l.NetG, 0), export.Number(l.YieldG, 0), export.Text(strings.Join(notes, "; "))})
	}
	d.Sections = []export.Section{{Name: "sow", Table: t}}
	return d
}

// What lists the reports that need nothing but a book.
var What = map[string]func(*records.Book) *export.Doc{
	"time": Time, "charts": Charts, "backlog": Backlog, "safety": Safety, "lots": Lots, "labels": Labels,
	"alarms": Alarms, "sign-offs": SignOffs,
}
