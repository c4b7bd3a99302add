package cleanup

import (
	"errors"
	"fmt"

	"shedbell/line"
	"shedbell/line/records"
	"shedbell/line/say"
	"shedbell/ui/canvas"
	"shedbell/ui/form"
	"shedbell/ui/screen"
	"shedbell/ui/theme"
	"shedbell/ui/words"
)

// products are what such sheds sanitize with, by what is in it, where the line file names
// none; a name off the label can be typed instead.
var products = []string{"cleanup-mix.peroxide", "cleanup-mix.peroxyacetic", "cleanup-mix.chlorine"}

// mixForm is the sanitizer being mixed and read. It begins with the product that was
// entered last.
func mixForm(env *screen.Env, d *day) *form.Form {
	own := env.State.Site.Limits.For(line.UseSurface)
	choices, product := products, env.Words.Say("cleanup-mix.peroxide")
	if len(own) > 0 {
		choices, product = nil, own[0].Name
		for _, s := range own {
			choices = append(choices, s.Name)
		}
	}
	for i := len(d.s.Entries) - 1; i >= 0; i-- {
		if e := &d.s.Entries[i].Entry; e.Kind == line.EntryStrength && e.Use == line.UseSurface {
			product = e.Product
			break
		}
	}
	volume := "L"
	if env.Prefs.US {
		volume = "gal"
	}
	strengths, volumes := []string{"ppm", "%"}, []string{"L", "gal"}
	return form.New(env, "", "",
		form.Row{Name: "product", Label: "cleanup-mix.product", Kind: form.Choice, Choices: choices, Own: "cleanup-mix.other", Filled: form.Str(product)},
		form.Row{Name: "stock", Label: "cleanup-mix.stock", Kind: form.Decimal, Units: strengths, Unit: "%", Optional: true},
		form.Row{Name: "target", Label: "cleanup-mix.target", Kind: form.Decimal, Units: strengths, Optional: true},
		form.Row{Name: "volume", Label: "cleanup-mix.volume", Kind: form.Decimal, Units: volumes, Unit: volume, Optional: true},
		form.Row{Name: "reading", Label: "cleanup-mix.reading", Kind: form.Decimal, Units: strengths})
}

// mix is what the form says now.
type mix struct {
	*form.Form
	t      *words.Speaker
	limits *line.Limits
}

func (m mix) percent(name string) bool { return m.Unit(name) == 1 }
func (m mix) gallons() bool            { return m.Unit("volume") == 1 }

// entry is the reading of the strip.
func (m mix) entry() line.Entry {
	e := line.Entry{Kind: line.EntryStrength, Use: line.UseSurface, Where: "surfaces", Product: m.Text("product")}
	if v, ok := m.Number("reading"); ok {
		e.Value, e.Unit = v, line.UnitPPM
		if m.percent("reading") {
			e.Unit = line.UnitPercent
		}
	}
	return e
}

// strength is one that was typed; that of the stock is the label's, where the line file has
// it and nobody typed another.
func (m mix) strength(name string) (records.PPM, bool) {
	v, ok := m.Number(name)
	if s, known := m.limits.Sanitizer(m.Text("product")); name == "stock" && !ok && known && s.StockPPM > 0 {
		return records.PPM(s.StockPPM), true
	}
	if m.percent(name) {
		return records.PercentPPM(v), ok
	}
	return records.PPM(v), ok
}

// litres is the volume to mix.
func (m mix) litres() (float64, bool) {
	v, ok := m.Number("volume")
	if m.gallons() {
		v *= records.GallonL
	}
	return v, ok
}

// answer is the mix in words, or what keeps it from being worked out.
func (m mix) answer() (text string, role theme.Role) {
	stock, okS := m.strength("stock")
	target, okT := m.strength("target")
	litres, okV := m.litres()
	if !okS || !okT || !okV {
		return m.t.Say("cleanup-mix.type-first"), theme.Faint
	}
	mix, err := records.NewMix(stock, target, litres)
	switch {
	case errors.Is(err, records.ErrMixVolume):
		return m.t.Say("cleanup-mix.bad-volume"), theme.Refuse
	case err != nil:
		return m.t.Say("cleanup-mix.bad-strength"), theme.Refuse
	}
	return m.t.Say("cleanup-mix.answer", records.MetricVolume(mix.StockL), records.USVolume(mix.StockL),
		records.MetricVolume(mix.WaterL), records.USVolume(mix.WaterL), float64(target), target.Percent()), theme.Strong
}

// volumes are those of the mixing table, in litres: bottles, buckets and tubs.
func (m mix) volumes() (litres []float64, names []string) {
	if m.gallons() {
		for _, v := range []struct {
			l    float64
			name string
		}{{records.QuartL, "1 qt"}, {records.GallonL, "1 gal"}, {5 * records.GallonL, "5 gal"}, {10 * records.GallonL, "10 gal"}} {
			litres, names = append(litres, v.l), append(names, v.name)
		}
		return litres, names
	}
	for _, v := range []float64{1, 5, 10, 40} {
		litres, names = append(litres, v), append(names, fmt.Sprintf("%g L", v))
	}
	return litres, names
}

func (m mix) draw(env *screen.Env, r canvas.Region) {
	const others = 9 // the answer, the limits and the table
	text, role := m.answer()
	y := m.Form.Draw(env, r.Rows(0, max(r.H-others, min(r.H-len(canvas.Wrap(text, r.W)), others))))
	y += r.Rows(y, r.H-y).Wrapped(role, text)
	for _, beside := range m.beside(env) {
		if y < r.H {
			y += r.Rows(y, r.H-y).Wrapped(theme.Text, beside)
		}
	}
	if room := r.H - y; room > 0 {
		y += r.Rows(y, room).Wrapped(theme.Faint, m.t.Say("cleanup.label-decides"))
	}
	m.drawTable(r.Rows(y+1, r.H-y-1))
}

// beside puts the reading, or until there is one the target, beside the limits.
func (m mix) beside(env *screen.Env) []string {
	e := m.entry()
	if e.Unit == line.UnitNone {
		target, ok := m.strength("target")
		if !ok {
			return nil
		}
		e.Value, e.Unit = float64(target), line.UnitPPM
	}
	var out []string
	if other, clash := env.State.Clash(env.State.Site.Limits.Holds(e.Product), 0); clash {
		out = append(out, env.Words.Sentence(say.New("line.never-together", other.Entry.Product, e.Product)))
	}
	e.Made = env.Now
	if s, expired := env.State.Site.Limits.Expired(&e); expired {
		out = append(out, env.Words.Say("cleanup-mix.expired", s.Name, s.Expires))
	}
	for _, b := range env.State.Site.Beside(&e) {
		out = append(out, env.Words.Beside(&b, false))
	}
	return out
}

// drawTable draws the stock for the usual volumes.
func (m mix) drawTable(r canvas.Region) {
	stock, okS := m.strength("stock")
	target, okT := m.strength("target")
	litres, names := m.volumes()
	if !okS || !okT || r.H < 2 {
		return
	}
	rows, err := records.MixTable(stock, target, litres)
	if err != nil {
		return
	}
	r.Put(2, 0, theme.Faint, m.t.Say("cleanup-mix.solution"))
	r.Put(14, 0, theme.Faint, m.t.Say("cleanup-mix.stock-metric"))
	r.Put(29, 0, theme.Faint, m.t.Say("cleanup-mix.stock-us"))
	for i, row := range rows {
		r.Put(2, 1+i, theme.Text, names[i])
		r.Put(14, 1+i, theme.Text, row.Metric)
		r.Put(29, 1+i, theme.Text, row.US)
	}
}
