package theme

import (
	"github.com/charmbracelet/lipgloss"
)

// Shapes is a set of characters to draw with. A font that lacks one of a set is served
// by the next.
type Shapes uint8

// The sets, the richest first.
const (
	Full   Shapes = iota // most terminals
	Kernel               // code page 437, the Linux kernel's own font: nothing heavy, dashed or in eighths
	Latin                // Debian's console fonts: no half blocks, and all lines alike
	ASCII
	shapeSets
)

// Glyphs are the shapes that screens draw with.
type Glyphs struct {
	Rule, Ellipsis           string
	Full, Kept, Start, Post  string // parts of an amps bar
	Done, Left               string // parts of a countdown bar
	Arrow, Mark, Dot, Cursor string
	Block                    string // one cell of a drawn digit
	Ramp                     string // heights within a chart's cell, eight of them, rising

	Upper, Lower                string          // halves of a cell; empty: letters have a cell a stroke
	Parts                       []string        // of a cell from the left, in equal steps; the last is short of whole
	Thin, Heavy, Dashed, Double lipgloss.Border // outlines
	Shelf, ShelfLeft            string          // a shelf that is its slot's bar, done and left
	SegLeft, SegRight           string          // ends of a load's segment
	Hatch                       string          // kept free, out of use
	GhostLine, GhostEnd         string          // a start that was refused
	Flag, Holds, DueLine        string          // due times; what holds the day up
	Now, InTurn, Soon           string          // marks of alarms; the first two in turn
	Over, Work, Free            string          // a lane's edge
	Warm                        string          // a breaker's warmth; empty: in words alone
	Fills                       []string        // bars of crops where there is no colour
}

var full = Glyphs{
	Rule: "─", Ellipsis: "…", Full: "█", Kept: "░", Start: "▒", Post: "┃",
	Done: "━", Left: "┄", Arrow: "→", Mark: "●", Dot: "·", Cursor: "▏", Block: "█",
	Ramp:  "▁▂▃▄▅▆▇█",
	Upper: "▀", Lower: "▄", Parts: []string{"▏", "▎", "▍", "▌", "▋", "▊", "▉"},
	Thin: lipgloss.NormalBorder(), Heavy: lipgloss.ThickBorder(), Double: lipgloss.DoubleBorder(), Dashed: dashed("┄", "┆"),
	Shelf: "━", ShelfLeft: "─", SegLeft: "▐", SegRight: "▌", Hatch: "╱", GhostLine: "┄", GhostEnd: "┊",
	Flag: "▛", Holds: "◂", DueLine: "┊", Now: "▲", InTurn: "△", Soon: "■", Over: "█", Work: "▌", Free: "▏", Warm: "▁",
	Fills: []string{"█", "▓", "▒", "░", "▚"},
}

// glyphs are the sets.
var glyphs = [shapeSets]Glyphs{full, kernel(), latin(), {
	Rule: "-", Ellipsis: "~", Full: "#", Kept: ".", Start: "~", Post: "|",
	Done: "=", Left: ".", Arrow: ">", Mark: "*", Dot: ".", Cursor: "_", Block: "#",
	Ramp: "_-:=+*%#",
	Thin: lipgloss.ASCIIBorder(), Heavy: heavyASCII(), Double: doubleASCII(), Dashed: dashed("-", ":"),
	Shelf: "#", ShelfLeft: ".", SegLeft: "|", SegRight: "|", Hatch: "/", GhostLine: " ", GhostEnd: ":",
	Flag: "P", Holds: "<", DueLine: ":", Now: "!", InTurn: " ", Soon: "*", Over: "#", Work: "|", Free: ":",
	Fills: []string{"#", "=", "+", ":", "%", "*", "o", "x"},
}}

func kernel() Glyphs {
	g := full
	g.Ellipsis, g.Post, g.Done, g.Left, g.Mark, g.Cursor, g.Ramp = "~", "║", "═", "─", "■", "_", "▁▂▃▄▅▆▇█"
	g.Ramp = "··░░▒▒▓█"
	g.Parts, g.Heavy, g.Dashed = []string{"▌"}, lipgloss.DoubleBorder(), lipgloss.NormalBorder()
	g.Double = lipgloss.NormalBorder()
	g.Shelf, g.Hatch, g.GhostLine, g.GhostEnd, g.DueLine = "═", "░", "─", "│", "│"
	g.Flag, g.Holds, g.InTurn, g.Free, g.Warm = "►", "←", "!", "│", ""
	g.Fills = []string{"█", "▓", "▒", "░", "▌"}
	return g
}

func latin() Glyphs {
	g := kernel()
	g.Upper, g.Lower, g.Parts = "", "", nil
	g.Post, g.Done, g.Heavy, g.Shelf, g.ShelfLeft = "│", "█", lipgloss.NormalBorder(), "█", "·"
	g.SegLeft, g.SegRight, g.Work, g.Free, g.Flag = " ", " ", "│", " ", "→"
	g.Fills = []string{"█", "▒", "░", "·", "="}
	g.Ramp = "··░░▒▒██"
	return g
}

// dashed is an outline with gaps.
func dashed(h, v string) lipgloss.Border {
	b := lipgloss.NormalBorder()
	if h == "-" {
		b = lipgloss.ASCIIBorder()
	}
	b.Top, b.Bottom, b.Left, b.Right = h, h, v, v
	return b
}

func heavyASCII() lipgloss.Border {
	return lipgloss.Border{Top: "=", Bottom: "=", Left: "#", Right: "#", TopLeft: "#", TopRight: "#", BottomLeft: "#", BottomRight: "#"}
}

func doubleASCII() lipgloss.Border {
	return lipgloss.Border{Top: "=", Bottom: "=", Left: "|", Right: "|", TopLeft: "+", TopRight: "+", BottomLeft: "+", BottomRight: "+"}
}

// drawn lists the shapes of a set beyond ASCII.
func (g *Glyphs) drawn() (thin, others []string) {
	thin = []string{g.Thin.Top, g.Thin.Left}
	others = []string{g.Ellipsis, g.Full, g.Kept, g.Start, g.Post, g.Dot, g.Arrow, g.Mark, g.Upper, g.Lower, g.Heavy.Top, g.Heavy.Left,
		g.Heavy.TopLeft, g.Double.Top, g.Double.Left, g.Dashed.Top, g.Dashed.Left, g.Shelf, g.SegLeft, g.Hatch, g.GhostLine, g.GhostEnd,
		g.Flag, g.Holds, g.Now, g.InTurn, g.Soon, g.Over, g.Work, g.Free, g.Warm}
	return thin, append(append(others, g.Parts...), g.Fills...)
}

// shapesOf chooses the first set that is wholly in a font. at is where in the font each
// character has its shape: one that is drawn as the thin line does not count as there.
func shapesOf(at map[rune]int) Shapes {
	for set := Full; set < ASCII; set++ {
		thin, others := glyphs[set].drawn()
		has := func(text string) bool {
			for _, c := range text {
				pos, ok := at[c]
				if !ok && c > '~' || ok && !thinLine(c) && (pos == at['─'] || pos == at['│']) {
					return false
				}
			}
			return true
		}
		whole := true
		for _, text := range append(thin, others...) {
			whole = whole && has(text)
		}
		if whole {
			return set
		}
	}
	return ASCII
}

func thinLine(c rune) bool { return c == '─' || c == '│' || c <= '~' }
