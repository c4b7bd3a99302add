package records

import (
	"slices"
	"time"

	"shedbell/line"
	"shedbell/line/pace"
)

// learnStep tells the learner what a step that is over shows: the pace of work by hand,
// or how late a countdown's end was answered and what drying came to.
func (d *dayFold) learnStep(l *live, st *line.Station, hands, at int64) {
	d.lasted = at
	p := d.r.Pace
	if p == nil {
		return
	}
	u := &l.run
	switch {
	case u.planned == 0:
		d.learnWork(st, l.place, u, l.b.Crop, l.b.Trays, at)
	case u.held || u.hand: // what people or the air alone took
	default:
		if at >= u.due() {
			p.Late(d.day.Date, time.Duration(at-u.due()-hands))
		}
		if r, ok := d.r.book.Recipes.Revision(l.b.Crop, l.b.Revision); ok && st.Kind == line.Dry {
			what, fan := pace.Drying, d.setting(st, u.setting)
			if d.r.slower(l.place) > 1 {
				what = pace.SlowFans
			}
			p.Other(d.day.Date, what, st.Name, fan, time.Duration(u.planned), r.DryAt(fan))
		}
	}
}

// learnWork tells the learner of work by hand from a true start to a true end.
func (d *dayFold) learnWork(st *line.Station, at line.Place, u *run, crop string, trays int, now int64) {
	if st.Hands != line.HandsThroughout || u.held || u.paused > 0 {
		return
	}
	took := time.Duration(float64(now-u.began-d.interrupted(u, now)) / d.r.slower(at))
	w := pace.Work{Date: d.day.Date, Station: st.PaceName(), Kind: st.Kind, Crop: crop, Person: d.r.name(u.by), Trays: trays,
		Took: took, File: st.PerTray * time.Duration(trays)}
	if d.r.Pace.Add(w) && d.r.Detail != nil {
		d.r.Detail.Times = append(d.r.Detail.Times, w)
	}
}

// learnKept tells the learner of work by hand that was written down elsewhere.
func (r *Reader) learnKept(e line.TimesKept) {
	if r.Pace == nil {
		return
	}
	for i := range e.Times {
		t := &e.Times[i]
		st, ok := r.site.PacedBy(t.Station)
		if !ok {
			continue // the line is another one now
		}
		w := pace.Work{Date: t.Date, Station: t.Station, Kind: st.Kind, Crop: t.Crop, Person: t.Person, Trays: t.Trays,
			Took: t.Took, File: st.PerTray * time.Duration(t.Trays)}
		if r.Pace.Add(w) && r.Detail != nil {
			r.Detail.Times = append(r.Detail.Times, w)
		}
	}
}

// setDown is how long it takes to leave the work in hand for an errand, as a rehearsal has
// it: what is learned goes back into one, which adds that time again.
const setDown = int64(15 * time.Second)

// interrupted is how long somebody served machines between the start and the end of work
// by hand. Where the records name fewer people than there are, nobody knows who it was.
func (d *dayFold) interrupted(u *run, now int64) int64 {
	if d.r.Pace.Named(u.by) < d.day.Crew {
		return 0
	}
	var during []span
	for _, s := range slices.Backward(d.person(u.by).errands) {
		if s.to <= u.began {
			break
		}
		if s.from >= u.began && s.to < now {
			during = append(during, span{max(u.began, s.from-setDown), s.to})
		}
	}
	return int64(union(during).total())
}

// longestWalk is how long one who carries a batch on may take for it to be a walk.
const longestWalk = int64(5 * time.Minute)

// learnWalk tells the learner how long somebody took to carry a batch on who ended its
// step before.
func (d *dayFold) learnWalk(l *live, row int, at, hands int64, by string) {
	from := d.atRow(l.where)
	if d.r.Pace == nil || from == nil || l.where == row || l.since == 0 || by != l.by {
		return
	}
	if took := at - hands - l.since; took > 0 && at-l.since < longestWalk {
		d.r.Pace.Other(d.day.Date, pace.Walk, from.Name, "", time.Duration(took), from.Walk)
	}
}

// learnChore tells the learner of a chore that is over.
func (d *dayFold) learnChore(c *choreRun, at int64) {
	d.lasted = at
	st := d.handled(c.row, c.e.ByHand)
	switch p := d.r.Pace; {
	case p == nil:
	case c.e.Kind == line.ChangeWater:
		p.Other(d.day.Date, pace.Water, st.Name, "", time.Duration(at-c.run.began), time.Duration(c.run.planned)+st.HandsTime)
	case c.hands:
		d.learnWork(st, c.e.At, &c.run, c.e.Crop, c.e.Trays, at)
	}
}

// setting is the name of a setting of a station's load.
func (d *dayFold) setting(st *line.Station, i int) string {
	if st.Load == line.NoLoad || st.Load >= len(d.r.site.Panel.Loads) {
		return ""
	}
	if all := d.r.site.Panel.Loads[st.Load].Settings; i >= 0 && i < len(all) {
		return all[i].Name
	}
	return ""
}

// slower is by what factor the troubles reported at a place slow it, as line.State has it.
func (r *Reader) slower(at line.Place) float64 {
	factor := 1.0
	for _, i := range r.open {
		if t := &r.book.Troubles[i]; t.Effect == line.EffectSlow && t.covers(at) {
			factor *= 1 + float64(t.SlowPercent)/100
		}
	}
	return factor
}

// promise is a forecast that was kept on a day.
func promise(e line.Promised, at time.Time, date string) pace.Promise {
	p := pace.Promise{Date: date, At: at, P50: e.P50, P90: e.P90}
	for _, s := range e.Seconds {
		p.Quantile = append(p.Quantile, float64(s)/60)
	}
	return p
}
