// Package dilution reckons how much stock makes a working solution of a target
// strength. Strengths are by mass in volume: 1 % is 10 g/L, which is 10,000 mg/L
// and, in water, 10,000 ppm. Volumes are in litres inside and in litres or US
// units outside.
//
// It reckons what a label asks for; it does not say what is safe. Peroxide and
// chlorine products burn skin and eyes: gloves and goggles, stock into water and
// never the other way round, never two products together. The label decides.
package dilution

import (
	"errors"
	"fmt"
	"math"
)

// US measures in litres, exact by definition (NIST Handbook 44, appendix C: the US
// gallon is 231 cubic inches).
const (
	GallonL     = 3.785411784
	QuartL      = GallonL / 4
	CupL        = GallonL / 16
	FluidOunceL = GallonL / 128
	TablespoonL = GallonL / 256
	TeaspoonL   = GallonL / 768
)

// PPM is a strength in milligrams in a litre.
type PPM float64

// Percent is a strength in percent by mass in volume.
func Percent(p float64) PPM { return PPM(p * 10000) }

// Percent is the strength in percent.
func (s PPM) Percent() float64 { return float64(s) / 10000 }

// Mix is a working solution: so much stock and so much water.
type Mix struct {
	Stock, Target PPM
	TotalL        float64
	StockL        float64
	WaterL        float64
}

// Errors of a mix that cannot be made.
var (
	ErrStrength = errors.New("the target has to be weaker than the stock and stronger than nothing")
	ErrVolume   = errors.New("give a volume between nothing and 100,000 litres")
)

// Make is the mix that fills a volume: C1 V1 = C2 V2.
func Make(stock, target PPM, totalL float64) (Mix, error) {
	if !(target > 0 && target <= stock && stock <= Percent(100)) {
		return Mix{}, fmt.Errorf("%g ppm from %g ppm: %w", float64(target), float64(stock), ErrStrength)
	}
	if !(totalL > 0 && totalL <= 1e5) {
		return Mix{}, ErrVolume
	}
	v := totalL * float64(target/stock)
	return Mix{Stock: stock, Target: target, TotalL: totalL, StockL: v, WaterL: totalL - v}, nil
}

// MakeInto is the mix for a tub that already holds the water; the stock comes on
// top of it.
func MakeInto(stock, target PPM, waterL float64) (Mix, error) {
	if !(target > 0 && target < stock && stock <= Percent(100)) {
		return Mix{}, fmt.Errorf("%g ppm from %g ppm: %w", float64(target), float64(stock), ErrStrength)
	}
	return Make(stock, target, waterL*float64(stock/(stock-target)))
}

// Strength is what so much stock in so much water gives, the stock counted in the
// volume.
func Strength(stock PPM, stockL, waterL float64) PPM {
	if !(stockL >= 0 && waterL >= 0) || stockL+waterL == 0 {
		return 0
	}
	return PPM(float64(stock) * stockL / (stockL + waterL))
}

// Nominal is what so much stock for each volume of water is called on charts that
// leave the added stock out of the volume.
func Nominal(stock PPM, stockL, waterL float64) PPM {
	if !(stockL >= 0 && waterL > 0) {
		return 0
	}
	return PPM(float64(stock) * stockL / waterL)
}

// PowderGrams is how much powder of a strength by mass makes a litre of a target.
func PowderGrams(powderPercent float64, target PPM) float64 {
	if !(powderPercent > 0 && powderPercent <= 100) {
		return 0
	}
	return float64(target) / 1000 / (powderPercent / 100)
}

// Parts is how many parts of water go to one part of stock.
func (m Mix) Parts() float64 {
	if m.StockL == 0 {
		return math.Inf(1)
	}
	return m.WaterL / m.StockL
}

// Metric writes a volume in millilitres or litres.
func Metric(l float64) string {
	if l < 1 {
		return fmt.Sprintf("%.3g mL", l*1000)
	}
	return fmt.Sprintf("%.4g L", l)
}

// US writes a volume in the largest US measure that it holds at least one of.
func US(l float64) string {
	for _, m := range []struct {
		l    float64
		name string
	}{{GallonL, "gal"}, {QuartL, "qt"}, {CupL, "cup"}, {FluidOunceL, "fl oz"}, {TablespoonL, "tbsp"}} {
		if l >= m.l*(1-1e-9) {
			return fmt.Sprintf("%.3g %s", l/m.l, m.name)
		}
	}
	return fmt.Sprintf("%.2g tsp", l/TeaspoonL)
}

// Row is a line of a mixing table.
type Row struct {
	Mix
	Metric string // stock for the volume
	US     string
}

// Table is the stock for several volumes, given in litres.
func Table(stock, target PPM, volumesL []float64) ([]Row, error) {
	var out []Row
	for _, v := range volumesL {
		m, err := Make(stock, target, v)
		if err != nil {
			return nil, err
		}
		out = append(out, Row{m, Metric(m.StockL), US(m.StockL)})
	}
	return out, nil
}
