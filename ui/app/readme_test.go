package app_test

import (
	"flag"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

var rewrite = flag.Bool("readme", false, "put the screens of the golden files into the README")

// marked is a screen in the README: a comment that names a golden file, and the
// block after it.
var marked = regexp.MustCompile("(?s)<!-- screen (\\S+) -->\n```\n(.*?)```\n")

// TestReadmeShowsRealScreens keeps the README's screens equal to what the program
// draws. `go test ./ui/app -readme` takes new ones over.
func TestReadmeShowsRealScreens(t *testing.T) {
	path := filepath.Join("..", "..", "README.md")
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	found := map[string]bool{}
	text := marked.ReplaceAllStringFunc(string(data), func(block string) string {
		parts := marked.FindStringSubmatch(block)
		found[parts[1]] = true
		golden, err := os.ReadFile(filepath.Join("..", "..", "testdata", "golden", "ui", parts[1]+".golden"))
		if err != nil {
			t.Error(err)
			return block
		}
		screen := trimRight(string(golden))
		if trimRight(parts[2]) != screen && !*rewrite {
			t.Errorf("the README's screen %s is not what the program draws; run go test ./ui/app -readme", parts[1])
		}
		return "<!-- screen " + parts[1] + " -->\n```\n" + screen + "```\n"
	})
	for _, name := range []string{"board-refused/80x24"} {
		if !found[name] {
			t.Errorf("the README does not show %s", name)
		}
	}
	if *rewrite {
		if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

// trimRight drops spaces at the ends of lines and empty lines at the end.
func trimRight(text string) string {
	rows := strings.Split(text, "\n")
	for i := range rows {
		rows[i] = strings.TrimRight(rows[i], " ")
	}
	return strings.TrimRight(strings.Join(rows, "\n"), "\n") + "\n"
}
