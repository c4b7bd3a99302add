package canvas

import (
	"strings"

	"shedbell/ui/theme"
)

// letters are drawn capitals on a grid of 5 by 5, a row after the other.
var letters = map[rune]string{
	'A': " ### |#   #|#####|#   #|#   #", 'B': "#### |#   #|#### |#   #|#### ", 'C': " ####|#    |#    |#    | ####",
	'D': "#### |#   #|#   #|#   #|#### ", 'E': "#####|#    |#### |#    |#####", 'F': "#####|#    |#### |#    |#    ",
	'G': " ####|#    |#  ##|#   #| ####", 'H': "#   #|#   #|#####|#   #|#   #", 'I': "###| # | # | # |###",
	'J': "  ###|    #|    #|#   #| ### ", 'K': "#   #|#  # |###  |#  # |#   #", 'L': "#    |#    |#    |#    |#####",
	'M': "#   #|## ##|# # #|#   #|#   #", 'N': "#   #|##  #|# # #|#  ##|#   #", 'O': " ### |#   #|#   #|#   #| ### ",
	'P': "#### |#   #|#### |#    |#    ", 'Q': " ### |#   #|# # #|#  # | ## #", 'R': "#### |#   #|#### |#  # |#   #",
	'S': " ####|#    | ### |    #|#### ", 'T': "#####|  #  |  #  |  #  |  #  ", 'U': "#   #|#   #|#   #|#   #| ### ",
	'V': "#   #|#   #|#   #| # # |  #  ", 'W': "#   #|#   #|# # #|## ##|#   #", 'X': "#   #| # # |  #  | # # |#   #",
	'Y': "#   #| # # |  #  |  #  |  #  ", 'Z': "#####|   # |  #  | #   |#####",
	'0': " ### |#  ##|# # #|##  #| ### ", '1': " # |## | # | # |###", '2': "#### |    #| ### |#    |#####",
	'3': "#### |    #| ### |    #|#### ", '4': "#   #|#   #|#####|    #|    #", '5': "#####|#    |#### |    #|#### ",
	'6': " ### |#    |#### |#   #| ### ", '7': "#####|    #|   # |  #  |  #  ", '8': " ### |#   #| ### |#   #| ### ",
	'9': " ### |#   #| ####|    #| ### ", ':': " |#| |#| ", '.': " | | | |#", ',': "  |  |  | #|# ", '-': "   |   |###|   |   ",
	'\'': "#|#| | | ", '+': "   | # |###| # |   ", '?': "### |   #| ## |    | #  ", '!': "#|#|#| |#", ' ': "  |  |  |  |  ",
	'/': "    #|   # |  #  | #   |#    ", '%': "#   #|   # |  #  | #   |#   #", '(': " #|# |# |# | #", ')': "# | #| #| #|# ",
}

// unmarked maps letters with marks to the capitals that are drawn for them.
var unmarked = strings.NewReplacer("Á", "A", "É", "E", "Í", "I", "Ó", "O", "Ú", "U", "Ü", "U", "Ñ", "N", "¿", "", "¡", "", "°", "")

// LetterRows is how many rows a line of drawn letters takes, with the gap below.
const LetterRows = 6

// drawable is the text as it can be drawn.
func drawable(text string) string { return unmarked.Replace(strings.ToUpper(Clean(text))) }

// letterWidth is a drawn letter's width in grid cells.
func letterWidth(c rune) int {
	shape, ok := letters[c]
	if !ok {
		return 2
	}
	return strings.IndexByte(shape, '|')
}

// LettersWidth is the cells that drawn text takes, each grid cell being wide cells
// wide.
func LettersWidth(text string, wide int) int {
	n := 0
	for i, c := range drawable(text) {
		if i > 0 {
			n += wide
		}
		n += letterWidth(c) * wide
	}
	return n
}

// WrapLetters breaks text into lines that can be drawn in a width.
func WrapLetters(text string, width, wide int) []string {
	var lines []string
	line := ""
	for _, word := range strings.Fields(text) {
		try := strings.TrimPrefix(line+" "+word, " ")
		if line != "" && LettersWidth(try, wide) > width {
			lines = append(lines, line)
			try = word
		}
		line = try
	}
	return append(lines, line)
}

// Letters draws a text in block capitals over as many lines as it needs and
// returns the rows taken; 0 when it does not fit, and nothing is drawn. Each cell of
// the letters' grid is wide cells wide and tall cells high.
func Letters(r Region, text string, wide, tall int, role theme.Role) int {
	lines := WrapLetters(text, r.W, wide)
	if (len(lines)*LetterRows-1)*tall > r.H {
		return 0
	}
	for _, line := range lines {
		if LettersWidth(line, wide) > r.W {
			return 0
		}
	}
	for i, line := range lines {
		drawLetters(r.Rows(i*LetterRows*tall, (LetterRows-1)*tall), line, wide, tall, role)
	}
	return len(lines) * LetterRows * tall
}

func drawLetters(r Region, text string, wide, tall int, role theme.Role) {
	block := strings.Repeat(r.Theme().Glyphs.Block, wide)
	x := 0
	for _, c := range drawable(text) {
		for y, row := range strings.Split(letters[c], "|") {
			for i, on := range row {
				if on != '#' {
					continue
				}
				for dy := range tall {
					r.Put(x+i*wide, y*tall+dy, role, block)
				}
			}
		}
		x += (letterWidth(c) + 1) * wide
	}
}
