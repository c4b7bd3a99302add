// Package days makes random processing days on the starter line, for tests.
package days

import (
	"math/rand/v2"
	"time"

	"shedbell/line"
	"shedbell/line/files"
	"shedbell/recipes"
)

// Morning is when the random days begin.
var Morning = time.Date(2026, 12, 3, 7, 30, 0, 0, time.UTC)

// Day opens a day on the starter line with so many random batches of the starter
// crops.
func Day(batches, crew int, seed uint64) *line.State {
	rnd := rand.New(rand.NewPCG(seed, 0xda7))
	site, book := files.Starter(), recipes.Starters()
	crops := book.Crops()
	sheet := line.Sheet{Date: Morning.Format(time.DateOnly), Start: Morning, Crew: site.Crew[:crew], Apart: [][2]string{{"mustard", "pea"}}}
	for range batches {
		sheet.Crops = append(sheet.Crops, line.Demand{Crop: crops[rnd.IntN(len(crops))], Trays: 1 + rnd.IntN(site.BatchTrays())})
	}
	return open(site, book, sheet)
}

// RandomDay opens a day such as a grower may have: four to ten batches, one or two
// people, now and then a customer who waits.
func RandomDay(seed uint64) *line.State {
	rnd := rand.New(rand.NewPCG(seed, 0xd00))
	s := Day(4+rnd.IntN(7), 1+rnd.IntN(2), seed)
	sheet := *s.Sheet
	for i := range sheet.Crops {
		if rnd.IntN(4) == 0 {
			sheet.Crops[i].Due = Morning.Add(2*time.Hour + time.Duration(rnd.IntN(24))*10*time.Minute)
		}
	}
	return open(s.Site, s.Book, sheet)
}

func open(site *line.Site, book recipes.Book, sheet line.Sheet) *line.State {
	s, _, no := line.Do(line.NewState(site, book), line.OpenDay{Sheet: sheet}, Morning, "")
	if no != nil {
		panic(no)
	}
	return s
}
