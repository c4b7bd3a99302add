package line

import (
	"math"

	"shedbell/line/say"
	"shedbell/recipes"
)

// Source is how a weight or a count came to be known. What was only assumed is never
// called measured later.
type Source string

// Sources, the surest first.
const (
	Weighed Source = "weighed" // read off a scale
	Typed   Source = "typed"   // counted, or known in another way to who typed it
	Assumed Source = "assumed" // what the recipe expects, taken as it stood
)

// Says is the word for it.
func (a Source) Says() say.Sentence {
	if a == "" {
		return say.Sentence{}
	}
	return say.New("source." + string(a))
}

var sureness = map[Source]int{Weighed: 2, Typed: 1}

// And is how a sum of two numbers is known: as well as the less sure of them. The
// zero value is that of nothing yet.
func (a Source) And(b Source) Source {
	switch {
	case a == "":
		return b
	case b == "" || sureness[a] <= sureness[b]:
		return a
	}
	return b
}

// expects fills in what is not known of a packed batch from its recipe; 0 is not known.
func expects(r *recipes.Recipe, trays, packages int, netG float64) (int, float64) {
	if packages == 0 {
		weight := netG
		if weight == 0 {
			weight = r.YieldG * float64(trays)
		}
		if r.PackageG > 0 {
			packages = int(min(weight/r.PackageG, 10000))
		} else if netG == 0 {
			netG = weight // sold loose
		}
	}
	if netG == 0 {
		netG = float64(packages) * r.PackageG
	}
	return packages, netG
}

// Known is how the packages and the weight of a packed batch are known. Records of
// earlier versions do not say: there, what equals the recipe's expectation was taken
// with Enter and is assumed, anything else was typed.
func (e *StepFinished) Known(r *recipes.Recipe, trays int) (packages, net Source) {
	if e.Lot == "" || e.NetBy != "" || e.PackagesBy != "" {
		return e.PackagesBy, e.NetBy
	}
	packages, net = Typed, Typed
	if expected, _ := expects(r, trays, 0, 0); e.Packages == expected {
		packages = Assumed
	}
	if _, g := expects(r, trays, e.Packages, 0); math.Abs(e.NetG-g) < 0.5 {
		net = Assumed
	}
	return packages, net
}
