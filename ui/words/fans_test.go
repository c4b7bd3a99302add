package words

import (
	"strings"
	"testing"

	"shedbell/line"
	"shedbell/line/linetest"
	"shedbell/recipes"
)

// TestFansSetting: where a plan wants the fans at another setting than the recipe,
// the sentence names it and its countdown; otherwise it names none.
func TestFansSetting(t *testing.T) {
	s := linetest.Open()
	b := &s.Batches[0]
	r, _ := s.Recipe(b.Crop)
	to := line.Place{Station: s.Site.StationsOf(line.Dry)[0]}
	say := func(setting string) string {
		p := line.Prompt{Act: line.ActStart, Batch: b.ID, To: to, Command: line.Start{Batch: b.ID, To: to, Setting: setting}}
		return English().Prompt(s, &p).Then
	}
	if got := say(recipes.FanLow); !strings.Contains(got, "at low") || !strings.Contains(got, Clock(r.DryAt(recipes.FanLow))) {
		t.Errorf("at low the sentence is %q", got)
	}
	if got := say(""); strings.Contains(got, "at low") || !strings.Contains(got, Clock(r.Dry)) {
		t.Errorf("as the recipe says the sentence is %q", got)
	}
}
