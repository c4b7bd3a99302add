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
	Text    Role = iota // ordinary text
	Strong              // names and numbers that matter
	Faint               // rules, labels, what can wait
	Action              // the one thing to do now
	Wet                 // greens and time at the wet end
	Dried               // greens and time at the dry end
	Soon                // needs a person soon
	Urgent              // needs a person now
	Refuse              // a refusal
	Calm                // done, in order
	Chosen              // what the keys act on
	Bar                 // amps that run
	Spare               // amps kept free
	Surge               // amps of a start
	Edge                // outlines that say something
	Rule                // ornament
	Alarm               // outlines of what needs a person now
	Alert               // as Urgent, for what needs a person soon
	Segment             // the name of a load in its length
	Badge               // keys that would do something else
	plainCount

	roleCount = plainCount + Crops*Role(partCount) // those of crops are behind the others
)

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

// Theme is how every role looks on one terminal.
type Theme struct {
	Name   Name
	Glyphs Glyphs
	Plain  bool // nothing but ASCII
	Styles Styles
	Colour bool // has colours of its own
	on     [roleCount]string
	off    [roleCount]string
}

// Options say what the terminal can do.
type Options struct {
	Name    Name
	ASCII   bool
	Shapes  Shapes // that the terminal's font has
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
	if o.ASCII {
		o.Shapes = ASCII
	}
	t := &Theme{Name: name, Glyphs: glyphs[o.Shapes], Plain: o.Shapes == ASCII, Styles: styles(name, o.Profile), Colour: name != Mono}
	r := lipgloss.NewRenderer(io.Discard)
	r.SetColorProfile(o.Profile)
	for role, style := range t.Styles {
		t.on[role], t.off[role], _ = strings.Cut(style.Renderer(r).Render("x"), "x")
	}
	return t
}

// Codes are the escape sequences before and after text of a role. They are taken once,
// since asking a style for them per text is what makes frames slow.
func (t *Theme) Codes(role Role) (on, off string) { return t.on[role], t.off[role] }

// Detect fills in what the terminal on stdout can do. NO_COLOR, a dumb terminal
// and a locale without UTF-8 are respected.
func Detect(name Name) Options {
	o := Options{Name: name, Profile: lipgloss.ColorProfile(), Light: !lipgloss.HasDarkBackground()}
	if os.Getenv("NO_COLOR") != "" {
		o.Profile = termenv.Ascii
	}
	if o.ASCII = !utf8Locale(); os.Getenv("TERM") == "linux" {
		o.Shapes = consoleShapes()
	}
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
