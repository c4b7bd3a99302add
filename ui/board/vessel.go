package board

import (
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/charmbracelet/lipgloss"

	"shedbell/line"
	"shedbell/ui/canvas"
	"shedbell/ui/screen"
	"shedbell/ui/theme"
	"shedbell/ui/words"
)

// outline says which sides of a vessel are drawn, so that its machine is known by it.
type outline struct{ top, corners, sides, floor bool }

var outlines = map[line.Kind]outline{
	line.Cut: {top: true, corners: true, sides: true}, line.Pack: {top: true, corners: true, sides: true}, line.Sow: {top: true, corners: true, sides: true},
	line.Wash:     {corners: true, sides: true, floor: true},
	line.Spin:     {top: true, sides: true, floor: true},
	line.Dry:      {top: true, corners: true, sides: true, floor: true},
	line.Chill:    {top: true, corners: true, sides: true, floor: true},
	line.TrayWash: {top: true, sides: true, floor: true},
	line.Sanitize: {floor: true},
}

// vessel is a slot of a station, or the whole station, with what stands there.
type vessel struct {
	words.Slot
	at    line.Place
	crop  string // empty for chores
	level level
	last  bool // the countdown's last minute
	near  bool // wet greens near their limit
	by    string
	of    time.Duration // the whole of the countdown or of the work by hand
	limit time.Duration // of the wet wait
	step  *line.Step
}

const lastMinute = time.Minute

// vessel looks a slot up.
func (f *frame) vessel(at line.Place) vessel {
	v := vessel{Slot: f.env.SlotAt(at), at: at}
	v.level, _ = f.urgency(at)
	if b, _ := f.s.Occupant(at); b != nil {
		v.crop, v.limit = b.Crop, f.s.WetLimit(b)
	}
	if v.step = f.s.StepAt(at); v.step != nil {
		v.by, v.of = v.step.By, v.step.Planned
	}
	switch v.State {
	case words.Running:
		v.last = v.Time <= lastMinute
	case words.ByHand:
		if v.About {
			v.of = v.Time + v.Left
		}
		v.Done = share(v.Time, v.of)
	case words.Held:
		v.Done = 1 - share(v.Time, v.of)
	case words.Ask:
		v.Done = share(v.Time, v.of)
	case words.WaitsWet:
		v.Done = share(v.Time, v.limit)
		v.near = v.level != calm
	}
	return v
}

func share(part, whole time.Duration) float64 {
	if whole <= 0 {
		return 0
	}
	return min(max(float64(part)/float64(whole), 0), 1)
}

// doing is what a vessel does, in words without the time.
func (f *frame) doing(v *vessel) string {
	switch v.State {
	case words.Running:
		if v.last {
			return f.t.Say("vessel.last")
		}
		if key := "vessel." + f.s.Site.Stations[v.at.Station].Kind.String(); f.t.Has(key) {
			return f.t.Say(key)
		}
		return f.t.State(v.State)
	case words.Due:
		if v.level != calm {
			return f.t.Say("vessel.over")
		}
		return f.t.Say("vessel.due")
	case words.Broken:
		return f.t.Say("vessel.broken")
	case words.Ask:
		return f.t.Say("vessel.ran")
	}
	return f.t.State(v.State)
}

// time is the clock of a vessel, always without a minus; empty where it has none.
func (v *vessel) time() string {
	switch v.State {
	case words.Running, words.Held:
		if v.State == words.Held && !v.Timed {
			return ""
		}
		return words.Left(max(v.Time, 0))
	case words.Due:
		return words.Clock(-v.Time)
	case words.ByHand, words.WaitsWet, words.Waits:
		return words.Clock(v.Time)
	case words.Ask:
		return words.Clock(v.Time) + "?"
	case words.Loaded:
		if v.of > 0 {
			return words.Left(v.of)
		}
	}
	return ""
}

// rings says whether a vessel's clock rings at its end: only those are drawn.
func (v *vessel) rings() bool { return v.State == words.Running || v.State == words.Due }

// look is how a vessel's state is outlined and written.
func (f *frame) look(v *vessel) (border lipgloss.Border, edge, title, body theme.Role) {
	g := f.env.Theme.Glyphs
	border, edge, title, body = g.Thin, theme.Edge, theme.Strong, theme.Strong
	switch v.State {
	case words.Free:
		return g.Thin, theme.Rule, theme.Faint, theme.Faint
	case words.Broken:
		return g.Thin, theme.Edge, theme.Faint, theme.Text
	case words.Held, words.Ask:
		border = g.Dashed
	case words.Running:
		if v.last {
			edge, body = theme.Soon, theme.Soon
		}
	case words.Due:
		border, edge, title, body = g.Heavy, theme.Soon, theme.Soon, theme.Soon
	case words.WaitsWet:
		if v.near {
			border, edge, title, body = g.Heavy, theme.Soon, theme.Soon, theme.Soon
		}
	}
	switch {
	case v.State == words.Ask || v.level == calm:
	case v.level == now:
		border, edge, title, body = g.Heavy, theme.Alarm, theme.Urgent, theme.Refuse
	case v.State == words.Due:
		title = theme.Alert
	}
	return border, edge, title, body
}

// title is a station's short name.
func (f *frame) title(station int) string { return screen.StationTitle(f.env, station) }

// label is what a batch is called in a width: by the longest name that fits.
func (f *frame) label(v *vessel, w int) string {
	b, _ := f.s.Occupant(v.at)
	if b == nil {
		return v.What
	}
	name := f.batchName(b, w)
	if v.level != calm || v.State == words.Due || v.last {
		return strings.ToUpper(name)
	}
	return name
}

// batchName is the longest name of a batch that fits, in the form that all have; the code,
// which always does, is the last.
func (f *frame) batchName(b *line.Batch, w int) string {
	forms := f.forms(b)
	for _, name := range forms[f.form:] {
		if canvas.Width(name) <= w {
			return name
		}
	}
	return forms[len(forms)-1]
}

// forms are a batch's names, the longest first.
func (f *frame) forms(b *line.Batch) [3]string {
	n, no := f.Names[b.Crop], strconv.Itoa(b.No)
	return [3]string{n.Full + " " + no, n.Short + " " + no, n.Code + no}
}

// next is the batch that an empty station gets next.
func (f *frame) next(station int) *line.Batch {
	for i := range f.env.Prompt {
		if p := &f.env.Prompt[i]; p.To.Station == station && p.Batch != 0 {
			return f.s.Batch(p.Batch)
		}
	}
	for i := range f.env.End.Steps {
		if st := &f.env.End.Steps[i]; st.Station == station && st.Batch != 0 && st.Start.After(f.env.Now) {
			return f.s.Batch(st.Batch)
		}
	}
	return nil
}

// places lists a station's slots.
func (f *frame) places(station int) []line.Place {
	out := make([]line.Place, f.s.Site.Stations[station].Slots)
	for i := range out {
		out[i] = line.Place{Station: station, Slot: i}
	}
	return out
}

// nearest sorts vessels: what is over first, then by the time that is left, then what is
// done by hand.
func nearest(all []vessel) {
	rank := func(v *vessel) time.Duration {
		switch {
		case v.State == words.Ask || v.State == words.WaitsWet:
			return -v.Time
		case v.Timed:
			return v.Time
		case v.State == words.Broken:
			return 2000 * time.Hour
		case v.What == "":
			return 3000 * time.Hour
		}
		return 1000 * time.Hour
	}
	slices.SortStableFunc(all, func(a, b vessel) int {
		if a.level != b.level {
			return int(b.level) - int(a.level)
		}
		return int((rank(&a) - rank(&b)) / time.Millisecond)
	})
}

// count is what stands at a station that is none of machines and greens.
func (f *frame) waitingThere(k line.Kind) (what string, role theme.Role) {
	t := f.s.Trays
	switch k {
	case line.TrayWash:
		if t.Dirty > 0 {
			return f.t.Say("vessel.dirty", t.Dirty), theme.Text
		}
	case line.Sanitize:
		if t.Washed == 0 && !f.s.Clean.IsZero() {
			return f.t.Say("board.clean", f.t.TimeOfDay(f.s.Clean, "")), theme.Calm
		}
		if t.Washed > 0 {
			return f.t.Say("vessel.dirty", t.Washed), theme.Text
		}
	case line.Sow:
		if n := f.s.SowLeft(); n > 0 {
			return f.t.Say("board.to-sow", n), theme.Text
		}
	}
	return f.t.Say("slot.free"), theme.Faint
}

// starts is when a station is planned to begin; zero: not known.
func (f *frame) starts(station int) time.Time {
	for i := range f.env.End.Steps {
		if st := &f.env.End.Steps[i]; st.Station == station && st.Start.After(f.env.Now) {
			return st.Start
		}
	}
	return time.Time{}
}
