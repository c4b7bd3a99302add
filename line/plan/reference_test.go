package plan_test

import (
	"cmp"
	"context"
	"fmt"
	"math/rand/v2"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"shedbell/line"
	"shedbell/line/linetest"
	"shedbell/line/plan"
	"shedbell/power"
	"shedbell/recipes"
)

// The reference is an exhaustive search over what people can do on the line. It knows
// of no model: whatever it tries, it puts to line.Do, second by second as a person
// would, and what line.Decide refuses cannot be done. From the planner it takes nothing.
//
// What people do takes the hands and the walks of the line file, as the rehearsal has
// it: taking a batch out ends with Finish; carrying it, which needs the place to be
// free when it begins, ends with Start or with Put; to start what stands somewhere they
// walk there. Work by hand is done tray by tray, and may be set down between two trays.
// Three things people do of themselves (common practice, no source): they keep a
// machine that must run alone until no greens have to pass a machine any more, as the
// prompts do, they sanitize the surfaces for the night after the last greens are cold,
// and they start no greens that have waited wet too long.

// instant counts in minutes, of which all times of the small days are multiples; so
// there is a best plan that begins everything at whole ones.
func instant(t int) time.Time { return linetest.Morning.Add(time.Duration(t) * time.Minute) }

type deed uint8

const (
	idle deed = iota
	works
	takes
	carries
	puts
	starts
	doesChore
	sanitizes
	endsSanitizing
	drains
	refills
)

// errand is what one person is busy with until an instant.
type errand struct {
	deed  deed
	until int
	batch int
	place line.Place
}

// world is the line and its people at an instant.
type world struct {
	s     *line.State
	t     int
	staff []errand
	left  []int8 // per batch: trays still to be worked on by hand where it is or goes next
	late  bool   // the sanitizing that goes on began after the last greens were cold
	clean bool   // one such is over
	event bool   // something has just ended

	began  string // what was begun at this instant last; the order does not matter, so it is kept
	passed string // what has been passed over while somebody was idle, and nothing begun since
}

type reference struct {
	site  *line.Site
	memo  map[string]int // minutes in which it has been shown that the rest cannot be done
	grid  bool           // every minute counts, because greens must not wait
	found int
	trace []string // of what was found, from its end
}

const never = 1 << 20 // minutes

// A day with more states than that is too large to be searched.
var mostStates = 4_000

// shorter is the least number of minutes in which a day can be done, if that is less
// than so many.
var states int
var trace []string

func shorter(s *line.State, most int) (minutes int, ok, whole bool) {
	r := &reference{site: s.Site, memo: map[string]int{}}
	for i := range s.Batches {
		rec, _ := s.Recipe(s.Batches[i].Crop)
		r.grid = r.grid || rec.MaxWetWait < 30*time.Minute
	}
	w := world{s: s, staff: make([]errand, max(1, len(s.Crew))), left: make([]int8, len(s.Batches)), event: true}
	for i := range s.Batches {
		w.left[i] = int8(s.Batches[i].Trays)
	}
	for minutes = most; r.can(w, minutes-1); ok = true {
		minutes = r.found
		trace, r.trace = r.trace, nil
	}
	states = len(r.memo)
	return minutes, ok, len(r.memo) <= mostStates
}

// can says whether the day can be over by an instant, and notes when.
func (r *reference) can(w world, limit int) bool {
	busy := slices.ContainsFunc(w.staff, func(e errand) bool { return e.deed != idle })
	if !busy && w.clean && w.s.DayDone() {
		r.found = w.t
		return true
	}
	if w.t+r.least(&w) > limit {
		return false
	}
	if len(r.memo) > mostStates {
		return false
	}
	key := r.key(&w)
	if no, seen := r.memo[key]; seen && limit-w.t <= no {
		return false
	}
	if free := slices.IndexFunc(w.staff, func(e errand) bool { return e.deed == idle }); free >= 0 {
		yes := false
		r.deeds(&w, func(e errand, c line.Command) {
			if yes || !w.event && !r.wets(e) || strings.Contains(w.passed, e.name()) || e.name() < w.began {
				return
			}
			next, ok := w.do(c)
			if !ok {
				return
			}
			if e.deed == sanitizes {
				next.late = next.s.Unfinished() == 0
			}
			next.staff = slices.Clone(next.staff)
			next.staff[free], next.began = e, e.name()
			if yes = r.can(next, limit); yes {
				r.trace = append(r.trace, fmt.Sprintf("%d-%d deed %d batch %d at %s.%d", w.t, e.until, e.deed, e.batch, r.site.Stations[e.place.Station].Name, e.place.Slot))
			}
		})
		if yes {
			return true
		}
	}
	if next, ok := r.wait(w); ok && r.can(next, limit) {
		return true
	}
	r.memo[key] = limit - w.t
	return false
}

// wets says whether an errand sets greens on a way on which they may not wait. Only
// such may have to begin when nothing else happens; all others gain nothing by that.
func (r *reference) wets(e errand) bool {
	if e.deed != carries && e.deed != puts && e.deed != starts {
		return false
	}
	k := r.site.Stations[e.place.Station].Kind
	return k == line.Wash || k == line.Spin
}

// least is a time that the rest takes in any case: the longest way of a batch and what
// comes after it, or the work by hand shared out among all.
func (r *reference) least(w *world) int {
	of := func(k line.Kind) *line.Station { return &r.site.Stations[r.site.StationsOf(k)[0]] }
	wash, clean, sow := of(line.TrayWash), of(line.Sanitize), of(line.Sow)
	hands, cold, passed, cut := 0, 0, 0, 0
	for i := range w.s.Batches {
		c, p, k := r.way(w, i, &hands)
		cold, passed, cut = max(cold, c), max(passed, p), max(cut, k)
	}
	t := w.s.Trays
	chain := minutes(clean.HandsTime + clean.Contact)
	end := minutes(clean.HandsTime + clean.Walk)
	after := 0
	if !w.clean && !w.late {
		after = cold + chain + end
	} else if !w.clean {
		after = end
	}
	uncut := 0
	for i := range w.s.Batches {
		if b := &w.s.Batches[i]; b.Fate == line.Waiting || b.Fate == line.OnLine && b.Step.Place.Station == r.site.StationsOf(line.Cut)[0] && b.Step.Progress != line.Finished {
			uncut += b.Trays
		}
	}
	dirty := t.Dirty + uncut
	if wash.Load != line.NoLoad && r.site.Panel.Loads[wash.Load].Alone {
		cut = passed
	}
	if dirty > 0 { // the tray that is washed last is sanitized and sown after it
		rows := (dirty + wash.Slots - 1) / wash.Slots
		if cut != passed {
			rows = 1
		}
		after = max(after, cut+rows*minutes(wash.PerTray)+chain+end+minutes(sow.PerTray))
	} else if t.Washed > 0 {
		after = max(after, chain+end+minutes(sow.PerTray))
	}
	hands += dirty*minutes(wash.PerTray) + (w.s.Sheet.Trays()-t.Sown)*minutes(sow.PerTray)
	for i := range w.s.Chores {
		if c := &w.s.Chores[i]; c.Kind == line.SowTrays {
			hands -= c.Trays * minutes(sow.PerTray)
		}
	}
	if dirty+t.Washed > 0 || !w.clean && !w.late {
		hands += minutes(clean.HandsTime) + end
	}
	for _, e := range w.staff { // the work that is being done has been left out
		if e.deed != idle && e.deed != works {
			hands += e.until - w.t
		}
	}
	return max(after, (hands+len(w.staff)-1)/len(w.staff))
}

// way is how long a batch needs at least until it is cold, until it has passed the
// rack, and until it is cut; the hands that it takes are added up.
func (r *reference) way(w *world, i int, hands *int) (cold, passed, cut int) {
	b := &w.s.Batches[i]
	if b.Fate == line.Cold {
		return 0, 0, 0
	}
	rec, _ := w.s.Recipe(b.Crop)
	run := map[line.Kind]time.Duration{line.Wash: rec.Soak, line.Spin: rec.Spin, line.Dry: rec.Dry}
	now := -1
	if b.Fate == line.OnLine {
		now = int(r.site.Stations[b.Step.Place.Station].Kind)
	}
	var busy *errand
	for n := range w.staff {
		if w.staff[n].deed != idle && w.staff[n].batch == b.ID {
			busy = &w.staff[n]
		}
	}
	for k := line.Cut; k <= line.Chill; k++ {
		st := &r.site.Stations[r.site.StationsOf(k)[0]]
		t, h := 0, 0
		switch {
		case int(k) < now, int(k) == now && b.Step.Progress == line.Finished:
		case st.Hands == line.HandsThroughout:
			n := b.Trays
			if int(k) == now || k == line.Cut {
				n = int(w.left[i])
			}
			t, h = n*minutes(st.PerTray), n*minutes(st.PerTray)
			if busy != nil && busy.deed == works && int(k) == now {
				t, h = t-minutes(st.PerTray)+busy.until-w.t, h-minutes(st.PerTray)+busy.until-w.t
			}
		case int(k) == now && b.Step.Progress == line.Running:
			due, _ := b.Step.DueAt()
			t, h = max(0, int(due.Sub(instant(w.t))/time.Minute)), 1
			if busy != nil && busy.deed == takes {
				t, h = busy.until-w.t, 0
			} else {
				t++
			}
		case int(k) == now: // stands there
			t, h = minutes(run[k])+1, 1
		case k == line.Chill:
			t, h = 1, 1
		default:
			t, h = 1+minutes(run[k])+1, 2
		}
		if int(k) > now && busy != nil && busy.deed != takes && busy.deed != works && int(k) == int(r.site.Stations[busy.place.Station].Kind) {
			t, h = t-1+busy.until-w.t, h-1
		}
		cold += t
		*hands += h
		if k == line.Cut {
			cut = cold
		}
		if k == line.Dry {
			passed = cold
		}
	}
	return cold, passed, cut
}

// do puts a command to the line; nil is none.
func (w world) do(c line.Command) (world, bool) {
	if c == nil {
		return w, true
	}
	next, _, no := line.Do(w.s, c, instant(w.t), "")
	if no != nil {
		return w, false
	}
	w.s = next
	return w, true
}

// wait passes the time until something may be done, and ends the errands that are over.
func (r *reference) wait(w world) (world, bool) {
	next := never
	soon := func(t int) {
		if t > w.t {
			next = min(next, t)
		}
	}
	for _, e := range w.staff {
		if e.deed != idle {
			soon(e.until)
		}
	}
	steps := func(st *line.Step) {
		if at, ok := st.DueAt(); ok {
			soon(int(at.Sub(linetest.Morning) / time.Minute))
		}
	}
	for i := range w.s.Batches {
		steps(&w.s.Batches[i].Step)
	}
	for i := range w.s.Chores {
		steps(&w.s.Chores[i].Step)
	}
	if next == never {
		return w, false
	}
	w = r.passOver(w)
	w.event = true
	if r.grid && next > w.t+1 && slices.ContainsFunc(w.staff, func(e errand) bool { return e.deed == idle }) {
		next, w.event = w.t+1, false
	}
	w.t = next
	w.staff, w.left = slices.Clone(w.staff), slices.Clone(w.left)
	for _, first := range []bool{true, false} { // what switches off comes before what switches on
		for i := range w.staff {
			e := w.staff[i]
			off := e.deed == takes || e.deed == works || e.deed == doesChore || e.deed == endsSanitizing || e.deed == refills
			if e.deed == idle || e.until > w.t || off != first {
				continue
			}
			var ok bool
			if w, ok = r.end(w, e); !ok {
				return w, false
			}
			w.staff[i] = errand{}
		}
	}
	for i := range w.s.Batches {
		if b := &w.s.Batches[i]; r.tooWet(&w, b) {
			return w, false
		}
	}
	slices.SortFunc(w.staff, func(a, b errand) int { return cmp.Compare(a.deed, b.deed) })
	return w, true
}

// passOver notes what an idle person could begin now and keeps no place, no machine and
// no greens waiting. To begin it a little later, when nobody has begun anything in
// between, is never better, so that need not be tried.
func (r *reference) passOver(w world) world {
	if w.began != "" {
		w.passed = ""
	}
	if slices.ContainsFunc(w.staff, func(e errand) bool { return e.deed == idle }) {
		r.deeds(&w, func(e errand, c line.Command) {
			if e.deed == puts || e.deed == starts || e.deed == drains || e.deed == refills ||
				e.deed == carries && r.site.Stations[e.place.Station].Kind != line.Chill || strings.Contains(w.passed, e.name()) {
				return
			}
			if _, ok := w.do(c); ok {
				w.passed += e.name()
			}
		})
	}
	w.began = ""
	return w
}

func (e errand) name() string {
	return string([]byte{'/', byte(e.deed), byte(e.batch), byte(e.place.Station)})
}

func (r *reference) tooWet(w *world, b *line.Batch) bool {
	rec, _ := w.s.Recipe(b.Crop)
	return w.s.WetWait(b, instant(w.t)) > rec.MaxWetWait
}

// end does what an errand ends with.
func (r *reference) end(w world, e errand) (world, bool) {
	switch e.deed {
	case takes, endsSanitizing, doesChore, refills:
		late := w.late && e.deed == endsSanitizing
		w, ok := w.do(line.Finish{At: e.place})
		w.clean = w.clean || late
		return w, ok
	case carries, starts:
		if r.tooWet(&w, w.s.Batch(e.batch)) {
			return w, false
		}
		return w.do(line.Start{Batch: e.batch, To: e.place})
	case puts:
		return w.do(line.Put{Batch: e.batch, To: e.place})
	case sanitizes:
		return w.do(line.StartChore{Kind: line.SanitizeAll, To: e.place})
	case drains:
		return w.do(line.StartChore{Kind: line.ChangeWater, To: e.place})
	case works:
		i := slices.IndexFunc(w.s.Batches, func(b line.Batch) bool { return b.ID == e.batch })
		if w.left[i]--; w.left[i] == 0 {
			w.left[i] = int8(w.s.Batches[i].Trays)
			return w.do(line.Finish{At: e.place})
		}
	}
	return w, true
}

// deeds calls f with everything that a free person could begin, and the command with
// which it begins.
func (r *reference) deeds(w *world, f func(errand, line.Command)) {
	for i := range w.s.Batches {
		r.batch(w, i, f)
	}
	r.chores(w, f)
}

func (w *world) taken(p line.Place) bool {
	return slices.ContainsFunc(w.staff, func(e errand) bool {
		return e.deed != idle && (e.place == p || e.deed == drains && e.place.Station == p.Station)
	})
}

// free calls f with every place of a kind that is free and that nobody is on the way to.
func (r *reference) free(w *world, k line.Kind, f func(p line.Place, st *line.Station)) {
	for _, i := range r.site.StationsOf(k) {
		for slot := range r.site.Stations[i].Slots {
			if p := (line.Place{Station: i, Slot: slot}); w.s.StepAt(p) == nil && !w.taken(p) {
				f(p, &r.site.Stations[i])
				break // the slots of a station are alike
			}
		}
	}
}

func minutes(d time.Duration) int { return int(d / time.Minute) }

func (r *reference) batch(w *world, i int, f func(errand, line.Command)) {
	b := &w.s.Batches[i]
	if slices.ContainsFunc(w.staff, func(e errand) bool { return e.deed != idle && e.batch == b.ID }) {
		return
	}
	next, more := w.s.NextKind(b)
	var here *line.Station
	if b.Fate == line.OnLine {
		here = &r.site.Stations[b.Step.Place.Station]
	}
	until := func(d time.Duration) int { return w.t + minutes(d) }
	tray := func(p line.Place, st *line.Station, c line.Command) {
		f(errand{works, until(st.PerTray), b.ID, p}, c)
	}
	switch {
	case b.Fate == line.OnLine && b.Step.Progress == line.Running:
		if here.Hands == line.HandsThroughout {
			tray(b.Step.Place, here, nil)
		} else if due, _ := b.Step.DueAt(); !due.After(instant(w.t)) {
			hands := here.HandsTime
			if next == line.Pack {
				hands += here.Walk
			}
			f(errand{takes, until(hands), b.ID, b.Step.Place}, nil)
		}
	case b.Fate == line.OnLine && b.Step.Progress == line.Loaded:
		f(errand{starts, until(here.Walk), b.ID, b.Step.Place}, nil)
	case !more:
	case next == line.Chill:
		p := line.Place{Station: r.site.StationsOf(line.Chill)[0]}
		f(errand{carries, until(here.Walk + r.site.Stations[p.Station].HandsTime), b.ID, p}, nil)
	case next == line.Cut || next == line.Pack:
		r.free(w, next, func(p line.Place, st *line.Station) {
			if b.Trays <= st.SlotTrays {
				tray(p, st, line.Start{Batch: b.ID, To: p})
			}
		})
	default:
		r.free(w, next, func(p line.Place, st *line.Station) {
			if b.Trays > st.SlotTrays {
				return
			}
			f(errand{carries, until(here.Walk + st.HandsTime), b.ID, p}, nil)
			if next != line.Wash {
				f(errand{puts, until(here.Walk + st.HandsTime), b.ID, p}, nil)
			}
		})
	}
}

func (r *reference) chores(w *world, f func(errand, line.Command)) {
	s := w.s
	ahead := slices.ContainsFunc(s.Batches, func(b line.Batch) bool {
		if b.Fate == line.OnLine {
			k := r.site.Stations[b.Step.Place.Station].Kind
			return k < line.Dry || k == line.Dry && b.Step.Progress != line.Finished
		}
		return b.Fate == line.Waiting
	})
	tray := func(c line.StartChore, k line.Kind) {
		r.free(w, k, func(p line.Place, st *line.Station) {
			if st.Load != line.NoLoad && r.site.Panel.Loads[st.Load].Alone && ahead {
				return
			}
			c.To, c.Trays = p, 1
			f(errand{doesChore, w.t + minutes(st.PerTray), 0, p}, c)
		})
	}
	if s.Trays.Dirty > 0 {
		tray(line.StartChore{Kind: line.WashTrays}, line.TrayWash)
	}
	if s.Trays.Washed > 0 || s.Unfinished() == 0 && !w.clean {
		r.free(w, line.Sanitize, func(p line.Place, st *line.Station) {
			f(errand{sanitizes, w.t + minutes(st.HandsTime), 0, p}, nil)
		})
	}
	for _, it := range s.Sowing {
		for i := range s.Chores {
			if c := &s.Chores[i]; c.Kind == line.SowTrays && c.Crop == it.Crop {
				it.Trays -= c.Trays
			}
		}
		if it.Trays > 0 && s.Trays.Sanitized > 0 {
			tray(line.StartChore{Kind: line.SowTrays, Crop: it.Crop}, line.Sow)
			break
		}
	}
	for i := range s.Chores {
		c := &s.Chores[i]
		at, ok := c.Step.DueAt()
		st := &r.site.Stations[c.Step.Place.Station]
		if !ok || at.After(instant(w.t)) || w.taken(c.Step.Place) {
			continue
		}
		end := endsSanitizing
		if c.Kind == line.ChangeWater {
			end = refills
		}
		f(errand{end, w.t + minutes(st.HandsTime+st.Walk), 0, c.Step.Place}, nil)
	}
	for _, i := range r.site.StationsOf(line.Wash) {
		st := &r.site.Stations[i]
		p := line.Place{Station: i}
		if w.s.Water[i].Batches > 0 && s.StepAt(p) == nil && !w.taken(p) {
			f(errand{drains, w.t + minutes(st.HandsTime), 0, p}, nil)
		}
	}
}

// key tells worlds apart that go on differently, whatever the time is.
func (r *reference) key(w *world) string {
	b := make([]byte, 0, 96)
	since := func(t time.Time) byte {
		return byte(max(-100, min(100, int(instant(w.t).Sub(t)/time.Minute))) + 101)
	}
	step := func(st *line.Step) {
		b = append(b, byte(st.Place.Station), byte(st.Place.Slot), byte(st.Progress), byte(st.Setting), 0)
		if at, ok := st.DueAt(); ok {
			b[len(b)-1] = since(at)
			if k := r.site.Stations[st.Place.Station].Kind; k != line.Wash && k != line.Spin {
				b[len(b)-1] = min(101, b[len(b)-1]) // how long it has been over is all the same
			}
		}
	}
	for i := range w.s.Batches {
		o := &w.s.Batches[i]
		b = append(b, byte(o.Fate), byte(w.left[i]), 0)
		if !o.WetSince.IsZero() {
			b[len(b)-1] = since(o.WetSince)
		}
		if o.Fate == line.OnLine {
			step(&o.Step)
		}
	}
	var chores []string
	for i := range w.s.Chores {
		c := &w.s.Chores[i]
		n := len(b)
		step(&c.Step)
		chores = append(chores, string(append(b[n:], byte(c.Kind), byte(c.Trays))))
		b = b[:n]
	}
	slices.Sort(chores)
	for _, c := range chores {
		b = append(b, c...)
	}
	var staff []string
	for _, e := range w.staff {
		staff = append(staff, string([]byte{byte(e.deed), byte(max(0, e.until-w.t)), byte(e.batch), byte(e.place.Station), byte(e.place.Slot)}))
	}
	slices.Sort(staff)
	for _, e := range staff {
		b = append(b, e...)
	}
	for i := range w.s.Water {
		b = append(b, byte(w.s.Water[i].Batches))
		for _, c := range w.s.Water[i].Crops {
			b = append(b, c[0])
		}
	}
	t := w.s.Trays
	flags := byte(0)
	for i, on := range []bool{w.late, w.clean, w.s.Clean.IsZero(), w.event} {
		if on {
			flags |= 1 << i
		}
	}
	b = append(append(b, w.passed...), w.began...)
	return string(append(b, byte(t.Dirty), byte(t.Washed), byte(t.Sanitized), byte(t.Sown), flags))
}

// smallDay is a random day of very few batches, on a shed where everything is a whole
// number of minutes and amps are scarce.
func smallDay(seed uint64, batches int) *line.State {
	rnd := rand.New(rand.NewPCG(seed, 0x5a11))
	min := func(from, n int) time.Duration { return time.Duration(from+rnd.IntN(n)) * time.Minute }
	circuits := 1 + rnd.IntN(3)
	panel := power.Panel{VoltageV: 120}
	for i := range circuits {
		panel.Circuits = append(panel.Circuits, power.Circuit{Name: fmt.Sprint("circuit ", i), RatingA: float64(10 + 5*rnd.IntN(2))})
	}
	load := func(name string, amps float64) int {
		panel.Loads = append(panel.Loads, power.Load{Name: name, Circuit: rnd.IntN(circuits), Settings: []power.Setting{{Name: "on", AmpsA: amps}}})
		return len(panel.Loads) - 1
	}
	site := &line.Site{Name: "Small shed", Crew: []string{"Ash", "Birch", "Elm"}[:1+(rnd.IntN(5)+1)/3]}
	add := func(name string, k line.Kind, slots, trays, load int, hands line.Hands) *line.Station {
		site.Stations = append(site.Stations, line.Station{Name: name, Kind: k, Slots: slots, SlotTrays: trays, Load: load, Hands: hands,
			HandsTime: time.Minute, Walk: min(0, 2), DrainLoad: line.NoLoad})
		return &site.Stations[len(site.Stations)-1]
	}
	byHand := func(name string, k line.Kind, slots int, per time.Duration, load int) {
		st := add(name, k, slots, 2, load, line.HandsThroughout)
		st.PerTray, st.Walk = per, min(0, 2)
	}
	byHand("table", line.Cut, 1+rnd.IntN(2), min(1, 3), line.NoLoad)
	tub := add("tub", line.Wash, 1, 2, load("blower", 6), line.HandsBoth)
	if tub.WaterBatches = rnd.IntN(3); tub.WaterBatches > 0 {
		tub.DrainTime = min(1, 3)
	}
	if rnd.IntN(3) == 0 {
		second := add("tub 2", line.Wash, 1, 1+rnd.IntN(2), load("blower 2", 5), line.HandsBoth)
		second.Walk = site.Stations[1].Walk
	}
	add("spinner", line.Spin, 1, 2, load("motor", 6), line.HandsBoth)
	add("rack", line.Dry, 1+rnd.IntN(2), 2, load("fans", 5), line.HandsBoth)
	if rnd.IntN(3) == 0 {
		rack := site.Stations[len(site.Stations)-1]
		shelf := add("shelf", line.Dry, 1, 1+rnd.IntN(2), line.NoLoad, line.HandsBoth)
		shelf.Walk = rack.Walk
	}
	byHand("packing", line.Pack, 1+rnd.IntN(2), min(1, 2), line.NoLoad)
	add("fridge", line.Chill, 9, 2, line.NoLoad, line.HandsStart)
	washer := load("washer", 7)
	panel.Loads[washer].Alone = rnd.IntN(2) == 0
	byHand("tray wash", line.TrayWash, 1+rnd.IntN(2), min(1, 2), washer)
	clean := add("bench", line.Sanitize, 1, 4, line.NoLoad, line.HandsBoth)
	clean.Contact = min(1, 4)
	byHand("sowing", line.Sow, 1+rnd.IntN(3), min(1, 2), line.NoLoad)
	site.Panel = panel
	wet := rnd.IntN(3)
	var book []recipes.Recipe
	sheet := line.Sheet{Date: "2026-12-03", Start: linetest.Morning, Crew: site.Crew}
	for i, crop := range []string{"pea", "radish", "cress"}[:batches] {
		book = append(book, recipes.Recipe{Crop: crop, Revision: 1, BatchTrays: 2, Soak: min(1, 4), Spin: min(1, 4), Dry: min(3, 8), Fan: "on",
			MaxWetWait: []time.Duration{3 * time.Minute, time.Hour, time.Hour}[wet], YieldG: 300, PackageG: 100})
		if trays := 1 + rnd.IntN(4)/3; i < batches {
			sheet.Crops = append(sheet.Crops, line.Demand{Crop: crop, Trays: trays})
		}
	}
	if rnd.IntN(3) == 0 {
		sheet.Apart = [][2]string{{"pea", "radish"}}
	}
	s, _, no := line.Do(line.NewState(site, recipes.NewBook(book...)), line.OpenDay{Sheet: sheet}, linetest.Morning, "")
	if no != nil {
		panic(no)
	}
	return s
}

// TestReference plans small days and compares with the exhaustive search.
// SHEDBELL_SMALL_DAYS asks for more of them.
func TestReference(t *testing.T) {
	days := 20
	if n, err := strconv.Atoi(os.Getenv("SHEDBELL_SMALL_DAYS")); err == nil {
		days, mostStates = n, 1_000_000
	}
	same, proved, gap, large := 0, 0, 0, 0
	for seed := range uint64(days) {
		trace = nil
		s := smallDay(seed, 2)
		p, err := plan.Solve(context.Background(), s, linetest.Morning, plan.Options{Budget: time.Second, Seed: 1})
		if p == nil {
			t.Errorf("day %d: %v", seed, err)
			continue
		}
		got := minutes(p.Finish.Sub(p.Made))
		want, can, whole := shorter(s, got)
		switch {
		case !whole:
			large++
			continue
		case can && p.Optimal:
			t.Errorf("day %d: %d minutes are said to be proved, and the line can do it in %d: %v", seed, got, want, trace)
		case !can:
			same++
		}
		if p.Optimal {
			proved++
		}
		gap += got - want
		t.Logf("day %d: %d minutes planned, proved %v, %d best of %d states", seed, got, p.Optimal, want, states)
	}
	t.Logf("%d days, %d of them too large to be searched: %d as short as can be, %d proved, %d minutes too long in all", days, large, same, proved, gap)
}
