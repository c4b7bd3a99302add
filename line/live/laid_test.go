package live_test

import (
	"strings"
	"testing"

	"shedbell/line/linetest"
	"shedbell/line/live"
)

// Another line file is said with what has changed in it, once.
func TestAChangedLineIsNamed(t *testing.T) {
	store, clock := &linetest.Memory{}, linetest.NewManual(linetest.Morning)
	site := linetest.Site()
	for round, want := range []string{"", "rack changed", ""} {
		if round == 1 {
			site = linetest.Site()
			site.Stations[linetest.Rack].Slots++
		}
		l, notice, err := live.Open(store, site, linetest.Book(), clock, "Ash")
		if err != nil {
			t.Fatal(err)
		}
		if err := l.Close(); err != nil {
			t.Fatal(err)
		}
		if got := notice.String(); strings.Contains(got, "rack changed") != (want != "") {
			t.Errorf("round %d: %q", round, got)
		}
	}
}
