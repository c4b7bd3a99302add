package serve

import (
	"slices"
	"strings"

	"github.com/muesli/termenv"

	"shedbell/ui/theme"
)

// known are the environment variables that a client may send, for what they say
// about its terminal; all others are ignored.
var known = []string{"LANG", "LC_ALL", "LC_CTYPE", "COLORTERM", "NO_COLOR"}

const maxEnvValue = 64

// look says what a client's terminal can show. It cannot be asked without delaying
// the first frame, so its name and its variables have to do.
func look(name theme.Name, term string, env map[string]string) theme.Options {
	term = strings.ToLower(term)
	o := theme.Options{Name: name, Profile: termenv.ANSI}
	has := func(parts ...string) bool {
		return slices.ContainsFunc(parts, func(p string) bool { return strings.Contains(term, p) })
	}
	switch {
	case env["NO_COLOR"] != "", term == "", term == "dumb", strings.HasPrefix(term, "vt"):
		o.Profile = termenv.Ascii
	case env["COLORTERM"] == "truecolor", env["COLORTERM"] == "24bit", has("direct", "kitty", "alacritty", "ghostty", "wezterm"):
		o.Profile = termenv.TrueColor
	case has("256color"):
		o.Profile = termenv.ANSI256
	}
	o.ASCII = term == "" || term == "dumb" || strings.HasPrefix(term, "vt")
	for _, name := range []string{"LC_ALL", "LC_CTYPE", "LANG"} { // POSIX: in this order
		if v := strings.ToLower(env[name]); v != "" {
			o.ASCII = o.ASCII || !strings.Contains(v, "utf-8") && !strings.Contains(v, "utf8")
			break
		}
	}
	return o
}
