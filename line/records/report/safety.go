package report

import (
	"fmt"
	"strings"
	"time"

	"shedbell/line"
	"shedbell/line/records"
	"shedbell/line/say"
)

// Safety is the inspector's folder: a table for each kind of entry, the limits in
// force, and what was corrected.
func Safety(b *records.Book) *Doc {
	d := doc(b, "safety", say.New("report-title.safety"))
	d.Foot = say.New("report-foot.no-verdict")
	keep := b.Site.Limits.KeepFor()
	d.Lines = append(d.Lines, say.New("report-head.kept", keep.Value, keep.SaysSource()))
	if b.Site.Limits.Location == "" {
		d.Lines = append(d.Lines, say.New("report-head.no-location"))
	}
	d.Sections = append(d.Sections, openSection(b))
	for _, spec := range line.EntrySpecs() {
		lines := b.Safety(spec.Kind)
		none := spec.Kind == line.EntryWater && len(b.Waters) == 0 // else the line has recorded changes, below
		if len(lines) == 0 && !none && spec.Kind != line.EntryStrength && spec.Kind != line.EntryFridge {
			continue
		}
		s := Section{Name: string(spec.Kind), Title: spec.Kind.Title(), Table: safetyTable(lines)}
		if spec.Kind == line.EntryFridge {
			s.Charts = fridgeChart(lines)
		}
		d.Sections = append(d.Sections, s)
	}
	d.Sections = append(d.Sections, waterSection(b), limitSection(b), correctionSection(b))
	return d
}

// openSection is what somebody still has to answer.
func openSection(b *records.Book) Section {
	t := &Table{Columns: []Column{text("at", "head.since"), num("no", "head.no", ""), text("what", "head.what")}}
	for _, o := range b.OpenItems() {
		no := Cell{}
		if o.Seq > 0 {
			no = Int(int(o.Seq))
		}
		t.Rows = append(t.Rows, []Cell{Instant(o.At), no, Sentence(o.What)})
	}
	return Section{Name: "open", Title: say.New("report-part.open"), Table: t}
}

func safetyTable(lines []records.SafetyLine) *Table {
	t := &Table{Columns: []Column{num("no", "head.no", ""), text("made", "head.made"), text("where", "head.where"), text("value", "head.value"),
		text("beside", "head.beside"), text("what", "head.what"), text("lot", "head.lot"), text("who", "head.who"), text("signed", "head.signed"), text("remark", "head.remark")}}
	for i := range lines {
		l := &lines[i]
		t.Rows = append(t.Rows, []Cell{Int(int(l.Seq)), Instant(l.Entry.Made), Text(l.Entry.Where), reading(&l.Entry),
			Sentence(Beside(l)), Sentence(what(&l.Entry)), Text(l.Entry.Lot), Text(l.Who()), Text(l.Entry.Initials), Sentence(remark(l))})
	}
	return t
}

// Value is an entry's reading with its unit.
func Value(e *line.Entry) string {
	if e.Unit == line.UnitNone {
		return ""
	}
	return fmt.Sprintf("%.6g %s", e.Value, e.Unit)
}

func reading(e *line.Entry) Cell {
	c := Text(Value(e))
	if e.Unit != line.UnitNone {
		c.Number, c.Unit = e.Value, string(e.Unit)
	}
	return c
}

// sideKey names the side of a limit that a reading is on, by the limit's bound and
// whether the reading is past it.
var sideKey = map[line.Bound]map[bool]string{
	line.AtMost:  {false: "report-says.at-most", true: "report-says.over"},
	line.AtLeast: {false: "report-says.at-least", true: "report-says.under"},
}

// Beside is what a reading stands beside: the side of each limit that it is on,
// and the limit's source.
func Beside(l *records.SafetyLine) say.Sentence {
	parts := make([]say.Sentence, len(l.Beside))
	for i := range l.Beside {
		b := &l.Beside[i]
		if b.None {
			parts[i] = say.New("report-says.no-limit")
			continue
		}
		parts[i] = say.New(sideKey[b.Limit.Bound][b.Past], b.Limit.Value, b.Limit.Unit, b.Limit.SaysSource())
	}
	return say.Join(parts, "; ")
}

// what is everything that an entry says besides its reading.
func what(e *line.Entry) say.Sentence {
	var parts []say.Sentence
	add := func(s string, says say.Sentence) {
		if s != "" {
			parts = append(parts, says)
		}
	}
	add(e.Product, say.New("", e.Product))
	add(e.ProductLot, say.New("report-says.product-lot", e.ProductLot))
	if e.Kind == line.EntryStrength {
		parts = append(parts, say.New("report-says.join-2", e.Use))
	}
	if e.Contact > 0 {
		parts = append(parts, say.New("report-says.wet", e.Contact.String()))
	}
	if e.Rinsed {
		parts = append(parts, say.New("report-says.rinsed"))
	}
	add(e.Day, say.New("report-says.day", e.Day))
	if e.About != 0 {
		parts = append(parts, say.New("report-says.about-entry", e.About))
	}
	add(e.Text, say.New("", e.Text))
	return say.Join(parts, ", ")
}

func remark(l *records.SafetyLine) say.Sentence {
	var parts []say.Sentence
	if l.Entry.Late {
		parts = append(parts, say.New("report-says.late-entered", say.DateTime(l.At)))
	}
	if l.WasCorrected() {
		first := &l.History[0]
		parts = append(parts, say.New("report-says.corrects-entry-said", first.Seq, said(&first.Entry)))
	}
	for _, a := range l.Answers {
		parts = append(parts, say.New("report-says.see-corrective-action", a))
	}
	return say.Join(parts, "; ")
}

// said is an entry in one line, for corrections.
func said(e *line.Entry) say.Sentence {
	var parts []say.Sentence
	for _, s := range []say.Sentence{say.Of(say.DateTime(e.Made)), say.New("", e.Where),
		say.New("", Value(e)), what(e), say.New("", e.Initials)} {
		if s.String() != "" {
			parts = append(parts, s)
		}
	}
	return say.Join(parts, ", ")
}

func fridgeChart(lines []records.SafetyLine) []Chart {
	c := Chart{Title: line.EntryFridge.Title(), Unit: "C"}
	for i := range lines {
		if v, ok := line.Convert(lines[i].Entry.Value, lines[i].Entry.Unit, line.UnitC); ok {
			c.Values = append(c.Values, v)
			c.Labels = append(c.Labels, lines[i].Entry.Made.Format("02 Jan"))
			for k := range lines[i].Beside {
				if lines[i].Beside[k].Past {
					c.Flags = append(c.Flags, len(c.Values)-1)
					break
				}
			}
		}
	}
	if len(c.Values) < 2 {
		return nil
	}
	return []Chart{c}
}

func waterSection(b *records.Book) Section {
	t := &Table{Columns: []Column{text("made", "head.begun"), text("ended", "head.ended"), text("where", "head.tub"), text("who", "head.who"), text("batches", "head.batches-that-the-old-water-had-washed")}}
	for _, w := range b.Waters {
		var names []string
		for _, id := range w.Batches {
			name := fmt.Sprintf("batch %d", id)
			if bt := b.Batch(id); bt != nil {
				name = bt.Name()
				if bt.Lot != "" {
					name += " (" + bt.Lot + ")"
				}
			}
			names = append(names, name)
		}
		t.Rows = append(t.Rows, []Cell{Instant(w.From), Instant(w.To), Text(w.Place), Text(w.By), Text(strings.Join(names, ", "))})
	}
	return Section{Name: "water-drained", Title: say.New("report-part.water"), Table: t}
}

func limitSection(b *records.Book) Section {
	t := &Table{Columns: []Column{text("of", "head.of"), text("use", "head.use"), text("product", "head.product"), text("bound", "head.bound"), num("limit", "head.limit", ""), text("unit", "head.unit"),
		text("source", "head.source"), text("scope", "head.what-it-covers")}}
	all := append(b.Site.AllLimits(), b.Site.Limits.KeepFor())
	for _, l := range all {
		t.Rows = append(t.Rows, []Cell{Sentence(l.Kind.Title()), Sentence(say.Of(l.Use)), Text(l.Product), Sentence(l.Bound.Says()),
			Number(l.Value, 2), Sentence(l.Unit.Says()), Sentence(l.SaysSource()), Sentence(l.SaysScope())})
	}
	return Section{Name: "limits", Title: say.New("report-part.limits"), Table: t,
		Text: []say.Sentence{say.New("report-says.starting-points-line-file")}}
}

// correctionSection shows every entry that was corrected as it was written first.
func correctionSection(b *records.Book) Section {
	t := &Table{Columns: []Column{num("no", "head.no", ""), text("said", "head.it-said"), text("entered", "head.entered"), text("by", "head.by"), num("corrected_by", "head.corrected-by", "")}}
	for _, k := range b.Entries {
		if k.Corrected != 0 {
			t.Rows = append(t.Rows, []Cell{Int(int(k.Seq)), Sentence(said(&k.Entry)), Instant(k.At), Text(k.By), Int(int(k.Corrected))})
		}
	}
	return Section{Name: "corrections", Title: say.New("report-part.corrections"), Table: t}
}

// Trace is one step back and one forward from a lot.
func Trace(b *records.Book, lot string) (*Doc, error) {
	t, err := b.Trace(lot)
	if err != nil {
		return nil, err
	}
	d := doc(b, "trace", say.New("report-title.trace", t.Lot.Code))
	d.Foot = say.New("report-foot.no-verdict")
	back := &Table{Columns: []Column{text("step", "head.step"), text("what", "head.what")}}
	row := func(step, what say.Sentence) {
		back.Rows = append(back.Rows, []Cell{Sentence(step), Sentence(what)})
	}
	row(say.New("head.lot"), say.New("report-says.packages-g-packed", t.Lot.Code, t.Lot.Crop, t.Lot.Packages, t.Lot.NetG, t.Lot.Packed.Format("2006-01-02 15:04 -07:00")))
	for i := range t.Batches {
		bt := &t.Batches[i]
		row(say.New("record.trays"), say.New("report-says.trays-cut-cold", bt.Name(), bt.Date, bt.Trays, clockOf(bt.Cut), clockOf(bt.Cold)))
	}
	for _, s := range t.Sowings {
		row(say.New("head.seed"), say.New("report-says.lot-sown-first-sown", orUnknown(s.SeedLot), orUnknown(s.Supplier), s.At.Format(time.DateOnly), orUnknown(s.By)))
	}
	if len(t.Sowings) == 0 {
		row(say.New("head.seed"), say.New("report-says.sown-before-these-records"))
	}
	for _, r := range t.Revisions {
		row(say.New("head.recipe"), say.New("report-says.revision", t.Lot.Crop, r))
	}
	for i := range t.Vessels {
		row(say.New("head.touched"), t.Vessels[i].Says())
	}
	row(say.New("head.people"), say.New("report-says.packed", orUnknown(strings.Join(t.People, ", ")), orUnknown(strings.Join(t.Packers, ", "))))
	var lines []records.SafetyLine
	for _, k := range t.Entries {
		lines = append(lines, records.SafetyLine{KeptEntry: k, Beside: b.SiteAt(k.Seq).Beside(&k.Entry)})
	}
	d.Sections = []Section{{Name: "back", Title: say.New("report-part.back"), Table: back},
		{Name: "forward", Title: say.New("report-part.forward"), Table: salesTable(t.Sales), Text: []say.Sentence{say.New("report-says.packages-sold-left", t.Lot.Sold, t.Lot.Packages, t.Lot.Left())}},
		{Name: "entries", Title: say.New("report-part.entries"), Table: safetyTable(lines)}}
	return d, nil
}

func orUnknown(s string) say.Sentence {
	if s == "" {
		return say.New("report-says.not-written-down")
	}
	return say.New("", s)
}

func clockOf(t time.Time) say.Sentence {
	if t.IsZero() {
		return say.New("report-says.not-yet")
	}
	return say.Of(say.Time(t))
}

// Recall lists all that shared a tub's water or a basket with a lot.
func Recall(b *records.Book, lot string) (*Doc, error) {
	r, err := b.Recall(lot)
	if err != nil {
		return nil, err
	}
	d := doc(b, "recall", say.New("report-title.recall", r.Lot.Code))
	d.Foot = say.New("report-foot.no-verdict")
	t := &Table{Columns: append(lotColumns(), text("shared", "head.shared"))}
	t.Rows = append(t.Rows, append(lotRow(&r.Lot), Sentence(say.New("report-says.lot-itself"))))
	packages, sold := r.Lot.Packages, r.Lot.Sold
	for i := range r.Shared {
		s := &r.Shared[i]
		packages += s.Lot.Packages
		sold += s.Lot.Sold
		t.Rows = append(t.Rows, append(lotRow(&s.Lot), Sentence(say.Join(s.How, "; "))))
	}
	sum := []say.Sentence{say.New("report-says.lots-packages-sold-still", 1+len(r.Shared), packages, sold, packages-sold)}
	if len(r.Further) > 0 {
		sum = append(sum, say.New("report-says.these-turn-shared-water", len(r.Further), strings.Join(r.Further, ", ")))
	}
	d.Sections = []Section{{Name: "lots", Title: say.New("report-part.shared"), Table: t, Text: sum},
		{Name: "customers", Title: say.New("report-part.customers"), Table: salesTable(r.Sales)}}
	return d, nil
}
