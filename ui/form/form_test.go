package form_test

import (
	"strings"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/ansi"
	"github.com/muesli/termenv"

	"shedbell/ui/act"
	"shedbell/ui/canvas"
	"shedbell/ui/form"
	"shedbell/ui/screen"
	"shedbell/ui/theme"
	"shedbell/ui/words"
)

var english = words.English()

func env(us bool) *screen.Env {
	e := &screen.Env{Context: act.Context{Words: english}}
	e.Prefs.US, e.Prefs.TwelveHour = us, us
	return e
}

// drawn is a form as a terminal of a size shows it.
func drawn(e *screen.Env, f *form.Form, w, h int) string {
	c := canvas.New(w, h, theme.New(theme.Options{Name: theme.Mono, Profile: termenv.Ascii}))
	f.Draw(e, c.All())
	return ansi.Strip(c.String())
}

var named = map[string]tea.KeyMsg{
	"enter": {Type: tea.KeyEnter}, "esc": {Type: tea.KeyEsc}, "tab": {Type: tea.KeyTab}, "shift+tab": {Type: tea.KeyShiftTab},
	"back": {Type: tea.KeyBackspace}, "up": {Type: tea.KeyUp}, "down": {Type: tea.KeyDown}, "left": {Type: tea.KeyLeft}, "right": {Type: tea.KeyRight},
}

// press presses keys, each after the form has been drawn: names of keys in one word
// each, or characters.
func press(e *screen.Env, f *form.Form, keys string) (last form.Outcome) {
	for _, word := range strings.Fields(keys) {
		if k, ok := named[word]; ok {
			drawn(e, f, 80, 24)
			last, _ = f.Update(e, k)
			continue
		}
		for _, c := range word {
			drawn(e, f, 80, 24)
			last, _ = f.Update(e, tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune{c}})
		}
	}
	return last
}

func shows(t *testing.T, e *screen.Env, f *form.Form, texts ...string) {
	t.Helper()
	got := drawn(e, f, 80, 24)
	for _, text := range texts {
		if !strings.Contains(got, text) {
			t.Errorf("%q is not shown:\n%s", text, got)
		}
	}
}

// every kind of row, as a screen would declare it.
func everything() []form.Row {
	return []form.Row{
		{Name: "trays", Label: "trays", Kind: form.Whole, Unit: "trays", Min: 1, Max: 500},
		{Name: "stock", Label: "stock", Kind: form.Decimal, Units: []string{"ppm", "%"}, Unit: "%"},
		{Name: "net", Label: "net weight", Kind: form.Weight, Default: form.Num(800), Max: 50_000},
		{Name: "temp", Label: "temperature", Kind: form.Temperature, Min: -40, Max: 60},
		{Name: "rh", Label: "humidity", Kind: form.Percent, Min: 1, Max: 100, Default: form.Num(60)},
		{Name: "ago", Label: "ago", Kind: form.Minutes, Optional: true},
		{Name: "soak", Label: "soak", Kind: form.Duration, Default: form.Span(150 * time.Second)},
		{Name: "due", Label: "due", Kind: form.TimeOfDay, Optional: true},
		{Name: "lot", Label: "lot", Kind: form.Text, Optional: true},
		{Name: "fan", Label: "fans", Kind: form.Choice, Choices: []string{"low", "medium", "high"}, Default: form.Num(1)},
		{Name: "why", Label: "why", Kind: form.Choice, Choices: []string{"dropped", "spoiled"}, Own: "something else"},
		{Name: "late", Label: "late", Kind: form.YesNo, Default: form.Flag(false)},
		{Label: "enter it", Kind: form.Send},
	}
}

func TestANumberPadFillsEveryKind(t *testing.T) {
	e := env(false)
	f := form.New(e, "a title", "why it is asked", everything()...)
	if got := press(e, f, "12 enter 3.5 + 1 enter -39.5 enter enter enter 2.05 enter 930 enter 7.2-14/b enter 3 2 1"); got == form.Sent {
		t.Fatal("sent before the last line")
	}
	for name, want := range map[string]float64{"trays": 12, "stock": 3.5, "net": 800, "temp": -39.5, "rh": 60, "soak": 125, "due": 9*3600 + 30*60} {
		if got, ok := f.Number(name); !ok || got != want {
			t.Errorf("%s is %v, %v, want %v\n%s", name, got, ok, want, drawn(e, f, 80, 24))
		}
	}
	for name, want := range map[string]string{"lot": "7.2-14/b", "fan": "high", "why": "spoiled", "late": "yes"} {
		if got := f.Text(name); got != want {
			t.Errorf("%s is %q, want %q", name, got, want)
		}
	}
	if _, typed := f.Number("ago"); typed || f.Unit("stock") != 0 || !f.Bool("late") {
		t.Error("nothing was typed of minutes ago; ppm and yes were chosen")
	}
	shows(t, e, f, "12 trays", "3.5 ppm", "(800 g)", "-39.5 °C", "(60 %)", "2:05 min", "9:30", "Enter: enter it")
	if got := press(e, f, "enter"); got != form.Sent {
		t.Errorf("Enter on the last line gives %v:\n%s", got, drawn(e, f, 80, 24))
	}
}

func TestKeysMeanTheSame(t *testing.T) {
	number := form.Row{Name: "n", Label: "n", Kind: form.Decimal, Unit: "kg"}
	signed := form.Row{Name: "n", Label: "n", Kind: form.Temperature}
	text := form.Row{Name: "n", Label: "n", Kind: form.Text}
	for _, tc := range []struct {
		name string
		row  form.Row
		keys string
		want string // of the row, on the screen
		out  form.Outcome
	}{
		{"comma", number, "24,5", "[24.5▏] kg", form.Changed},
		{"point", number, "24.5", "[24.5▏] kg", form.Changed},
		{"one point", number, "2.4.5", "[2.45▏] kg", form.Changed},
		{"erase", number, "24.5--", "[24▏] kg", form.Changed},
		{"backspace", number, "24.5 back back", "[24▏] kg", form.Changed},
		{"no sign", number, "-5", "[5▏] kg", form.Changed},
		{"sign", signed, "-5", "[-5▏] °C", form.Changed},
		{"erase the sign", signed, "-5--", "[▏] °C", form.Changed},
		{"equals is plus unshifted", number, "5 =", "[5] kg", form.None},
		{"entered again, replaced", number, "24 + 5", "[5▏] kg", form.Changed},
		{"entered again, erased", number, "24 + -", "[▏] kg", form.Changed},
		{"a cursor", number, "24 left 5", "[25▏4] kg", form.Changed},
		{"letters", number, "2x", "Digits only", form.None},
		{"leave", number, "24 /", "[24▏] kg", form.Left},
		{"Esc", number, "24 esc", "[24▏] kg", form.Left},
		{"a lot", text, "2026-12/a.1", "[2026-12/a.1▏]", form.Changed},
		{"leave an empty text", text, "/", "[▏]", form.Left},
		{"leave a text entered again", text, "a + /", "[a]", form.Left},
		{"erase a text entered again", text, "ab + - c", "[c▏]", form.Changed},
		{"Esc in a text", text, "a/ esc", "[a/▏]", form.Left},
		{"Enter sends", text, "a enter", "[a▏]", form.Sent},
		{"nothing to send", text, "enter", "Still missing: n.", form.None},
	} {
		e := env(false)
		f := form.Ask(e, "t", "", tc.row)
		if out := press(e, f, tc.keys); out != tc.out {
			t.Errorf("%s: outcome %v, want %v", tc.name, out, tc.out)
		}
		shows(t, e, f, tc.want)
	}
}

// What is wrong is said with what would be right, and the form stays as it is.
func TestFaultsSayWhatIsRight(t *testing.T) {
	for _, tc := range []struct {
		us        bool
		row       form.Row
		keys, say string
	}{
		{false, form.Row{Kind: form.Whole, Unit: "trays", Min: 1, Max: 500}, "0", "from 1 to 500 trays"},
		{false, form.Row{Kind: form.Whole, Unit: "trays", Min: 1, Max: 500}, "24,5", "24.5 is not a whole number"},
		{true, form.Row{Kind: form.Temperature, Min: -40, Max: 60}, "141", "from -40 to 140 °F"},
		{true, form.Row{Kind: form.Weight, Max: 1000}, "3", "from 0 oz to 2 lb 3.2 oz"},
		{false, form.Row{Kind: form.TimeOfDay}, "97", "four digits"},
		{false, form.Row{Kind: form.TimeOfDay}, "2460", "four digits"},
		{false, form.Row{Kind: form.TimeOfDay}, "10.5", "four digits"},
		{false, form.Row{Kind: form.Duration}, "2.3", "two digits"},
		{false, form.Row{Kind: form.Duration}, "2.75", "two digits"},
		{false, form.Row{Kind: form.Choice, Choices: []string{"low", "high"}}, "", "a digit from 1 to 2"},
		{false, form.Row{Kind: form.Choice, Choices: []string{"low", "high"}}, "3", "a digit from 1 to 2"},
		{false, form.Row{Kind: form.Whole, Check: func(*form.Form) string { return "Not 13." }}, "13", "Not 13."},
	} {
		e := env(tc.us)
		tc.row.Name, tc.row.Label = "n", "n"
		f := form.Ask(e, "t", "", tc.row)
		if out := press(e, f, tc.keys+" enter"); out != form.None {
			t.Errorf("%s: outcome %v", tc.keys, out)
		}
		shows(t, e, f, tc.say)
	}
}

// TestNoKeyForWhatWasNotShown: keys that are typed ahead of the form, or of what it
// was filled in with, do nothing.
func TestNoKeyForWhatWasNotShown(t *testing.T) {
	e := env(false)
	f := form.Confirm(e, "Open the day?", "")
	enter := named["enter"]
	if out, _ := f.Update(e, enter); out != form.None {
		t.Error("Enter sends a form that nobody has seen")
	}
	drawn(e, f, 80, 24)
	f.Wait("Loading.")
	if out := press(e, f, "enter"); out != form.None {
		t.Error("Enter sends a form that waits")
	}
	shows(t, e, f, "Loading.", "Wait until this is loaded")
	f.Refill(form.Row{Kind: form.Send, Label: "open the day"})
	if out, _ := f.Update(e, enter); out != form.None {
		t.Error("Enter sends what was filled in since")
	}
	drawn(e, f, 80, 24)
	if out, _ := f.Update(e, enter); out != form.Sent {
		t.Error("Enter does not send what is shown")
	}
	if out, _ := f.Update(e, enter); out != form.None {
		t.Error("a second Enter sends twice")
	}
}

func TestPastingGoesIntoTextsOnly(t *testing.T) {
	e := env(false)
	f := form.New(e, "", "", form.Row{Name: "n", Label: "n", Kind: form.Whole}, form.Row{Name: "t", Label: "t", Kind: form.Text})
	paste := tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune("12\x1b[2J\u202e/-*?\n"), Paste: true}
	drawn(e, f, 80, 24)
	f.Update(e, paste)
	if _, typed := f.Number("n"); typed {
		t.Error("a number was pasted")
	}
	shows(t, e, f, "Pasting works in a text only")
	press(e, f, "tab")
	f.Update(e, paste)
	if got := f.Text("t"); got != "12[2J/-*?" {
		t.Errorf("pasted %q", got)
	}
}

func TestRowsFollowAnswers(t *testing.T) {
	e := env(false)
	f := form.New(e, "", "",
		form.Row{Name: "packages", Label: "packages", Kind: form.Whole, Default: form.Num(10)},
		form.Row{Name: "net", Label: "net weight", Kind: form.Weight, DefaultOf: func(f *form.Form) form.Value { return form.Num(100 * float64(f.Int("packages"))) }},
		form.Row{Name: "short", Label: "short of", Kind: form.Text, When: func(f *form.Form) bool { return f.Int("packages") < 10 }})
	shows(t, e, f, "Enter takes 10", "(1000 g)")
	press(e, f, "8")
	shows(t, e, f, "(800 g)", "short of")
	if out := press(e, f, "enter enter"); out != form.Changed && out != form.None {
		t.Error("sent without the row that came up")
	}
	if out := press(e, f, "water enter"); out != form.Sent || f.Text("short") != "water" {
		t.Error("not sent")
	}
	if net, _ := f.Number("net"); net != 800 {
		t.Errorf("net %v", net)
	}
	f.Fault("net", "The scale says less.") // a refused send
	shows(t, e, f, "8", "The scale says less.")
	if f.At() != "net" {
		t.Error("not at the row at fault")
	}
	f.SetRows(form.Row{Name: "packages", Label: "packages", Kind: form.Whole})
	if f.Int("packages") != 8 {
		t.Error("what was typed is gone")
	}
}

func TestChoices(t *testing.T) {
	e := env(false)
	days := strings.Fields("mon tue wed thu fri sat sun mo2 tu2 we2 th2 fr2")
	row := form.Row{Name: "d", Label: "day", Kind: form.Choice, Choices: days}
	for _, tc := range []struct {
		keys, want string
		own        string
		out        form.Outcome
	}{
		{keys: "2", want: "tue", out: form.Sent},
		{keys: "1", want: "mon", out: form.Changed}, // 10 to 12 are there too
		{keys: "1 enter", want: "mon", out: form.Sent},
		{keys: "12", want: "fr2", out: form.Sent},
		{keys: "t", want: "tue", out: form.Changed},
		{keys: "ttt", want: "tu2", out: form.Changed},
		{keys: "down down", want: "tue", out: form.Changed},
		{keys: "1-", want: "", out: form.Changed},
		{keys: "13x", own: "other", want: "x", out: form.Changed},
		{keys: "x-y", own: "other", want: "x-y", out: form.Changed},
		{keys: "x back 2", own: "other", want: "tue", out: form.Sent},
	} {
		row.Own = tc.own
		f := form.Ask(e, "", "", row)
		if out := press(e, f, tc.keys); out != tc.out || f.Text("d") != tc.want {
			t.Errorf("%s: %q, %v, want %q, %v", tc.keys, f.Text("d"), out, tc.want, tc.out)
		}
	}
}

// Beside stands on the same line: Enter goes to the next line, + to the next field.
func TestFieldsBesideEachOther(t *testing.T) {
	e := env(true)
	var rows []form.Row
	for _, crop := range []string{"pea", "radish"} {
		rows = append(rows, form.Row{Name: crop, Label: crop, Kind: form.Whole, Unit: "trays", Optional: true},
			form.Row{Name: crop + " due", Label: "due", Kind: form.TimeOfDay, Beside: true, Optional: true})
	}
	f := form.New(e, "", "", rows...)
	if out := press(e, f, "12 enter 5 + 130p up 1000 down enter"); out != form.Sent {
		t.Errorf("outcome %v:\n%s", out, drawn(e, f, 80, 24))
	}
	shows(t, e, f, "pea     12 trays   due  10:00 am", "→ due [13:30] HHMM  = 1:30 pm")
}
