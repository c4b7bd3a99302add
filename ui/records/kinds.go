package recordsui

import (
	"slices"
	"time"

	"shedbell/line"
	"shedbell/ui/form"
	"shedbell/ui/screen"
	"shedbell/ui/words"
)

// offered are the kinds of entries by digit; what belongs to the clean-up is
// entered there. The sixth, without a kind, is the seed lot.
var offered = []struct {
	kind line.EntryKind
	key  string // of its title
}{
	{line.EntryFridge, "records-kind.fridge-temperature"},
	{line.EntryStrength, "records-kind.sanitizer-strength"},
	{line.EntryHandWash, "records-kind.hand-wash"},
	{line.EntryWater, "records-kind.water-change"},
	{line.EntryCorrective, "records-kind.corrective-action"},
	{"", "records-kind.seed-lot"},
	{line.EntryWaterTest, "records-kind.water-test"},
	{line.EntrySeen, "records-kind.observation"},
	{line.EntryReview, "records-kind.supervisor-review"},
}

// products are what such sheds sanitize with, by what is in it; a name off the
// label can be typed instead.
func products(w *words.Speaker) []string {
	return []string{w.Say("cleanup-mix.peroxyacetic"), w.Say("cleanup-mix.peroxide"), w.Say("cleanup-mix.chlorine")}
}

// deeds are what is usually done about a reading: common practice, no source.
func deeds(w *words.Speaker) []string {
	return []string{w.Say("records-form.moved"), w.Say("records-form.colder"), w.Say("records-form.held"),
		w.Say("records-form.discarded"), w.Say("records-form.mixed"), w.Say("records-form.changed-water")}
}

// newDraft is the form of a kind.
func newDraft(env *screen.Env, k line.EntryKind) *draft {
	if k == "" {
		return seedDraft(env)
	}
	d := &draft{base: line.Entry{Kind: k}}
	d.build(env, env.Words.EntryKind(k), true)
	return d
}

// correction is the form that puts an entry right.
func correction(env *screen.Env, of *line.KeptEntry) *draft {
	base := of.Entry
	base.Corrects, base.Made, base.Late = of.Seq, time.Time{}, false
	if of.Entry.Corrects != 0 {
		base.Corrects = of.Entry.Corrects
	}
	d := &draft{base: base}
	d.build(env, env.Words.Say("records-form.correct", of.Seq, env.Words.EntryKind(of.Entry.Kind)), false)
	d.was = d.entry(env)
	return d
}

// answerTo is the form of a corrective action about a reading.
func answerTo(env *screen.Env, of *line.Entry) *draft {
	d := &draft{about: of, base: line.Entry{Kind: line.EntryCorrective, Where: of.Where, Lot: of.Lot}}
	d.build(env, env.Words.Say("records-form.what-done", env.Words.Entry(of)), true)
	return d
}

func seedDraft(env *screen.Env) *draft {
	d := &draft{foot: "records.seed-foot"}
	d.form = form.New(env, "records-form.seed-lot-title", "",
		form.Row{Name: "crop", Label: "records-form.crop", Kind: form.Choice, Choices: env.State.Book.Crops(), Default: form.Num(0)},
		form.Row{Name: "lot", Label: "records-form.seed-lot", Kind: form.Text},
		form.Row{Name: "supplier", Label: "records-form.supplier", Kind: form.Text, Optional: true})
	d.make = func(*screen.Env) line.Command {
		return line.UseSeed{Crop: d.form.Text("crop"), SeedLot: d.form.Text("lot"), Supplier: d.form.Text("supplier")}
	}
	return d
}

// build makes the rows of the kind, filled in with what the base says. What has to be
// said is last, where the form begins, so that Enter after it sends.
func (d *draft) build(env *screen.Env, title string, fresh bool) {
	e := &d.base
	spec, _ := e.Kind.Spec()
	rows := d.where(env, nil, spec)
	if e.Kind == line.EntryCorrective || e.Kind == line.EntrySeen {
		rows = d.text(rows, "lot", "records-form.lot", e.Lot, false, func(e *line.Entry, t string) { e.Lot = t })
	}
	if fresh {
		rows = append(rows, form.Row{Name: agoRow, Label: "records-form.ago", Kind: form.Minutes, Max: 7 * 24 * 3600, Optional: true})
	}
	rows = d.signer(env, rows)
	if spec.Product {
		rows = d.product(env, rows)
	}
	if e.Kind == line.EntryStrength {
		all := []line.Use{line.UseWater, line.UseSurface}
		names := []string{env.Words.Use(all[0]), env.Words.Use(all[1])}
		rows = d.choice(rows, "use", "records-form.used-in", env.Words.Use(e.Use), names, "",
			func(e *line.Entry, t string) { e.Use = all[max(0, slices.Index(names, t))] })
	}
	if e.Kind == line.EntryReview {
		rows = d.choice(rows, "day", "records-form.day", e.Day, lastDays(env.Now), "", func(e *line.Entry, t string) { e.Day = t })
	}
	if len(spec.Units) > 0 {
		rows = d.value(env, rows, spec)
	}
	put := func(e *line.Entry, t string) { e.Text = t }
	switch {
	case e.Kind == line.EntryCorrective:
		rows = d.choice(rows, "what", "records-form.what-was-done", e.Text, deeds(env.Words), "records-does.or-type", put)
		if e.Text == "" {
			rows[len(rows)-1].Default = form.Value{} // Enter may not say that something was done
		}
	case spec.Text, e.Kind == line.EntryWaterTest:
		rows = d.text(rows, "what", "records-form.what", e.Text, spec.Text, put)
	}
	last := rows[len(rows)-1].Name
	if e.Kind == line.EntryWaterTest { // what it was is not needed
		last = readingRow
	}
	d.form = form.New(env, title, "", rows...)
	d.form.Go(last)
}

// product begins with the one that was entered last.
func (d *draft) product(env *screen.Env, rows []form.Row) []form.Row {
	name := d.base.Product
	for i := len(env.State.Entries) - 1; i >= 0 && name == ""; i-- {
		name = env.State.Entries[i].Entry.Product
	}
	return d.choice(rows, "product", "records-form.product", name, products(env.Words), "records-does.or-type",
		func(e *line.Entry, t string) { e.Product = t })
}

// where lists the places that such an entry is usually about.
func (d *draft) where(env *screen.Env, rows []form.Row, spec line.EntrySpec) []form.Row {
	if spec.Kind == line.EntryReview {
		return rows
	}
	site := env.State.Site
	var names []string
	if k, ok := spec.Station(); ok {
		for _, i := range site.StationsOf(k) {
			names = append(names, site.Stations[i].Name)
		}
	} else {
		names = append(names, env.Words.Say("records-form.sink"))
		for i := range site.Stations {
			names = append(names, site.Stations[i].Name)
		}
	}
	return d.choice(rows, "where", "records-form.where", d.base.Where, names, "records-does.or-type",
		func(e *line.Entry, t string) { e.Where = t })
}
