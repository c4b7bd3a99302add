package command

import (
	"errors"
	"fmt"
	"io/fs"
	"strings"
	"time"

	"shedbell/line"
	"shedbell/line/journal"
	"shedbell/line/say"
	"shedbell/power"
	"shedbell/ui/words"
)

// mostTrips bounds how many trips are listed, the latest.
const mostTrips = 12

// keptTrip is a trip from the journal with the wiring as it was then.
type keptTrip struct {
	power.Trip
	site   *line.Site
	feeder string // whose breaker it was; empty: the circuit's
}

func (t *keptTrip) circuit() string { return t.site.Panel.Circuits[t.Circuit].Name }

func (t *keptTrip) where() say.Sentence {
	if t.feeder != "" {
		return say.New("interlock.feeder", say.Circuit(t.feeder))
	}
	return say.New("interlock.circuit", say.Circuit(t.circuit()))
}

// trips says what the journal knows of trips, beside what the model held then, and
// what they teach about the wiring of the line file.
func (c *checkCmd) trips(a *app, in *inputs) string {
	dir, err := a.folder()
	if err != nil {
		return ""
	}
	kept, err := readTrips(dir, in)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return "" // nothing has been recorded yet
	case err != nil:
		return wrap(a.words.Say("cmd-trips.unread", err), 2)
	case len(kept) == 0:
		return ""
	}
	var b strings.Builder
	b.WriteString(wrap(a.words.Say("cmd-trips.head"), 0))
	if n := len(kept) - mostTrips; n > 0 {
		b.WriteString("  " + a.words.Say("cmd-trips.earlier", n) + "\n")
	}
	for i := max(0, len(kept)-mostTrips); i < len(kept); i++ {
		b.WriteString(wrap("  "+kept[i].text(a.words), 4))
	}
	b.WriteString(lessons(a.words, &in.site.Panel, kept))
	return b.String()
}

// readTrips lists the trips that the journal in a folder keeps, oldest first. One
// that was taken back did not happen.
func readTrips(dir string, in *inputs) ([]keptTrip, error) {
	j, err := journal.OpenReadOnly(dir)
	if err != nil {
		return nil, err
	}
	defer j.Close()
	var kept []keptTrip
	s := line.NewState(in.site, in.book)
	err = j.Replay(1, func(r line.Record) (err error) {
		before := s
		if s, err = line.Reapply(s, r); err != nil {
			return err
		}
		switch e := r.Event.(type) {
		case line.BreakerTripped:
			if e.Circuit >= 0 && e.Circuit < len(before.Site.Panel.Circuits) {
				kept = append(kept, keptTrip{e.Trip(before, r.At), before.Site, e.Feeder})
			}
		case line.Undone, line.Corrected:
			kept = withoutUndone(kept, before, s)
		}
		return nil
	})
	return kept, err
}

// withoutUndone drops the trip that an undo has taken back. It is the only way in
// which a breaker that was open has another history afterwards.
func withoutUndone(kept []keptTrip, before, after *line.State) []keptTrip {
	for c, since := range before.Tripped {
		same := c < len(after.Tripped) && after.Tripped[c].Equal(since)
		if n := len(kept) - 1; n >= 0 && !since.IsZero() && !same && kept[n].feeds(c) && kept[n].At.Equal(since) {
			kept = kept[:n]
		}
	}
	return kept
}

// feeds says whether a circuit hangs on the breaker that tripped.
func (t *keptTrip) feeds(circuit int) bool {
	if t.feeder == "" {
		return t.Circuit == circuit
	}
	return t.site.Panel.Circuits[circuit].Feeder == t.feeder
}

// text is one trip: what was on and for how long, and what the model made of it.
func (t *keptTrip) text(w *words.Speaker) string {
	var on say.List
	for _, l := range t.On {
		if l.Load >= len(t.site.Panel.Loads) {
			continue
		}
		load := &t.site.Panel.Loads[l.Load]
		name := load.Name
		if l.Setting < len(load.Settings) && len(load.Settings) > 1 {
			name += ":" + load.Settings[l.Setting].Name
		}
		id := "cmd-trips.on"
		if l.Starting {
			id = "cmd-trips.on-starting"
		}
		on = append(on, say.New(id, name, l.AmpsA, onFor(l.For)))
	}
	was := w.Say("cmd-trips.nothing-on")
	switch {
	case len(on) == 1:
		was = w.Say("cmd-trips.one-on", on)
	case len(on) > 1:
		was = w.Say("cmd-trips.several-on", on)
	}
	foreseen := w.Say("cmd-trips.not-foreseen")
	if t.Predicted() {
		foreseen = w.Say("cmd-trips.foreseen")
	}
	at := w.TimeOfDay(t.At, dateForm+" ")
	if t.PeakA > t.AmpsA+0.05 {
		return w.Say("cmd-trips.trip-start", at, t.where(), was, t.AmpsA, t.LimitA, t.PeakA, 100*t.Heat, foreseen)
	}
	return w.Say("cmd-trips.trip", at, t.where(), was, t.AmpsA, t.LimitA, 100*t.Heat, foreseen)
}

func onFor(d time.Duration) string {
	if d < time.Minute {
		return fmt.Sprintf("%.0f s", d.Seconds())
	}
	return fmt.Sprintf("%.0f min", d.Minutes())
}

// lessons says for each circuit what its trips teach, and what to write into the
// line file. Circuits keep their trips under their names.
func lessons(w *words.Speaker, p *power.Panel, kept []keptTrip) string {
	var b strings.Builder
	for c := range p.Circuits {
		var trips []power.Trip
		for i := range kept {
			if kept[i].feeder == "" && kept[i].circuit() == p.Circuits[c].Name {
				t := kept[i].Trip
				t.Circuit = c
				trips = append(trips, t)
			}
		}
		if len(trips) == 0 {
			continue
		}
		l := p.LearnFromTrips(c, trips)
		text := w.Sentence(l.Says)
		switch now := p.Circuits[c].EffectiveA; {
		case l.EffectiveA == 0:
		case now > 0 && now <= l.EffectiveA:
			text = w.Say("cmd-trips.counted", p.Circuits[c].Name, now, l.EffectiveA)
		default:
			text += " " + w.Say("cmd-trips.effective", l.EffectiveA)
		}
		b.WriteString(wrap("  "+text, 4))
	}
	return b.String()
}
