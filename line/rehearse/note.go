package rehearse

import "shedbell/line"

// note keeps the timeline from the records, as a report on the journal would.
func (r *run) note(rec line.Record) {
	res := r.res
	switch e := rec.Event.(type) {
	case line.StepStarted:
		b := r.s.Batch(e.Batch)
		if b == nil {
			return
		}
		res.Steps = append(res.Steps, StepTime{Station: e.At.Station, Batch: e.Batch, Crop: b.Crop, Trays: b.Trays, Start: rec.At})
	case line.StepFinished:
		r.end(func(s *StepTime) bool { return s.Batch == e.Batch }, rec)
	case line.BatchCooled:
		b := r.s.Batch(e.Batch)
		if b == nil {
			return
		}
		res.Greens = rec.At
		res.Steps = append(res.Steps, StepTime{Station: e.At.Station, Batch: e.Batch, Crop: b.Crop, Trays: b.Trays, Start: rec.At, End: rec.At})
	case line.ChoreStarted:
		res.Steps = append(res.Steps, StepTime{Station: e.At.Station, Chore: e.Kind, Crop: e.Crop, Trays: e.Trays, Start: rec.At})
	case line.ChoreFinished:
		for _, c := range r.s.Chores {
			if c.ID == e.ID {
				r.end(func(s *StepTime) bool { return s.Batch == 0 && s.Chore == c.Kind && s.Station == c.Step.Place.Station }, rec)
			}
		}
	}
}

// end closes the last open step that fits.
func (r *run) end(fits func(*StepTime) bool, rec line.Record) {
	for i := len(r.res.Steps) - 1; i >= 0; i-- {
		if s := &r.res.Steps[i]; s.End.IsZero() && fits(s) {
			s.End = rec.At
			return
		}
	}
}
