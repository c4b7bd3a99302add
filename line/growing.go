package line

import (
	"slices"
	"strings"
	"time"

	"shedbell/line/say"
	"shedbell/recipes"
)

// Grown is trays of one sowing: as many as still grow, or as a batch was cut from.
type Grown struct {
	Sowing  int64 // number of the record that sowed them
	Crop    string
	Sown    time.Time
	SeedLot string `json:",omitempty"`
	Trays   int
}

// CountGrowing says how many trays of a sowing stand on the growing racks: what is missing
// is lost. Without a sowing it is trays that nobody wrote down.
type CountGrowing struct {
	Sowing int64
	Crop   string    // without a sowing
	Sown   time.Time // without a sowing
	Trays  int
	Why    string // of what is lost
}

// GrowingCounted says so.
type GrowingCounted struct {
	Sowing int64     `json:",omitempty"`
	Crop   string    `json:",omitempty"`
	Sown   time.Time `json:",omitzero"`
	Trays  int
	Why    string `json:",omitempty"`
}

// PackagesThrown is packages of a lot that nobody will eat: they are neither sold nor in
// the fridge any more.
type PackagesThrown struct {
	Lot      string
	Packages int
	Why      string
}

// ThrowAway says that packages of a lot were thrown away.
type ThrowAway PackagesThrown

// youngestCut is how old trays are at least when they are cut: common practice, no
// source. It keeps trays that were just sown out of today's harvest.
const youngestCut = 3 * 24 * time.Hour

// tooOld says that trays have stood more than twice as long as their crop needs, and a
// week: they were thrown away, and nobody wrote it down (common practice, no source).
func (g *Grown) tooOld(r *recipes.Recipe, now time.Time) bool {
	return r.DaysToHarvest > 0 && now.Sub(g.Sown) > time.Duration(2*r.DaysToHarvest+7)*24*time.Hour
}

// ReadyOn is the day on which trays can be cut; false where the recipe does not say.
func (g *Grown) ReadyOn(r *recipes.Recipe) (time.Time, bool) {
	return g.Sown.AddDate(0, 0, r.DaysToHarvest), r.DaysToHarvest > 0
}

// Racks are the trays that grow, in the order in which they were sown.
type Racks []Grown

// Cut takes trays of a crop off the racks, those sown first: which they are, and what
// still grows. It is less than asked for where nobody wrote the sowing down.
func (racks Racks) Cut(r *recipes.Recipe, trays int, now time.Time) (cut, rest Racks) {
	for _, g := range racks {
		if g.Crop == r.Crop && g.tooOld(r, now) {
			continue
		}
		if n := min(trays, g.Trays); g.Crop == r.Crop && n > 0 && now.Sub(g.Sown) >= youngestCut {
			of := g
			of.Trays = n
			cut = append(cut, of)
			trays -= n
			g.Trays -= n
		}
		if g.Trays > 0 {
			rest = append(rest, g)
		}
	}
	return cut, rest
}

// split parts the first trays from the rest.
func (racks Racks) split(trays int) (first, rest Racks) {
	for _, g := range racks {
		part := g
		if part.Trays = min(trays, g.Trays); part.Trays > 0 {
			first = append(first, part)
		}
		if g.Trays -= part.Trays; g.Trays > 0 {
			rest = append(rest, g)
		}
		trays -= part.Trays
	}
	return first, rest
}

// Add puts trays on the racks, or takes some off with fewer than none.
func (racks Racks) Add(g Grown) Racks {
	out := slices.Clone(racks)
	i := slices.IndexFunc(out, func(o Grown) bool { return o.Sowing == g.Sowing })
	if i < 0 {
		if i = slices.IndexFunc(out, func(o Grown) bool { return o.Sown.After(g.Sown) }); i < 0 {
			i = len(out)
		}
		return slices.Insert(out, i, g)
	}
	if out[i].Trays += g.Trays; out[i].Trays <= 0 {
		return slices.Delete(out, i, i+1)
	}
	return out
}

// Counted is the racks as somebody counted them.
func (racks Racks) Counted(e GrowingCounted, seq int64) Racks {
	g, ok := racks.Sowing(e.Sowing)
	if !ok {
		g = Grown{Sowing: seq, Crop: e.Crop, Sown: e.Sown}
	}
	g.Trays = e.Trays - g.Trays
	return racks.Add(g)
}

// Sowing is what still grows of a sowing, by its number.
func (racks Racks) Sowing(id int64) (Grown, bool) {
	if i := slices.IndexFunc(racks, func(g Grown) bool { return g.Sowing == id }); i >= 0 {
		return racks[i], true
	}
	return Grown{}, false
}

// takeGrown takes trays off the racks, for a batch or, with nil, for nothing.
func (s *State) takeGrown(b *Batch, crop string, trays int, now time.Time) {
	r, ok := s.Recipe(crop)
	if !ok || trays <= 0 {
		return
	}
	cut, rest := s.Growing.Cut(&r, trays, now)
	if s.Growing = rest; b != nil {
		b.Grown = slices.Concat(b.Grown, cut)
	}
}

// leaveRacks takes a batch's trays off the racks, when the first of its work begins.
func (s *State) leaveRacks(b *Batch, now time.Time) {
	if b.Fate == Waiting {
		s.takeGrown(b, b.Crop, b.Trays, now)
	}
}

// giveBack puts trays of a batch that were not cut after all where they came from.
func (s *State) giveBack(b *Batch, trays int) {
	b.Grown = slices.Clone(b.Grown)
	for trays > 0 && len(b.Grown) > 0 {
		last := &b.Grown[len(b.Grown)-1]
		n := min(trays, last.Trays)
		back := *last
		back.Trays = n
		s.Growing = s.Growing.Add(back)
		trays -= n
		if last.Trays -= n; last.Trays == 0 {
			b.Grown = b.Grown[:len(b.Grown)-1]
		}
	}
}

func (c CountGrowing) decide(d *draft) *Refusal {
	e := GrowingCounted{Sowing: c.Sowing, Trays: c.Trays, Why: strings.TrimSpace(c.Why)}
	now, known := d.s.Growing.Sowing(c.Sowing)
	if !known {
		e.Crop, e.Sown, now = c.Crop, c.Sown, Grown{Crop: c.Crop}
	}
	_, ok := d.s.Recipe(now.Crop)
	switch {
	case c.Sowing != 0 && !known:
		return refuse(RuleUnknown, "line.no-sowing")
	case !ok:
		return refuse(RuleUnknown, "line.no-recipe", say.Crop(printable(now.Crop)))
	case c.Trays < 0 || c.Trays > MaxDayTrays || !known && c.Trays == 0:
		return refuse(RuleValue, "line.crop-trays", c.Trays, say.Crop(now.Crop), MaxDayTrays)
	case !known && (!writable(c.Sown) || c.Sown.After(d.now) || d.now.Sub(c.Sown) > 366*24*time.Hour):
		return refuse(RuleValue, "line.sown-when")
	case c.Trays == now.Trays:
		return refuse(RuleNothing, "line.so-already")
	case unfit(e.Why) || e.Why == "" && c.Trays < now.Trays:
		return refuse(RuleValue, "line.lost-why")
	}
	d.undo = say.New("undo.count-growing", say.Crop(now.Crop))
	d.emit(e)
	return nil
}

func (e GrowingCounted) apply(s *State, r Record) { s.Growing = s.Growing.Counted(e, r.Seq) }

func (c ThrowAway) decide(d *draft) *Refusal {
	e := PackagesThrown{Lot: strings.TrimSpace(c.Lot), Packages: c.Packages, Why: strings.TrimSpace(c.Why)}
	left, ok := d.s.LotLeft(e.Lot)
	switch {
	case !ok:
		return refuse(RuleUnknown, "line.no-lot", printable(e.Lot))
	case e.Packages < 1 || e.Packages > left:
		return refuse(RuleValue, "line.packages-left", e.Lot, left, e.Packages)
	case e.Why == "" || unfit(e.Why):
		return refuse(RuleValue, "line.lost-why")
	}
	d.undo = say.New("undo.throw-away", e.Lot)
	d.emit(e)
	return nil
}

func (e PackagesThrown) apply(s *State, _ Record) {
	s.Thrown = append(slices.Clone(s.Thrown), e)
	s.Thrown = s.Thrown[max(0, len(s.Thrown)-KeptSales):]
}
