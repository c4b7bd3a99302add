package command

import (
	"cmp"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"shedbell/line/say"
	"shedbell/recipes/strictfile"
	"shedbell/ui/screen"
	"shedbell/ui/theme"
)

// PrefsFile is the file in the data folder that has the user's choices.
const PrefsFile = "settings.toml"

// prefsFile is settings.toml as it is written.
type prefsFile struct {
	Theme     string   `toml:"theme"`
	Language  string   `toml:"language"`
	Clock     string   `toml:"clock"`
	Units     string   `toml:"units"`
	Trainee   bool     `toml:"trainee"`
	Mute      bool     `toml:"mute"`
	QuietFrom string   `toml:"quiet_from"`
	QuietTo   string   `toml:"quiet_to"`
	Notify    bool     `toml:"notify"`
	Sound     []string `toml:"sound"`
}

// DefaultPrefs is what holds without a file.
func DefaultPrefs() screen.Prefs { return screen.Prefs{Theme: theme.Auto, Language: "en"} }

// LoadPrefs reads a data folder's settings; without a file they are the defaults, in
// the language of the environment. A file with faults changes nothing: they come back
// as an error.
func LoadPrefs(dir string, getenv func(string) string) (screen.Prefs, error) {
	usual := DefaultPrefs()
	usual.Language = languageOf(getenv)
	path := filepath.Join(dir, PrefsFile)
	data, err := os.ReadFile(path)
	if errors.Is(err, fs.ErrNotExist) {
		return usual, nil
	}
	if err != nil {
		return usual, err
	}
	p, faults := ReadPrefs(path, data)
	if len(faults) > 0 {
		return usual, strictfile.Join(faults)
	}
	return p, nil
}

// languageOf is the one that the environment asks for, where there is such a one: of
// LC_ALL, LC_MESSAGES and LANG the first that is set decides (POSIX.1-2017, 8.2).
func languageOf(getenv func(string) string) string {
	asked := cmp.Or(getenv("LC_ALL"), getenv("LC_MESSAGES"), getenv("LANG"))
	name, _, _ := strings.Cut(asked, "_")
	name, _, _ = strings.Cut(name, ".")
	if name = strings.ToLower(name); slices.Contains(say.Languages(), name) {
		return name
	}
	return "en"
}

// ReadPrefs reads settings strictly and reports every fault.
func ReadPrefs(name string, data []byte) (screen.Prefs, []strictfile.Fault) {
	f := prefsFile{Theme: string(theme.Auto), Language: "en", Clock: "24h", Units: "metric"}
	at, faults := strictfile.Decode(name, data, &f)
	out := DefaultPrefs()
	fault := func(key, problem string, mend say.Sentence) {
		faults = append(faults, at.Fault(key, say.New(problem), mend))
	}
	if out.Theme = theme.Name(f.Theme); !slices.Contains(theme.Names(), out.Theme) {
		fault("theme", "fault.no-theme", say.New("fault.give-one", choices(theme.Names())))
	}
	if out.Language = f.Language; !slices.Contains(say.Languages(), f.Language) {
		fault("language", "fault.no-language", say.New("fault.give-one", choices(say.Languages())))
	}
	out.TwelveHour = choice(f.Clock, "24h", "12h", func() { fault("clock", "fault.no-clock", say.New("fault.give-24h")) })
	out.US = choice(f.Units, "metric", "us", func() { fault("units", "fault.no-units", say.New("fault.give-metric")) })
	out.Trainee, out.Mute, out.Notify, out.Sound = f.Trainee, f.Mute, f.Notify, f.Sound
	out.QuietFrom = timeOfDay(f.QuietFrom, func() { fault("quiet_from", "fault.not-time-day", say.New("fault.give-one", `"21:00"`)) })
	out.QuietTo = timeOfDay(f.QuietTo, func() { fault("quiet_to", "fault.not-time-day", say.New("fault.give-one", `"06:00"`)) })
	if len(faults) > 0 {
		return DefaultPrefs(), strictfile.Tidy(name, faults)
	}
	return out, nil
}

func choices[T ~string](names []T) string {
	quoted := make([]string, len(names))
	for i, n := range names {
		quoted[i] = fmt.Sprintf("%q", string(n))
	}
	return strings.Join(quoted, ", ")
}

// choice says whether the second of two words was given.
func choice(given, first, second string, fault func()) bool {
	if given != first && given != second {
		fault()
	}
	return given == second
}

// timeOfDay reads "21:00"; nothing is midnight.
func timeOfDay(text string, fault func()) time.Duration {
	if text == "" {
		return 0
	}
	t, err := time.Parse("15:04", text)
	if err != nil {
		fault()
		return 0
	}
	return time.Duration(t.Hour())*time.Hour + time.Duration(t.Minute())*time.Minute
}

// WritePrefs is the file for some settings, with what each key means.
func WritePrefs(p screen.Prefs) []byte {
	word := func(second bool, a, b string) string {
		if second {
			return b
		}
		return a
	}
	clock := func(d time.Duration) string { return fmt.Sprintf("%02d:%02d", int(d.Hours()), int(d.Minutes())%60) }
	sound := make([]string, len(p.Sound))
	for i, s := range p.Sound {
		sound[i] = fmt.Sprintf("%q", s)
	}
	return fmt.Appendf(nil, `# How the board is written, seen and heard. Change it here or on the settings screen.

theme = %q      # %s
language = %q     # %s
clock = %q       # "24h", "12h"
units = %q    # "metric", "us"
trainee = %t    # true: every prompt in full, with its caution

mute = %t       # true: no sound at all
quiet_from = %q  # silent from this time of day ...
quiet_to = %q    # ... until this one; the same time twice: never
notify = %t     # true: ask the terminal for a notification too
sound = [%s]       # a command of your own with its arguments, such as ["aplay", "bell.wav"]
`, p.Theme, choices(theme.Names()), p.Language, choices(say.Languages()), word(p.TwelveHour, "24h", "12h"), word(p.US, "metric", "us"),
		p.Trainee, p.Mute, clock(p.QuietFrom), clock(p.QuietTo), p.Notify, strings.Join(sound, ", "))
}

// SavePrefs writes a data folder's settings. The file is whole or as it was.
func SavePrefs(dir string, p screen.Prefs) error {
	path := filepath.Join(dir, PrefsFile)
	tmp, err := os.CreateTemp(dir, PrefsFile+".*")
	if err != nil {
		return err
	}
	_, err = tmp.Write(WritePrefs(p))
	err = errors.Join(err, tmp.Sync(), tmp.Close())
	if err == nil {
		err = os.Rename(tmp.Name(), path)
	}
	if err != nil {
		os.Remove(tmp.Name())
	}
	return err
}
