package form

import (
	"shedbell/line"
	"shedbell/ui/screen"
)

// Packed asks what a batch was packed into. The board and the station's screen both
// ask it. A weight that stands still on the balance is filled in; else Enter takes what the recipe expects, which is kept as assumed; the weight follows
// the packages. Of a weight that was typed it asks whether a scale showed it.
func Packed(env *screen.Env, b *line.Batch) *Form {
	r, _ := env.State.Recipe(b.Crop)
	weight := r.YieldG * float64(b.Trays)
	title := env.Words.Say("pack.title", env.Words.Caps(b))
	packages := Row{Name: "packages", Label: "pack.into", Kind: Whole, Unit: "pack.packages", Max: 10_000, Default: Num(0)}
	if r.PackageG > 0 {
		title = env.Words.Say("pack.title-of", env.Words.Caps(b), env.Words.Weight(r.PackageG))
		packages.Min, packages.Default = 1, Num(max(1, float64(int(weight/r.PackageG))))
	}
	net := Row{Name: "net", Label: "pack.net-weight", Kind: Weight, Min: 1, Max: 1e6, DefaultOf: func(f *Form) Value {
		n, ok := f.Number("packages")
		switch {
		case !ok:
			return Value{}
		case r.PackageG > 0:
			return Num(n * r.PackageG)
		}
		return Num(weight)
	}}
	if st := b.Step.Place.Station; env.Measured != nil && st >= 0 {
		if g, ok := env.Measured.Weighs(env.State.Site.Stations[st].Name, env.Now); ok {
			net.Filled, net.Note = Num(g), "pack.balance"
		}
	}
	return New(env, title, "", packages, net, Row{Name: "how", Label: "pack.how", Kind: Choice, Choices: []string{"pack.weighed", "pack.known"}, Default: Num(0),
		When: func(f *Form) bool { return f.Typed("net") || net.Note != "" }})
}

// FinishPacking ends the packing with what Packed has asked.
func FinishPacking(f *Form, at line.Place) line.Finish {
	g, _ := f.Number("net")
	c := line.Finish{At: at, Packages: f.Int("packages"), NetG: g, PackagesBy: line.Assumed, NetBy: line.Assumed}
	if f.Typed("packages") {
		c.PackagesBy = line.Typed
	}
	if how, ok := f.Choice("how"); ok && how == 0 {
		c.NetBy = line.Weighed
	} else if f.Typed("net") {
		c.NetBy = line.Typed
	}
	return c
}
