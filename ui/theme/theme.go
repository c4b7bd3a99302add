// Package theme says how things look: colours by what they mean, and the glyphs
// for terminals that have more than ASCII. No meaning is carried by colour alone;
// whoever draws adds a word or a shape.
package theme

import (
	"io"
	"os"
	"strings"

	"github.com/charmbracelet/lipgloss"
	"github.com/muesli/termenv"
)

// Role is what a piece of text means; the theme gives it its look.
type Role uint8

// The roles. Calm is quiet: only what needs a person stands out.
const (
	Text   Role = iota // ordinary text
	Strong             // names and numbers that matter
	Faint              // rules, labels, what can wait
	Action             // the one thing to do now
	Wet                // greens and time at the wet end
	Dried              // greens and time at the dry end
	Soon               // needs a person soon
	Urgent             // needs a person now
	Refuse             // a refusal
	Calm               // done, in order
	Chosen             // what the keys act on
	Bar                // amps that run
	Spare              // amps kept free
	Surge              // amps of a start
	roleCount
)

// Glyphs are the shapes that screens draw with.
type Glyphs struct {
	Rule, Ellipsis           string
	Full, Kept, Start, Post  string // parts of an amps bar
	Done, Left               string // parts of a countdown bar
	Arrow, Mark, Dot, Cursor string
	Block                    string // one cell of a drawn digit
	Now, InTurn, Soon        string // before an alarm, and the shape that an urgent one takes in turn
	Ramp                     string // heights within a chart's cell, eight of them, rising
}

var unicodeGlyphs = Glyphs{
	Rule: "─", Ellipsis: "…", Full: "█", Kept: "░", Start: "▒", Post: "┃",
	Done: "━", Left: "┄", Arrow: "→", Mark: "●", Dot: "·", Cursor: "▏", Block: "█",
	Now: "▲", InTurn: "△", Soon: "■",
	Ramp: "▁▂▃▄▅▆▇█",
}

var asciiGlyphs = Glyphs{
	Rule: "-", Ellipsis: "~", Full: "#", Kept: ".", Start: "~", Post: "|",
	Done: "=", Left: ".", Arrow: ">", Mark: "*", Dot: ".", Cursor: "_", Block: "#",
	Now: "!", InTurn: " ", Soon: "*",
	Ramp: "_-:=+*%#",
}

// Name is a theme that the user can choose.
type Name string

// The themes.
const (
	Auto     Name = "auto" // dark or light, by the terminal's background
	Dark     Name = "dark"
	Light    Name = "light"
	Contrast Name = "contrast"
	Mono     Name = "mono"
)

// Names lists the themes.
func Names() []Name { return []Name{Auto, Dark, Light, Contrast, Mono} }

// Look is a foreground and background colour with its emphasis. Colours are
// written "#rrggbb", or as a number from 0 to 15; empty means the terminal's own.
type Look struct {
	Fore, Back string
	Bold       bool
	Underline  bool
	Reverse    bool
}

// Theme is how every role looks on one terminal.
type Theme struct {
	Name   Name
	Glyphs Glyphs
	Plain  bool // nothing but ASCII
	Looks  [roleCount]Look
	on     [roleCount]string
	off    [roleCount]string
}

// Options say what the terminal can do.
type Options struct {
	Name    Name
	ASCII   bool
	Profile termenv.Profile
	Light   bool // the terminal's background is light
}

// New builds a theme.
func New(o Options) *Theme {
	name := o.Name
	if name == Auto || name == "" {
		name = Dark
		if o.Light {
			name = Light
		}
	}
	if o.Profile == termenv.Ascii {
		name = Mono
	}
	t := &Theme{Name: name, Glyphs: unicodeGlyphs, Looks: table(name, o.Profile)}
	if o.ASCII {
		t.Glyphs, t.Plain = asciiGlyphs, true
	}
	r := lipgloss.NewRenderer(io.Discard)
	r.SetColorProfile(o.Profile)
	for role := range t.Looks {
		t.on[role], t.off[role] = codes(r, t.Looks[role])
	}
	return t
}

// table gives the looks of a theme on a terminal with so many colours.
func table(name Name, p termenv.Profile) [roleCount]Look {
	if p == termenv.ANSI {
		return looks16(name)
	}
	return looks(name)
}

// codes are the escape sequences before and after text with a look. They are
// taken once, since asking for them per text is what makes frames slow.
func codes(r *lipgloss.Renderer, l Look) (on, off string) {
	s := r.NewStyle().Bold(l.Bold).Underline(l.Underline).Reverse(l.Reverse)
	if l.Fore != "" {
		s = s.Foreground(lipgloss.Color(l.Fore))
	}
	if l.Back != "" {
		s = s.Background(lipgloss.Color(l.Back))
	}
	on, off, _ = strings.Cut(s.Render("x"), "x")
	return on, off
}

// Codes are the escape sequences before and after text of a role.
func (t *Theme) Codes(role Role) (on, off string) { return t.on[role], t.off[role] }

// Detect fills in what the terminal on stdout can do. NO_COLOR, a dumb terminal
// and a locale without UTF-8 are respected.
func Detect(name Name) Options {
	o := Options{Name: name, Profile: lipgloss.ColorProfile(), Light: !lipgloss.HasDarkBackground()}
	if os.Getenv("NO_COLOR") != "" {
		o.Profile = termenv.Ascii
	}
	o.ASCII = !utf8Locale()
	return o
}

// utf8Locale follows the order in which POSIX says that locale variables count.
func utf8Locale() bool {
	for _, name := range []string{"LC_ALL", "LC_CTYPE", "LANG"} {
		if v := os.Getenv(name); v != "" {
			v = strings.ToLower(v)
			return strings.Contains(v, "utf-8") || strings.Contains(v, "utf8")
		}
	}
	return os.PathSeparator == '\\' // Windows terminals speak UTF-8 without saying so
}
