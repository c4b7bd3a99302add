package words

import (
	"shedbell/line"
)

// Short is a prompt in as few words as can be drawn large: verb and batch.
func Short(s *line.State, p *line.Prompt) string {
	b := s.Batch(p.Batch)
	if b == nil {
		return shortChore(p)
	}
	kind := func(at line.Place) line.Kind {
		if at.Station < 0 {
			return line.Cut
		}
		return s.Site.Stations[at.Station].Kind
	}
	switch p.Act {
	case line.ActChill:
		return "Chill " + b.Name()
	case line.ActResume:
		return "Go on: " + b.Name()
	case line.ActStart:
		return map[line.Kind]string{line.Cut: "Cut ", line.Wash: "Wash ", line.Spin: "Spin ", line.Dry: "Dry ", line.Pack: "Pack "}[kind(p.To)] + b.Name()
	}
	switch kind(p.From) {
	case line.Wash:
		return "Lift " + b.Name()
	case line.Spin:
		return "Unload " + b.Name()
	case line.Dry:
		return "Take off " + b.Name()
	}
	return "Finish " + b.Name()
}

func shortChore(p *line.Prompt) string {
	if p.Act == line.ActClose {
		return "Close the day"
	}
	if p.Act == line.ActFinish {
		return map[line.ChoreKind]string{line.WashTrays: "Trays done", line.SanitizeAll: "Drain",
			line.SowTrays: "Sown", line.ChangeWater: "Water in"}[p.Chore]
	}
	return map[line.ChoreKind]string{line.WashTrays: "Wash trays", line.SanitizeAll: "Sanitize",
		line.SowTrays: "Sow " + p.Crop, line.ChangeWater: "New water"}[p.Chore]
}
