package widget

import (
	"math"
	"testing"
)

// The heights are computed from NUREG-0700 revision 2, 1.3.1-4: h = 6.283 D MA /
// 21600.
func TestHeightForDistance(t *testing.T) {
	for _, tc := range []struct{ m, arc, mm float64 }{
		{0.5, 20, 2.91}, {1, 20, 5.82}, {2, 20, 11.64}, {3, 20, 17.45}, {5, 20, 29.09},
		{1, 16, 4.65}, {2, 16, 9.31}, {3, 16, 13.96}, {1, 22, 6.40}, {2, 22, 12.80}, {3, 22, 19.20},
	} {
		if got := HeightMM(tc.m, tc.arc); math.Abs(got-tc.mm) > 0.006 {
			t.Errorf("%.1f m at %.0f': %.3f mm, published %.2f", tc.m, tc.arc, got, tc.mm)
		}
		if back := ServesM(HeightMM(tc.m, tc.arc), tc.arc); math.Abs(back-tc.m) > 1e-9 {
			t.Errorf("%.1f m came back as %.4f m", tc.m, back)
		}
	}
}

// A 24 inch monitor of 16 to 9 is 299 mm high. What is drawn in blocks serves three
// metres there up to 60 rows; a plain row of text never does.
func TestDrawnTextServesThreeMetres(t *testing.T) {
	for _, tc := range []struct {
		rows   int
		digits int // rows of the drawn clock
	}{{45, digitRows}, {60, digitRows}, {90, 2 * digitRows}} {
		m := Monitor{HeightMM: 299, Rows: tc.rows}
		if d := ServesM(m.RowsMM(tc.digits), PreferredArc); d < 3 {
			t.Errorf("%d rows: drawn digits serve %.1f m", tc.rows, d)
		}
		if d := ServesM(m.RowsMM(LetterRows-1), PreferredArc); tc.rows <= 60 && d < 3 {
			t.Errorf("%d rows: drawn letters serve %.1f m", tc.rows, d)
		}
		if d := ServesM(m.RowsMM(1), PreferredArc); d >= 3 {
			t.Errorf("%d rows: plain text serves %.1f m, so drawing would not be needed", tc.rows, d)
		}
	}
}

func TestEveryLetterIsWhole(t *testing.T) {
	for c, shape := range letters {
		rows := 1
		width, x := -1, 0
		for _, cell := range shape + "|" {
			if cell != '|' {
				x++
				continue
			}
			if width >= 0 && x != width {
				t.Errorf("%q: row %d is %d wide, others %d", c, rows, x, width)
			}
			width, x = x, 0
			rows++
		}
		if rows-1 != LetterRows-1 {
			t.Errorf("%q has %d rows", c, rows-1)
		}
	}
	seen := map[string]rune{}
	for c, shape := range letters {
		if other, ok := seen[shape]; ok {
			t.Errorf("%q and %q look alike", c, other)
		}
		seen[shape] = c
	}
}
