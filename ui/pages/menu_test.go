package pages_test

import (
	"regexp"
	"strings"
	"testing"

	"shedbell/line/linetest"
	"shedbell/ui/uitest"
)

func TestMenuScreens(t *testing.T) {
	sheet := linetest.Sheet()
	uitest.Golden(t, "menu", uitest.Options{Sheet: &sheet}, func(d *uitest.Driver) { d.Press("/", "+") })
}

func TestMenuDigitsOpen(t *testing.T) {
	sheet := linetest.Sheet()
	d := uitest.New(t, uitest.Options{Sheet: &sheet})
	d.Press("/")
	d.Expect("other screens", "7 log")
	d.Press("7")
	d.Expect("log, 1 entry")
	d.Press("0")
	d.Expect("Cut PEA 1")
}

func TestEnterOpensTheMarkedOne(t *testing.T) {
	sheet := linetest.Sheet()
	d := uitest.New(t, uitest.Options{Sheet: &sheet})
	d.Press("/", "-", "-", "-", "-", "-", "-", "enter") // the mark goes round from the first to the last but five
	d.Expect("Test shed   settings")
	d.Press("/")
	d.Expect("Cut PEA 1")
}

func TestMenuUnknownDigit(t *testing.T) {
	sheet := linetest.Sheet()
	d := uitest.New(t, uitest.Options{Sheet: &sheet})
	d.Press("/", "a")
	d.Expect("There's no number a here.")
}

// Every screen that there is can be opened by one key, and by + and Enter of a number
// pad too.
func TestEveryEntryHasAKey(t *testing.T) {
	sheet := linetest.Sheet()
	d := uitest.New(t, uitest.Options{Sheet: &sheet, Demo: true})
	d.Press("/")
	d.ExpectLine("a  practice")
	menu := d.Screen()
	entry := regexp.MustCompile(`(?m)^ .? ([0-9a-z.]) +([a-z-]+) `)
	rows := entry.FindAllStringSubmatch(menu, -1)
	if len(rows) < 10 {
		t.Fatalf("%d entries in\n%s", len(rows), menu)
	}
	seen := map[string]bool{}
	for _, row := range rows {
		if seen[row[1]] {
			t.Errorf("%s opens two", row[1])
		}
		seen[row[1]] = true
		d.Press("esc", "/", row[1])
		if byKey := d.Screen(); byKey == menu || strings.Contains(byKey, "There is no") {
			t.Errorf("%s does not open %s", row[1], row[2])
		}
	}
}
