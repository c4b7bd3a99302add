package strictfile

import (
	"errors"
	"fmt"
	"shedbell/line/say"
	"strings"
	"testing"
	"time"

	"github.com/pelletier/go-toml/v2"
)

type panel struct {
	Name    string             `toml:"name" need:"add name = \"shed\""`
	Start   Duration           `toml:"start"`
	Day     toml.LocalDate     `toml:"day"`
	Trays   int                `toml:"trays"`
	Loads   []load             `toml:"loads"`
	Marks   []string           `toml:"marks"`
	Factors map[string]float64 `toml:"factors"`
	Hidden  string             `toml:"-"`
}

type load struct {
	Name string  `toml:"name" need:"a name"`
	Amps float64 `toml:"amps"`
	On   *bool   `toml:"on"`
}

const good = `# a panel
name = "shed"
start = "3m30s"
day = 2026-03-14
trays = 18
marks = ["a", 'b']
factors = { low = 1, "extra high" = 0.5 }

[[loads]]
name = "tub"
amps = 7.5
on = true

[[loads]]
name = "spinner"
amps = 9
`

func TestDecodeGoodFile(t *testing.T) {
	var p panel
	where, faults := Decode("day.toml", []byte(good), &p)
	if len(faults) > 0 {
		t.Fatal(Join(faults))
	}
	if p.Name != "shed" || time.Duration(p.Start) != 210*time.Second || p.Trays != 18 || p.Day.String() != "2026-03-14" {
		t.Errorf("read %+v", p)
	}
	if len(p.Loads) != 2 || p.Loads[0].Amps != 7.5 || !*p.Loads[0].On || p.Loads[1].Amps != 9 || p.Loads[1].On != nil {
		t.Errorf("loads %+v", p.Loads)
	}
	if p.Factors["extra high"] != 0.5 || len(p.Marks) != 2 {
		t.Errorf("factors %v marks %v", p.Factors, p.Marks)
	}
	for path, want := range map[string]string{
		"trays":                "5:9 18",
		"loads[0].amps":        "11:8 7.5",
		"loads[1].amps":        "16:8 9",
		"loads[1]":             "14:3 ",
		"loads[1].volts":       "14:3 ",
		"loads[9].amps.low":    "9:3 ",
		"marks":                "6:9 [...]",
		"marks[1]":             "6:15 'b'",
		`factors."extra high"`: "7:37 0.5",
		"nothing":              "1:1 ",
		"factors.extra":        "7:11 ",
	} {
		line, column, value := where.At(path)
		if got := fmt.Sprintf("%d:%d %s", line, column, value); got != want {
			t.Errorf("At(%s) = %q, want %q", path, got, want)
		}
	}
	if !where.Has("loads[1].amps") || where.Has("loads[1].on") {
		t.Error("Has does not follow the file")
	}
	got := where.Fault("loads[1].amps", say.New("fault.negative"), say.New("fault.range-bare", 0.0, 100.0)).Error()
	if want := "day.toml:16:8: amps = 9: negative; give 0 to 100"; got != want {
		t.Errorf("got %q, want %q", got, want)
	}
}

// Every fault of a file must come out in one reading.
func TestDecodeReportsAllAtOnce(t *testing.T) {
	const bad = `start = 4
trays = "many"
tray = 3
Name = "x"
day = 2026-03-14T10:00:00Z
this is no line
marks = ["a", 7]
trays = 9

[[loads]]
amp = 1
amps = nan
on = 1

[loads.deeper]
x = 1

[factors]
low = "x"
`
	var p panel
	_, faults := Decode("day.toml", []byte(bad), &p)
	want := []string{
		`1:1 name missing`,
		`1:9 start a number without a unit`,
		`2:9 trays is text`,
		`3:1 tray unknown key`,
		`4:1 Name unknown key`,
		`5:7 day not understood`,
		`6:6  not readable`,
		`7:15 marks[1] is a number`,
		`8:1 trays written twice, first on line 2`,
		`10:3 loads[0].name missing`,
		`11:1 loads[0].amp unknown key`,
		`12:8 loads[0].amps not a number`,
		`13:6 loads[0].on is a number`,
		`15:8 loads[0].deeper unknown key`,
		`19:7 factors.low is text`,
	}
	if len(faults) != len(want) {
		t.Errorf("%d faults, want %d:\n%v", len(faults), len(want), Join(faults))
	}
	for i := range min(len(want), len(faults)) {
		f := faults[i]
		if got := fmt.Sprintf("%d:%d %s %s", f.Line, f.Column, f.Key, f.Problem); !strings.HasPrefix(got, want[i]) {
			t.Errorf("fault %d: %q, want %q", i, got, want[i])
		}
		if f.Mend.IsZero() {
			t.Errorf("no way out: %v", f)
		}
	}
	var one Fault
	if !errors.As(Join(faults), &one) || one.File != "day.toml" {
		t.Error("a joined error must give its faults to errors.As")
	}
}

func TestFaultMessages(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"name = \"a\"\ntrays = 9999999999999999999", "x.toml:2:9: trays = 9999999999999999999: not a number this tool can hold; give a smaller whole number"},
		{"name = \"a\"\ntray = 1", "x.toml:2:1: tray = 1: unknown key; write trays, or remove it"},
		{"name = \"a\"\n[loads]\nname = \"b\"", "x.toml:2:2: loads: is a table; write [[loads]] with two brackets for each one"},
		{"name = \"a\"\n[factors]\nlow = 1\n[factors]\nhigh = 2", "x.toml:4:2: factors: written twice, first on line 2; keep one of the two"},
		{"name = \"gr\u00fcn\" # \u00e4\nstart = \"5 min\"", `x.toml:2:9: start = "5 min": not a time; write it like "3m30s", "90s" or "1h30m"`},
		{`name = "a\u001b[2Jb"`, `x.toml:1:8: name = "a\u001b[2Jb": has the control character U+001B; write one line of plain text`},
		{`name = "a` + "\u202e" + `b"`, `x.toml:1:8: name = "a?b": has the control character U+202E; write one line of plain text`},
	} {
		var p panel
		_, faults := Decode("x.toml", []byte(c.text), &p)
		if len(faults) != 1 || faults[0].Error() != c.want {
			t.Errorf("got  %v\nwant %s", Join(faults), c.want)
		}
	}
}

// TOML 1.0 examples of what is invalid: https://toml.io/en/v1.0.0
func TestInvalidTOML(t *testing.T) {
	for _, text := range []string{
		"name = # INVALID",
		`first = "Tom" last = "Preston-Werner"`,
		"= \"no key name\"",
		"name = \"Tom\"\nname = \"Pradyun\"",
		"spelling = \"favorite\"\n\"spelling\" = \"favourite\"",
		"[fruit]\napple = \"red\"\n[fruit]\norange = \"orange\"",
		"[fruit]\napple = \"red\"\n[fruit.apple]\ntexture = \"smooth\"",
		"[product]\ntype = { name = \"Nail\" }\ntype.edible = false",
		"[fruit.physical]\ncolor = \"red\"\n[[fruit]]\nname = \"apple\"",
		"fruits = []\n[[fruits]]",
		"n = 0123",
		"n = 1__0",
		"d = 2026-02-30",
		"x = \"\"\"open",
		"x = [1, 2",
		"x = \"\xff\"",
	} {
		_, faults := build("x", []byte(text))
		if len(faults) == 0 {
			faults = remaining("x", []byte(text))
		}
		if len(faults) == 0 {
			t.Errorf("accepted %q", text)
		}
	}
}

func TestLimits(t *testing.T) {
	var p panel
	_, faults := Decode("x", make([]byte, MaxBytes+1), &p)
	if len(faults) != 1 || !strings.Contains(faults[0].Problem.String(), "too many") {
		t.Errorf("a huge file: %v", faults)
	}
	for _, deep := range []string{
		"marks = " + strings.Repeat("[", 100) + strings.Repeat("]", 100),
		"marks = " + strings.Repeat("{a=", 100) + "1" + strings.Repeat("}", 100),
		strings.Repeat("a.", 100) + "a = 1",
		"[" + strings.Repeat("a.", 100) + "a]",
	} {
		_, faults = Decode("x", []byte(deep), &p)
		found := false
		for _, f := range faults {
			found = found || strings.Contains(f.Problem.String(), "nested too deeply")
		}
		if !found {
			t.Errorf("%.20s: %v", deep, faults)
		}
	}
	var many strings.Builder
	for i := range 5000 {
		fmt.Fprintf(&many, "k%d = 1\n", i)
	}
	_, faults = Decode("x", []byte(many.String()), &p)
	last := faults[len(faults)-1]
	if len(faults) != MaxFaults+1 || last.Problem.String() != "4801 more faults are not listed" {
		t.Errorf("%d faults, last %v", len(faults), last)
	}
}

// Reading stays linear in the size of the file, whatever fills it.
func BenchmarkDecodeLargest(b *testing.B) {
	for name, text := range map[string]string{
		"one line":      "marks = [" + strings.Repeat(`"a",`, MaxBytes/4-10) + "]",
		"unknown keys":  unknownKeys(),
		"many tables":   strings.Repeat("[[loads]]\n", MaxBytes/10),
		"inline tables": "loads = [" + strings.Repeat(`{b=1},`, MaxBytes/6-10) + "]",
		"syntax":        strings.Repeat("=\n", MaxBytes/2),
	} {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				var p panel
				Decode("x", []byte(text), &p)
			}
		})
	}
}

func unknownKeys() string {
	var s strings.Builder
	for i := 0; s.Len() < MaxBytes-12; i++ {
		fmt.Fprintf(&s, "k%d=1\n", i)
	}
	return s.String()
}

func TestDuration(t *testing.T) {
	for text, want := range map[string]time.Duration{
		"4m": 4 * time.Minute, "90s": 90 * time.Second, "3m30s": 210 * time.Second, "0s": 0,
		"1h30m": 90 * time.Minute, "24h": 24 * time.Hour,
	} {
		var d Duration
		if err := d.UnmarshalText([]byte(text)); err != nil || time.Duration(d) != want {
			t.Errorf("%s: %v %v", text, time.Duration(d), err)
		}
		back, _ := d.MarshalText()
		var again Duration
		if err := again.UnmarshalText(back); err != nil || again != d {
			t.Errorf("%s came back as %s", text, back)
		}
	}
	for text, problem := range map[string]string{
		"4": "without a unit", "-4": "without a unit", "4.5": "without a unit", "-4m": "negative", "25h": "longer than a day",
		"1ms": "part of a second", "": "not a time", "4 m": "not a time", "inf": "not a time", "9999999h": "not a time",
	} {
		var d Duration
		var bad *BadValue
		if err := d.UnmarshalText([]byte(text)); !errors.As(err, &bad) || !strings.Contains(bad.Problem.String(), problem) {
			t.Errorf("%q: %v, want %s", text, err, problem)
		}
	}
	if got := Duration(22 * time.Minute).String(); got != "22m" {
		t.Errorf("22 minutes are written %s", got)
	}
}
