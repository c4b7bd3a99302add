package uitest_test

import (
	"os"
	"os/exec"
	"slices"
	"strings"
	"testing"
)

// deps lists everything that a package and its imports need.
func deps(t *testing.T, pattern string) map[string][]string {
	t.Helper()
	out, err := exec.Command("go", "list", "-f", `{{.ImportPath}} {{join .Deps " "}}`, pattern).CombinedOutput()
	if err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	found := map[string][]string{}
	for row := range strings.Lines(string(out)) {
		fields := strings.Fields(row)
		found[fields[0]] = fields[1:]
	}
	return found
}

// impure are imports that no domain package may have, not even by way of another.
var impure = []string{"github.com/charmbracelet/", "database/sql", "modernc.org/sqlite", "net/http", "os/exec", "shedbell/ui"}

// sentences is the package that everybody may import, to say something.
const sentences = "shedbell/line/say"

func TestDomainPackagesStayPure(t *testing.T) {
	for _, room := range []struct {
		pattern string
		also    []string // further packages that are out of bounds
	}{
		{"shedbell/line/say", []string{"shedbell/"}},
		{"shedbell/power/...", []string{"shedbell/line", "shedbell/recipes"}},
		{"shedbell/recipes/...", []string{"shedbell/line", "shedbell/power"}},
		{"shedbell/line", nil},
		{"shedbell/line/plan/...", nil},
		{"shedbell/line/rehearse", nil},
		{"shedbell/line/files", nil},
		{"shedbell/line/meter", nil},
		{"shedbell/line/records/...", nil},
	} {
		for pkg, imports := range deps(t, room.pattern) {
			if strings.HasSuffix(pkg, "test") {
				continue // helps tests, and is in no build
			}
			for _, imp := range imports {
				for _, bad := range append(room.also, impure...) {
					if strings.HasPrefix(imp, bad) && imp != sentences {
						t.Errorf("%s must not depend on %s", pkg, imp)
					}
				}
			}
		}
	}
}

// TestTheJournalKnowsNoScreen keeps the line's own packages free of the user
// interface.
func TestTheJournalKnowsNoScreen(t *testing.T) {
	for pkg, imports := range deps(t, "shedbell/line/...") {
		for _, imp := range imports {
			if strings.HasPrefix(imp, "shedbell/ui") || strings.HasPrefix(imp, "github.com/charmbracelet/") {
				t.Errorf("%s must not depend on %s", pkg, imp)
			}
		}
	}
}

// onNetwork lists the packages that serve the board to other screens, which the user
// switches on; no other has anything to do with networks.
var onNetwork = []string{"shedbell/ui/serve", "shedbell/ui/start", "shedbell/ui/command"}

func TestOnlyServingKnowsNetworks(t *testing.T) {
	out, err := exec.Command("go", "list", "-f", `{{.ImportPath}} {{join .Imports " "}}`, "shedbell/...").CombinedOutput()
	if err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	found := 0
	for row := range strings.Lines(string(out)) {
		fields := strings.Fields(row)
		for _, imp := range fields[1:] {
			switch {
			case fields[0] == "shedbell/line/live/meters" && strings.HasPrefix(imp, "github.com/mochi-mqtt/"):
			case imp != "net" && imp != "net/http" && imp != "net/rpc" && !strings.HasPrefix(imp, "github.com/mochi-mqtt/"):
			case slices.Contains(onNetwork, fields[0]):
				found++
			default:
				t.Errorf("%s must not import %s", fields[0], imp)
			}
		}
	}
	if found == 0 {
		t.Error("nothing that serves was found: the search is broken")
	}
}

// TestTestSupportIsInNoProgram keeps what helps tests out of what is built.
func TestTestSupportIsInNoProgram(t *testing.T) {
	support := func(pkg string) bool { return strings.HasPrefix(pkg, "shedbell/") && strings.HasSuffix(pkg, "test") }
	found := 0
	for pkg, imports := range deps(t, "shedbell/...") {
		if support(pkg) {
			found++
			continue
		}
		for _, imp := range imports {
			if support(imp) {
				t.Errorf("%s must not depend on %s", pkg, imp)
			}
		}
	}
	if found == 0 {
		t.Error("no test support was found: the search is broken")
	}
}

// TestEveryRoomIsInTheTable holds the table of DEVELOPERS.md against the packages.
func TestEveryRoomIsInTheTable(t *testing.T) {
	page, err := os.ReadFile("../../DEVELOPERS.md")
	if err != nil {
		t.Fatal(err)
	}
	told := map[string]bool{}
	_, table, _ := strings.Cut(string(page), "## Rooms\n")
	table, _, _ = strings.Cut(table, "\n## ")
	for row := range strings.Lines(table) {
		if cells := strings.Split(row, "|"); len(cells) > 2 {
			for i, name := range strings.Split(cells[1], "`") {
				if i%2 == 1 && name != "testdata" {
					told[strings.TrimSuffix("shedbell/"+name, "/main.go")] = true
				}
			}
		}
	}
	out, err := exec.Command("go", "list", "shedbell/...").CombinedOutput()
	if err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	for _, pkg := range strings.Fields(string(out)) {
		if !told[pkg] {
			t.Errorf("%s is not in the table of rooms", pkg)
		}
		delete(told, pkg)
	}
	for name := range told {
		t.Errorf("the table of rooms has %s, which is no package", name)
	}
}
