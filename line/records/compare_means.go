package records

import (
	"math"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"

	"shedbell/line/say"
)

// MeanChange is a before/after comparison: by how much the mean moved, with the
// interval that holds it at the given confidence (Welch, unequal variances).
type MeanChange struct {
	Before, After   float64 // means
	NBefore, NAfter int
	Diff            float64 // After - Before
	Low, High       float64 // of Diff
	DF              float64 // degrees of freedom, Welch-Satterthwaite
	Confidence      float64
}

// CompareMeans weighs values before a change against those after it.
func CompareMeans(before, after []float64, confidence float64) (MeanChange, error) {
	c := MeanChange{NBefore: len(before), NAfter: len(after), Confidence: confidence}
	if len(before) < 2 || len(after) < 2 {
		return c, ErrTooFewValues
	}
	var vb, va float64
	c.Before, vb = stat.MeanVariance(before, nil)
	c.After, va = stat.MeanVariance(after, nil)
	c.Diff = c.After - c.Before
	nb, na := float64(len(before)), float64(len(after))
	qb, qa := vb/nb, va/na
	se := math.Sqrt(qb + qa)
	if se == 0 {
		c.Low, c.High, c.DF = c.Diff, c.Diff, nb+na-2
		return c, nil
	}
	c.DF = (qb + qa) * (qb + qa) / (qb*qb/(nb-1) + qa*qa/(na-1))
	t := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: c.DF}.Quantile(1 - (1-confidence)/2)
	c.Low, c.High = c.Diff-t*se, c.Diff+t*se
	return c, nil
}

// Says is what the comparison shows, in a unit.
func (c MeanChange) Says(unit any) say.Sentence {
	span := say.New("record-says.more-than-before-sure",
		c.Diff, unit, c.Confidence*100, c.Low, c.High, c.NBefore, c.NAfter)
	if c.Diff < 0 {
		span = say.New("record-says.less-than-before-sure",
			-c.Diff, unit, c.Confidence*100, c.Low, c.High, c.NBefore, c.NAfter)
	}
	if c.Low <= 0 && c.High >= 0 {
		return say.New("record-says.may-chance", span)
	}
	return span
}
