package words

import "shedbell/line"

// Lesson is a prompt in full, for who is new.
type Lesson struct {
	Where, How, Right, Never string
	Dangers                  []Danger
}

// lessonDangers are the dangers of each lesson's work. Who is new has to say that
// the caution has been read before the work begins.
var lessonDangers = map[string][]Danger{
	"train-wash":          {DangerElectric},
	"train-wash-end":      {DangerElectric},
	"train-spin":          {DangerDrum},
	"train-spin-end":      {DangerDrum},
	"train-tray-wash":     {DangerJet, DangerElectric, DangerWetFloor},
	"train-tray-wash-end": {DangerJet},
	"train-water":         {DangerElectric, DangerWetFloor},
}

// Train is the lesson for a prompt. ok is false where there is none.
func (t *Speaker) Train(s *line.State, p *line.Prompt) (Lesson, bool) {
	key := lessonKey(s, p)
	if key == "" {
		return Lesson{}, false
	}
	dangers := lessonDangers[key]
	if key == "train-sanitize" {
		dangers = []Danger{DangerOf(s.Sanitizer())}
	}
	return Lesson{Where: t.Say(key + ".where"), How: t.Say(key + ".how"), Right: t.Say(key + ".right"), Never: t.Say(key + ".never"),
		Dangers: dangers}, true
}

// lessonKey names a prompt's lesson.
func lessonKey(s *line.State, p *line.Prompt) string {
	at, end := p.To, ""
	switch p.Act {
	case line.ActChill:
		return "train-chill"
	case line.ActClose, line.ActConfirm:
		return ""
	case line.ActFinish, line.ActAdvance, line.ActPut:
		at, end = p.From, "-end"
	}
	if p.Batch == 0 {
		return map[line.ChoreKind]string{line.WashTrays: "train-tray-wash", line.SanitizeAll: "train-sanitize",
			line.SowTrays: "train-sow", line.ChangeWater: "train-water"}[p.Chore] + end
	}
	if at.Station < 0 {
		return ""
	}
	kind := s.Site.Stations[at.Station].Kind
	if !kind.ForGreens() || kind == line.Chill {
		return ""
	}
	return "train-" + kind.String() + end
}
