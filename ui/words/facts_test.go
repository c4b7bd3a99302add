package words_test

import (
	"strings"
	"testing"
	"time"

	"shedbell/line"
	"shedbell/line/linetest"
	"shedbell/ui/words"
)

// What follows from a fact is said whole: the circuit, what it carries, how soon it may
// trip and what to switch off. A washer of 14 A beside a spinner of 7 A is 21 A on 20; at
// 1.05 times its rating the model's quickest breaker trips after 48 s.
func TestFactsInWords(t *testing.T) {
	site := linetest.Site()
	site.Panel.Loads[linetest.Washer].StartingA, site.Panel.Loads[linetest.Spinner].StartingA = 0, 0
	now := linetest.Morning
	s, _, no := line.Do(line.NewState(site, linetest.Book()), line.OpenDay{Sheet: linetest.Sheet()}, now, "Ash")
	if no != nil {
		t.Fatal(no)
	}
	tell := func(c line.Command, event, alarm string) {
		t.Helper()
		before := s
		next, records, no := line.Do(s, c, now, "Ash")
		if no != nil {
			t.Fatal(no)
		}
		s = next
		w := words.English()
		if got := w.Event(before, records[len(records)-1]); got != event {
			t.Errorf("%T: the log says %q, want %q", c, got, event)
		}
		said := ""
		if all := line.Alarms(s, now); len(all) > 0 {
			said = w.Alarm(s, &all[0], now)
		}
		if !strings.HasPrefix(said, alarm) || alarm == "" && said != "" {
			t.Errorf("%T: the alarm says %q, want %q", c, said, alarm)
		}
	}
	tell(line.MarkOn{Load: linetest.Spinner}, "spinner found on", "")
	tell(line.MarkOn{Load: linetest.Washer}, "pressure washer found on",
		"wet wall carries 21 of 20 A and may trip within a minute: switch spinner off now")
	now = now.Add(10 * time.Minute)
	tell(line.MarkOff{Load: linetest.Washer, AsOf: now.Add(-9 * time.Minute)}, "pressure washer found off, as of 07:31", "")
	tell(line.MarkUnplugged{Load: linetest.Fridge}, "fridge unplugged; nothing is kept free for it", "")
	tell(line.MarkPlugged{Load: linetest.Fridge, Circuit: 0}, `fridge plugged in at "wet wall"`, "")
	tell(line.MarkOn{Load: linetest.Fans, Setting: 1}, "rack fans found on, medium", "")
	tell(line.MarkPowerLost{Circuit: 1}, `No power in "cold wall"; what it fed is held`, `NO POWER at "cold wall" for 0:00`)
	tell(line.MarkPowerLost{Everywhere: true}, "No power in the whole shed; what it fed is held", "NO POWER anywhere for 0:00")
	tell(line.MarkPowerBack{Everywhere: true}, "Power is back in the whole shed", "")
}
