package canvas

import (
	"strings"

	"shedbell/ui/theme"
)

// digitRows is how many rows a drawn digit takes at scale 1.
const digitRows = 5

// digits are drawn on a grid of 3 by 5. Each shape differs from every other in at
// least two cells, so that it survives a splash on the screen.
var digits = map[rune][digitRows]string{
	'0': {"###", "# #", "# #", "# #", "###"},
	'1': {" # ", "## ", " # ", " # ", "###"},
	'2': {"###", "  #", "###", "#  ", "###"},
	'3': {"###", "  #", " ##", "  #", "###"},
	'4': {"# #", "# #", "###", "  #", "  #"},
	'5': {"###", "#  ", "###", "  #", "###"},
	'6': {"###", "#  ", "###", "# #", "###"},
	'7': {"###", "  #", "  #", " # ", " # "},
	'8': {"###", "# #", "###", "# #", "###"},
	'9': {"###", "# #", "###", "  #", "###"},
	':': {" ", "#", " ", "#", " "},
	'-': {"   ", "   ", "###", "   ", "   "},
	'.': {" ", " ", " ", " ", "#"},
	' ': {" ", " ", " ", " ", " "},
}

// DigitsSize is the room that a drawn text takes, in cells. Terminal cells are
// about twice as high as wide, so each grid cell is drawn two cells wide.
func DigitsSize(text string, scale int) (w, h int) {
	for i, c := range text {
		if i > 0 {
			w += scale
		}
		w += len(digits[c][0]) * 2 * scale
	}
	return w, digitRows * scale
}

// Digits draws a text of digits, colons and signs in block characters, as large as
// scale says, from the region's top left. It returns the width taken.
func Digits(r Region, text string, scale int, role theme.Role) int {
	block := r.Theme().Glyphs.Block
	x := 0
	for i, c := range text {
		if i > 0 {
			x += scale
		}
		shape, ok := digits[c]
		if !ok {
			continue
		}
		for row, pattern := range shape {
			for col, on := range pattern {
				if on != '#' {
					continue
				}
				for dy := range scale {
					r.Put(x+col*2*scale, row*scale+dy, role, strings.Repeat(block, 2*scale))
				}
			}
		}
		x += len(shape[0]) * 2 * scale
	}
	return x
}

// LargestScale is the largest scale at which a text fits into w by h cells; 0 when
// even scale 1 does not fit.
func LargestScale(text string, w, h int) int {
	scale := 0
	for {
		tw, th := DigitsSize(text, scale+1)
		if tw > w || th > h {
			return scale
		}
		scale++
	}
}
