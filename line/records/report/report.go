// Package report lays out what the records say as documents and writes them as text,
// CSV, JSON or PDF. It states values beside limits and their sources and passes no
// verdict. It writes bytes to an io.Writer and knows no files; the same report gives the
// same bytes.
package report

import (
	"strings"
	"time"

	"shedbell/line"
	"shedbell/line/records"
	"shedbell/line/say"
)

// doc begins a report with the farm, its place and the dates that it covers.
func doc(b *records.Book, name string, title say.Sentence) *Doc {
	d := &Doc{Name: name, Title: title, Made: b.Last}
	farm := say.Of(b.Site.Name)
	if b.Site.Limits.Location != "" {
		farm = say.New("report-head.farm", b.Site.Name, b.Site.Limits.Location)
	}
	d.Lines = append(d.Lines, farm, covers(b))
	return d
}

// covers says which days a report is of.
func covers(b *records.Book) say.Sentence {
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
	var parts []say.Sentence
	switch {
	case from == "" && to == "":
		parts = append(parts, say.New("report-head.no-day"))
	case to == "":
		parts = append(parts, say.New("report-head.from", from))
	case from == "":
		parts = append(parts, say.New("report-head.up-to", to))
	case from == to:
		parts = append(parts, say.Of(from))
	default:
		parts = append(parts, say.New("report-head.span", from, to))
	}
	if f.Crop != "" {
		parts = append(parts, say.New("report-head.crop", f.Crop))
	}
	if f.Lot != "" {
		parts = append(parts, say.New("report-head.lot", f.Lot))
	}
	return say.New("report-head.covers", say.Join(parts, ", "), len(b.Days))
}

func text(key, head string) Column { return Column{Key: key, Head: head} }

func num(key, head, unit string) Column {
	return Column{Key: key, Head: head, Unit: unit, Right: true}
}

// shareColumns are the columns of time shares.
func shareColumns(list []records.Share) []Column {
	var out []Column
	for _, s := range list {
		key := strings.NewReplacer(" ", "_", "-", "_").Replace(s.String()) + "_min"
		out = append(out, num(key, s.Says().ID, "min"))
	}
	return out
}

var workShares = []records.Share{records.HandsOn, records.Machine, records.WaitWet, records.WaitDry, records.Walking, records.BlockedPower, records.BlockedHands}

var peopleShares = []records.Share{records.HandsOn, records.Walking, records.BlockedPower, records.Free}

// Time says where the time went: by day, crop, station and person.
func Time(b *records.Book) *Doc {
	d := doc(b, "time", say.New("report-title.time"))
	d.Foot = say.New("report-foot.times")
	for _, g := range []records.Group{records.ByDay, records.ByCrop, records.ByStation} {
		d.Sections = append(d.Sections, timeSection(b, g))
	}
	if b.Filter.Narrow() {
		d.Lines = append(d.Lines, say.New("report-head.narrow"))
		return d
	}
	d.Sections = append(d.Sections, timeSection(b, records.ByPerson), heldSection(b.Held()), flowSection(b))
	return d
}

func timeSection(b *records.Book, g records.Group) Section {
	shares := workShares
	if g == records.ByPerson {
		shares = peopleShares
	}
	t := &Table{Columns: append([]Column{text(string(g), "head."+string(g)), num("days", "head.days", "")}, shareColumns(shares)...)}
	t.Columns = append(t.Columns, num("all_min", "head.all", "min"))
	if g != records.ByPerson {
		t.Columns = append(t.Columns, num("trays", "head.trays", ""), num("hands_on_min_a_tray", "head.hands-on-a-tray", "min"))
	}
	for _, r := range b.Time(g) {
		row := []Cell{Text(r.Name), Int(r.Days)}
		for _, s := range shares {
			row = append(row, Minutes(r.Shares[s]))
		}
		row = append(row, Minutes(r.Shares.Total()))
		if g != records.ByPerson {
			row = append(row, Int(r.Trays), Minutes(r.PerTray(records.HandsOn)))
		}
		t.Rows = append(t.Rows, row)
	}
	return Section{Name: "by_" + string(g), Title: say.New("report-part.by-" + string(g)), Table: t}
}

// heldSection says what batches waited for, by name.
func heldSection(all []records.Held) Section {
	t := &Table{Columns: []Column{text("held_by", "head.held-by"), num("waited_min", "head.waited-for", "min"), num("part_percent", "head.part-of-waiting", "%")}}
	sum := time.Duration(0)
	for i := range all {
		sum += all[i].For
	}
	for i := range all {
		t.Rows = append(t.Rows, []Cell{Sentence(all[i].Says()), Minutes(all[i].For), Number(100*float64(all[i].For)/float64(max(sum, 1)), 0)})
	}
	return Section{Name: "held", Title: say.New("report-part.held"), Table: t, Text: []say.Sentence{say.New("report-says.held")}}
}

func flowSection(b *records.Book) Section {
	t := &Table{Columns: []Column{text("day", "head.day"), num("trays", "head.trays", ""), num("day_h", "head.day", "h"),
		num("people", "head.people", ""), num("hours_a_tray", "head.people-a-tray", "h"), num("trays_an_hour", "head.trays-an-hour", ""), num("takt_min", "head.takt", "min"),
		num("cycle_min", "head.slowest-cycle", "min"), num("wip", "head.on-the-line", "head.batches"), num("lead_min", "head.cut-to-cold", "min"),
		text("bottleneck", "head.bottleneck"), num("busy_percent", "head.busy", "%"), num("relief_min", "head.relief-saves-at-most", "min")}}
	for i := range b.Days {
		d := &b.Days[i]
		f := &d.Flow
		t.Rows = append(t.Rows, []Cell{Text(d.Date), Int(d.Trays), Number(d.Length().Hours(), 2), Int(d.Crew),
			Number(f.HoursATray, 3), Number(f.TraysAnHour, 1), Minutes(f.Takt), Minutes(slowest(f)),
			Number(f.WIP, 2), Minutes(f.Lead), Text(f.Bottleneck.Name), Number(f.Bottleneck.Load*100, 0), Minutes(f.Bottleneck.SaveAtMost)})
	}
	return Section{Name: "flow", Title: say.New("report-part.flow"), Table: t,
		Text: []say.Sentence{say.New("report-says.takt-time-there-tray")}}
}

func slowest(f *records.Flow) (most time.Duration) {
	for _, c := range f.Cycles {
		most = max(most, c.PerTray)
	}
	return most
}

// Backlog lists what is broken or annoys by the minutes that it cost.
func Backlog(b *records.Book) *Doc {
	d := doc(b, "backlog", say.New("report-title.backlog"))
	t := &Table{Columns: []Column{text("where", "head.where"), text("what", "head.what"), text("effect", "head.effect"),
		num("cost_min", "head.cost-so-far", "min"), text("basis", "head.computed-from"), text("since", "head.since"), text("by", "head.by"), text("mended", "head.mended"), text("how", "head.how")}}
	for _, k := range b.Backlog(true) {
		effect := say.Of(k.Effect)
		if k.SlowPercent > 0 {
			effect = say.New("report-head.longer", k.Effect, k.SlowPercent)
		}
		t.Rows = append(t.Rows, []Cell{Text(k.Where), Text(k.What), Sentence(effect), Minutes(k.Cost), Text(k.Basis),
			Instant(k.Since), Text(k.By), Instant(k.Mended), Text(k.How)})
	}
	d.Sections = []Section{{Name: "backlog", Table: t}}
	return d
}

// Lots lists the lots.
func Lots(b *records.Book) *Doc {
	d := doc(b, "lots", say.New("report-title.lots"))
	t := &Table{Columns: lotColumns()}
	for _, l := range b.Lots() {
		t.Rows = append(t.Rows, lotRow(&l))
	}
	d.Sections = []Section{{Name: "lots", Table: t}}
	return d
}

func lotColumns() []Column {
	return []Column{text("lot", "head.lot"), text("crop", "head.crop"), text("packed", "head.packed"), num("packages", "head.packages", ""),
		num("net_g", "head.net", "g"), text("net_by", "head.known"), text("packages_by", "head.counted"), num("sold", "head.sold", ""), num("thrown", "head.thrown", ""), num("left", "head.left", "")}
}

func lotRow(l *records.Lot) []Cell {
	return []Cell{Text(l.Code), Text(l.Crop), Instant(l.Packed), Int(l.Packages),
		Number(l.NetG, 0), Sentence(l.NetBy.Says()), Sentence(l.PackagesBy.Says()), Int(l.Sold), Int(l.Thrown), Int(l.Left())}
}

func salesTable(sales []line.Sale) *Table {
	t := &Table{Columns: []Column{text("lot", "head.lot"), text("crop", "head.crop"), text("customer", "head.customer"), num("packages", "head.packages", ""),
		text("reference", "head.reference"), text("sold", "head.sold"), text("by", "head.by")}}
	for i := range sales {
		s := &sales[i]
		t.Rows = append(t.Rows, []Cell{Text(s.Sold.Lot), Text(s.Sold.Crop), Text(s.Sold.Customer), Int(s.Sold.Packages),
			Text(s.Sold.Reference), Instant(s.At), Text(s.By)})
	}
	return t
}

// Labels are the texts of the packages' labels.
func Labels(b *records.Book) *Doc {
	d := doc(b, "labels", say.New("report-title.labels"))
	d.Foot = say.New("report-foot.labels")
	t := &Table{Columns: []Column{text("crop", "head.crop"), text("lot", "head.lot"), text("packed", "head.packed"), num("net_g", "head.net", "g"),
		text("label", "head.label"), num("count", "head.labels", "")}}
	for _, l := range b.Labels() {
		t.Rows = append(t.Rows, []Cell{Text(l.Crop), Text(l.Lot), Text(l.Packed.Format(time.DateOnly)), Number(l.NetG, 0),
			Sentence(say.Join(l.Lines(), " / ")), Int(l.Count)})
	}
	d.Sections = []Section{{Name: "labels", Table: t}}
	return d
}

// Sow is what the open orders need cut and sown, and what grows for them.
func Sow(b *records.Book, s *line.State, now time.Time) *Doc {
	d := doc(b, "sow", say.New("report-title.sow"))
	t := &Table{Columns: []Column{text("sow_by", "head.sow-by"), text("crop", "head.crop"), num("trays", "head.to-sow", ""), num("seed_g", "head.seed", "g"),
		text("due", "head.due"), num("packages", "head.packages", ""), num("net_g", "head.net", "g"), num("fridge_packages", "head.in-fridge", ""), num("line_trays", "head.on-line", ""),
		num("cut_trays", "head.to-cut", ""), num("growing_trays", "head.growing", ""), num("yield_g", "head.yield-a-tray", "g"), text("note", "head.note")}}
	for _, n := range s.Needs(now) {
		var notes []say.Sentence
		if n.Late {
			notes = append(notes, say.New("report-sow.late"))
		}
		switch n.YieldBy {
		case line.Weighed:
			notes = append(notes, say.New("report-sow.measured"))
		case line.Typed:
			notes = append(notes, say.New("report-sow.typed"))
		}
		if len(n.Missing) > 0 {
			notes = append(notes, say.New("report-sow.lacks", say.Join(n.Missing, ", ")))
		}
		t.Rows = append(t.Rows, []Cell{Text(n.SowBy), Text(n.Crop), Int(n.SowTrays), Number(n.SeedG, 0), Text(n.Due), Int(n.Packages), Number(n.NetG, 0),
			Int(n.FridgePackages), Int(n.LineTrays), Int(n.CutTrays), Int(n.GrowingTrays), Number(n.YieldG, 0), Sentence(say.Join(notes, "; "))})
	}
	grows := &Table{Columns: []Column{text("crop", "head.crop"), num("trays", "head.trays", ""), text("sown", "head.sown"), text("ready", "head.ready"), text("seed_lot", "head.seed-lot")}}
	for i := range s.Growing {
		g, ready := &s.Growing[i], Cell{}
		r, _ := s.Recipe(g.Crop)
		if at, ok := g.ReadyOn(&r); ok {
			ready = Text(at.Format(time.DateOnly))
		}
		grows.Rows = append(grows.Rows, []Cell{Text(g.Crop), Int(g.Trays), Text(g.Sown.Format(time.DateOnly)), ready, Text(g.SeedLot)})
	}
	d.Sections = []Section{{Name: "sow", Table: t}, {Name: "growing", Title: say.New("report-part.growing"), Table: grows}}
	return d
}

// Next is what to change next, what saved most in rehearsals of the last days, and what came
// of the changes that were taken on.
func Next(b *records.Book, changes []records.Change, came []records.Came) *Doc {
	d := doc(b, "next", say.New("report-title.next"))
	d.Foot = say.New("report-foot.next")
	t := &Table{Columns: []Column{text("change", "head.change"), num("minutes_a_week", "head.saves-a-week", "min"), num("low", "head.low", "min"), num("high", "head.high", "min"),
		num("days", "head.days-rehearsed", ""), text("costs", "head.costs"), num("worth_a_week", "head.worth-a-week", ""), text("held", "head.held")}}
	for i := range changes {
		c := &changes[i]
		var held []say.Sentence
		for _, h := range c.Held[:min(len(c.Held), 2)] {
			held = append(held, say.New("report-says.held-for", h.For.Minutes(), h.Says()))
		}
		costs := say.New("report-says.costs-something")
		if c.Free {
			costs = say.New("report-says.costs-nothing")
		}
		worth := Cell{}
		if c.Worth > 0 {
			worth = Number(c.Worth, 2)
		}
		t.Rows = append(t.Rows, []Cell{Sentence(c.What), Number(c.Minutes, 0), Number(c.Low, 0), Number(c.High, 0), Int(c.Days), Sentence(costs), worth, Sentence(say.Join(held, "; "))})
	}
	d.Sections = []Section{{Name: "next", Table: t}}
	if len(came) > 0 {
		d.Sections = append(d.Sections, Section{Name: "came", Table: cameTable(came)})
	}
	return d
}

func cameTable(came []records.Came) *Table {
	t := &Table{Columns: []Column{text("change", "head.change"), text("since", "head.since"), num("predicted", "head.predicted-a-day", "min"),
		num("achieved", "head.achieved-a-day", "min"), num("low", "head.low", "min"), num("high", "head.high", "min"), num("days", "head.days-since", ""), text("sure", "head.sure")}}
	for i := range came {
		c := &came[i]
		row := []Cell{Sentence(c.What()), Text(c.Mark.Date), Number(c.Mark.Expects.Minutes, 0)}
		if c.Low == 0 && c.High == 0 {
			row = append(row, Text(""), Text(""), Text(""), Int(c.Days), Sentence(say.New("report-says.too-few-days")))
		} else {
			sure := "report-says.not-sure-yet"
			if c.Sure {
				sure = "report-says.sure"
			}
			row = append(row, Number(c.Minutes, 0), Number(c.Low, 0), Number(c.High, 0), Int(c.Days), Sentence(say.New(sure)))
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// What lists the reports that need nothing but a book.
var What = map[string]func(*records.Book) *Doc{
	"time": Time, "charts": Charts, "backlog": Backlog, "safety": Safety, "lots": Lots, "labels": Labels,
	"alarms": Alarms, "sign-offs": SignOffs, "pace": Paces,
}
