package e2e

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// finish waits until the program has ended by itself, and gives what it left on the
// screen.
func (x *terminal) finish() string {
	x.t.Helper()
	select {
	case err := <-x.done:
		if err != nil {
			x.t.Fatalf("the program ended with %v:\n%s", err, x.screen())
		}
	case <-time.After(patience):
		x.t.Fatalf("the program did not end:\n%s", x.screen())
	}
	return x.screen()
}

// answers types each answer once its question is on the screen. An answer of one
// digit to a choice is taken at once.
func (x *terminal) answers(list ...[2]string) {
	x.t.Helper()
	for _, a := range list {
		x.expect(a[0])
		for _, k := range strings.Fields(strings.ReplaceAll(a[1], "Enter", " Enter ")) {
			x.press(strings.ReplaceAll(k, "_", " "))
		}
	}
}

// TestSetup builds a line file by questions, has it checked, changes one value in
// it and leaves once more without.
func TestSetup(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "data")
	file := filepath.Join(dir, "line.toml")
	x := start(t, 80, 24, "setup", "--data", dir)
	x.answers([][2]string{
		{"What is the shed called?", "Alder_shedEnter"}, {"Who works here?", "AshEnter"}, {"What supply", "1"}, {"feed the whole panel", "2"},
		{"Which outlets are", "wallEnter"}, {"number is on its handle", "Enter"}, {"stamped on its outlets", "3"}, {"protected by a GFCI", "1"}, {"another breaker?", "2"},
		{"machine called?", "spinnerEnter"}, {"Which breaker is it on?", "1"}, {"its nameplate say?", "1"}, {"How many amps?", "7Enter"},
		{"How does it start?", "2"}, {"When does it run?", "1"}, {"water get to it?", "1"}, {"Does it plug in?", "1"}, {"printed on its cord?", "4"}, {"How many feet of cord", "25Enter"}, {"another machine?", "2"},
		{"trays go into the tub", "Enter"}, {"How many tubs", "Enter"}, {"seconds does cutting", "Enter"}, {"stirs the water", "2"}, {"empties the tub", "2"},
		{"baskets does it hold", "Enter"}, {"is the spinner?", "1"}, {"shelves does the rack have", "Enter"}, {"through the rack", "2"}, {"seconds does packing", "Enter"},
		{"fit in the fridge", "Enter"}, {"washes the trays", "2"}, {"seconds does washing", "Enter"}, {"contact time?", "Enter"}, {"seconds does sowing", "Enter"},
		{"from one station to the next", "Enter"}, {"What do you want to see", "7"}, {"On \"wall\" together", "1"}, {"What do you want to see", "8"}, {"Write ", "1"},
	}...)
	if got := x.finish(); !strings.Contains(got, "Written:") {
		t.Fatalf("it ended with\n%s", got)
	}
	check(t, dir, "1 circuit, 1 load, 9 stations")

	x = start(t, 80, 24, "setup", "--data", dir)
	x.answers([2]string{"What do you want to see", "5"}, [2]string{"Which machine?", "1"}, [2]string{"machine called?", "Enter"},
		[2]string{"Which breaker is it on?", "1"}, [2]string{"its nameplate say?", "1"}, [2]string{"How many amps?", "\x7f8Enter"})
	x.expect("8.0 of 20 A")
	x.answers([2]string{"How does it start?", "Enter"}, [2]string{"When does it run?", "1"},
		[2]string{"water get to it?", "1"}, [2]string{"Does it plug in?", "1"}, [2]string{"printed on its cord?", "Enter"}, [2]string{"How many feet of cord", "Enter"},
		[2]string{"What do you want to see", "8"}, [2]string{"kept beside it", "1"})
	x.finish()
	was := read(t, file+".1")
	if got, want := read(t, file), strings.NewReplacer("\namps = 7\n", "\namps = 8\n", "starting_a = 42\n", "starting_a = 48\n").Replace(was); got != want || was == want {
		t.Errorf("the file is\n%s\nwant\n%s", got, want)
	}
	check(t, dir, "1 circuit, 1 load, 9 stations")

	before := read(t, file)
	x = start(t, 80, 24, "setup", "--data", dir)
	x.answers([2]string{"What do you want to see", "2"}, [2]string{"What supply", "3"}, [2]string{"What do you want to see", "\x03"}, [2]string{"once more to leave", "\x03"})
	if got := x.finish(); !strings.Contains(got, "Nothing was written.") || read(t, file) != before {
		t.Errorf("left with\n%s", got)
	}
}

func read(t *testing.T, file string) string {
	t.Helper()
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

// check asks the program about the files of a folder.
func check(t *testing.T, dir, says string) {
	t.Helper()
	path, err := binary()
	if err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command(path, "check", "--data", dir).CombinedOutput()
	if err != nil || !strings.Contains(strings.Join(strings.Fields(string(out)), " "), says) {
		t.Errorf("check: %v\n%s", err, out)
	}
}
