package records

import (
	"slices"
	"time"

	"shedbell/line"
)

// dayFold is a day being read.
type dayFold struct {
	r     *Reader
	day   Day
	live  map[int]*live
	order []*live
	chore map[int]*choreRun
	at    map[line.Place]*live

	row  []int           // of each station of the line, its row in day.Stations
	rows []*line.Station // of each row, the station as it was laid last

	hands  []span              // all work by hand
	labour []labour            // that ties up throughout, not settled yet
	people map[string]*persons // by name
	names  []string            // in order of appearance
	crew   []level

	crewNow  []string // on the line since crewAt, in their hours
	hoursNow []line.Hours
	crewAt   int64

	waits   []wait
	changes []change // of what holds a batch
	crowded uint64   // loads that kept each other off
	now     int64    // of the record that is taken

	power  []span
	block  int64 // since when a start was refused for amps; 0: none
	alarms []alarmRun
	lasted int64 // when the last step or chore ended
}

// live is a batch on its way.
type live struct {
	b     Batch
	began int64 // its account begins; 0: not cut yet
	place line.Place
	where int // row of the station that it is at or was at last; -1: none
	run   run
	since int64 // it waits since; 0: it does not
	wet   bool
	over  bool
	by    string    // who ended its last step
	at    []Station // what it had of each station, where not all batches are kept
}

// run is a step under way.
type run struct {
	on      bool
	held    bool
	from    int64 // of the present stretch
	start   int64
	planned int64
	paused  int64
	stopped int64
	load    int
	setting int // of its load
	by      string
	began   int64 // of the whole step
	idle    int64 // that it was held, all together
	hand    bool  // people stand in for its machine
}

// due is the end of the countdown; 0 for work by hand.
func (u *run) due() int64 {
	if u.planned == 0 {
		return 0
	}
	return u.start + u.planned + u.paused
}

type choreRun struct {
	e     line.ChoreStarted
	row   int // of its station
	run   run
	hands bool
}

// wait is a stretch in which a batch waited for a station.
type wait struct {
	b        *live
	row      int // of the station waited for
	own      int // of the station that it waits at; -1: none
	from, to int64
	wet      bool
	out      bool  // it stands in a machine that is done
	load     int   // that its next step needs
	setting  int   // of it
	walk     int64 // at its end, before the hands
	hands    int64 // at its end

	byPower, byHands int64 // of it
}

// free is until when something held it: the walk and the hands at its end are its own.
func (w *wait) free() int64 { return max(w.from, w.to-w.hands-w.walk) }

func (r *Reader) openDay(e line.DayOpened, rec line.Record) {
	if r.day != nil {
		r.endDay(rec.At, true)
	}
	d := r.newDay()
	d.day = Day{Date: r.name(e.Sheet.Date), Opened: rec.At, Asked: e.Sheet.Trays(), sheet: e.Sheet, site: r.site, recipes: r.book.Recipes}
	for _, c := range e.Sheet.Crops {
		if !c.Due.IsZero() && (d.day.DueAt.IsZero() || c.Due.Before(d.day.DueAt)) {
			d.day.DueAt = c.Due
		}
	}
	d.lay(r.site)
	r.day = d
	clear(r.water) // a day begins with fresh water
	crew := e.Sheet.Crew
	if len(crew) == 0 {
		crew = r.site.Crew
	}
	d.crewIs(crew, e.Sheet.Hours, ns(rec.At))
	d.add(e.Batches)
}

// lay gives the stations of a line their rows in the day's account. One that the day
// had under its name before goes on in its row.
func (d *dayFold) lay(site *line.Site) {
	d.row = make([]int, len(site.Stations))
	for i := range site.Stations {
		st := &site.Stations[i]
		row := slices.IndexFunc(d.rows, func(s *line.Station) bool { return s.Name == st.Name && s.Kind == st.Kind })
		if row < 0 || slices.Contains(d.row[:i], row) {
			row = len(d.rows)
			d.rows = append(d.rows, st)
			d.day.Stations = append(d.day.Stations, Station{Name: st.Name, Kind: st.Kind})
		}
		d.row[i], d.rows[row] = row, st
		d.day.Stations[row].Slots = max(d.day.Stations[row].Slots, st.Slots)
	}
}

// newDay is an empty account. The lists of the day before, which nothing points to
// any more, are filled again.
func (r *Reader) newDay() *dayFold {
	d := &dayFold{r: r, live: map[int]*live{}, chore: map[int]*choreRun{}, at: map[line.Place]*live{}, people: map[string]*persons{}}
	if old := r.spare; old != nil {
		clear(old.waits)
		clear(old.labour)
		d.hands, d.labour, d.waits, d.power, d.crew = old.hands[:0], old.labour[:0], old.waits[:0], old.power[:0], old.crew[:0]
		d.changes = old.changes[:0]
		for _, name := range old.names {
			p := old.people[name]
			r.idle = append(r.idle, &persons{hands: p.hands[:0], walk: p.walk[:0], here: p.here[:0], work: p.work[:0], errands: p.errands[:0]})
		}
		r.spare = nil
	}
	return d
}

func (d *dayFold) person(name string) *persons {
	p, ok := d.people[name]
	if !ok {
		p = &persons{}
		if n := len(d.r.idle); n > 0 {
			p, d.r.idle = d.r.idle[n-1], d.r.idle[:n-1]
		}
		d.people[name] = p
		d.names = append(d.names, name)
	}
	return p
}

func (d *dayFold) add(made []line.NewBatch) {
	for _, n := range made {
		d.addLive(&live{b: Batch{ID: n.ID, Date: d.day.Date, Crop: d.r.name(n.Crop), No: n.No, Trays: n.Trays}, place: line.Nowhere, where: -1})
	}
}

func (d *dayFold) addLive(l *live) {
	d.live[l.b.ID] = l
	d.order = append(d.order, l)
}

// station returns a station of the line and its row, or nil when the record does not
// fit the line.
func (d *dayFold) station(i int) (row int, st *line.Station) {
	if i < 0 || i >= len(d.row) {
		return -1, nil
	}
	return d.row[i], d.rows[d.row[i]]
}

// atRow is the station of a row, or nil.
func (d *dayFold) atRow(row int) *line.Station {
	if row < 0 || row >= len(d.rows) {
		return nil
	}
	return d.rows[row]
}

func (d *dayFold) take(rec line.Record) {
	at := ns(rec.At)
	d.now = at
	d.seeTo(rec.Event, at)
	switch e := rec.Event.(type) {
	case line.StepStarted:
		d.startStep(e, rec.By, at)
	case line.StepFinished:
		d.finishStep(e, rec, at)
	case line.BatchLoaded:
		if l := d.live[e.Batch]; l != nil {
			d.move(l, e.At)
		}
	case line.BatchCooled:
		d.cool(e, rec, at)
	case line.StepAdjusted:
		if u := d.runAt(e.At); u != nil && u.on {
			u.planned += int64(e.By)
		}
	case line.StepHeld:
		d.hold(e.At, at)
	case line.StepResumed:
		d.resume(e, at)
	case line.ChoreStarted:
		d.startChore(e, rec.By, at)
	case line.ChoreFinished:
		d.finishChore(e, rec, at)
	case line.AlarmRaised, line.AlarmsAcked, line.AlarmShelved:
		d.takeAlarm(rec, at)
	case line.CrewChanged:
		d.crewIs(e.Names, slices.DeleteFunc(slices.Clone(d.hoursNow), func(h line.Hours) bool { return !slices.Contains(e.Names, h.Name) }), at)
	case line.HoursSet:
		d.hoursAre(e, at)
	case line.WorkGivenOver:
		d.giveOver(e, at)
	default:
		d.takePower(rec.Event, at)
		d.takeBatch(rec.Event, at)
	}
}

func (d *dayFold) takePower(event line.Event, at int64) {
	switch e := event.(type) {
	case line.LoadSwitched:
		if e.On {
			d.powerFound(at)
		}
	case line.Refused:
		if d.block == 0 && isPower(e.Rule) {
			d.block = at
		}
	case line.BreakerTripped:
		d.trip(e.Circuit, asOf(e.AsOf, at))
	case line.BreakerReset, line.PowerBack:
		d.powerFound(at)
	case line.PowerLost:
		d.trip(e.Circuit, asOf(e.AsOf, at))
		for c := range d.r.site.Panel.Circuits {
			if e.Everywhere && c != e.Circuit {
				d.trip(c, asOf(e.AsOf, at))
			}
		}
	case line.FoundOn:
		d.goOn(e.Load, asOf(e.AsOf, at))
		d.powerFound(at)
	case line.FoundOff:
		d.stopLoads(func(load int) bool { return load == e.Load }, asOf(e.AsOf, at))
	case line.Unplugged:
		d.stopLoads(func(load int) bool { return load == e.Load }, asOf(e.AsOf, at))
	case line.WatchLost:
		d.interrupt(min(at, ns(e.LastBeat)), at)
	}
}

// asOf is since when a fact was true that was told at an instant.
func asOf(since time.Time, told int64) int64 {
	if since.IsZero() {
		return told
	}
	return min(ns(since), told)
}

func (d *dayFold) takeBatch(event line.Event, at int64) {
	switch e := event.(type) {
	case line.BatchesAdded:
		d.add(e.Batches)
		for _, n := range e.Batches {
			d.day.Asked += n.Trays
		}
	case line.BatchSplit:
		d.split(e, at)
	case line.BatchMerged:
		d.merge(e, at)
	case line.TraysFound, line.TraysLost, line.BatchMoved, line.StepSkipped:
		d.takeFact(event, at)
	case line.BatchScrapped:
		if l := d.live[e.Batch]; l != nil {
			d.stop(l, at)
			d.leave(l, at)
			l.b.Fate = line.Scrapped
		}
	}
}

// takeFact takes what people found out about a batch.
func (d *dayFold) takeFact(event line.Event, at int64) {
	switch e := event.(type) {
	case line.TraysFound:
		if l := d.live[e.Batch]; l != nil {
			l.b.Trays = e.Trays
		}
	case line.TraysLost:
		if l := d.live[e.Batch]; l != nil && e.Trays < l.b.Trays {
			part := float64(e.Trays) / float64(l.b.Trays)
			l.b.NetG -= l.b.NetG * part
			l.b.Packages -= int(float64(l.b.Packages)*part + 0.5)
			if l.b.Lot != "" {
				l.b.PackagesBy, l.b.NetBy = line.Assumed, line.Assumed
			}
			l.b.Trays, l.b.Lost = l.b.Trays-e.Trays, l.b.Lost+e.Trays
		}
	case line.BatchMoved:
		if l := d.live[e.Batch]; l != nil {
			from, other := l.place, d.at[e.At]
			d.move(l, e.At)
			l.where = d.rowOf(e.At)
			if other != nil && other != l {
				other.place, other.where = from, d.rowOf(from)
				d.at[from] = other
			}
		}
	case line.StepSkipped:
		if l := d.live[e.Batch]; l != nil && l.run.on {
			d.stop(l, at)
			l.run = run{}
		}
	}
}

// lineRules are the refusals that have nothing to do with amps.
var lineRules = []string{line.RuleOrder, line.RuleOccupied, line.RuleCapacity, line.RuleApart, line.RuleWater,
	line.RuleContact, line.RuleBroken, line.RuleUnknown, line.RuleDay, line.RuleValue, line.RuleNothing}

func isPower(rule string) bool { return rule != "" && !slices.Contains(lineRules, rule) }

// longestBlock is how long a refusal for amps is taken for the cause of a wait
// when nothing was started afterwards.
const longestBlock = int64(30 * time.Minute)

// powerFound ends the wait for amps: something that needs them has started.
func (d *dayFold) powerFound(at int64) {
	if d.block != 0 {
		d.power = append(d.power, span{d.block, min(at, d.block+longestBlock)})
		d.block = 0
	}
}

func (d *dayFold) runAt(p line.Place) *run {
	if l := d.at[p]; l != nil {
		return &l.run
	}
	for _, c := range d.chore {
		if c.e.At == p {
			return &c.run
		}
	}
	return nil
}

func (d *dayFold) move(l *live, to line.Place) {
	if d.at[l.place] == l {
		delete(d.at, l.place)
	}
	if row := d.rowOf(l.place); row >= 0 {
		d.changes = append(d.changes, change{at: d.now, what: slotChanged, i: int32(row), n: -1})
	}
	l.place = to
	if to != line.Nowhere {
		d.at[to] = l
	}
	if row := d.rowOf(to); row >= 0 {
		d.changes = append(d.changes, change{at: d.now, what: slotChanged, i: int32(row), n: 1})
	}
}
