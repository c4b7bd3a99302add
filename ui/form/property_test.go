package form_test

import (
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"
	"pgregory.net/rapid"

	"shedbell/ui/act"
	"shedbell/ui/form"
)

// asked is a kind of number with the units that it is shown in, by the preferences:
// kept = (shown - zero) * scale. A pound is 453.59237 g and an ounce the sixteenth of
// it (NIST Handbook 44, appendix C); 32 °F is 0 °C and 212 °F is 100 °C.
type asked struct {
	row    form.Row
	metric []shownIn
	us     []shownIn
}

type shownIn struct {
	unit        string
	scale, zero float64
}

var numbers = []asked{
	{row: form.Row{Kind: form.Whole, Unit: "trays"}, metric: []shownIn{{"trays", 1, 0}}},
	{row: form.Row{Kind: form.Decimal, Unit: "kg", Min: -1e9, Max: 1e9}, metric: []shownIn{{"kg", 1, 0}}},
	{row: form.Row{Kind: form.Decimal, Unit: "%", Units: []string{"ppm", "%"}}, metric: []shownIn{{"%", 1, 0}}},
	{row: form.Row{Kind: form.Weight}, metric: []shownIn{{"g", 1, 0}}, us: []shownIn{{"lb", 453.59237, 0}, {"oz", 28.349523125, 0}}},
	{row: form.Row{Kind: form.Temperature}, metric: []shownIn{{"°C", 1, 0}}, us: []shownIn{{"°F", 1 / 1.8, 32}}},
	{row: form.Row{Kind: form.Percent}, metric: []shownIn{{"%", 1, 0}}},
	{row: form.Row{Kind: form.PPM}, metric: []shownIn{{"ppm", 1, 0}}},
	{row: form.Row{Kind: form.Minutes}, metric: []shownIn{{"min", 60, 0}}},
}

var shownNumber = regexp.MustCompile(`(-?[0-9.]+) (\S+)`)

// read is what the row shows, in the unit that is kept.
func read(rt *rapid.T, view, label string, units []shownIn) (sum float64) {
	for row := range strings.Lines(view) {
		_, rest, found := strings.Cut(row, label)
		if !found {
			continue
		}
		for _, m := range shownNumber.FindAllStringSubmatch(rest, -1) {
			for _, u := range units {
				if u.unit == m[2] {
					v, err := strconv.ParseFloat(m[1], 64)
					if err != nil {
						rt.Fatalf("%q is no number", m[1])
					}
					sum += (v - u.zero) * u.scale
				}
			}
		}
	}
	return sum
}

// TestWhatIsShownIsKept types a number into a row of any kind, with a comma or a
// point, in either units: while it is typed and when the row is left, it is shown
// with its unit, and that is what the form gives.
func TestWhatIsShownIsKept(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		a := rapid.SampledFrom(numbers).Draw(rt, "kind")
		us := rapid.Bool().Draw(rt, "us")
		units := a.metric
		if us && a.us != nil {
			units = a.us
		}
		e := env(us)
		a.row.Name, a.row.Label = "n", "reading"
		f := form.New(e, "", "", a.row, form.Row{Label: "send it", Kind: form.Send})
		sum := 0.0
		for i, u := range units {
			text := strconv.Itoa(rapid.IntRange(0, 9999).Draw(rt, "whole"))
			if a.row.Kind != form.Whole && rapid.Bool().Draw(rt, "decimal") {
				text += rapid.SampledFrom([]string{".", ","}).Draw(rt, "mark") + strconv.Itoa(rapid.IntRange(0, 999).Draw(rt, "rest"))
			}
			if (a.row.Min < 0 || a.row.Kind == form.Temperature) && rapid.Bool().Draw(rt, "negative") {
				text = "-" + text
			}
			if i > 0 {
				press(e, f, "+")
			}
			press(e, f, text)
			v, err := strconv.ParseFloat(strings.ReplaceAll(text, ",", "."), 64)
			if err != nil {
				rt.Fatal(err)
			}
			sum += (v - u.zero) * u.scale
		}
		view := strings.NewReplacer("[", " ", "▏]", "", "]", " ").Replace(drawn(e, f, 80, 24))
		view = regexp.MustCompile(` +`).ReplaceAllString(view, " ")
		view = strings.ReplaceAll(view, "unit: 1 ppm 2 %", "%")
		if got := read(rt, view, "reading", units); math.Abs(got-sum) > 1e-6 {
			rt.Fatalf("shown while typed: %v, typed %v:\n%s", got, sum, view)
		}
		press(e, f, "enter")
		kept, ok := f.Number("n")
		if !ok || math.Abs(kept-sum) > 1e-6 {
			rt.Fatalf("kept %v, %v, typed %v:\n%s", kept, ok, sum, drawn(e, f, 80, 24))
		}
		view = drawn(e, f, 80, 24)
		if got := read(rt, view, "reading", units); math.Abs(got-kept) > 1e-6 {
			rt.Fatalf("shown %v, kept %v:\n%s", got, kept, view)
		}
	})
}

// TestTimesAreKeptAsShown does the same for lengths of time and times of day.
func TestTimesAreKeptAsShown(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		a, b := rapid.IntRange(0, 23).Draw(rt, "large"), rapid.IntRange(0, 59).Draw(rt, "small")
		two := func(n int) string { return strconv.Itoa(n/10) + strconv.Itoa(n%10) }
		mark := rapid.SampledFrom([]string{".", ",", ":"}).Draw(rt, "mark")
		e := env(rapid.Bool().Draw(rt, "us"))
		f := form.New(e, "", "", form.Row{Name: "due", Label: "due", Kind: form.TimeOfDay}, form.Row{Name: "soak", Label: "soak", Kind: form.Duration},
			form.Row{Label: "send it", Kind: form.Send})
		typed := two(a) + two(b)
		if rapid.Bool().Draw(rt, "with a mark") {
			typed = strconv.Itoa(a) + mark + two(b)
		}
		press(e, f, typed+" enter "+strconv.Itoa(a)+mark+two(b)+" enter")
		due, okDue := f.TimeOfDay("due")
		soak, okSoak := f.Duration("soak")
		if !okDue || !okSoak || int(due.Minutes()) != a*60+b || int(soak.Seconds()) != a*60+b {
			rt.Fatalf("%v %v, %v %v of %s", due, okDue, soak, okSoak, typed)
		}
		want := strconv.Itoa(a) + ":" + two(b)
		if e.Prefs.TwelveHour {
			want = strconv.Itoa((a+11)%12+1) + ":" + two(b)
		}
		if view := drawn(e, f, 80, 24); !strings.Contains(view, want) || !strings.Contains(view, strconv.Itoa(a)+":"+two(b)+" min") {
			rt.Fatalf("%s is not shown:\n%s", want, view)
		}
	})
}

// TestEnterKeepsTheDefaultThatIsShown takes a default in either units.
func TestEnterKeepsTheDefaultThatIsShown(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		a := rapid.SampledFrom(numbers).Draw(rt, "kind")
		e := env(rapid.Bool().Draw(rt, "us"))
		units := a.metric
		if e.Prefs.US && a.us != nil {
			units = a.us
		}
		v := float64(rapid.IntRange(0, 99999).Draw(rt, "default"))
		a.row.Name, a.row.Label, a.row.Default = "n", "reading", form.Num(v)
		f := form.New(e, "", "", a.row)
		view := drawn(e, f, 80, 24)
		if out := press(e, f, "enter"); out != form.Sent {
			rt.Fatalf("Enter gives %v", out)
		}
		if got, ok := f.Number("n"); !ok || got != v {
			rt.Fatalf("kept %v, default %v", got, v)
		}
		_, hint, _ := strings.Cut(view, "Enter takes ")
		hint = "reading " + hint
		if len(a.row.Units) > 1 {
			hint = strings.Replace(hint, strings.Fields(hint)[1], strings.Fields(hint)[1]+" %", 1)
		}
		// a tenth of the unit that is shown last is the most that is rounded away
		if got := read(rt, hint, "reading", units); math.Abs(got-v) > 0.1*math.Abs(units[len(units)-1].scale) {
			rt.Fatalf("shown %v, kept %v:\n%s", got, v, view)
		}
	})
}

// TestEveryKeyActsOrSaysWhyNot: in any row, at any size, a key changes what is seen,
// or has come to something.
func TestEveryKeyActsOrSaysWhyNot(t *testing.T) {
	keys := []string{"enter", "+", "-", ".", "/", "*", "0", "1", "5", "9", "a", "x", "?", ":", "=", "tab", "shift+tab", "up", "down", "back"}
	rapid.Check(t, func(rt *rapid.T) {
		e := env(rapid.Bool().Draw(rt, "us"))
		rows := everything()
		from := rapid.IntRange(0, len(rows)-1).Draw(rt, "from")
		rows = rows[from:rapid.IntRange(from+1, len(rows)).Draw(rt, "to")]
		f := form.New(e, "a title", "why it is asked", rows...)
		for range rapid.IntRange(1, 15).Draw(rt, "keys") {
			k := rapid.SampledFrom(keys).Draw(rt, "key")
			msg, ok := named[k]
			if !ok {
				msg = tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune(k)}
			}
			w, h := rapid.IntRange(20, 200).Draw(rt, "w"), rapid.IntRange(1, 60).Draw(rt, "h")
			drawn(e, f, w, h)
			before, name := drawn(e, f, 120, 40), f.At()
			out, cmd := f.Update(e, msg)
			if after := drawn(e, f, 120, 40); out == form.None && cmd == nil && before == after && !sentence.MatchString(after) {
				rt.Fatalf("%s does nothing in %s:\n%s", k, name, after)
			}
			keysAreNamed(rt, f.Keys())
		}
	})
}

// sentence is what a form says about a key.
var sentence = regexp.MustCompile(`(?m)^  +[A-Z0-9.-].*\. *$`)

func keysAreNamed(rt *rapid.T, keys act.Table) {
	leave := false
	for _, k := range keys {
		leave = leave || k.Help().Desc == "form.leave"
	}
	if !leave {
		rt.Fatal("the foot does not say what leaves")
	}
}
