package canvas

import (
	"math"
	"strings"
	"testing"

	"github.com/muesli/termenv"

	"shedbell/ui/theme"
)

// preferredArc is how many minutes of arc legible text should subtend; it has to
// subtend 16 (NUREG-0700 revision 2, 1.3.1-4).
const preferredArc, leastArc = 20.0, 16.0

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
func (m monitor) rowsMM(rows float64) float64 { return m.HeightMM * rows / float64(m.Rows) }

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

// capitals is the share of a row's height that capitals of plain text fill in common
// fonts of terminals: a fact of the trade, no source.
const capitals = 0.63

// A 27 inch monitor of 16 to 9 is 336 mm high. What each kind of text serves there by
// NUREG-0700's formula, D = 21600 h / (6.283 MA): plain text serves nobody three metres
// away; letters of half blocks, which fill 2.5 rows, do up to 48 rows at the preferred
// arc and up to 60 at the least; those of whole blocks up to 90.
func TestDistancesThatDrawnTextServes(t *testing.T) {
	const half, whole = glyphRows / 2.0, glyphRows
	for _, tc := range []struct {
		rows        int
		high        float64 // rows that capitals fill
		arc, metres float64
		threeMetres bool
	}{
		{24, capitals, leastArc, 1.90, false}, {48, capitals, leastArc, 0.95, false},
		{40, half, preferredArc, 3.61, true}, {48, half, preferredArc, 3.01, true}, {60, half, preferredArc, 2.41, false},
		{60, half, leastArc, 3.01, true}, {90, half, leastArc, 2.01, false}, {90, whole, preferredArc, 3.21, true},
	} {
		got := servesM(monitor{HeightMM: 336, Rows: tc.rows}.rowsMM(tc.high), tc.arc)
		if math.Abs(got-tc.metres) > 0.006 || (got >= 3) != tc.threeMetres {
			t.Errorf("%.2f of %d rows serve %.3f m at %.0f', want %.2f", tc.high, tc.rows, got, tc.arc, tc.metres)
		}
	}
	for c, want := range map[int]float64{0: half, 1: whole} { // what is drawn has that height
		r := New(40, 10, theme.New(theme.Options{Name: theme.Mono, Profile: termenv.Ascii})).All()
		if _, h := r.BlockSize("HI", c); float64(h) != math.Ceil(want) {
			t.Errorf("size %d is %d rows high, want %.1f", c, h, want)
		}
	}
}

func TestEveryLetterIsWhole(t *testing.T) {
	seen := map[string]rune{}
	for c, shape := range block {
		rows := strings.Split(shape, "|")
		if len(rows) != glyphRows {
			t.Errorf("%q has %d rows", c, len(rows))
		}
		for _, row := range rows {
			if len(row) != len(rows[0]) {
				t.Errorf("%q: a row is %d wide, the first %d", c, len(row), len(rows[0]))
			}
		}
		if other, ok := seen[shape]; ok {
			t.Errorf("%q and %q look alike", c, other)
		}
		seen[shape] = c
	}
}

// A clause begins a line where that costs one line at most, a number stays with its word,
// and what has no shape is not drawn.
func TestWrapBlock(t *testing.T) {
	r := New(60, 10, theme.New(theme.Options{Name: theme.Mono, Profile: termenv.Ascii})).All()
	for _, tc := range []struct {
		width int
		want  string
	}{
		{200, "Blower off, lift sunflower 1 into spinner"}, {100, "Blower off,|lift sunflower 1|into spinner"}, {50, "Blower off,|lift|sunflower 1|into spinner"},
	} {
		wide := New(tc.width, 1, r.Theme()).All()
		lines, _ := wide.WrapBlock([]string{"Blower off,", "lift sunflower 1", "into spinner"}, 0)
		if got := strings.Join(lines, "|"); got != tc.want {
			t.Errorf("in %d cells %q, want %q", tc.width, got, tc.want)
		}
	}
	if _, ok := New(20, 1, r.Theme()).All().WrapBlock([]string{"sunflower"}, 0); ok {
		t.Error("a word that is too wide was drawn")
	}
	if Drawable("菜 1") || !Drawable("¿Señal, ÜBER 1?") {
		t.Error("only what has a shape can be drawn")
	}
}
