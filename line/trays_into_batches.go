package line

import (
	"shedbell/line/say"
	"shedbell/recipes"
)

// makeBatches splits trays of a crop evenly into batches that the smallest tub,
// basket and shelf hold.
func (d *draft) makeBatches(demand Demand, lastID int, count map[string]int) ([]NewBatch, *Refusal) {
	r, ok := d.s.Recipe(demand.Crop)
	if !ok {
		return nil, refuse(RuleUnknown, "line.add-recipe", say.Crop(demand.Crop))
	}
	if no := demandFits(demand); no != nil {
		return nil, no
	}
	size := batchSize(d.s.Site, &r)
	if size == 0 {
		size = demand.Trays
	}
	n := (demand.Trays + size - 1) / size
	out := make([]NewBatch, n)
	for i := range out {
		count[demand.Crop]++
		trays := demand.Trays / n
		if i < demand.Trays%n {
			trays++
		}
		out[i] = NewBatch{ID: lastID + i + 1, Crop: demand.Crop, No: count[demand.Crop], Trays: trays, Due: demand.Due}
	}
	return out, nil
}

// batchSize is the most trays of a crop that travel as one batch; 0 when nothing
// says so.
func batchSize(site *Site, r *recipes.Recipe) int {
	size := site.BatchTrays()
	if r.BatchTrays > 0 && (size == 0 || r.BatchTrays < size) {
		size = r.BatchTrays
	}
	return size
}

// BatchTrays is the most trays that can travel as one batch: what the smallest
// tub, basket and shelf hold. Stations of one kind are taken at their largest,
// since a batch may choose among them.
func (s *Site) BatchTrays() int {
	limit := 0
	for _, k := range []Kind{Wash, Spin, Dry} {
		largest := 0
		for _, i := range s.StationsOf(k) {
			largest = max(largest, s.Stations[i].SlotTrays)
		}
		if largest > 0 && (limit == 0 || largest < limit) {
			limit = largest
		}
	}
	return limit
}
