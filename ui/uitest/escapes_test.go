package uitest_test

import (
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/charmbracelet/x/ansi"

	"shedbell/line"
	"shedbell/line/linetest"
	"shedbell/recipes"
	"shedbell/ui/theme"
	"shedbell/ui/uitest"
)

// steering are texts that would steer a terminal if they reached it as they are:
// CSI, OSC and DCS in 7 and 8 bits (ECMA-48, 5.4 and 8.3), the ends of lines, NUL, and
// the characters that turn the direction of reading (Unicode Standard Annex #9, 2).
var steering = []string{
	"\x1b[2J\x1b[31m", "\x1b]0;owned\a", "\x1b]8;;http://a.example\x1b\\", "\x1bPq#0\x1b\\", "\x1b_x\x1b\\", "\u009b2J", "\u009d0;x\u009c", "\u0090x\u009c",
	"\x9b31m", "\r\n", "\x00\b\x7f", "\u202eabc\u202c", "\u2066x\u2069", "\u200f\u061c", "\u2028\u2029", "\ufeff", "\x0e\x0f",
}

// hostile has a shed in which every name holds such texts. No file can bring them in,
// as the readers refuse them; a journal that was tampered with can.
func hostile(o *uitest.Options) {
	n := 0
	dirty := func(name string) string {
		n++
		return name[:1] + steering[n%len(steering)] + name[1:] + steering[(n+7)%len(steering)]
	}
	site := *linetest.Site()
	site.Name = dirty(site.Name)
	site.Crew = []string{dirty("Ash")}
	site.Stations = slices.Clone(site.Stations)
	for i := range site.Stations {
		site.Stations[i].Name = dirty(site.Stations[i].Name)
	}
	for i := range site.Panel.Circuits {
		site.Panel.Circuits[i].Name = dirty(site.Panel.Circuits[i].Name)
	}
	for i := range site.Panel.Loads {
		l := &site.Panel.Loads[i]
		l.Name = dirty(l.Name)
		for k := range l.Settings {
			l.Settings[k].Name = dirty(l.Settings[k].Name)
		}
	}
	known := linetest.Book()
	crops := map[string]string{}
	var all []recipes.Recipe
	for _, crop := range known.Crops() {
		r, _ := known.Current(crop)
		crops[crop] = dirty(crop)
		r.Crop, r.By, r.Why = crops[crop], dirty("Ash"), dirty("too dry")
		all = append(all, r)
	}
	book := recipes.NewBook(all...)
	sheet := linetest.Sheet()
	sheet.Crew = site.Crew
	for i := range sheet.Crops {
		sheet.Crops[i].Crop = crops[sheet.Crops[i].Crop]
	}
	sheet.Apart = nil
	o.Site, o.Book, o.Sheet, o.Suggest = &site, &book, &sheet, &sheet
}

// write puts hostile texts into everything else that can hold one. What is refused
// says so, which has to be shown too.
func write(d *uitest.Driver) {
	for i, text := range steering {
		crop := d.State().Sheet.Crops[0].Crop
		for _, c := range []line.Command{
			line.AddNote{Text: "note " + text},
			line.TakeOrder{Customer: "Fern " + text, Crop: crop, Packages: 2, Due: "2026-12-04"},
			line.ReportTrouble{At: line.Place{Station: 1 + i%3}, What: "leaks " + text},
			line.MakeEntry{Entry: line.Entry{Kind: line.EntrySeen, By: "Ash" + text, Initials: "A", Where: "floor" + text, Text: "wet " + text}},
			line.OpenDay{Sheet: line.Sheet{Crops: []line.Demand{{Crop: text, Trays: 1}}}},
		} {
			d.Line.Do(c)
		}
	}
	d.Pass(time.Second)
}

// Whatever the names, the notes and the refusals hold, no screen at any size hands it
// to the terminal as it is.
func TestNothingSteersTheTerminal(t *testing.T) {
	for _, name := range []theme.Name{theme.Mono, theme.Dark} {
		o := uitest.Options{Theme: name, W: 120, H: 40, Forecast: calm}
		hostile(&o)
		d := uitest.New(t, o)
		write(d)
		d.Work(30)
		write(d)
		shown := map[string]bool{}
		for _, open := range [][]string{nil, {"?"}, {"/"}, {"/", "1"}, {"/", "1", "3", "enter"}, {"/", "2"}, {"/", "2", "enter", "6"}, {"/", "3"}, {"/", "3", "enter"}, {"/", "3", "1"},
			{"/", "4"}, {"/", "4", "1"}, {"/", "4", "2"}, {"/", "4", "3"}, {"/", "5"}, {"/", "5", "1"}, {"/", "6"}, {"/", "6", "1", "enter"}, {"/", "7"}, {"/", "7", "pgdown"}, {"/", "8"},
			{"1", "1"}, {"2", "2", "x"}, {"3", "3", "b"}, {"4", "4", "m"}, {"f"}, {"*", "*"}, {"b"}, {"x", "x"}, {"p"}, {"s"}} {
			d.Press("esc", "esc", "esc")
			d.Press(open...)
			for _, size := range uitest.Sizes {
				d.Resize(size[0], size[1])
				d.CheckFrame()
			}
			d.Resize(120, 40)
			shown[ansi.Strip(d.Raw())] = true
		}
		if len(shown) < 15 {
			t.Errorf("only %d different screens were looked at", len(shown))
		}
		if !strings.Contains(strings.Join(slicesOf(shown), ""), "note ") {
			t.Error("the notes were never on a screen")
		}
	}
}

func slicesOf(m map[string]bool) (out []string) {
	for k := range m {
		out = append(out, k)
	}
	return out
}

// The check itself takes colours and nothing else.
func TestSteeringIsSeen(t *testing.T) {
	for _, text := range steering {
		if uitest.Steers("a\n\x1b[1;38;5;7mb\x1b[0m") || !uitest.Steers("a"+text) {
			t.Errorf("%q is not seen", text)
		}
	}
}
