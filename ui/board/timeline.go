package board

import (
	"slices"
	"strconv"
	"strings"
	"time"

	"shedbell/line"
	"shedbell/ui/canvas"
	"shedbell/ui/screen"
	"shedbell/ui/theme"
)

// planRow is a row of the timeline: a slot of a station, or a person.
type planRow struct {
	label string
	kind  line.Kind
	who   bool
	slot  int
	holds bool // holds the day up
	bars  []planBar
}

// planBar is one piece of work.
type planBar struct {
	from, to time.Time
	batch    *line.Batch // nil for chores
	name     string
}

// rows lists what the rest of the day has for each station slot in use and each person.
func (f *frame) rows() []planRow {
	var out []planRow
	row := func(at line.Place) *planRow {
		label := strconv.Itoa(at.Station+1) + " " + f.title(at.Station)
		if f.s.Site.Stations[at.Station].Slots > 1 && at.Slot >= 0 {
			label += " " + line.SlotLetter(at.Slot)
		}
		i := slices.IndexFunc(out, func(r planRow) bool { return r.label == label })
		if i < 0 {
			out = append(out, planRow{label: label, kind: f.s.Site.Stations[at.Station].Kind, slot: at.Station*1000 + at.Slot})
			i = len(out) - 1
		}
		return &out[i]
	}
	plan := f.env.End.Plan
	if plan == nil {
		for i := range f.env.End.Steps {
			st := &f.env.End.Steps[i]
			if f.s.Site.Stations[st.Station].Kind == line.Chill {
				continue
			}
			r := row(line.Place{Station: st.Station, Slot: -1})
			r.bars = append(r.bars, planBar{st.Start, st.End, f.s.Batch(st.Batch), f.t.Chore(st.Chore)})
		}
	} else {
		holds, longest := -1, time.Duration(0)
		for i := range plan.Steps {
			st := &plan.Steps[i]
			if st.Kind == line.Chill || st.Place.Station < 0 || st.Place.Station >= len(f.s.Site.Stations) {
				continue
			}
			r := row(st.Place)
			from := st.Enters
			if st.Kind != line.Dry || from.IsZero() {
				from = st.Start
			}
			r.bars = append(r.bars, planBar{from, st.Leaves, f.s.Batch(st.Batch), f.t.Chore(st.Chore)})
			if long := st.Leaves.Sub(from); st.Tight && long > longest {
				holds, longest = r.slot, long
			}
		}
		for i := range out {
			out[i].holds = out[i].slot == holds
		}
		people := map[int]int{}
		for i := range plan.Hands {
			h := &plan.Hands[i]
			if h.Step < 0 || h.Step >= len(plan.Steps) || h.Who < 0 || h.Who >= len(f.s.Crew) {
				continue
			}
			at, ok := people[h.Who]
			if !ok {
				at = len(out)
				people[h.Who] = at
				out = append(out, planRow{label: f.s.Crew[h.Who], who: true, slot: 1<<30 + h.Who})
			}
			st := &plan.Steps[h.Step]
			out[at].bars = append(out[at].bars, planBar{h.Start, h.End, f.s.Batch(st.Batch), f.t.Chore(st.Chore)})
		}
	}
	out = slices.DeleteFunc(out, func(r planRow) bool {
		return !slices.ContainsFunc(r.bars, func(b planBar) bool { return b.to.After(f.env.Now) })
	})
	slices.SortStableFunc(out, func(a, b planRow) int { return a.slot - b.slot })
	return out
}

// fewer drops rows in this order: sow, sanitize, tray wash, slots that are free now, cut.
// People and the row that holds the day up stay.
func (f *frame) fewer(rows []planRow, most int) []planRow {
	drop := []func(*planRow) bool{
		func(r *planRow) bool { return r.kind == line.Sow },
		func(r *planRow) bool { return r.kind == line.Sanitize },
		func(r *planRow) bool { return r.kind == line.TrayWash },
		func(r *planRow) bool {
			return f.s.StepAt(line.Place{Station: r.slot / 1000, Slot: r.slot % 1000}) == nil
		},
		func(r *planRow) bool { return r.kind == line.Cut },
		func(*planRow) bool { return true },
	}
	for _, ready := range drop {
		for i := len(rows) - 1; i >= 0 && len(rows) > most; i-- {
			if r := &rows[i]; !r.who && !r.holds && ready(r) {
				rows = slices.Delete(rows, i, i+1)
			}
		}
	}
	return rows[:min(len(rows), max(most, 0))]
}

// drawTimeline draws the rest of the day.
func (f *frame) drawTimeline(r canvas.Region) {
	if r.H < 2 {
		return
	}
	if !f.env.End.Known {
		key := "board.coming"
		if f.s.Sheet != nil && f.env.End.Stuck == nil {
			key = "board.computing"
		}
		r.Put(1, 0, theme.Faint, f.t.Say(key))
		return
	}
	rows := f.fewer(f.rows(), r.H-1)
	if len(rows) == 0 {
		r.Put(1, 0, theme.Faint, f.t.Say("board.coming"))
		return
	}
	labelW := 0
	for i := range rows {
		labelW = max(labelW, canvas.Width(rows[i].label))
	}
	labelW = min(labelW, 14)
	chart := r.Sub(labelW+2, 0, r.W-labelW-4, r.H)
	last := f.env.End.Done
	dues := screen.Dues(f.env)
	for _, d := range dues {
		last = later(last, d.At)
	}
	for i := range rows {
		for _, b := range rows[i].bars {
			last = later(last, b.to)
		}
	}
	span := max(last.Sub(f.env.Now), 30*time.Minute) * 21 / 20
	at := func(t time.Time) int { return int(t.Sub(f.env.Now) * time.Duration(chart.W) / span) }
	f.drawTimes2(r, chart, at, span, dues)
	for i := range rows {
		role := theme.Text
		if rows[i].holds {
			role = theme.Strong
		}
		r.Sub(1, i+1, labelW, 1).Put(0, 0, role, rows[i].label)
		f.drawPlanRow(chart.Rows(i+1, 1), &rows[i], at, dues)
	}
}

// drawTimes2 writes the times over the chart, and flags where something is due.
func (f *frame) drawTimes2(r, chart canvas.Region, at func(time.Time) int, span time.Duration, dues []screen.Due) {
	g := f.env.Theme.Glyphs
	head := r.Put(1, 0, theme.Strong, f.t.Say("when.now")) + 2
	head += r.Put(head, 0, theme.Strong, f.t.TimeOfDay(f.env.Now, ""))
	off := r.W - chart.W - 2
	taken := []segmentOf{{0, head - off + 1}}
	clear := func(from, to int) bool {
		return from >= 0 && to <= chart.W && !slices.ContainsFunc(taken, func(t segmentOf) bool { return from <= t.to && to >= t.from })
	}
	for _, d := range dues {
		for _, text := range []string{f.t.Say("day-bar.due", f.Names[d.Crop].Full, f.t.TimeOfDay(d.At, "")), f.Names[d.Crop].Code} {
			if x := at(d.At); clear(x, x+canvas.Width(text)+1) {
				chart.Put(x, 0, theme.Calm, g.Flag+text)
				taken = append(taken, segmentOf{x, x + canvas.Width(text) + 1})
				break
			}
		}
	}
	step := time.Hour
	for _, s := range []time.Duration{5 * time.Minute, 10 * time.Minute, 15 * time.Minute, 30 * time.Minute} {
		if int(s*time.Duration(chart.W)/span) >= 10 {
			step = s
			break
		}
	}
	for t := f.env.Now.Truncate(step).Add(step); t.Sub(f.env.Now) < span; t = t.Add(step) {
		text := f.t.TimeOfDay(t, "")
		if x := at(t); clear(x, x+canvas.Width(text)) {
			chart.Put(x, 0, theme.Faint, text)
		}
	}
}

func (f *frame) drawPlanRow(r canvas.Region, row *planRow, at func(time.Time) int, dues []screen.Due) {
	g := f.env.Theme.Glyphs
	for x := 1; x < r.W; x += 2 {
		r.Put(x, 0, theme.Rule, g.Dot)
	}
	for _, d := range dues {
		if x := at(d.At); x >= 0 {
			r.Put(x, 0, theme.Faint, g.DueLine)
		}
	}
	end := 0
	for i := range row.bars {
		b := &row.bars[i]
		x0, x1 := max(at(b.from), end), min(at(b.to), r.W)
		if !b.to.After(f.env.Now) || x0 >= r.W {
			continue
		}
		x1 = max(x1, x0+1)
		f.drawPlanBar(r.Sub(x0, 0, x1-x0, 1), b)
		end = x1
	}
	if text := " " + g.Holds + " " + f.t.Say("board.holds") + " "; row.holds && end+canvas.Width(text) <= r.W {
		r.Put(end, 0, theme.Strong, text)
	}
}

// drawPlanBar draws one piece of work with its name inside, or its code. A name ends before
// its bar does, so that it never runs into the next.
func (f *frame) drawPlanBar(r canvas.Region, b *planBar) {
	role, glyph := theme.Segment, " "
	names := []string{b.name}
	if b.batch != nil {
		role, glyph = f.Fill(b.batch.Crop)
		n, no := f.Names[b.batch.Crop], strconv.Itoa(b.batch.No)
		names = []string{n.Full + " " + no, n.Short + " " + no, n.Code + no, n.Code}
		if !f.env.Theme.Colour { // where only patterns tell crops apart, the code does first
			names = names[2:]
		}
	}
	r.Put(0, 0, role, strings.Repeat(glyph, r.W))
	for _, name := range names {
		if canvas.Width(name) < r.W {
			r.Put(0, 0, role, name)
			return
		}
	}
}

type segmentOf struct{ from, to int }

func later(a, b time.Time) time.Time {
	if a.After(b) {
		return a
	}
	return b
}
