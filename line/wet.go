package line

import "time"

// startWet begins the wait of greens whose wash or spin is over, or whose wet step
// has been stopped at the instant at. They wait from the end of the countdown when
// that was earlier; greens whose drying countdown is over are dry and do not wait.
// A wait that goes on already keeps its beginning.
func (b *Batch) startWet(k Kind, at time.Time) {
	if k != Wash && k != Spin && k != Dry || !b.WetSince.IsZero() {
		return
	}
	if due, ok := b.Step.DueAt(); ok && !due.After(at) {
		if k == Dry {
			return
		}
		at = due
	}
	b.WetSince = at
}

// endWet adds the wait that goes on, if one does, to what the batch has waited.
func (b *Batch) endWet(at time.Time) {
	if b.WetSince.IsZero() {
		return
	}
	b.WetSoFar += max(0, at.Sub(b.WetSince))
	b.WetSince = time.Time{}
}

// WetWait is how long a batch's greens have been waiting wet: since their wash or
// spin was over and until the next wet step runs. 0 when they do not wait.
func (s *State) WetWait(b *Batch, now time.Time) time.Duration {
	since := s.wetSince(b)
	if since.IsZero() || now.Before(since) {
		return 0
	}
	return now.Sub(since)
}

// wetSince is when the wait began, or will begin when the countdown that runs is
// over; zero when the greens do not wait.
func (s *State) wetSince(b *Batch) time.Time {
	if b.Fate != OnLine || !b.WetSince.IsZero() {
		return b.WetSince
	}
	if k := s.Site.Stations[b.Step.Place.Station].Kind; k == Wash || k == Spin {
		if at, ok := b.Step.DueAt(); ok {
			return at
		}
	}
	return time.Time{}
}

// WetLimit is how long the batch's greens may wait wet, by the revision that its
// step runs with; 0 when its recipe does not say.
func (s *State) WetLimit(b *Batch) time.Duration {
	if r, ok := s.Book.Revision(b.Crop, b.Step.Revision); ok {
		return r.MaxWetWait
	}
	r, _ := s.Recipe(b.Crop)
	return r.MaxWetWait
}
