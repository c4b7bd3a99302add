package recordsview

import (
	"fmt"
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
	kind  line.EntryKind
	title string
}{
	{line.EntryFridge, "fridge temperature"},
	{line.EntryStrength, "sanitizer strength"},
	{line.EntryHandWash, "hands washed"},
	{line.EntryWater, "wash water changed"},
	{line.EntryCorrective, "corrective action"},
	{"", "seed lot"},
	{line.EntryWaterTest, "water test"},
	{line.EntrySeen, "observation"},
	{line.EntryReview, "records reviewed"},
}

// products are what such sheds sanitize with, by what is in it; a name off the
// label can be typed instead.
var products = []string{"peroxyacetic acid", "hydrogen peroxide", "chlorine (hypochlorite)"}

// actions are what is usually done about a reading: common practice, no source.
var actions = []string{
	"moved the greens to another fridge",
	"turned the fridge colder, read again in 30 min",
	"held the lot back until it is decided",
	"discarded the lot",
	"mixed the solution anew and read it again",
	"changed the wash water",
}

// newForm is the form of a kind.
func newForm(env *screen.Env, k line.EntryKind) *form {
	if k == "" {
		return seedForm(env)
	}
	f := &form{title: k.Title(), base: line.Entry{Kind: k}}
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
	f := &form{title: fmt.Sprintf("Correct entry %d, %s", of.Seq, of.Entry.Kind.Title()), base: base}
	f.build(env, false)
	return f
}

// answerTo is the form of a corrective action about a reading.
func answerTo(env *screen.Env, of *line.Entry) *form {
	f := &form{title: fmt.Sprintf("%s: what was done about it?", env.Words.Entry(of)), about: of,
		base: line.Entry{Kind: line.EntryCorrective, Where: of.Where, Lot: of.Lot}}
	f.build(env, true)
	return f
}

func seedForm(env *screen.Env) *form {
	crops := env.State.Book.Crops()
	f := &form{title: "Seed lot", foot: "records.seed-foot"}
	first := ""
	if len(crops) > 0 {
		first = crops[0]
	}
	f.blanks = []blank{
		{name: "crop", f: field.Field{Text: first}, choices: crops, fixed: true},
		{name: "seed lot", f: field.Field{Kind: field.Words}, needed: true},
		{name: "supplier", f: field.Field{Kind: field.Words}},
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
		f.choice("used in", string(e.Use), []string{string(line.UseWater), string(line.UseSurface)}, func(e *line.Entry, t string) { e.Use = line.Use(t) })
	}
	if len(spec.Units) > 0 {
		f.value(env, e, spec)
	}
	if spec.Text || e.Kind == line.EntryWaterTest {
		b := blank{name: "what", f: field.Field{Kind: field.Words, Text: e.Text}, needed: spec.Text, put: func(e *line.Entry, t string) { e.Text = t }}
		if e.Kind == line.EntryCorrective {
			b.name, b.choices = "what was done", actions
			if b.f.Text == "" {
				b.f.Text = actions[0]
			}
		}
		f.blanks = append(f.blanks, b)
	}
	f.where(env, e)
	if e.Kind == line.EntryReview {
		f.choice("day", e.Day, lastDays(env.Now), func(e *line.Entry, t string) { e.Day = t })
	}
	if e.Kind == line.EntryCorrective || e.Kind == line.EntrySeen {
		f.blanks = append(f.blanks, blank{name: "lot", f: field.Field{Kind: field.Words, Text: e.Lot}, put: func(e *line.Entry, t string) { e.Lot = t }})
	}
	if fresh {
		f.blanks = append(f.blanks, blank{name: agoName, f: field.Field{Kind: field.Whole}})
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

// product begins with the one that was entered last.
func (f *form) product(env *screen.Env, e *line.Entry) {
	name := e.Product
	for i := len(env.State.Entries) - 1; i >= 0 && name == ""; i-- {
		name = env.State.Entries[i].Entry.Product
	}
	if name == "" {
		name = products[0]
	}
	f.blanks = append(f.blanks, blank{name: "product", f: field.Field{Kind: field.Words, Text: name}, choices: products, needed: true,
		put: func(e *line.Entry, t string) { e.Product = t }})
}

// value is the reading. It always has a unit: the one that it is typed in is
// beside it.
func (f *form) value(env *screen.Env, e *line.Entry, spec line.EntrySpec) {
	b := blank{name: "reading", f: field.Field{Kind: field.Decimal}, units: spec.Units, needed: spec.Reading}
	switch spec.Units[0] {
	case line.UnitC:
		b.f.Kind = field.Signed
		if env.Tidy.US {
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
		names = append(names, "hand-wash sink")
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
	f.blanks = append(f.blanks, blank{name: "where", f: field.Field{Kind: field.Words, Text: text}, choices: names, needed: true,
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
	f.choice("signs", now, names, func(e *line.Entry, t string) { e.By, e.Initials = t, words.Initials(t) })
}
