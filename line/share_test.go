package line_test

import (
	"testing"
	"time"

	"shedbell/line"
	"shedbell/line/linetest"
)

// Three people sow at three places: each is told a third of the trays, and nobody more
// than there are.
func TestSowingIsShared(t *testing.T) {
	site := linetest.Site()
	site.Crew = []string{"Ash", "Birch", "Elm"}
	site.Stations[linetest.Sow].Slots = 3
	sheet := line.Sheet{Date: "2026-12-03", Start: linetest.Morning, Crew: site.Crew, Crops: []line.Demand{{Crop: "pea", Trays: 1}}}
	s, _, no := line.Do(line.NewState(site, linetest.Book()), line.OpenDay{Sheet: sheet}, linetest.Morning, "Ash")
	if no != nil {
		t.Fatal(no)
	}
	if s, _, no = line.Do(s, line.Scrap{Batch: 1, Reason: "mould"}, linetest.Morning, "Ash"); no != nil {
		t.Fatal(no)
	}
	s.Trays, s.Sowing, s.Clean = line.TrayPool{Sanitized: 9}, []line.SowItem{{Crop: "pea", Trays: 8}}, linetest.Morning
	var told []int
	for at := linetest.Morning; len(told) < 4; at = at.Add(time.Second) {
		var sow *line.Prompt
		for _, p := range line.Prompts(s, at, nil) {
			if p.Act == line.ActChore && p.Chore == line.SowTrays {
				sow = &p
				break
			}
		}
		if sow == nil {
			break
		}
		told = append(told, sow.Trays)
		if s, _, no = line.Do(s, sow.Command, at, ""); no != nil {
			t.Fatal(no)
		}
	}
	if len(told) != 3 || told[0] != 3 || told[0]+told[1]+told[2] != 8 {
		t.Errorf("people are told to sow %v of 8 trays", told)
	}
}
