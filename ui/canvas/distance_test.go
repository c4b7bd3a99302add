package canvas

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

// A 24 inch monitor of 16 to 9 is 299 mm high. What each size of drawn text serves
// there, by NUREG-0700's formula at the preferred 20 minutes of arc: D = 21600 h /
// (6.283 MA), for the height h of so many rows. Plain text serves nobody three metres
// away, drawn letters do up to 60 rows, and those of twice the height, for which
// there is room on more rows, up to 90.
func TestDistancesThatDrawnTextServes(t *testing.T) {
	for _, tc := range []struct {
		rows, high int // rows of the terminal, and of the text
		metres     float64
	}{
		{24, 1, 2.14}, {45, 1, 1.14}, {60, 1, 0.86}, {90, 1, 0.57},
		{45, digitRows, 5.71}, {60, digitRows, 4.28}, {90, 2 * digitRows, 5.71},
		{45, LetterRows - 1, 5.71}, {60, LetterRows - 1, 4.28}, {60, 2 * (LetterRows - 1), 8.57}, {90, 2 * (LetterRows - 1), 5.71},
	} {
		got := ServesM(Monitor{HeightMM: 299, Rows: tc.rows}.RowsMM(tc.high), PreferredArc)
		if math.Abs(got-tc.metres) > 0.006 {
			t.Errorf("%d of %d rows serve %.3f m, want %.2f", tc.high, tc.rows, got, tc.metres)
		}
		if drawn := tc.high > 1; drawn != (got >= 3) {
			t.Errorf("%d of %d rows serve %.2f m; three metres should need drawn text", tc.high, tc.rows, got)
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
