// Package canvas is the sheet of terminal cells that every screen draws on, the shapes
// that several of them draw (bars, digits and letters), and the painting of what was
// drawn on a terminal. It clips, so that nothing spills, and every line it renders is
// exactly as wide as the sheet, whatever was drawn.
package canvas

import (
	"strings"

	"shedbell/ui/theme"
)

// cell is one terminal cell. A wide character fills two: the second has an empty
// text.
type cell struct {
	text  string
	style theme.Role
}

// Canvas is a sheet of cells.
type Canvas struct {
	width, height int
	cells         []cell
	theme         *theme.Theme
}

// New returns an empty sheet of the given size in cells.
func New(width, height int, t *theme.Theme) *Canvas {
	width, height = max(width, 0), max(height, 0)
	c := &Canvas{width: width, height: height, theme: t, cells: make([]cell, width*height)}
	for i := range c.cells {
		c.cells[i].text = " "
	}
	return c
}

// All is the region that covers the sheet.
func (c *Canvas) All() Region { return Region{canvas: c, W: c.width, H: c.height} }

// String renders the sheet: its lines joined by newlines, each of them exactly as
// wide as the sheet.
func (c *Canvas) String() string {
	var b strings.Builder
	b.Grow(len(c.cells) * 2)
	for y := range c.height {
		if y > 0 {
			b.WriteByte('\n')
		}
		c.renderLine(&b, c.cells[y*c.width:(y+1)*c.width])
	}
	return b.String()
}

func (c *Canvas) renderLine(b *strings.Builder, line []cell) {
	for i := 0; i < len(line); {
		style := line[i].style
		on, off := c.theme.Codes(style)
		b.WriteString(on)
		for i < len(line) && line[i].style == style {
			b.WriteString(line[i].text)
			i++
		}
		b.WriteString(off)
	}
}

// Region is a rectangle of a canvas. Drawing outside of it has no effect.
type Region struct {
	canvas *Canvas
	x, y   int
	W, H   int
}

// Theme is how the canvas is coloured.
func (r Region) Theme() *theme.Theme { return r.canvas.theme }

// Sub is the part of the region at x, y with the given size, as far as it fits.
func (r Region) Sub(x, y, w, h int) Region {
	x, y = max(x, 0), max(y, 0)
	w, h = max(0, min(w, r.W-x)), max(0, min(h, r.H-y))
	return Region{canvas: r.canvas, x: r.x + x, y: r.y + y, W: w, H: h}
}

// Rows is the part of the region from row y on, h rows high.
func (r Region) Rows(y, h int) Region { return r.Sub(0, y, r.W, h) }

// Cols is the part of the region from column x on, w columns wide.
func (r Region) Cols(x, w int) Region { return r.Sub(x, 0, w, r.H) }

// Inset leaves a margin out on all sides.
func (r Region) Inset(dx, dy int) Region { return r.Sub(dx, dy, r.W-2*dx, r.H-2*dy) }

// Put writes text at x, y; what does not fit is cut with an ellipsis. It returns
// the cells it took. Control characters and escape sequences are left out.
func (r Region) Put(x, y int, role theme.Role, text string) int {
	if y < 0 || y >= r.H || x >= r.W || x < 0 {
		return 0
	}
	return r.write(x, y, role, Cut(r.plain(text), r.W-x, r.canvas.theme.Glyphs.Ellipsis))
}

// PutRight writes text so that it ends at column x (exclusive).
func (r Region) PutRight(x, y int, role theme.Role, text string) int {
	x = min(x, r.W)
	text = Cut(r.plain(text), x, r.canvas.theme.Glyphs.Ellipsis)
	return r.Put(x-Width(text), y, role, text)
}

// PutCenter writes text in the middle of the row.
func (r Region) PutCenter(y int, role theme.Role, text string) int {
	text = Cut(r.plain(text), r.W, r.canvas.theme.Glyphs.Ellipsis)
	return r.Put((r.W-Width(text))/2, y, role, text)
}

// plain makes text fit for the terminal: where that has nothing but ASCII, letters
// lose their accents, and what has no likeness is a question mark a cell.
func (r Region) plain(text string) string {
	if !r.canvas.theme.Plain {
		return text
	}
	text = likeness.Replace(Clean(text))
	if strings.IndexFunc(text, notASCII) < 0 {
		return text
	}
	var b strings.Builder
	for len(text) > 0 {
		cluster, w := first(text)
		text = text[len(cluster):]
		if strings.IndexFunc(cluster, notASCII) >= 0 {
			cluster = strings.Repeat("?", w)
		}
		b.WriteString(cluster)
	}
	return b.String()
}

// likeness is what is written for characters on a terminal without them. "24 C" and
// a question without its first mark are as clear.
var likeness = strings.NewReplacer("°", "", "¿", "", "¡", "", "…", "~", "·", ".", "×", "x", "–", "-", "→", ">",
	"á", "a", "é", "e", "í", "i", "ó", "o", "ú", "u", "ü", "u", "ñ", "n", "Á", "A", "É", "E", "Í", "I", "Ó", "O", "Ú", "U", "Ü", "U", "Ñ", "N")

func notASCII(c rune) bool { return c > '~' }

// write sets cells; the text is clean and fits.
func (r Region) write(x, y int, role theme.Role, text string) int {
	row := r.canvas.cells[(r.y+y)*r.canvas.width:]
	start := x
	for len(text) > 0 {
		cluster, w := first(text)
		text = text[len(cluster):]
		if w == 0 {
			continue
		}
		if x+w > r.W {
			break
		}
		if joins(row[:r.x+x], cluster) {
			cluster = strings.Repeat(" ", w)
		}
		row[r.x+x] = cell{text: cluster, style: role}
		for i := 1; i < w; i++ {
			row[r.x+x+i] = cell{style: role}
		}
		x += w
	}
	r.mend(start, y, x)
	return x - start
}

// mend replaces what is left of a wide character that was half overwritten, and what
// would join with the text's end.
func (r Region) mend(start, y, end int) {
	row := r.canvas.cells[(r.y+y)*r.canvas.width : (r.y+y+1)*r.canvas.width]
	if at := r.x + end; at < len(row) && row[at].text == "" {
		row[at].text = " "
	} else if at < len(row) && joins(row[:at], row[at].text) {
		row[at].text = strings.Repeat(" ", Width(row[at].text))
	}
	if at := r.x + start - 1; at >= 0 && r.x+start < len(row) && Width(row[at].text) > 1 {
		row[at].text = " "
	}
}

// Fill sets every cell of the region to a one-cell glyph.
func (r Region) Fill(role theme.Role, glyph string) {
	for y := range r.H {
		r.write(0, y, role, strings.Repeat(glyph, r.W))
	}
}

// Restyle gives every cell of the region another role.
func (r Region) Restyle(to func(theme.Role) theme.Role) {
	for y := range r.H {
		row := r.canvas.cells[(r.y+y)*r.canvas.width:]
		for x := range r.W {
			row[r.x+x].style = to(row[r.x+x].style)
		}
	}
}

// Rule draws a line across the region at row y.
func (r Region) Rule(y int) {
	if y >= 0 && y < r.H {
		r.write(0, y, theme.Rule, strings.Repeat(r.canvas.theme.Glyphs.Rule, r.W))
	}
}

// Wrapped writes text over as many rows as the region has and returns the rows
// used. Text that needs more is cut with an ellipsis.
func (r Region) Wrapped(role theme.Role, text string) int {
	lines := Wrap(r.plain(text), r.W)
	if len(lines) > r.H && r.H > 0 {
		for i := range lines {
			lines[i] = strings.TrimRight(lines[i], " ")
		}
		lines[r.H-1] = strings.Join(lines[r.H-1:], " ") // Put cuts it
		lines = lines[:r.H]
	}
	for y, line := range lines {
		r.Put(0, y, role, line)
	}
	return len(lines)
}
