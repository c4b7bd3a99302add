package canvas

import (
	"strings"

	"shedbell/ui/theme"
)

// glyphRows is how many rows the grid of a drawn character has.
const glyphRows = 5

// block are drawn characters, a row after the other. Each digit differs from every other
// in at least two cells, so that it survives a splash on the screen.
var block = map[rune]string{
	'A': ".##.|#..#|####|#..#|#..#", 'B': "###.|#..#|###.|#..#|###.", 'C': ".###|#...|#...|#...|.###",
	'D': "###.|#..#|#..#|#..#|###.", 'E': "###|#..|##.|#..|###", 'F': "###|#..|##.|#..|#..",
	'G': ".###|#...|#.##|#..#|.###", 'H': "#..#|#..#|####|#..#|#..#", 'I': "#|#|#|#|#",
	'J': "..#|..#|..#|#.#|###", 'K': "#..#|#.#.|##..|#.#.|#..#", 'L': "#..|#..|#..|#..|###",
	'M': "#...#|##.##|#.#.#|#...#|#...#", 'N': "#..#|##.#|#.##|#..#|#..#", 'O': ".##.|#..#|#..#|#..#|.##.",
	'P': "###.|#..#|###.|#...|#...", 'Q': ".##.|#..#|#..#|#.##|.###", 'R': "###.|#..#|###.|#.#.|#..#",
	'S': ".###|#...|.##.|...#|###.", 'T': "###|.#.|.#.|.#.|.#.", 'U': "#..#|#..#|#..#|#..#|.##.",
	'V': "#.#|#.#|#.#|#.#|.#.", 'W': "#...#|#...#|#.#.#|#.#.#|.#.#.", 'X': "#.#|#.#|.#.|#.#|#.#",
	'Y': "#.#|#.#|.#.|.#.|.#.", 'Z': "####|...#|.##.|#...|####",
	'0': "###|#.#|#.#|#.#|###", '1': ".#.|##.|.#.|.#.|###", '2': "###|..#|###|#..|###", '3': "###|..#|.##|..#|###",
	'4': "#.#|#.#|###|..#|..#", '5': "###|#..|###|..#|###", '6': "###|#..|###|#.#|###", '7': "###|..#|..#|.#.|.#.",
	'8': "###|#.#|###|#.#|###", '9': "###|#.#|###|..#|###",
	':': ".|#|.|#|.", '.': ".|.|.|.|#", ',': "..|..|..|.#|#.", '-': "..|..|##|..|..", '\'': "#|#|.|.|.", '+': "...|.#.|###|.#.|...",
	'?': "###|..#|.##|...|.#.", '!': "#|#|#|.|#", ' ': "..|..|..|..|..", '/': "..#|..#|.#.|#..|#..", '%': "#..#|...#|.##.|#...|#..#",
	'(': ".#|#.|#.|#.|.#", ')': "#.|.#|.#|.#|#.", '&': ".##.|#...|.##.|#.#.|.###",
}

// marked are letters with a mark that is drawn above them, where there is half a row.
var marked = map[rune]struct {
	base rune
	mark string
}{'Ñ': {'N', "#.##"}, 'Ü': {'U', "#..#"}}

// unmarked are letters that lose their marks, and signs that are left out.
var unmarked = strings.NewReplacer("Á", "A", "É", "E", "Í", "I", "Ó", "O", "Ú", "U", "¿", "", "¡", "", "°", "")

// drawable is the text as it can be drawn.
func drawable(text string) string { return unmarked.Replace(strings.ToUpper(Clean(text))) }

// Drawable says whether each character of a text can be drawn in blocks.
func Drawable(text string) bool {
	for _, c := range drawable(text) {
		if _, ok := block[marked[c].base]; !ok && block[c] == "" {
			return false
		}
	}
	return true
}

// shapeOf is a character's grid and the row above it, which only marks use.
func shapeOf(c rune) (rows [glyphRows + 1]string, wide int) {
	if m, ok := marked[c]; ok {
		c, rows[0] = m.base, m.mark
	}
	shape := block[c]
	for y := 1; len(shape) > 0 && y <= glyphRows; y++ {
		rows[y], shape, _ = strings.Cut(shape, "|")
	}
	return rows, len(rows[1])
}

// BlockSize is the room that drawn text takes, in cells. Size 0 has half a row a cell of
// the grid, or a whole one where the terminal has no half blocks; from 1 on, that many
// rows and twice as many columns, as cells are about twice as high as wide.
func (r Region) BlockSize(text string, size int) (w, h int) {
	wide, tall := max(2*size, 1), size
	for i, c := range drawable(text) {
		if i > 0 {
			w += wide
		}
		_, n := shapeOf(c)
		w += n * wide
	}
	switch {
	case size > 0:
		h = glyphRows * tall
	case r.canvas.theme.Glyphs.Upper != "":
		h = (glyphRows + 1) / 2
	default:
		h = glyphRows
	}
	return w, h
}

// LargestBlock is the largest size, from 1 on, at which a text fits the region; 0 where
// none does.
func (r Region) LargestBlock(text string) (size int) {
	for {
		if w, h := r.BlockSize(text, size+1); w > r.W || h > r.H {
			return size
		}
		size++
	}
}

// Block draws text in block characters from the region's top left and returns the width
// taken. No library draws them on cells that have something else in them.
func (r Region) Block(text string, size int, role theme.Role) int {
	g, x := &r.canvas.theme.Glyphs, 0
	wide := max(2*size, 1)
	for _, c := range drawable(text) {
		rows, n := shapeOf(c)
		for i := range n {
			on := func(y int) bool { return i < len(rows[y]) && rows[y][i] == '#' }
			if size == 0 && g.Upper != "" {
				for y := range (glyphRows + 1) / 2 {
					switch up, low := on(2*y), on(2*y+1); {
					case up && low:
						r.Put(x+i, y, role, g.Block)
					case up:
						r.Put(x+i, y, role, g.Upper)
					case low:
						r.Put(x+i, y, role, g.Lower)
					}
				}
				continue
			}
			for y := range glyphRows * max(size, 1) {
				if on(1 + y/max(size, 1)) {
					r.Put(x+i*wide, y, role, strings.Repeat(g.Block, wide))
				}
			}
		}
		x += (n + 1) * wide
	}
	return x - wide
}

// WrapBlock breaks clauses into lines that can be drawn in a width. A clause begins a line
// where that costs at most one line more, and a number is not parted from what it counts.
// ok is false where a word alone is too wide.
func (r Region) WrapBlock(clauses []string, size int) (lines []string, ok bool) {
	fits := func(line string) bool { w, _ := r.BlockSize(line, size); return w <= r.W }
	fill := func(lines, words []string, fresh bool) []string {
		for _, word := range words {
			if last := len(lines) - 1; last >= 0 && !fresh && fits(lines[last]+" "+word) {
				lines[last] += " " + word
			} else {
				lines, fresh = append(lines, word), false
			}
		}
		return lines
	}
	var apart []string
	for _, c := range clauses {
		lines, apart = fill(lines, kept(c), false), fill(apart, kept(c), true)
	}
	if len(apart) <= len(lines)+1 {
		lines = apart
	}
	for _, line := range lines {
		if !fits(line) {
			return nil, false
		}
	}
	return lines, len(lines) > 0
}

// kept splits a text into words that stay together: a number stays with the word before
// it, or after it where it begins the text.
func kept(text string) []string {
	var out []string
	for _, word := range strings.Fields(text) {
		if n := len(out); n > 0 && strings.Trim(word, "0123456789.,") == "" {
			out[n-1] += " " + word
		} else {
			out = append(out, word)
		}
	}
	return out
}
