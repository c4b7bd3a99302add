package report

import (
	"bytes"
	"cmp"
	"encoding/json"
	"io"
	"slices"
	"strings"
	"time"

	"shedbell/line"
	"shedbell/line/pace"
	"shedbell/line/records"
	"shedbell/line/say"
)

// Export is everything that a book with its details holds, as tables for other programs:
// one kind of thing a table, one value a cell, codes as the records have them. Columns and
// codes are the same in every language.
// Each table is written before the next is made; what is left is their columns.
func Export(b *records.Book, write func(d *Doc, s *Section) error) (*Doc, error) {
	d := &Doc{Name: "shedbell-export", Made: b.Last}
	x := b.Detail
	for _, part := range []struct {
		name string
		make func() *Table
	}{{"steps", func() *Table { return stepTable(x.Steps) }}, {"step_times", func() *Table { return timeTable(x.Times) }},
		{"batches", func() *Table { return batchTable(b.Batches) }}, {"loads", func() *Table { return loadTable(x.Loads) }},
		{"entries", func() *Table { return entryTable(b.Entries) }}, {"readings", func() *Table { return readingTable(b) }},
		{"tastings", func() *Table { return tastingTable(x.Tastings) }}, {"sales", func() *Table { return soldTable(b.Sales) }},
		{"orders", func() *Table { return orderTable(b) }}, {"open_orders", func() *Table { return openTable(b.Orders) }},
		{"growing_counts", func() *Table { return countTable(x.Counts, b.Sowings) }}, {"thrown_away", func() *Table { return thrownTable(x.Thrown) }},
		{"marks", func() *Table { return markTable(b.Marks) }}, {"paces", func() *Table { return paceTable(b.Pace.Rows()) }},
		{"forecasts", func() *Table { return forecastTable(b.Pace.Promises()) }}} {
		s := Section{Name: part.name, Title: say.New("export-table." + strings.ReplaceAll(part.name, "_", "-")), Table: part.make()}
		if err := write(d, &s); err != nil {
			return nil, err
		}
		s.Table = &Table{Columns: s.Table.Columns}
		d.Sections = append(d.Sections, s)
	}
	return d, nil
}

// columns reads names of columns, each with its type of a Table Schema where that is not
// string.
func columns(spec string) *Table {
	t := &Table{}
	for word := range strings.FieldsSeq(spec) {
		key, kind, _ := strings.Cut(word, ":")
		t.Columns = append(t.Columns, Column{Key: key, Type: kind})
	}
	return t
}

func (t *Table) add(cells ...Cell) { t.Rows = append(t.Rows, cells) }

// some is a count of which 0 says nothing.
func some(n int) Cell {
	if n == 0 {
		return Cell{}
	}
	return Int(n)
}

func yes(b bool) Cell {
	if b {
		return Text("true")
	}
	return Text("false")
}

// measured is a number with as many digits as it has; 0 says nothing.
func measured(v float64) Cell {
	if v == 0 {
		return Cell{}
	}
	return exact(v)
}

func seconds(d time.Duration) Cell { return measured(d.Round(time.Millisecond).Seconds()) }

func stepTable(all []records.StepRan) *Table {
	t := columns("date:date step station batch:integer crop trays:integer started:datetime ended:datetime countdown_s:number held_s:number started_by ended_by stood_in:boolean recipe_revision:integer")
	for i := range all {
		s := &all[i]
		t.add(Text(s.Date), Text(s.Step), Text(s.Station), some(s.Batch), Text(s.Crop), Int(s.Trays), Instant(s.Start), Instant(s.End),
			seconds(s.Planned), seconds(s.Held), Text(s.By), Text(s.EndedBy), yes(s.StoodIn), some(s.Revision))
	}
	return t
}

// timeTable is the sheet of step times as people keep it by hand. Its order depends on
// nothing but its rows, so that it is the same wherever they come from.
func timeTable(all []pace.Work) *Table {
	t := columns("date:date station crop person trays:integer took_min:number")
	all = slices.Clone(all)
	slices.SortFunc(all, func(a, b pace.Work) int {
		return cmp.Or(cmp.Compare(a.Date, b.Date), cmp.Compare(a.Station, b.Station), cmp.Compare(a.Crop, b.Crop), cmp.Compare(a.Person, b.Person),
			cmp.Compare(a.Trays, b.Trays), cmp.Compare(a.Took, b.Took))
	})
	for i := range all {
		w := &all[i]
		t.add(Text(w.Date), Text(w.Station), Text(w.Crop), Text(w.Person), Int(w.Trays), Number(w.Took.Minutes(), 2))
	}
	return t
}

func batchTable(all []records.Batch) *Table {
	t := columns("batch:integer date:date crop number:integer trays:integer trays_lost:integer lot recipe_revision:integer packages:integer packages_known net_g:number net_known packer cut:datetime packed:datetime cold:datetime fate merged_into:integer")
	for i := range all {
		b := &all[i]
		fate, _ := b.Fate.MarshalText()
		t.add(Int(b.ID), Text(b.Date), Text(b.Crop), Int(b.No), Int(b.Trays), Int(b.Lost), Text(b.Lot), some(b.Revision), some(b.Packages), Text(string(b.PackagesBy)),
			measured(b.NetG), Text(string(b.NetBy)), Text(b.Packer), Instant(b.Cut), Instant(b.Packed), Instant(b.Cold), Text(string(fate)), some(b.Into))
	}
	return t
}

func loadTable(all []records.LoadRan) *Table {
	t := columns("load circuit setting current_a:number started:datetime ended:datetime held_s:number cause batch:integer")
	for i := range all {
		l := &all[i]
		t.add(Text(l.Load), Text(l.Circuit), Text(l.Setting), measured(l.AmpsA), Instant(l.From), Instant(l.To), seconds(l.Held), Text(l.Why), some(l.Batch))
	}
	return t
}

func entryTable(all []line.KeptEntry) *Table {
	t := columns("entry:integer kind made:datetime entered:datetime late:boolean who initials where use product chemical product_lot contact_s:number rinsed:boolean lot day:date text about:integer corrects:integer corrected_by:integer")
	for i := range all {
		k := &all[i]
		e := &k.Entry
		t.add(Int(int(k.Seq)), Text(string(e.Kind)), Instant(e.Made), Instant(k.At), yes(e.Late), Text(k.Who()), Text(e.Initials), Text(e.Where), Text(string(e.Use)), Text(e.Product),
			Text(string(e.Chemical)), Text(e.ProductLot), seconds(e.Contact), yes(e.Rinsed), Text(e.Lot), Text(e.Day), Text(e.Text), some(int(e.About)), some(int(e.Corrects)), some(int(k.Corrected)))
	}
	return t
}

// readingUnits are the columns of what somebody read, by its unit.
var readingUnits = []line.Unit{line.UnitC, line.UnitF, line.UnitPPM, line.UnitPercent, line.UnitMinutes, line.UnitTrays, line.UnitCFU, line.UnitYears}

func readingTable(b *records.Book) *Table {
	t := columns("at:datetime kind where who entry:integer temperature_c:number temperature_f:number strength_ppm:number strength_percent:number time_min:number count_trays:number count_cfu_per_100_ml:number age_years:number humidity_percent:number pressure_pa:number")
	for i := range b.Entries {
		k := &b.Entries[i]
		at := slices.Index(readingUnits, k.Entry.Unit)
		if at < 0 {
			continue
		}
		row := append([]Cell{Instant(k.Entry.Made), Text(string(k.Entry.Kind)), Text(k.Entry.Where), Text(k.Who()), Int(int(k.Seq))}, make([]Cell, len(readingUnits)+2)...)
		row[5+at] = exact(k.Entry.Value)
		t.add(row...)
	}
	for _, a := range b.Detail.Airs {
		row := append([]Cell{Instant(a.At), Text("air"), {}, Text(a.By), {}, exact(a.Air.TempC)}, make([]Cell, len(readingUnits)-1)...)
		t.add(append(row, exact(a.Air.RHPercent), measured(a.Air.PressurePa))...)
	}
	return t
}

func tastingTable(all []line.TastingMade) *Table {
	t := columns("at:datetime by batch:integer lot crop recipe_revision:integer stage wetness:integer bruising:integer grit:integer flavour:integer days_kept:integer before_wash_g:number after_spin_g:number after_dry_g:number packed_g:number soak_s:number rinse_s:number drain_s:number spin_s:number spun_again:integer dry_s:number fan air_c:number air_humidity_percent:number packed:datetime note")
	for i := range all {
		a := &all[i].Tasting
		r := &a.Ran
		t.add(Instant(a.At), Text(a.By), some(all[i].Batch), Text(r.Lot), Text(r.Crop), some(r.Revision), Text(string(a.Stage)), some(int(a.Wetness)), some(int(a.Bruising)),
			some(int(a.Grit)), some(int(a.Flavour)), some(a.DaysKept), measured(a.Weights.BeforeWashG), measured(a.Weights.AfterSpinG), measured(a.Weights.AfterDryG), measured(a.Weights.PackedG),
			seconds(r.Soak), seconds(r.Rinse), seconds(r.Drain), seconds(r.Spin), some(r.SpunAgain), seconds(r.Dry), Text(r.Fan), measured(r.Air.TempC), measured(r.Air.RHPercent), Instant(r.Packed), Text(a.Note))
	}
	return t
}

func soldTable(all []line.Sale) *Table {
	t := columns("sale:integer at:datetime by lot crop customer packages:integer net_g:number reference order:integer")
	for i := range all {
		s := &all[i]
		t.add(Int(int(s.Seq)), Instant(s.At), Text(s.By), Text(s.Sold.Lot), Text(s.Sold.Crop), Text(s.Sold.Customer), Int(s.Sold.Packages), measured(s.Sold.NetG), Text(s.Sold.Reference), some(int(s.Sold.Order)))
	}
	return t
}

// countTable is how many trays of a sowing people found on the growing racks.
func countTable(all []line.Record, sowings []records.Sowing) *Table {
	t := columns("count:integer at:datetime by sowing:integer crop sown:date trays:integer why")
	known := map[int64]records.Sowing{}
	for _, s := range sowings {
		known[s.Seq] = s
	}
	for i := range all {
		e, _ := all[i].Event.(line.GrowingCounted)
		crop, sown := e.Crop, e.Sown
		if s, ok := known[e.Sowing]; ok {
			crop, sown = s.Crop, s.At
		}
		known[all[i].Seq] = records.Sowing{Crop: crop, At: sown} // of trays that nobody had written down
		day := ""
		if !sown.IsZero() {
			day = sown.Format(time.DateOnly)
		}
		t.add(Int(int(all[i].Seq)), Instant(all[i].At), Text(all[i].By), some(int(e.Sowing)), Text(crop), Text(day), Int(e.Trays), Text(e.Why))
	}
	return t
}

func thrownTable(all []line.Record) *Table {
	t := columns("number:integer at:datetime by lot packages:integer why")
	for i := range all {
		e, _ := all[i].Event.(line.PackagesThrown)
		t.add(Int(int(all[i].Seq)), Instant(all[i].At), Text(all[i].By), Text(e.Lot), Int(e.Packages), Text(e.Why))
	}
	return t
}

func orderTable(b *records.Book) *Table {
	t := columns("order:integer customer crop packages:integer net_g:number due:date due_at:datetime filled_packages:integer filled_g:number state")
	for i := range b.Detail.Orders {
		o := &b.Detail.Orders[i]
		state := "filled"
		switch {
		case o.Cancelled:
			state = "cancelled"
		case slices.ContainsFunc(b.Orders, func(open line.SaleOrder) bool { return open.ID == o.ID }):
			state = "open"
		}
		t.add(Int(int(o.ID)), Text(o.Customer), Text(o.Crop), some(o.Packages), measured(o.NetG), Text(o.Due), Instant(o.At), Int(o.Filled), measured(o.FilledG), Text(state))
	}
	return t
}

// openTable is what is still to be sold of the orders.
func openTable(all []line.SaleOrder) *Table {
	t := columns("customer crop packages:integer net_g:number due:date due_at:datetime")
	for i := range all {
		o := &all[i]
		packages, netG := o.Rest()
		t.add(Text(o.Customer), Text(o.Crop), some(packages), measured(netG), Text(o.Due), Instant(o.At))
	}
	return t
}

func markTable(all []records.Mark) *Table {
	t := columns("at:datetime date:date text")
	for _, m := range all {
		t.add(Instant(m.At), Text(m.Date), Text(m.Text))
	}
	return t
}

func paceTable(all []pace.Estimate) *Table {
	t := columns("station crop person pieces:integer fixed_min:number tray_min:number tray_low_min:number tray_high_min:number line_file_tray_min:number change_percent_a_week:number")
	for i := range all {
		e := &all[i]
		t.add(Text(e.Station), Text(e.Crop), Text(e.Person), Int(e.N), Number(e.Fixed, 3), Number(e.PerTray, 3), Number(e.Low, 3), Number(e.High, 3), Number(e.File, 3), Number(e.TrendWeek, 2))
	}
	return t
}

func forecastTable(all []pace.Promise) *Table {
	t := columns("date:date at:datetime first_of_day:boolean over_by_50:datetime over_by_90:datetime over:datetime")
	for i := range all {
		p := &all[i]
		t.add(Text(p.Date), Instant(p.At), yes(p.First), Instant(p.P50), Instant(p.P90), Instant(p.End))
	}
	return t
}

// keys are the columns that tell the rows of a table apart.
var keys = map[string]string{"batches": "batch", "entries": "entry", "sales": "sale", "orders": "order"}

// Package describes the files of an export as a Data Package with a Table Schema for each,
// as datapackage.org has it (version 2.0); words are those of the speaker.
func Package(w io.Writer, d *Doc, words *say.Speaker) error {
	var resources []object
	for _, s := range d.Tables() {
		var fields []object
		for _, c := range s.Table.Columns {
			fields = append(fields, object{{"name", c.Key}, {"type", cmp.Or(c.Type, "string")}})
		}
		schema := object{{"fields", fields}, {"missingValues", []string{""}}}
		if key := keys[s.Name]; key != "" {
			schema = append(schema, member{"primaryKey", []string{key}})
		}
		resources = append(resources, object{{"name", s.Name}, {"type", "table"}, {"title", words.Sentence(s.Title)}, {"path", s.Name + ".csv"}, {"format", "csv"},
			{"mediatype", "text/csv"}, {"encoding", "utf-8"}, {"dialect", object{{"header", true}, {"delimiter", ","}, {"lineTerminator", "\r\n"}, {"quoteChar", `"`}, {"doubleQuote", true}}},
			{"schema", schema}})
	}
	raw, err := object{{"$schema", "https://datapackage.org/profiles/2.0/datapackage.json"}, {"name", d.Name}, {"created", d.Made.Format(time.RFC3339)}, {"resources", resources}}.MarshalJSON()
	if err != nil {
		return err
	}
	var out bytes.Buffer
	if err := json.Indent(&out, raw, "", "  "); err != nil {
		return err
	}
	out.WriteByte('\n')
	_, err = w.Write(out.Bytes())
	return err
}
