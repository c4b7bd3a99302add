package line_test

import (
	"strings"
	"testing"

	"shedbell/line"
	"shedbell/line/linetest"
	"shedbell/power"
)

// Each change of a line is named, and nothing that only stands in another place.
func TestDifferencesAreNamed(t *testing.T) {
	for want, change := range map[string]func(*line.Site){
		"":                func(s *line.Site) {},
		"spinner changed": func(s *line.Site) { s.Panel.Loads[linetest.Spinner].StartingA++ },
		"spare is new": func(s *line.Site) { // before all others, so that every place in the list is another
			s.Panel.Circuits = append([]power.Circuit{{Name: "spare", RatingA: 20}}, s.Panel.Circuits...)
			for i := range s.Panel.Loads {
				s.Panel.Loads[i].Circuit++
			}
		},
		"rack changed":    func(s *line.Site) { s.Stations[linetest.Rack].Slots++ },
		"people":          func(s *line.Site) { s.Crew = append(s.Crew, "Elm") },
		"the shed's name": func(s *line.Site) { s.Name += " 2" },
		"the supply":      func(s *line.Site) { s.Panel.AmbientC = 45 },
	} {
		site := line.FirstRecord(linetest.Site(), linetest.Book()).Site
		changed := line.FirstRecord(linetest.Site(), linetest.Book()).Site
		change(&changed)
		got := ""
		if d := site.Differences(&changed); !d.IsZero() {
			got = d.String()
		}
		if got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
	site, other := linetest.Site(), linetest.Site()
	for i := range other.Panel.Loads {
		other.Panel.Loads[i].StartingA += 3
	}
	if d := site.Differences(other).String(); len(other.Panel.Loads) > 4 && (!strings.HasSuffix(d, " more") || strings.Count(d, ",") != 4) {
		t.Error(d)
	}
}
