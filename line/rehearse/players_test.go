package rehearse_test

import (
	"testing"
	"time"

	"shedbell/line"
	"shedbell/line/files"
	"shedbell/line/rehearse"
	"shedbell/recipes"
)

// TestPlayersFinishTheDay: on a line that beats every five seconds, players get as far as the
// people of a rehearsal do, and about as fast.
func TestPlayersFinishTheDay(t *testing.T) {
	sheet := files.StarterDay(time.Date(2026, 12, 3, 7, 30, 0, 0, time.UTC))
	now := sheet.Start
	s, _, no := line.Do(line.NewState(files.Starter(), recipes.Starters()), line.OpenDay{Sheet: *sheet}, now, "")
	if no != nil {
		t.Fatal(no)
	}
	opt := rehearse.Options{Seed: 7, Delays: rehearse.Typical}
	want, err := rehearse.Run(t.Context(), s, now, opt)
	if err != nil {
		t.Fatal(err)
	}
	p := rehearse.NewPlayers(s, now, opt)
	acted := map[int]bool{}
	for ; !s.DayDone(); now = now.Add(5 * time.Second) {
		if now.Sub(sheet.Start) > 8*time.Hour {
			t.Fatal("the day does not end")
		}
		p.Act(s, line.Advice{}, now, func(c line.Command, who int) (*line.State, *line.Refusal) {
			next, _, no := line.Do(s, c, now, "")
			if no == nil {
				s = next
				acted[who] = true
			}
			return s, no
		})
	}
	took, wanted := now.Sub(sheet.Start), want.Finish.Sub(want.Start)
	if d := (took - wanted).Abs(); d > wanted/10 {
		t.Errorf("players took %v, a rehearsal %v", took, wanted)
	}
	if len(acted) != len(s.Crew) {
		t.Errorf("of %d people, %d acted", len(s.Crew), len(acted))
	}
}
