package cleanup

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"shedbell/line"
	"shedbell/line/records"
	"shedbell/ui/canvas"
	"shedbell/ui/field"
	"shedbell/ui/screen"
	"shedbell/ui/theme"
	"shedbell/ui/words"
)

// products are what such sheds sanitize with, by what is in it; a name off the
// label can be typed instead.
func products(t *words.Speaker) []string {
	return []string{t.Say("cleanup-mix.peroxide"), t.Say("cleanup-mix.peroxyacetic"), t.Say("cleanup-mix.chlorine")}
}

// Fields of the form.
const (
	fieldProduct = iota
	fieldStock
	fieldTarget
	fieldVolume
	fieldReading
	fieldCount
)

var fieldKeys = [fieldCount]string{"product", "stock", "target", "volume", "reading"}

// mixForm is the sanitizer being mixed and read.
type mixForm struct {
	t        *words.Speaker
	products []string // to choose among
	at       int
	fields   [fieldCount]field.Field
	percent  [fieldCount]bool // the strength is typed in percent
	gallons  bool
}

// newMix begins with the product that was entered last.
func newMix(env *screen.Env, d *day) *mixForm {
	m := &mixForm{t: env.Words, products: products(env.Words), gallons: env.Prefs.US}
	for i := range m.fields {
		m.fields[i].Kind = field.Decimal
	}
	m.fields[fieldProduct] = field.Field{Kind: field.Words, Text: m.products[0]}
	m.percent[fieldStock] = true
	for i := len(d.s.Entries) - 1; i >= 0; i-- {
		if e := &d.s.Entries[i].Entry; e.Kind == line.EntryStrength && e.Use == line.UseSurface {
			m.fields[fieldProduct].Text = e.Product
			break
		}
	}
	return m
}

var (
	keyField   = screen.Bind("Enter", "cleanup-does.next-then-enter", "enter", "down", "tab")
	keyBefore  = screen.Bind("/", "cleanup-does.field-before", "/", "up")
	keyUnit    = screen.Bind("*", "cleanup-does.other-unit", "*")
	keyProduct = screen.Bind("+ -", "cleanup-does.other-product", "+", "=", "-")
	keyType    = screen.Bind("a-z", "cleanup-does.type-name")
	keyDigits  = screen.Bind("0-9 .", "does.type")
	keyAway    = screen.Bind("-", "does.erase", "-", "backspace")
	keyLeave   = screen.Bind("esc", "does.back", "esc")
	keyZero    = screen.Bind("0", "does.back", "0", "esc")
)

func (m *mixForm) keys() []screen.Binding {
	if m.at == fieldProduct {
		return []screen.Binding{keyField, keyProduct, keyType, keyZero}
	}
	return []screen.Binding{keyField, keyDigits, keyAway, keyUnit, keyBefore, keyLeave}
}

func (s *Screen) mixKey(env *screen.Env, k tea.KeyMsg) tea.Cmd {
	m := s.mix
	name := k.String()
	switch {
	case name == "esc", name == "0" && m.at == fieldProduct:
		s.mix = nil
	case name == "enter" && m.at == fieldReading:
		return s.entry(env, m.entry())
	case name == "enter" || name == "down" || name == "tab":
		m.at = (m.at + 1) % fieldCount
	case name == "/" || name == "up":
		if m.at == 0 {
			s.mix = nil
			return nil
		}
		m.at--
	case name == "*":
		m.otherUnit()
	case m.at == fieldProduct && (name == "+" || name == "=" || name == "-"):
		by := 1
		if name == "-" {
			by = len(m.products) - 1
		}
		i := max(slices.Index(m.products, m.fields[fieldProduct].Text), 0)
		m.fields[fieldProduct].Text = m.products[(i+by)%len(m.products)]
	default:
		m.typed(k)
	}
	return nil
}

// typed puts a key into the field. The first letter replaces a product of the list.
func (m *mixForm) typed(k tea.KeyMsg) {
	f := &m.fields[m.at]
	if m.at == fieldProduct && k.Type == tea.KeyRunes && slices.Contains(m.products, f.Text) {
		f.Text = ""
	}
	f.Key(k)
}

func (m *mixForm) otherUnit() {
	switch m.at {
	case fieldStock, fieldTarget, fieldReading:
		m.percent[m.at] = !m.percent[m.at]
	case fieldVolume:
		m.gallons = !m.gallons
	}
}

func (m *mixForm) unit(i int) string {
	switch {
	case i == fieldProduct:
		return ""
	case i == fieldVolume && m.gallons:
		return "gal"
	case i == fieldVolume:
		return "L"
	case m.percent[i]:
		return "%"
	}
	return "ppm"
}

// entry is the reading of the strip. Without one it has no unit, and the line says
// what is missing.
func (m *mixForm) entry() line.Entry {
	e := line.Entry{Kind: line.EntryStrength, Use: line.UseSurface, Where: "surfaces", Product: strings.TrimSpace(m.fields[fieldProduct].Text)}
	if v, ok := m.fields[fieldReading].Number(); ok {
		e.Value, e.Unit = v, line.UnitPPM
		if m.percent[fieldReading] {
			e.Unit = line.UnitPercent
		}
	}
	return e
}

func (m *mixForm) strength(i int) (records.PPM, bool) {
	v, ok := m.fields[i].Number()
	if m.percent[i] {
		return records.PercentPPM(v), ok
	}
	return records.PPM(v), ok
}

// litres is the volume to mix.
func (m *mixForm) litres() (float64, bool) {
	v, ok := m.fields[fieldVolume].Number()
	if m.gallons {
		v *= records.GallonL
	}
	return v, ok
}

// answer is the mix in words, or what keeps it from being reckoned.
func (m *mixForm) answer() (text string, role theme.Role) {
	stock, okS := m.strength(fieldStock)
	target, okT := m.strength(fieldTarget)
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
func (m *mixForm) volumes() (litres []float64, names []string) {
	if m.gallons {
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

func (m *mixForm) draw(env *screen.Env, r canvas.Region) {
	y := 0
	for i := range m.fields {
		role := theme.Text
		if i == m.at {
			role = theme.Chosen
			r.Put(0, y, theme.Strong, r.Theme().Glyphs.Arrow)
		}
		r.Put(2, y, role, m.t.Say("cleanup-mix."+fieldKeys[i]))
		m.fields[i].Draw(r.Sub(19, y, r.W-19, 1), i == m.at, m.unit(i))
		y++
	}
	text, role := m.answer()
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
func (m *mixForm) beside(env *screen.Env) []string {
	e := m.entry()
	if e.Unit == line.UnitNone {
		target, ok := m.strength(fieldTarget)
		if !ok {
			return nil
		}
		e.Value, e.Unit = float64(target), line.UnitPPM
	}
	var out []string
	for _, b := range env.State.Site.Beside(&e) {
		out = append(out, env.Words.Beside(&b, false))
	}
	return out
}

// drawTable draws the stock for the usual volumes.
func (m *mixForm) drawTable(r canvas.Region) {
	stock, okS := m.strength(fieldStock)
	target, okT := m.strength(fieldTarget)
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

// chlorines are how products with chlorine are called, in every language.
var chlorines = []string{"chlor", "bleach", "clor", "lejía", "lejia", "lavandina"}

// danger is what to mind about the product.
func danger(product string) words.Danger {
	product = strings.ToLower(product)
	if slices.ContainsFunc(chlorines, func(name string) bool { return strings.Contains(product, name) }) {
		return words.DangerChlorine
	}
	return words.DangerPeroxide
}
