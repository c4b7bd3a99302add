package screen

import (
	"slices"
	"strconv"
	"strings"
	"time"

	"shedbell/line"
	"shedbell/ui/canvas"
	"shedbell/ui/theme"
	"shedbell/ui/words"
)

// dayBar is the day's trays and due times as every screen's head shows them.
type dayBar struct {
	*Crops
	env   *Env
	t     *words.Speaker
	s     *line.State
	trays []dayBatch
}

// DrawDayBar draws the day's trays in the rows that a head has below its title: close to
// each other in one row, on a line of time in two.
func DrawDayBar(env *Env, r canvas.Region) {
	if r.H == 0 {
		return
	}
	f := &dayBar{Crops: NewCrops(env), env: env, t: env.Words, s: env.State}
	f.trays = dayTrays(env)
	if r.H >= 2 {
		f.drawDayLine(r)
	} else {
		f.drawDayCells(r)
	}
}

// DrawTitle draws the board's title: the shed, the clock, and when the day is done.
func DrawTitle(env *Env, r canvas.Region) {
	s := env.State
	x := r.Put(1, 0, theme.Strong, strings.ToUpper(s.Site.Name)) + 3
	if env.Example {
		x += r.Put(x-1, 0, theme.Badge, " "+env.Words.Say("first.example-word")+" ") + 1
	}
	x += r.Put(x, 0, theme.Text, env.Words.TimeOfDay(env.Now, "Mon ")) + 3
	if env.Practice.On {
		x += r.Put(x, 0, theme.Strong, env.Practice.Head(env.Words)) + 3
	}
	end, cold := DayEnd(env), ""
	if s.Sheet != nil {
		n, all := ColdTrays(s)
		cold = env.Words.Say("board.cold-of", n, all)
		if canvas.Width(cold+end)+3 > r.W-x-1 {
			cold = env.Words.Say("board.cold-short", n, all)
		}
	}
	at := r.W - 1 - canvas.Width(end)
	if at <= x {
		end, at = "", r.W-1
	}
	r.Put(at, 0, theme.Text, end)
	if at -= canvas.Width(cold) + 3; at >= x {
		r.Put(at, 0, theme.Strong, cold)
	}
}

// dayBatch is a batch in the day bar.
type dayBatch struct {
	b    *line.Batch
	cold time.Time // was or should be; zero: not known
}

// dayTrays lists the day's batches, those that are cold first, then by when they should be.
func dayTrays(env *Env) []dayBatch {
	var out []dayBatch
	for i := range env.State.Batches {
		b := &env.State.Batches[i]
		if b.Fate != line.Cold && b.Fate != line.OnLine && b.Fate != line.Waiting {
			continue
		}
		d := dayBatch{b: b, cold: b.ColdAt}
		for j := range env.End.Steps {
			if st := &env.End.Steps[j]; b.Fate != line.Cold && st.Batch == b.ID && st.End.After(d.cold) {
				d.cold = st.End
			}
		}
		out = append(out, d)
	}
	rank := func(d *dayBatch) int {
		switch d.b.Fate {
		case line.Cold:
			return -100
		case line.OnLine:
			return -d.b.Step.Place.Station
		}
		return 1
	}
	slices.SortStableFunc(out, func(a, b dayBatch) int {
		if n := rank(&a) - rank(&b); n != 0 && (a.b.Fate != b.b.Fate || a.cold.IsZero() || b.cold.IsZero()) {
			return n
		}
		return a.cold.Compare(b.cold)
	})
	return out
}

// putTrays draws trays of a batch as cells: full where they are cold, else the number of
// the station where they are, a dot where they are still to be cut.
func (f *dayBar) putTrays(r canvas.Region, x, y int, b *line.Batch, trays int) int {
	g := f.env.Theme.Glyphs
	switch b.Fate {
	case line.Cold:
		role, glyph := f.Fill(b.Crop)
		return r.Put(x, y, role, strings.Repeat(glyph, trays))
	case line.OnLine:
		return r.Put(x, y, f.Role(b.Crop, theme.TintWord), strings.Repeat(strconv.Itoa((b.Step.Place.Station+1)%10), trays))
	}
	return r.Put(x, y, f.Role(b.Crop, theme.TintWord), strings.Repeat(g.Dot, trays))
}

// drawDayCells draws the day's trays close to each other, the words that count them and
// the nearest due time as far as there is room.
func (f *dayBar) drawDayCells(r canvas.Region) {
	trays := f.trays
	all := 0
	for _, d := range trays {
		all += d.b.Trays
	}
	flag, role := f.nextFlag(true)
	flagW := canvas.Width(flag)
	room := r.W - 2
	per, gap := 1, 1
	for _, p := range []struct{ per, gap int }{{1, 1}, {1, 0}, {2, 0}, {5, 0}, {20, 0}} { // trays a cell
		per, gap = p.per, p.gap
		if f.cells(trays, per, gap) <= room {
			break
		}
	}
	x := 1
	for _, d := range trays {
		x += f.putTrays(r, x, 0, d.b, (d.b.Trays+per-1)/per) + gap
	}
	if per > 1 {
		x += r.Put(x+1, 0, theme.Faint, f.t.Say("day-bar.per-cell", per)) + 1
	}
	if flag != "" && x+flagW+2 < r.W {
		r.PutRight(r.W-1, 0, role, flag)
		room = r.W - flagW - 2
	}
	x++
	for _, c := range f.counts() {
		if w := canvas.Width(c); x+w <= room {
			x += r.Put(x, 0, theme.Faint, c) + 2
		}
	}
}

func (f *dayBar) cells(trays []dayBatch, per, gap int) int {
	n := 0
	for _, d := range trays {
		n += (d.b.Trays+per-1)/per + gap
	}
	return n
}

// counts says how many trays are where.
func (f *dayBar) counts() []string {
	at := make([]int, len(f.s.Site.Stations))
	waiting := 0
	for i := range f.s.Batches {
		switch b := &f.s.Batches[i]; b.Fate {
		case line.Waiting:
			waiting += b.Trays
		case line.OnLine:
			at[b.Step.Place.Station] += b.Trays
		}
	}
	var out []string
	if waiting > 0 {
		out = append(out, f.t.Say("board.to-cut", waiting))
	}
	for i, n := range at {
		if n > 0 {
			out = append(out, StationTitle(f.env, i)+" "+strconv.Itoa(n))
		}
	}
	return out
}

// Due is when a customer waits for some trays, and when the last of them should be cold.
type Due struct {
	Crop     string
	At, cold time.Time
	done     bool
}

// Dues lists the day's due times, the nearest first.
func Dues(env *Env) []Due {
	var out []Due
	for _, d := range dayTrays(env) {
		if d.b.Due.IsZero() {
			continue
		}
		i := slices.IndexFunc(out, func(x Due) bool { return x.Crop == d.b.Crop && x.At.Equal(d.b.Due) })
		if i < 0 {
			out = append(out, Due{Crop: d.b.Crop, At: d.b.Due, done: true})
			i = len(out) - 1
		}
		out[i].done = out[i].done && d.b.Fate == line.Cold
		if d.cold.After(out[i].cold) {
			out[i].cold = d.cold
		}
	}
	slices.SortStableFunc(out, func(a, b Due) int { return a.At.Compare(b.At) })
	return out
}

// words says when something is due and how many minutes there are to spare.
func (d *Due) words(f *dayBar, long bool) (string, theme.Role) {
	crop := d.Crop
	if !long {
		crop = f.Names[d.Crop].Short
	}
	base := f.env.Theme.Glyphs.Flag + crop + " " + f.t.TimeOfDay(d.At, "")
	spare := d.At.Sub(d.cold)
	switch {
	case d.cold.IsZero() || !f.env.End.Known && !d.done:
		return base, theme.Calm
	case d.done && spare >= 0:
		return base + ", " + f.t.Say("day-bar.in-time"), theme.Calm
	case spare < 0:
		return base + ", " + f.t.Say("day-bar.late", f.t.Span((-spare).Round(time.Minute))), theme.Soon
	}
	return base + ", " + f.t.Say("day-bar.spare", f.t.Span(spare.Round(time.Minute))), theme.Calm
}

// nextFlag is the nearest due time in words.
func (f *dayBar) nextFlag(long bool) (string, theme.Role) {
	all := Dues(f.env)
	if len(all) == 0 {
		return "", theme.Calm
	}
	at := slices.IndexFunc(all, func(d Due) bool { return !d.done })
	if at < 0 {
		at = len(all) - 1
	}
	return all[at].words(f, long)
}

// drawDayLine puts each tray at the minute at which it was or should be cold, on a line of
// time with flags where something is due.
func (f *dayBar) drawDayLine(r canvas.Region) {
	trays := f.trays
	if !f.env.End.Known || f.s.Sheet == nil {
		f.drawDayCells(r.Rows(0, 1))
		return
	}
	first, last := f.s.Opened, f.env.End.Done
	if last.Before(f.env.Now) {
		last = f.env.Now
	}
	for _, d := range Dues(f.env) {
		last = later(last, d.At)
	}
	start := f.t.TimeOfDay(first, "")
	x0 := canvas.Width(start) + 2
	span := last.Sub(first)
	if span <= 0 {
		span = time.Minute
	}
	wide := r.W - x0 - 8
	at := func(t time.Time) int { return x0 + int(t.Sub(first)*time.Duration(wide)/span) }

	label := f.t.Say("day-bar.cells")
	end := 1 + canvas.Width(label) + 1 // what is taken already
	r.Put(1, 0, theme.Faint, label)
	for _, d := range trays {
		x := max(at(d.cold)-d.b.Trays+1, end)
		if d.cold.IsZero() || x+d.b.Trays >= r.W {
			x = end
		}
		end = x + f.putTrays(r, x, 0, d.b, min(d.b.Trays, max(r.W-x-1, 0))) + 1
	}

	g := f.env.Theme.Glyphs
	x := 1 + r.Put(1, 1, theme.Faint, start) + 1
	here := min(max(at(f.env.Now), x), r.W-2)
	r.Put(x, 1, theme.Edge, strings.Repeat(g.Rule, max(here-x, 0)))
	r.Put(here, 1, theme.Rule, strings.Repeat(g.Dot, max(r.W-1-here, 0)))
	mark := func(x int, text string, role theme.Role) { r.Put(x, 1, role, text) }
	nowText := f.t.Say("when.now") + g.Now
	nowX := max(here-canvas.Width(nowText)+1, x)
	taken := []span2{{nowX, nowX + canvas.Width(nowText)}}
	done := f.t.Say("day-bar.done") + g.Now
	doneX := min(at(f.env.End.Done)-canvas.Width(done)+1, r.W-1-canvas.Width(done))
	clear := func(from, to int) bool {
		for _, t := range taken {
			if from < t.to+1 && to+1 > t.from {
				return false
			}
		}
		return from > x && to < r.W
	}
	mark(nowX, nowText, theme.Strong)
	for _, d := range Dues(f.env) {
		text, role := d.words(f, true)
		dx := at(d.At)
		short := g.Flag + f.Names[d.Crop].Code
		w := canvas.Width(text)
		if left := strings.TrimPrefix(text, g.Flag); clear(dx, dx+w) && dx+w < r.W-1 {
			mark(dx, text, role)
			taken = append(taken, span2{dx, dx + w})
		} else if clear(dx-w, dx+2) { // the words before the flag
			mark(dx-w, " "+left, role)
			mark(dx, g.Flag, role)
			taken = append(taken, span2{dx - w, dx + 2})
		} else if clear(dx, dx+canvas.Width(short)) {
			mark(dx, short, role)
			taken = append(taken, span2{dx, dx + canvas.Width(short)})
		}
	}
	if doneW := canvas.Width(done); f.env.End.Done.After(f.env.Now) && clear(doneX, doneX+doneW) {
		mark(doneX, done, theme.Text)
	}
}

type span2 struct{ from, to int }

func later(a, b time.Time) time.Time {
	if a.After(b) {
		return a
	}
	return b
}

// DayEnd is when the day is done, in words.
func DayEnd(env *Env) string {
	f := env.End
	switch {
	case f.Stuck != nil:
		return env.Words.Say("board.stuck")
	case !f.Known:
		return ""
	case env.State.DayDone():
		return env.Words.Say("board.day-done")
	case f.Sure.IsZero():
		return env.Words.Say("board.done", env.Words.TimeOfDay(f.Done, ""))
	}
	return env.Words.Say("board.done-sure", env.Words.TimeOfDay(f.Done, ""), env.Words.TimeOfDay(f.Sure, ""))
}

// ColdTrays counts the trays that are cold, and all of the day.
func ColdTrays(s *line.State) (cold, all int) {
	for i := range s.Batches {
		b := &s.Batches[i]
		switch b.Fate {
		case line.Cold:
			cold += b.Trays
			all += b.Trays
		case line.Waiting, line.OnLine:
			all += b.Trays
		}
	}
	return cold, all
}

// StationTitle is a station's short name.
func StationTitle(env *Env, station int) string {
	site := env.State.Site
	st := &site.Stations[station]
	if key := "station-short." + st.Kind.String(); env.Words.Has(key) {
		short := env.Words.Say(key)
		n := 0
		for i := range site.Stations {
			if site.Stations[i].Kind == st.Kind {
				n++
			}
		}
		if n == 1 && canvas.Width(short) <= canvas.Width(env.Words.Station(st.Name)) {
			return short
		}
	}
	return env.Words.Station(st.Name)
}
