package canvas

import (
	"math"
	"testing"
)

// preferredArc is how many minutes of arc legible text should subtend; it has to
// subtend 16 (NUREG-0700 revision 2, 1.3.1-4).
const preferredArc = 20.0

// heightMM is how high text has to be, in millimetres, to be read at a distance in
// metres. The formula is NUREG-0700's: h = 6.283 D MA / 21600, in the unit of D.
func heightMM(distanceM, minutesOfArc float64) float64 {
	return 6.283 * distanceM * 1000 * minutesOfArc / 21600
}

// servesM is the distance in metres from which text of a height in millimetres can
// be read: the inverse of heightMM.
func servesM(heightMM, minutesOfArc float64) float64 {
	return heightMM * 21600 / (6.283 * minutesOfArc) / 1000
}

// monitor is a screen that a terminal fills.
type monitor struct {
	HeightMM float64 // height of the picture
	Rows     int     // rows of the terminal on it
}

// rowsMM is the height of text that takes a number of rows.
func (m monitor) rowsMM(rows int) float64 { return m.HeightMM * float64(rows) / float64(m.Rows) }

// The heights are computed from NUREG-0700 revision 2, 1.3.1-4: h = 6.283 D MA /
// 21600.
func TestHeightForDistance(t *testing.T) {
	for _, tc := range []struct{ m, arc, mm float64 }{
		{0.5, 20, 2.91}, {1, 20, 5.82}, {2, 20, 11.64}, {3, 20, 17.45}, {5, 20, 29.09},
		{1, 16, 4.65}, {2, 16, 9.31}, {3, 16, 13.96}, {1, 22, 6.40}, {2, 22, 12.80}, {3, 22, 19.20},
	} {
		if got := heightMM(tc.m, tc.arc); math.Abs(got-tc.mm) > 0.006 {
			t.Errorf("%.1f m at %.0f': %.3f mm, published %.2f", tc.m, tc.arc, got, tc.mm)
		}
		if back := servesM(heightMM(tc.m, tc.arc), tc.arc); math.Abs(back-tc.m) > 1e-9 {
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
		got := servesM(monitor{HeightMM: 299, Rows: tc.rows}.rowsMM(tc.high), preferredArc)
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
