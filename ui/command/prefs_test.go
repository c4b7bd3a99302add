package command

import (
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"shedbell/line/say"
	"shedbell/recipes/strictfile"
	"shedbell/ui/screen"
	"shedbell/ui/theme"
	"shedbell/ui/words"
)

func TestWhatIsWrittenReadsBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		minutes := rapid.IntRange(0, 24*60-1)
		want := screen.Prefs{
			Theme:    rapid.SampledFrom(theme.Names()).Draw(t, "theme"),
			Language: rapid.SampledFrom(say.Languages()).Draw(t, "language"),
			Prefs:    say.Prefs{TwelveHour: rapid.Bool().Draw(t, "twelve"), US: rapid.Bool().Draw(t, "us")},
			Trainee:  rapid.Bool().Draw(t, "trainee"), Mute: rapid.Bool().Draw(t, "mute"), Notify: rapid.Bool().Draw(t, "notify"),
			QuietFrom: time.Duration(minutes.Draw(t, "from")) * time.Minute,
			QuietTo:   time.Duration(minutes.Draw(t, "to")) * time.Minute,
			Sound:     rapid.SliceOfN(rapid.StringMatching(`[a-z/ ."\\-]{1,12}`), 0, 3).Draw(t, "sound"),
		}
		if len(want.Sound) == 0 {
			want.Sound = nil
		}
		got, faults := ReadPrefs("settings.toml", WritePrefs(want))
		if len(got.Sound) == 0 {
			got.Sound = nil
		}
		if len(faults) > 0 || !reflect.DeepEqual(got, want) {
			t.Fatalf("wrote %+v, read %+v, faults %v", want, got, faults)
		}
	})
}

func TestEveryFaultIsNamed(t *testing.T) {
	_, faults := ReadPrefs("settings.toml", []byte("theme = \"pink\"\nlanguage = \"xx\"\nclock = \"13h\"\nquiet_from = \"25:00\"\ncolour = 1\n"))
	var text strings.Builder
	for _, f := range faults {
		text.WriteString(f.Error() + "\n")
	}
	for _, want := range []string{"settings.toml:1:9", "pink", "settings.toml:2:12", "settings.toml:3:9", "settings.toml:4:14", "settings.toml:5:1"} {
		if !strings.Contains(text.String(), want) {
			t.Errorf("no %q in\n%s", want, text.String())
		}
	}
}

// Faults are told in another language; in English nothing is changed.
func TestFaultsInEveryLanguage(t *testing.T) {
	_, faults := ReadPrefs("settings.toml", []byte("theme = \"pink\"\nlanguage = \"es\"\nclock = \"13h\"\nquiet_from = \"25:00\"\ncolour = 1\n"))
	spanish, err := words.New("es", say.Prefs{})
	if err != nil {
		t.Fatal(err)
	}
	whole := strictfile.Join(faults)
	told := spanish.Faults(whole)
	for _, want := range []string{`settings.toml:1:9: theme = "pink": no existe ese tema; escriba "auto"`, `no es un reloj; escriba "24h" o "12h"`,
		"no es una hora del día", "clave desconocida; quítela"} {
		if !strings.Contains(told, want) {
			t.Errorf("no %q in\n%s", want, told)
		}
	}
	if got := words.English().Faults(whole); got != whole.Error() {
		t.Errorf("in English\n%s\nwant\n%s", got, whole.Error())
	}
}

func TestSaveAndLoad(t *testing.T) {
	dir := t.TempDir()
	if p, err := LoadPrefs(dir, noEnvironment); err != nil || !reflect.DeepEqual(p, DefaultPrefs()) {
		t.Fatalf("without a file: %+v, %v", p, err)
	}
	want := DefaultPrefs()
	want.Theme, want.Trainee = theme.Contrast, true
	if err := SavePrefs(dir, want); err != nil {
		t.Fatal(err)
	}
	if p, err := LoadPrefs(dir, noEnvironment); err != nil || p.Theme != theme.Contrast || !p.Trainee {
		t.Errorf("%+v, %v", p, err)
	}
	if err := os.WriteFile(filepath.Join(dir, PrefsFile), []byte("theme = 3"), 0o644); err != nil {
		t.Fatal(err)
	}
	if p, err := LoadPrefs(dir, noEnvironment); err == nil || !reflect.DeepEqual(p, DefaultPrefs()) {
		t.Errorf("a bad file gave %+v, %v", p, err)
	}
	left, _ := filepath.Glob(filepath.Join(dir, "*"))
	if len(left) != 1 {
		t.Errorf("files left: %v", left)
	}
}

func noEnvironment(string) string { return "" }

// Without settings the environment decides on the language, as POSIX.1-2017, 8.2
// orders its variables; one that there is not is English.
func TestLanguageOfTheEnvironment(t *testing.T) {
	dir := t.TempDir()
	for _, tc := range []struct {
		vars map[string]string
		want string
	}{
		{map[string]string{"LANG": "es_MX.UTF-8"}, "es"},
		{map[string]string{"LANG": "es"}, "es"},
		{map[string]string{"LANG": "es.UTF-8", "LC_ALL": "C"}, "en"},
		{map[string]string{"LANG": "en_US.UTF-8", "LC_MESSAGES": "es_CO"}, "es"},
		{map[string]string{"LANG": "de_DE.UTF-8"}, "en"},
		{nil, "en"},
	} {
		getenv := func(name string) string { return tc.vars[name] }
		if p, err := LoadPrefs(dir, getenv); err != nil || p.Language != tc.want {
			t.Errorf("%v: %q, %v, want %q", tc.vars, p.Language, err, tc.want)
		}
	}
	if err := SavePrefs(dir, DefaultPrefs()); err != nil {
		t.Fatal(err)
	}
	if p, err := LoadPrefs(dir, func(string) string { return "es_MX" }); err != nil || p.Language != "en" {
		t.Errorf("beside settings in English: %q, %v", p.Language, err)
	}
}
