package line_test

import (
	"testing"
	"time"

	"shedbell/line"
	"shedbell/line/linetest"
	"shedbell/recipes"
)

// TestFansAdvice: the prompts start a bank at the setting that a plan wants, and
// leave one that runs as it is.
func TestFansAdvice(t *testing.T) {
	s, now := linetest.Open(), linetest.Morning
	rack := s.Site.StationsOf(line.Dry)[0]
	advice := line.Advice{Fans: func(int) string { return recipes.FanLow }}
	dried := map[int]bool{}
	for range 400 {
		prompts := advice.Prompts(s, now)
		if len(prompts) == 0 {
			break
		}
		if p := &prompts[0]; !p.Ready(now) {
			now = p.At
			continue
		}
		next, records, no := line.Do(s, prompts[0].Command, now, "")
		if no != nil {
			t.Fatal(no)
		}
		for _, r := range records {
			if e, ok := r.Event.(line.StepStarted); ok && e.At.Station == rack {
				dried[e.Batch] = true
				set := s.Site.Panel.Loads[s.Site.Stations[rack].Load].Settings[e.Setting].Name
				recipe, _ := s.Recipe(s.Batch(e.Batch).Crop)
				if set != recipes.FanLow || e.Planned != recipe.DryAt(recipes.FanLow) {
					t.Errorf("batch %d dries at %s for %s", e.Batch, set, e.Planned)
				}
			}
		}
		s = next
		now = now.Add(time.Second)
	}
	if len(dried) < 2 {
		t.Errorf("%d batches got onto the rack", len(dried))
	}
}
