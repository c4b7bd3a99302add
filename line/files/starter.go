package files

import (
	"bytes"
	_ "embed"
	"encoding/json"
	"time"

	"shedbell/line"
	"shedbell/recipes"
	"shedbell/recipes/strictfile"
)

//go:embed starter_line.toml
var starterLine []byte

//go:embed starter_day.toml
var starterDay []byte

//go:embed practice_day.toml
var practiceDay []byte

// StarterLine is the line file that comes with the program, as a copy to change.
func StarterLine() []byte { return append([]byte(nil), starterLine...) }

// Starter is an invented shed, for a machine where nothing is set up yet. Its
// values are a starting point.
func Starter() *line.Site {
	site, faults := ReadLine("starter_line.toml", starterLine)
	if len(faults) > 0 {
		panic(strictfile.Join(faults)) // the file is part of the program, and tested
	}
	return site
}

// IsStarter says whether a shed is the invented one, also after it went through a
// journal.
func IsStarter(site *line.Site) bool {
	a, errA := json.Marshal(site)
	b, errB := json.Marshal(Starter())
	return errA == nil && errB == nil && bytes.Equal(a, b)
}

// StarterDay is a day for the starter shed and the starter recipes, moved so that
// it begins at an instant.
func StarterDay(start time.Time) *line.Sheet { return ownDay("starter_day.toml", starterDay, start) }

// PracticeDay is a short day on the same shed for one person who is new.
func PracticeDay(start time.Time) *line.Sheet {
	return ownDay("practice_day.toml", practiceDay, start)
}

func ownDay(name string, data []byte, start time.Time) *line.Sheet {
	sheet, faults := ReadDay(time.UTC, name, data, Starter(), recipes.Starters())
	if len(faults) > 0 {
		panic(strictfile.Join(faults)) // the file is part of the program, and tested
	}
	for i := range sheet.Crops {
		if due := sheet.Crops[i].Due; !due.IsZero() {
			sheet.Crops[i].Due = start.Add(due.Sub(sheet.Start))
		}
	}
	sheet.Date, sheet.Start = start.Format(time.DateOnly), start
	return sheet
}
