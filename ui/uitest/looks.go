package uitest

import (
	"fmt"
	"slices"
	"strings"

	"github.com/charmbracelet/x/ansi"
	"github.com/muesli/termenv"

	"shedbell/ui/app"
	"shedbell/ui/canvas"
	"shedbell/ui/theme"
)

// looked is a character on the screen with the escape sequences that give it its
// look.
type looked struct{ text, look string }

// marks stand for the looks in a kept map of them. Roles that look the same in the
// dark theme share one: Bar with Calm, Spare with Faint. Those of a crop have its number.
var marks = allMarks()

func allMarks() map[theme.Role]byte {
	out := map[theme.Role]byte{
		theme.Text: '.', theme.Strong: 'S', theme.Faint: '-', theme.Action: 'A', theme.Wet: 'w', theme.Dried: 'd', theme.Soon: '!',
		theme.Urgent: 'U', theme.Refuse: 'R', theme.Calm: 'c', theme.Bar: 'c', theme.Chosen: 'C', theme.Spare: '-', theme.Surge: '~',
		theme.Edge: 'e', theme.Rule: '_', theme.Alarm: 'u', theme.Alert: 'L', theme.Segment: 'G', theme.Badge: 'b',
	}
	for n := range theme.Crops {
		for _, part := range []theme.Part{theme.Word, theme.Grain, theme.Fill, theme.Tint, theme.TintStrong, theme.TintWord} {
			out[theme.Crop(n, part)] = byte('0' + n)
		}
	}
	return out
}

// themed draws the screen in a theme.
func (d *Driver) themed(o theme.Options) (*theme.Theme, string) {
	d.settle()
	t := theme.New(o)
	return t, d.model.(*app.Model).ViewIn(t)
}

// Unicode is the screen as a terminal with more than ASCII shows it.
func (d *Driver) Unicode() string {
	_, frame := d.themed(theme.Options{Name: theme.Mono, Profile: termenv.Ascii})
	return frame
}

// looks is a map of the screen that has a mark for the look of each character, and
// spaces where there is nothing to be seen.
func (d *Driver) looks() string {
	t, frame := d.themed(theme.Options{Name: theme.Dark, Profile: termenv.TrueColor})
	byLook := byLook(t)
	var b strings.Builder
	for _, row := range strings.Split(frame, "\n") {
		line := ""
		for _, c := range characters(row) {
			mark := marks[byLook[c.look][0]]
			if c.text == " " && mark == marks[theme.Text] {
				mark = ' '
			}
			line += strings.Repeat(string(mark), canvas.Width(c.text))
		}
		b.WriteString(strings.TrimRight(line, " ") + "\n")
	}
	return b.String()
}

// byLook lists a theme's roles by the escape sequences of their look.
func byLook(t *theme.Theme) map[string][]theme.Role {
	out := map[string][]theme.Role{}
	for role := range marks {
		on, _ := t.Codes(role)
		out[on] = append(out[on], role)
	}
	return out
}

// CheckThemes fails unless every theme says the same words in the same places, on
// terminals with many, few and no colours, with each look where the dark theme has
// it; and unless a terminal with nothing but ASCII gets all letters and digits, and
// nothing else than ASCII.
func (d *Driver) CheckThemes() {
	d.tb.Helper()
	dark, frame := d.themed(theme.Options{Name: theme.Dark, Profile: termenv.TrueColor})
	roles := byLook(dark)
	for _, name := range theme.Names() {
		for _, profile := range []termenv.Profile{termenv.TrueColor, termenv.ANSI256, termenv.ANSI, termenv.Ascii} {
			t, other := d.themed(theme.Options{Name: name, Profile: profile})
			if fault := differs(frame, other, roles, t); fault != "" {
				d.fail("theme %s on a terminal of %s: %s", name, profileNames[profile], fault)
			}
		}
	}
	_, plain := d.themed(theme.Options{Name: theme.Mono, ASCII: true, Profile: termenv.Ascii})
	if i := strings.IndexFunc(plain, func(r rune) bool { return r > '~' || r < ' ' && r != '\n' }); i >= 0 {
		d.fail("on a terminal with nothing but ASCII: %q", plain[i:min(len(plain), i+20)])
	}
	if plainLines, lines := strings.Split(plain, "\n"), strings.Split(frame, "\n"); len(plainLines) != len(lines) {
		d.fail("%d lines in ASCII, else %d", len(plainLines), len(lines))
	}
}

var profileNames = map[termenv.Profile]string{termenv.TrueColor: "16 million colours", termenv.ANSI256: "256 colours",
	termenv.ANSI: "16 colours", termenv.Ascii: "no colours"}

// differs says where a frame in a theme differs from the dark one in more than what
// the theme's looks are.
func differs(dark, other string, roles map[string][]theme.Role, t *theme.Theme) string {
	rows := strings.Split(other, "\n")
	for y, row := range strings.Split(dark, "\n") {
		if y >= len(rows) || solid(row) != solid(rows[y]) {
			return fmt.Sprintf("row %d is not %q", y+1, ansi.Strip(row))
		}
		got := characters(rows[y])
		for x, c := range characters(row) {
			same := slices.ContainsFunc(roles[c.look], func(r theme.Role) bool {
				on, _ := t.Codes(r)
				return on == got[x].look
			})
			if !same {
				return fmt.Sprintf("row %d, character %d, %q has the look %q", y+1, x+1, c.text, got[x].look)
			}
		}
	}
	return ""
}

// solid is a row's text without the fills of bars: they are blanks on a ground where
// there are colours, and patterns where there are none.
func solid(row string) string {
	return strings.Map(func(r rune) rune {
		if strings.ContainsRune("█▓▒░▚", r) {
			return ' '
		}
		return r
	}, ansi.Strip(row))
}

// characters takes a row apart.
func characters(row string) []looked {
	var out []looked
	look, state := "", byte(0)
	for len(row) > 0 {
		text, w, n, next := ansi.DecodeSequence(row, state, nil)
		row, state = row[n:], next
		switch {
		case w > 0:
			out = append(out, looked{text, look})
		case text == "\x1b[0m" || text == "\x1b[m":
			look = ""
		default:
			look += text
		}
	}
	return out
}
