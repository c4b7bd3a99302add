package linetest

import (
	"math/rand/v2"
	"time"

	"shedbell/line"
	"shedbell/line/files"
	"shedbell/recipes"
)

// DayOf opens a day on the starter line with so many random batches of the starter
// crops.
func DayOf(batches, crew int, seed uint64) *line.State {
	rnd := rand.New(rand.NewPCG(seed, 0xda7))
	site, book := files.Starter(), recipes.Starters()
	crops := book.Crops()
	sheet := line.Sheet{Date: Morning.Format(time.DateOnly), Start: Morning, Crew: site.Crew[:crew], Apart: [][2]string{{"mustard", "pea"}}}
	for range batches {
		sheet.Crops = append(sheet.Crops, line.Demand{Crop: crops[rnd.IntN(len(crops))], Trays: 1 + rnd.IntN(site.BatchTrays())})
	}
	return openDay(site, book, sheet)
}

// RandomDay opens a day such as a grower may have: four to ten batches, one or two
// people, now and then a customer who waits.
func RandomDay(seed uint64) *line.State {
	rnd := rand.New(rand.NewPCG(seed, 0xd00))
	s := DayOf(4+rnd.IntN(7), 1+rnd.IntN(2), seed)
	sheet := *s.Sheet
	for i := range sheet.Crops {
		if rnd.IntN(4) == 0 {
			sheet.Crops[i].Due = Morning.Add(2*time.Hour + time.Duration(rnd.IntN(24))*10*time.Minute)
		}
	}
	return openDay(s.Site, s.Book, sheet)
}

func openDay(site *line.Site, book recipes.Book, sheet line.Sheet) *line.State {
	s, _, no := line.Do(line.NewState(site, book), line.OpenDay{Sheet: sheet}, Morning, "")
	if no != nil {
		panic(no)
	}
	return s
}
