package e2e

import (
	"regexp"
	"strings"
	"testing"
	"time"
)

// mostPresses is how many keys a batch may take from the cutting table to the fridge.
const mostPresses = 12

// pressed is a day's count of keys.
type pressed struct {
	batches map[string][]string // what each key answered
	chores  int
}

var (
	batchName = regexp.MustCompile(`[A-Z]{3}[A-Z ]* [0-9]+`)
	isDue     = regexp.MustCompile(` (now|since [0-9:]+) *$`)
	allCold   = regexp.MustCompile(`([0-9]+) of ([0-9]+) cold`)
	unsaved   = regexp.MustCompile(`Not yet saved:[^.]*\. `)
)

// TestAWholeDayOnTheNumberPad runs the starter day on the real program in a real
// terminal, three hundred times as fast as the clock, by doing what the sentence
// says when it says so. Enter is the only key that it takes.
func TestAWholeDayOnTheNumberPad(t *testing.T) {
	if testing.Short() {
		t.Skip("takes most of a minute")
	}
	x := start(t, 80, 24, "demo", "--speed", "300")
	x.expect("of 20 cold")
	count := pressed{batches: map[string][]string{}}
	deadline := time.Now().Add(5 * patience)
	cold := ""
	for !strings.Contains(x.screen(), "the day is closed") {
		if m := allCold.FindStringSubmatch(x.screen()); m != nil && m[1] == m[2] {
			cold = m[0]
		}
		if time.Now().After(deadline) {
			t.Fatalf("the day does not end:\n%s", x.screen())
		}
		if frame := x.frame(); frame == "" || !count.due(frame) {
			time.Sleep(2 * time.Millisecond)
			continue
		}
		x.enter(&count)
	}
	x.press("Enter")
	x.expect("No day is open")
	total, most := count.chores, 0
	for name, keys := range count.batches {
		total += len(keys)
		if most = max(most, len(keys)); len(keys) > mostPresses {
			t.Errorf("%s took %d keys, more than %d:\n%s", name, len(keys), mostPresses, strings.Join(keys, "\n"))
		}
	}
	if cold != "20 of 20 cold" { // as many as the starter day has
		t.Errorf("at the end of the day: %q", cold)
	}
	t.Logf("%s: %d batches, at most %d keys each from cut to chill; %d keys for trays, surfaces and the day's end; %d in all", cold, len(count.batches), most, count.chores, total)
	x.quit()
}

// due says whether the screen asks for a key now.
func (c *pressed) due(frame string) bool {
	rows := strings.Split(frame, "\n")
	return len(rows) > 4 && (isDue.MatchString(rows[2]) || strings.Contains(rows[3]+rows[4], "Enter takes "))
}

// enter presses Enter for what the sentence says, and waits until that has shown.
func (x *terminal) enter(c *pressed) {
	before := x.screen()
	was := answer(before)
	sentence := strings.Split(before, "\n")[2]
	if name := batchName.FindString(sentence); name != "" {
		c.batches[name] = append(c.batches[name], sentence+"\n"+was)
	} else {
		c.chores++
	}
	x.press("Enter")
	for end := time.Now().Add(patience); time.Now().Before(end) && answer(x.screen()) == was; {
		time.Sleep(2 * time.Millisecond)
	}
}

// answer is what a screen says of the last key: the last thing that happened, and the
// form for what was packed. The sentence is no part of it, since it also changes by
// itself.
func answer(screen string) string {
	rows := strings.Split(screen, "\n")
	last := strings.Join(strings.Fields(rows[len(rows)-3]+" "+rows[len(rows)-2]), " ")
	out := []string{unsaved.ReplaceAllString(last+" ", "")}
	if strings.Contains(rows[3]+rows[4], "Enter takes ") {
		out = append(out, rows[3], rows[4])
	}
	return strings.Join(out, "\n")
}
