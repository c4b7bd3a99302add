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
	batches map[string]int
	chores  int
}

var (
	batchName = regexp.MustCompile(`[A-Z]{3}[A-Z ]* [0-9]+`)
	isDue     = regexp.MustCompile(` (now|since [0-9:]+) *$`)
)

// TestAWholeDayOnTheNumberPad runs the starter day on the real program in a real
// terminal, three hundred times as fast as the clock, by doing what the sentence
// says when it says so. Enter is the only key that it takes.
func TestAWholeDayOnTheNumberPad(t *testing.T) {
	if testing.Short() {
		t.Skip("takes most of a minute")
	}
	x := start(t, 80, 24, "demo", "--speed", "300")
	x.expect("trays cold")
	count := pressed{batches: map[string]int{}}
	deadline := time.Now().Add(5 * patience)
	for !strings.Contains(x.screen(), "No day is open") {
		if time.Now().After(deadline) {
			t.Fatalf("the day does not end:\n%s", x.screen())
		}
		if frame := x.frame(); frame == "" || !count.due(frame) {
			time.Sleep(2 * time.Millisecond)
			continue
		}
		x.enter(&count)
	}
	total, most := count.chores, 0
	for name, n := range count.batches {
		total += n
		if most = max(most, n); n > mostPresses {
			t.Errorf("%s took %d keys, more than %d", name, n, mostPresses)
		}
	}
	if len(count.batches) < 8 {
		t.Errorf("only %d batches were seen: %v", len(count.batches), count.batches)
	}
	t.Logf("%d batches, at most %d keys each from cut to chill; %d keys for trays, surfaces and the day's end; %d in all", len(count.batches), most, count.chores, total)
	x.quit()
}

// due says whether the screen asks for a key now.
func (c *pressed) due(frame string) bool {
	rows := strings.Split(frame, "\n")
	return len(rows) > 4 && (isDue.MatchString(rows[2]) || strings.Contains(rows[3]+rows[4], "(Enter takes it)"))
}

// enter presses Enter for what the sentence says, and waits until that has shown.
func (x *terminal) enter(c *pressed) {
	before := x.screen()
	sentence := strings.Join(strings.Split(before, "\n")[2:4], " ")
	if name := batchName.FindString(sentence); name != "" {
		c.batches[name]++
	} else {
		c.chores++
	}
	x.press("Enter")
	was := answer(before)
	for end := time.Now().Add(patience); time.Now().Before(end) && answer(x.screen()) == was; {
		time.Sleep(2 * time.Millisecond)
	}
}

// answer is what a screen says of the last key: the sentence, a form's fields and the
// last thing that happened, without the clocks, which go on by themselves.
func answer(screen string) string {
	rows := strings.Split(screen, "\n")
	out := []string{isDue.ReplaceAllString(rows[2], ""), rows[len(rows)-3], rows[len(rows)-2]}
	if strings.Contains(rows[3]+rows[4], "(Enter takes it)") {
		out = append(out, rows[3], rows[4])
	}
	return strings.Join(out, "\n")
}
