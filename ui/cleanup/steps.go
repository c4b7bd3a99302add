package cleanup

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"shedbell/line"
	"shedbell/ui/screen"
	"shedbell/ui/words"
)

// Step is a step of the clean-up, in its order.
type Step int

// The steps.
const (
	DrainScreens Step = iota
	TraysOut
	PressureWash
	TraysIn
	Mix
	ContactTime
	Surfaces
	Sow
	HandOver
	stepCount
)

var stepKeys = [stepCount]string{"drain-screens", "trays-out", "pressure-wash", "trays-in", "sanitizer", "contact-time", "surfaces", "sow", "hand-over"}

// name is the step's name on the screen.
func (s Step) name(t *words.Speaker) string { return t.Say("cleanup-step." + stepKeys[s]) }

// Progress is how far a step is, in one word.
type Progress string

// How far a step is.
const (
	Done  Progress = "done"
	Now   Progress = "now"
	Later Progress = "later"
)

// drainScreens is where the cleaning of the drain screens is entered for.
const drainScreens = "drain screens"

// surfaces are ticked off one by one: what greens and hands touch in such a shed,
// common practice, no source. So they are called in the records, in any language.
var surfaces = []string{"cutting table", "tub", "spinner basket", "rack shelves", "packing table", "sink", "door handles"}

func surfaceName(t *words.Speaker, surface string) string {
	return t.Say("cleanup-surface." + strings.ReplaceAll(surface, " ", "-"))
}

// day is what the clean-up needs to know of the open day.
type day struct {
	t       *words.Speaker
	s       *line.State
	entries []line.KeptEntry // of this day, none that was corrected
	cut     int              // trays that were cut today
	washed  int              // trays that are washed, or further
	contact time.Duration    // how long the surfaces stayed wet
}

func read(env *screen.Env) *day {
	d := &day{t: env.Words, s: env.State, contact: env.State.ContactTime()}
	for _, e := range env.State.Entries {
		if e.Corrected == 0 && !e.At.Before(env.State.Opened) {
			d.entries = append(d.entries, e)
		}
	}
	for i := range env.State.Batches {
		if b := &env.State.Batches[i]; wasCut(env.State, b) {
			d.cut += b.Trays
		}
	}
	t := &env.State.Trays
	d.washed = t.Washed + t.Sanitized + t.Sown
	for i := range env.State.Chores {
		if c := &env.State.Chores[i]; c.Kind == line.SanitizeAll || c.Kind == line.SowTrays {
			d.washed += c.Trays
		}
	}
	d.stayedWet(env.History)
	return d
}

// wasCut says whether a batch's trays stand empty.
func wasCut(s *line.State, b *line.Batch) bool {
	switch b.Fate {
	case line.Waiting, line.Merged: // a merged batch's trays count with the other's
		return false
	case line.OnLine:
		return s.Site.Stations[b.Step.Place.Station].Kind != line.Cut || b.Step.Progress == line.Finished
	}
	return true
}

// stayedWet finds out how long the last contact time really was.
func (d *day) stayedWet(history []line.Record) {
	began := map[int]time.Time{}
	for _, r := range history {
		switch e := r.Event.(type) {
		case line.ChoreStarted:
			if e.Kind == line.SanitizeAll {
				began[e.ID] = r.At
			}
		case line.ChoreFinished:
			if at, ok := began[e.ID]; ok {
				d.contact = r.At.Sub(at).Truncate(time.Second)
			}
		}
	}
}

// last is the newest entry of a kind; where narrows it to a place.
func (d *day) last(k line.EntryKind, where string) (line.KeptEntry, bool) {
	for i := len(d.entries) - 1; i >= 0; i-- {
		if e := &d.entries[i]; e.Entry.Kind == k && (where == "" || e.Entry.Where == where) {
			return *e, true
		}
	}
	return line.KeptEntry{}, false
}

// chore is the work of a kind that goes on, or nil.
func (d *day) chore(k line.ChoreKind) *line.Chore {
	i := slices.IndexFunc(d.s.Chores, func(c line.Chore) bool { return c.Kind == k })
	if i < 0 {
		return nil
	}
	return &d.s.Chores[i]
}

// done says whether a step is over, and how.
func (d *day) done(s Step) (note string, ok bool) {
	t := &d.s.Trays
	switch s {
	case DrainScreens:
		return d.signed(d.last(line.EntryCleaning, drainScreens))
	case TraysOut:
		return d.signed(d.last(line.EntryTraysOut, ""))
	case PressureWash:
		return d.t.Trays(d.washed), t.Dirty == 0 && d.washed > 0 && d.chore(line.WashTrays) == nil && d.s.Unfinished() == 0
	case TraysIn:
		return d.signed(d.last(line.EntryTraysIn, ""))
	case Mix:
		return d.signed(d.s.SurfaceStrength())
	case ContactTime:
		return d.t.Span(d.contact), !d.s.Clean.IsZero() && t.Washed == 0
	case Surfaces:
		left := len(d.unticked())
		return d.t.Say("cleanup.ticked", len(surfaces)-left, len(surfaces)), left == 0
	case Sow:
		return d.t.Trays(t.Sown), d.s.SowLeft() == 0 && d.chore(line.SowTrays) == nil
	}
	return "", false
}

func (d *day) signed(k line.KeptEntry, ok bool) (string, bool) {
	if !ok {
		return "", false
	}
	text := k.Entry.Initials
	if k.Entry.Unit != line.UnitNone {
		text = d.t.Reading(k.Entry.Value, k.Entry.Unit) + ", " + text
	}
	return text, true
}

func (d *day) unticked() []string {
	var out []string
	for _, name := range surfaces {
		if _, ok := d.last(line.EntrySurface, name); !ok {
			out = append(out, name)
		}
	}
	return out
}

// progress is how far every step is: the first one that is not done is the one to
// do now.
func (d *day) progress() (all [stepCount]Progress, now Step) {
	now = stepCount
	for s := range stepCount {
		switch _, ok := d.done(s); {
		case ok:
			all[s] = Done
		case now == stepCount:
			all[s], now = Now, s
		default:
			all[s] = Later
		}
	}
	return all, now
}

// mismatch says what is wrong with the tray counts; empty when they agree, or as
// long as there is nothing to compare.
func (d *day) mismatch() string {
	out, hasOut := d.last(line.EntryTraysOut, "")
	in, hasIn := d.last(line.EntryTraysIn, "")
	var texts []string
	if n := int(out.Entry.Value); hasOut && n != d.cut {
		texts = append(texts, d.t.Say("cleanup.counted-out", n, d.cut))
	}
	if n := int(in.Entry.Value); hasIn && n != d.washed {
		texts = append(texts, d.t.Say("cleanup.counted-in", n, d.washed))
	}
	if hasOut && hasIn {
		switch n := int(out.Entry.Value) - int(in.Entry.Value); {
		case n > 0:
			texts = append(texts, d.t.Say("cleanup.missing", n))
		case n < 0:
			texts = append(texts, d.t.Say("cleanup.more-back", -n))
		}
	}
	return strings.Join(texts, "; ")
}

// stillOn names the machines that are on and could be off.
func stillOn(env *screen.Env) []string {
	p := &env.State.Site.Panel
	var out []string
	for i := range p.Loads {
		if l := &p.Loads[i]; !l.StaysOn && env.State.Power.Drawing(p, i, env.Now) {
			out = append(out, env.Words.Load(l.Name))
		}
	}
	return out
}

// draft is a hand-over note made of what the next person has to know.
func (d *day) draft() string {
	var parts []string
	if m := d.mismatch(); m != "" {
		parts = append(parts, d.t.Say("cleanup.note-trays", m))
	}
	if n := d.s.SowLeft(); n > 0 {
		parts = append(parts, d.t.Say("cleanup.note-sow", n))
	}
	for i := range d.s.Backlog {
		parts = append(parts, fmt.Sprintf("%s: %s.", d.s.Backlog[i].Where, d.s.Backlog[i].What))
	}
	return strings.Join(parts, " ")
}
