package line

import "time"

// rescale gives the greens that dry on a bank already the time that its new
// setting needs for what is left of theirs.
func (d *draft) rescale(load, setting int) {
	if load == NoLoad {
		return
	}
	for i := range d.s.Batches {
		b := &d.s.Batches[i]
		if b.Fate != OnLine || !b.Step.keepsOn(load) || b.Step.Setting == setting {
			continue
		}
		if by := d.rescaled(b, b.Step.Left(d.now), setting); by != 0 {
			d.emit(StepAdjusted{At: b.Step.Place, By: by})
		}
	}
}

// rescaled is by how much the time left of a drying step changes when the fans run
// at another setting than the step does. It is 0 for every other step.
func (d *draft) rescaled(b *Batch, left time.Duration, setting int) time.Duration {
	step := &b.Step
	if step.Setting == setting || left <= 0 || step.Planned == 0 || d.kind(step.Place) != Dry {
		return 0
	}
	r, ok := d.s.Book.Revision(b.Crop, step.Revision)
	if !ok || step.Load == NoLoad {
		return 0
	}
	settings := d.s.Site.Panel.Loads[step.Load].Settings
	was, will := r.DryAt(settings[step.Setting].Name), r.DryAt(settings[setting].Name)
	if was <= 0 || will <= 0 {
		return 0
	}
	left, old := time.Duration(float64(left)*(float64(will)/float64(was))).Round(time.Second), left
	return min(left, MaxCountdown-step.Planned+old) - old
}
