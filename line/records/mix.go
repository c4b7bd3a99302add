package records

import (
	"errors"
	"fmt"
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

// PercentPPM is a strength in percent by mass in volume.
func PercentPPM(p float64) PPM { return PPM(p * 10000) }

// Percent is the strength in percent.
func (s PPM) Percent() float64 { return float64(s) / 10000 }

// Mix is a working solution: so much stock and so much water. Strengths are by mass
// in volume: 1 % is 10 g/L, which is 10,000 mg/L and, in water, 10,000 ppm. Volumes
// are in litres inside and in litres or US units outside.
//
// It works out what a label asks for; it does not say what is safe. Peroxide and
// chlorine products burn skin and eyes: gloves and goggles, stock into water and
// never the other way round, never two products together. The label decides.
type Mix struct {
	Stock, Target PPM
	TotalL        float64
	StockL        float64
	WaterL        float64
}

// Errors of a mix that cannot be made.
var (
	ErrMixStrength = errors.New("the target has to be weaker than the stock and stronger than nothing")
	ErrMixVolume   = errors.New("give a volume between nothing and 100,000 litres")
)

// NewMix is the mix that fills a volume: C1 V1 = C2 V2.
func NewMix(stock, target PPM, totalL float64) (Mix, error) {
	if !(target > 0 && target <= stock && stock <= PercentPPM(100)) {
		return Mix{}, fmt.Errorf("%g ppm from %g ppm: %w", float64(target), float64(stock), ErrMixStrength)
	}
	if !(totalL > 0 && totalL <= 1e5) {
		return Mix{}, ErrMixVolume
	}
	v := totalL * float64(target/stock)
	return Mix{Stock: stock, Target: target, TotalL: totalL, StockL: v, WaterL: totalL - v}, nil
}

// MetricVolume writes a volume in millilitres or litres.
func MetricVolume(l float64) string {
	if l < 1 {
		return fmt.Sprintf("%.3g mL", l*1000)
	}
	return fmt.Sprintf("%.4g L", l)
}

// USVolume writes a volume in the largest US measure that it holds at least one of.
func USVolume(l float64) string {
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

// MixRow is a line of a mixing table.
type MixRow struct {
	Mix
	Metric string // stock for the volume
	US     string
}

// MixTable is the stock for several volumes, given in litres.
func MixTable(stock, target PPM, volumesL []float64) ([]MixRow, error) {
	var out []MixRow
	for _, v := range volumesL {
		m, err := NewMix(stock, target, v)
		if err != nil {
			return nil, err
		}
		out = append(out, MixRow{m, MetricVolume(m.StockL), USVolume(m.StockL)})
	}
	return out, nil
}
