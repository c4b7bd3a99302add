package theme

import (
	"math"
	"testing"

	"github.com/lucasb-eyer/go-colorful"
	"github.com/muesli/termenv"
	"golang.org/x/text/encoding/charmap"
)

// dichromacies are what linear RGB becomes for people without one kind of cones:
// Machado, Oliveira, Fernandes, "A Physiologically-based Model for Simulation of Color
// Vision Deficiency", IEEE TVCG 15 (6), 2009, table 1, severity 1.0.
var dichromacies = map[string][3][3]float64{
	"protanopia":   {{0.152286, 1.052583, -0.204868}, {0.114503, 0.786281, 0.099216}, {-0.003882, -0.048116, 1.051998}},
	"deuteranopia": {{0.367322, 0.860646, -0.227968}, {0.280085, 0.672501, 0.047413}, {-0.011820, 0.042940, 0.968881}},
	"tritanopia":   {{1.255528, -0.076749, -0.178779}, {-0.078411, 0.930809, 0.147602}, {0.004733, 0.691367, 0.303900}},
}

// seen is a colour as somebody with a dichromacy sees it.
func seen(c colorful.Color, by [3][3]float64) colorful.Color {
	r, g, b := c.LinearRgb()
	at := func(row [3]float64) float64 { return min(max(row[0]*r+row[1]*g+row[2]*b, 0), 1) }
	return colorful.LinearRgb(at(by[0]), at(by[1]), at(by[2]))
}

// Greys stay as they are: each row of a matrix adds up to one (the paper's own check, as
// achromatic light is seen alike by everybody).
func TestGreysStayGrey(t *testing.T) {
	for name, m := range dichromacies {
		for _, row := range m {
			if sum := row[0] + row[1] + row[2]; math.Abs(sum-1) > 2e-6 {
				t.Errorf("%s: a row adds up to %.6f", name, sum)
			}
		}
	}
}

// The distance of Sharma, Wu, Dalal, "The CIEDE2000 Color-Difference Formula", Color
// Research and Application 30 (1), 2005, table 1, pairs 1, 7 and 17.
func TestDistanceOfPublishedPairs(t *testing.T) {
	for _, tc := range []struct{ l1, a1, b1, l2, a2, b2, want float64 }{
		{50, 2.6772, -79.7751, 50, 0, -82.7485, 2.0425}, {50, 0, 0, 50, -1, 2, 2.3669}, {50, 2.5, 0, 73, 25, -18, 27.1492},
	} {
		a, b := colorful.Lab(tc.l1/100, tc.a1/100, tc.b1/100), colorful.Lab(tc.l2/100, tc.a2/100, tc.b2/100)
		if got := 100 * a.DistanceCIEDE2000(b); math.Abs(got-tc.want) > 0.01 {
			t.Errorf("%.4f, published %.4f", got, tc.want)
		}
	}
}

// Bars of any two crops are at least 5 apart on dark for everybody. On light some pairs
// cannot be; the code of two letters on every bar tells those apart, and where patterns
// are drawn, another one does, or the two are 3.5 apart.
func TestCropsAreToldApart(t *testing.T) {
	for name, least := range map[Name]float64{Dark: 5, Light: 3.5} {
		s := styles(name, termenv.TrueColor)
		for sight, m := range dichromacies {
			for i := range Crops {
				for j := range i {
					_, x := colours(s[Crop(i, Fill)])
					_, y := colours(s[Crop(j, Fill)])
					far := 100 * seen(hex(t, x), m).DistanceCIEDE2000(seen(hex(t, y), m))
					other := full.Fills[i%len(full.Fills)] != full.Fills[j%len(full.Fills)]
					if far < least && (name == Dark || !other) {
						t.Errorf("%s, %s: crops %d and %d are %.1f apart", name, sight, j, i, far)
					}
				}
			}
		}
	}
}

// The kernel's own console font is code page 437; Debian's Lat15 is ISO 8859-15 with
// thin lines and shades, and shows heavy and double lines by the shape of the thin one
// (console-setup; from memory). Half blocks are in the first alone.
func TestShapesFollowTheFont(t *testing.T) {
	kernelFont, debian, all := map[rune]int{}, map[rune]int{}, map[rune]int{}
	for b := range 256 {
		kernelFont[charmap.CodePage437.DecodeByte(byte(b))] = b
		debian[charmap.ISO8859_15.DecodeByte(byte(b))] = b
	}
	for i, c := range "▲▼►◄↕‼¶§▬↨↑↓→←∟↔" { // the kernel's map adds those of the low codes
		kernelFont[c] = 1000 + i
	}
	for i, c := range "─│┌┐└┘├┤┬┴┼█░▒▓▲■►→←·" {
		debian[c] = 300 + i
	}
	for c, like := range map[rune]rune{'━': '─', '┃': '│', '═': '─', '║': '│', '┄': '─', '╔': '┌', '╗': '┐', '╚': '└', '╝': '┘', '┏': '┌', '┓': '┐', '┗': '└', '┛': '┘'} {
		debian[c] = debian[like]
	}
	for i, c := range []rune("─│") {
		all[c] = i + 1
	}
	thin, others := full.drawn()
	for i, text := range append(others, thin...) {
		for _, c := range text {
			if all[c] == 0 {
				all[c] = 100 + i
			}
		}
	}
	for name, tc := range map[string]struct {
		font map[rune]int
		want Shapes
	}{"all": {all, Full}, "kernel": {kernelFont, Kernel}, "Debian": {debian, Latin}, "none": {map[rune]int{}, ASCII}} {
		if got := shapesOf(tc.font); got != tc.want {
			t.Errorf("%s: set %d, want %d", name, got, tc.want)
		}
	}
}

// A set of poorer fonts never draws with more than its font has.
func TestASCIISetIsASCII(t *testing.T) {
	thin, others := glyphs[ASCII].drawn()
	for _, text := range append(append(thin, others...), glyphs[ASCII].Rule, glyphs[ASCII].Block, glyphs[ASCII].Cursor) {
		for _, c := range text {
			if c > '~' {
				t.Errorf("%q", text)
			}
		}
	}
}
