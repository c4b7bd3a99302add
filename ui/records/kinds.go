package recordsui

import (
	"slices"
	"strconv"
	"time"

	"shedbell/line"
	"shedbell/ui/field"
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

// actions are what is usually done about a reading: common practice, no source.
func actions(w *words.Speaker) []string {
	return []string{w.Say("records-form.moved"), w.Say("records-form.colder"), w.Say("records-form.held"),
		w.Say("records-form.discarded"), w.Say("records-form.mixed"), w.Say("records-form.changed-water")}
}

// newForm is the form of a kind.
func newForm(env *screen.Env, k line.EntryKind) *form {
	if k == "" {
		return seedForm(env)
	}
	f := &form{title: env.Words.EntryKind(k), base: line.Entry{Kind: k}}
	f.build(env, true)
	return f
}

// correction is the form that puts an entry right.
func correction(env *screen.Env, of *line.KeptEntry) *form {
	base := of.Entry
	base.Corrects, base.Made, base.Late = of.Seq, time.Time{}, false
	if of.Entry.Corrects != 0 {
		base.Corrects = of.Entry.Corrects
	}
	f := &form{title: env.Words.Say("records-form.correct", of.Seq, env.Words.EntryKind(of.Entry.Kind)), base: base}
	f.build(env, false)
	f.was = f.entry(env)
	return f
}

// answerTo is the form of a corrective action about a reading.
func answerTo(env *screen.Env, of *line.Entry) *form {
	f := &form{title: env.Words.Say("records-form.what-done", env.Words.Entry(of)), about: of,
		base: line.Entry{Kind: line.EntryCorrective, Where: of.Where, Lot: of.Lot}}
	f.build(env, true)
	return f
}

func seedForm(env *screen.Env) *form {
	crops := env.State.Book.Crops()
	f := &form{title: env.Words.Say("records-form.seed-lot-title"), foot: "records.seed-foot"}
	first := ""
	if len(crops) > 0 {
		first = crops[0]
	}
	f.blanks = []blank{
		{name: env.Words.Say("records-form.crop"), f: field.Field{Text: first}, choices: crops, fixed: true},
		{name: env.Words.Say("records-form.seed-lot"), f: field.Field{Kind: field.Words}, needed: true},
		{name: env.Words.Say("records-form.supplier"), f: field.Field{Kind: field.Words}},
	}
	f.make = func(*screen.Env) line.Command {
		return line.UseSeed{Crop: f.blanks[0].f.Text, SeedLot: f.blanks[1].f.Text, Supplier: f.blanks[2].f.Text}
	}
	return f
}

// build makes the fields of the kind, filled in with what the base says.
func (f *form) build(env *screen.Env, fresh bool) {
	e := &f.base
	spec, _ := e.Kind.Spec()
	if spec.Product {
		f.product(env, e)
	}
	if e.Kind == line.EntryStrength {
		f.use(env, e)
	}
	if len(spec.Units) > 0 {
		f.value(env, e, spec)
	}
	if spec.Text || e.Kind == line.EntryWaterTest {
		b := blank{name: env.Words.Say("records-form.what"), f: field.Field{Kind: field.Words, Text: e.Text}, needed: spec.Text, put: func(e *line.Entry, t string) { e.Text = t }}
		if e.Kind == line.EntryCorrective {
			b.name, b.choices = env.Words.Say("records-form.what-was-done"), actions(env.Words)
			if b.f.Text == "" {
				b.f.Text = b.choices[0]
			}
		}
		f.blanks = append(f.blanks, b)
	}
	f.where(env, e)
	if e.Kind == line.EntryReview {
		f.choice(env.Words.Say("records-form.day"), e.Day, lastDays(env.Now), func(e *line.Entry, t string) { e.Day = t })
	}
	if e.Kind == line.EntryCorrective || e.Kind == line.EntrySeen {
		f.blanks = append(f.blanks, blank{name: env.Words.Say("records-form.lot"), f: field.Field{Kind: field.Words, Text: e.Lot}, put: func(e *line.Entry, t string) { e.Lot = t }})
	}
	if fresh {
		f.blanks = append(f.blanks, blank{name: env.Words.Say("records-form.minutes-ago"), ago: true, f: field.Field{Kind: field.Whole}})
	}
	f.signer(env)
	for i := range f.blanks { // begin at what has to be typed
		if f.blanks[i].needed && f.blanks[i].f.Text == "" {
			f.at = i
			break
		}
	}
}

func (f *form) choice(name, now string, all []string, put func(*line.Entry, string)) {
	if !slices.Contains(all, now) {
		now = all[0]
	}
	f.blanks = append(f.blanks, blank{name: name, f: field.Field{Kind: field.Words, Text: now}, choices: all, fixed: true, put: put})
}

// use is what a sanitizer is for.
func (f *form) use(env *screen.Env, e *line.Entry) {
	all := []line.Use{line.UseWater, line.UseSurface}
	names := []string{env.Words.Use(all[0]), env.Words.Use(all[1])}
	f.choice(env.Words.Say("records-form.used-in"), env.Words.Use(e.Use), names, func(e *line.Entry, t string) { e.Use = all[max(0, slices.Index(names, t))] })
}

// product begins with the one that was entered last.
func (f *form) product(env *screen.Env, e *line.Entry) {
	name := e.Product
	for i := len(env.State.Entries) - 1; i >= 0 && name == ""; i-- {
		name = env.State.Entries[i].Entry.Product
	}
	if name == "" {
		name = products(env.Words)[0]
	}
	f.blanks = append(f.blanks, blank{name: env.Words.Say("records-form.product"), f: field.Field{Kind: field.Words, Text: name}, choices: products(env.Words), needed: true,
		put: func(e *line.Entry, t string) { e.Product = t }})
}

// value is the reading. It always has a unit: the one that it is typed in is
// beside it.
func (f *form) value(env *screen.Env, e *line.Entry, spec line.EntrySpec) {
	b := blank{name: env.Words.Say("records-form.reading"), f: field.Field{Kind: field.Decimal}, units: spec.Units, needed: spec.Reading}
	switch spec.Units[0] {
	case line.UnitC:
		b.f.Kind = field.Signed
		if env.Prefs.US {
			b.unit = 1
		}
	case line.UnitTrays, line.UnitCFU:
		b.f.Kind = field.Whole
	}
	if i := slices.Index(spec.Units, e.Unit); i >= 0 {
		b.unit = i
		b.f.Text = strconv.FormatFloat(e.Value, 'f', -1, 64)
	}
	f.blanks = append(f.blanks, b)
}

// where lists the places that such an entry is usually about.
func (f *form) where(env *screen.Env, e *line.Entry) {
	if e.Kind == line.EntryReview {
		return
	}
	site := env.State.Site
	of := map[line.EntryKind]line.Kind{line.EntryFridge: line.Chill, line.EntryWater: line.Wash, line.EntryStrength: line.Wash,
		line.EntryWaterTest: line.Wash, line.EntryTraysOut: line.Cut, line.EntryTraysIn: line.TrayWash}
	var names []string
	if k, one := of[e.Kind]; one {
		for _, i := range site.StationsOf(k) {
			names = append(names, site.Stations[i].Name)
		}
	} else {
		names = append(names, env.Words.Say("records-form.sink"))
		for i := range site.Stations {
			names = append(names, site.Stations[i].Name)
		}
	}
	if e.Where != "" && !slices.Contains(names, e.Where) {
		names = append([]string{e.Where}, names...)
	}
	text := e.Where
	if text == "" && len(names) > 0 {
		text = names[0]
	}
	f.blanks = append(f.blanks, blank{name: env.Words.Say("records-form.where"), f: field.Field{Kind: field.Words, Text: text}, choices: names, needed: true,
		put: func(e *line.Entry, t string) { e.Where = t }})
}

// lastDays are the days that a review may be about, the latest first.
func lastDays(now time.Time) []string {
	const weeks = 2
	out := make([]string, 0, weeks*7)
	for i := range weeks * 7 {
		out = append(out, now.AddDate(0, 0, -i).Format(time.DateOnly))
	}
	return out
}

// signer is who did it and signs.
func (f *form) signer(env *screen.Env) {
	names := slices.Clone(env.State.Crew)
	if !slices.Contains(names, env.By) {
		names = append([]string{env.By}, names...)
	}
	now := env.By
	if f.base.Corrects == 0 && f.base.By != "" {
		now = f.base.By
	}
	f.choice(env.Words.Say("records-form.signs"), now, names, func(e *line.Entry, t string) { e.By, e.Initials = t, words.Initials(t) })
}
