package plan_test

import (
	"fmt"
	"slices"
	"time"

	"shedbell/line"
	"shedbell/line/plan"
	"shedbell/power"
)

// checkPlan lists everything that a plan does wrong; none means that it can be done. It
// looks only at the plan's steps and tasks, the state that the plan was made from and the
// site, and shares no code with the planner.
func checkPlan(s *line.State, p *plan.Plan) []string {
	c := &checker{s: s, p: p}
	c.slots()
	c.hands()
	c.ways()
	c.amps()
	c.fans()
	c.water()
	c.chores()
	c.finish()
	return c.bad
}

type checker struct {
	s   *line.State
	p   *plan.Plan
	bad []string
}

func (c *checker) fail(format string, args ...any) {
	c.bad = append(c.bad, fmt.Sprintf(format, args...))
}

func (c *checker) station(st *plan.Step) *line.Station { return &c.s.Site.Stations[st.Place.Station] }

// slots: one thing at a time in each, none of them out of use or too small.
func (c *checker) slots() {
	for i := range c.p.Steps {
		a := &c.p.Steps[i]
		if a.Kind == line.Chill {
			continue
		}
		st := c.station(a)
		if a.Place.Slot < 0 || a.Place.Slot >= st.Slots || a.Batch != 0 && a.Trays > st.SlotTrays {
			c.fail("%s does not fit into %s", a.Name, st.Name)
		}
		b := c.s.Batch(a.Batch)
		stands := b != nil && b.Fate == line.OnLine && b.Step.Place == a.Place // people go on with it from there
		if !a.Running && !stands && c.s.IsBroken(a.Place) {
			c.fail("%s goes into %s, which is out of use", a.Name, st.Name)
		}
		whole := a.Batch == 0 && a.Chore == line.ChangeWater
		for n := range c.p.Steps[:i] {
			b := &c.p.Steps[n]
			same := a.Place == b.Place || a.Place.Station == b.Place.Station && (whole || b.Batch == 0 && b.Chore == line.ChangeWater)
			if b.Kind != line.Chill && same && a.Enters.Before(b.Leaves) && b.Enters.Before(a.Leaves) {
				c.fail("%s and %s are both in %s at %s", a.Name, b.Name, st.Name, a.Enters.Format("15:04:05"))
			}
		}
	}
	for i := range c.s.Batches { // what only stands somewhere when the plan is made
		b := &c.s.Batches[i]
		if b.Fate != line.OnLine || b.Step.Progress != line.Finished {
			continue
		}
		next := slices.IndexFunc(c.p.Steps, func(st plan.Step) bool { return st.Batch == b.ID })
		for n := range c.p.Steps {
			st := &c.p.Steps[n]
			if next >= 0 && st.Batch != b.ID && st.Place == b.Step.Place && st.Kind != line.Chill && st.Enters.Before(c.carried(next)) {
				c.fail("%s enters %s while %s still stands there", st.Name, c.station(st).Name, b.Name())
			}
		}
	}
}

// carried is when what comes to a step is there.
func (c *checker) carried(step int) time.Time {
	at := c.p.Steps[step].Start
	for _, t := range c.p.Hands {
		if t.Step == step && t.What == "carry" {
			at = t.End
		}
	}
	return at
}

// hands: one thing at a time for each person.
func (c *checker) hands() {
	crew := max(1, len(c.s.Crew))
	for i, a := range c.p.Hands {
		if a.Who < 0 || a.Who >= crew {
			c.fail("there is no person %d", a.Who)
		}
		for _, b := range c.p.Hands[:i] {
			if a.Who == b.Who && a.Start.Before(b.End) && b.Start.Before(a.End) {
				c.fail("person %d does two things at %s", a.Who, a.Start.Format("15:04:05"))
			}
		}
	}
}

// ways: every batch goes through all that it needs, for as long as it needs, and
// does not wait wet too long.
func (c *checker) ways() {
	for i := range c.s.Batches {
		b := &c.s.Batches[i]
		if b.Fate != line.Waiting && b.Fate != line.OnLine {
			continue
		}
		var way []plan.Step
		var index []int
		for n := range c.p.Steps {
			if c.p.Steps[n].Batch == b.ID {
				way, index = append(way, c.p.Steps[n]), append(index, n)
			}
		}
		c.way(b, way, index)
	}
}

func (c *checker) way(b *line.Batch, way []plan.Step, index []int) {
	r, _ := c.s.Recipe(b.Crop)
	want := map[line.Kind]time.Duration{line.Wash: r.WashTime(), line.Spin: r.Spin, line.Dry: r.Dry}
	k := line.Cut
	if b.Fate == line.OnLine {
		if k = c.s.Site.Stations[b.Step.Place.Station].Kind; b.Step.Progress == line.Finished {
			k++
		}
	}
	for n := range way {
		st := &way[n]
		if st.Kind != k {
			c.fail("%s is at %s and should be at %s", b.Name(), st.Kind, k)
			return
		}
		k++
		if st.Start.Before(c.p.Made) && !st.Running || st.Ready.Before(st.Start) || st.Off.Before(st.Ready) {
			c.fail("%s at %s: its instants are out of order", b.Name(), st.Kind)
		}
		if fresh := b.Fate == line.Waiting || n > 0; fresh {
			load := c.station(st).Load
			if st.Kind == line.Dry && load != line.NoLoad {
				want[line.Dry] = c.s.DryTime(&r, c.s.Site.Panel.Loads[load].Settings[st.Setting].Name, c.p.Made)
			}
			if got := st.Ready.Sub(st.Start); got < want[st.Kind] {
				c.fail("%s at %s for %s instead of %s", b.Name(), st.Kind, got, want[st.Kind])
			}
			c.work(st, index[n], n > 0)
		}
		if n+1 < len(way) {
			next := &way[n+1]
			if next.Start.Before(st.Off) && next.Start.Before(st.Ready) || next.Start.Before(st.Ready) {
				c.fail("%s goes on to %s before %s is over", b.Name(), next.Kind, st.Kind)
			}
			wet := st.Kind == line.Wash || st.Kind == line.Spin
			if wait := next.Start.Sub(st.Ready); wet && !st.Running && r.MaxWetWait > 0 && wait > r.MaxWetWait {
				c.fail("%s waits wet for %s after %s", b.Name(), wait, st.Kind)
			}
		}
	}
	if k != line.Chill+1 {
		c.fail("%s does not get into the cold", b.Name())
	}
}

// work: enough of it by hand, and nobody works on a step outside its stay.
func (c *checker) work(st *plan.Step, index int, carried bool) {
	var worked, brought time.Duration
	for _, t := range c.p.Hands {
		if t.Step != index {
			continue
		}
		switch t.What {
		case "work":
			worked += t.End.Sub(t.Start)
			if t.Start.Before(st.Start) || t.End.After(st.Ready) {
				c.fail("work on %s at %s outside its time", st.Name, st.Kind)
			}
		case "start":
			if !t.End.Equal(st.Start) || !t.Start.Equal(st.Stands) || t.End.Sub(t.Start) < c.station(st).Walk {
				c.fail("%s stands at %s until %s, is started from %s to %s and runs from %s", st.Name, st.Kind, st.Stands, t.Start, t.End, st.Start)
			}
		case "carry":
			brought += t.End.Sub(t.Start)
			if !t.End.Equal(st.Start) && (st.Stands.IsZero() || t.End.After(st.Stands)) {
				c.fail("%s is carried to %s until %s and starts at %s", st.Name, st.Kind, t.End, st.Start)
			}
		}
	}
	if need := handTime(c.s, st.Place.Station, st.Trays); worked < need {
		c.fail("%s of work on %s at %s instead of %s", worked, st.Name, st.Kind, need)
	}
	if need := c.s.Site.HandsAtStart(st.Place.Station); carried && brought < need {
		c.fail("%s to carry %s to %s instead of at least %s", brought, st.Name, st.Kind, need)
	}
}

// amps: no circuit above its limit at any second, and what runs alone does.
func (c *checker) amps() {
	panel := &c.s.Site.Panel
	var at []time.Time
	for i := range c.p.Steps {
		at = append(at, c.p.Steps[i].Start, c.p.Steps[i].Off)
	}
	slices.SortFunc(at, time.Time.Compare)
	for _, t := range slices.CompactFunc(at, time.Time.Equal) {
		ps := power.NewState(panel)
		for l := range panel.Loads {
			if panel.Loads[l].StaysOn {
				ps = ps.Switched(panel, l, power.Status{On: true, Since: t}, t)
			}
		}
		alone, others := "", ""
		for i := range c.p.Steps {
			st := &c.p.Steps[i]
			load := c.station(st).Load
			if st.Batch == 0 && st.Chore == line.ChangeWater {
				load = c.station(st).DrainLoad
			}
			if load == line.NoLoad || t.Before(st.Start) || !t.Before(st.Off) {
				continue
			}
			ps = ps.Switched(panel, load, power.Status{On: true, Setting: st.Setting, Since: t}, t)
			if panel.Loads[load].Alone {
				alone = panel.Loads[load].Name
			} else {
				others = panel.Loads[load].Name
			}
		}
		if alone != "" && others != "" {
			c.fail("%s runs beside %s at %s", alone, others, t.Format("15:04:05"))
		}
		for k := range panel.Circuits {
			if a := panel.Amps(ps, k, t); a > panel.LimitA(k)+1e-9 {
				c.fail("%q carries %.1f A at %s", panel.Circuits[k].Name, a, t.Format("15:04:05"))
			}
		}
	}
}

// fans: a bank runs at one setting at a time, at the one that is switched on while
// it serves greens, and otherwise at one that its station or a recipe of the day
// asks for, or a lower one.
func (c *checker) fans() {
	for i := range c.p.Steps {
		a := &c.p.Steps[i]
		load := c.station(a).Load
		if a.Kind != line.Dry || load == line.NoLoad {
			continue
		}
		for n := range c.p.Steps[:i] {
			b := &c.p.Steps[n]
			if b.Kind == line.Dry && c.station(b).Load == load && b.Setting != a.Setting && a.Start.Before(b.Off) && b.Start.Before(a.Off) {
				c.fail("%s and %s dry on one bank at two settings", a.Name, b.Name)
			}
		}
		if on := c.s.Power.Loads[load]; a.Running && on.On && c.s.LoadUsers(load, line.Nowhere) > 0 && a.Setting != on.Setting {
			c.fail("%s dries at another setting than its fans run at", a.Name)
		}
		if !a.Running && !c.asked(a, load) {
			c.fail("nobody asks for the fans' setting with which %s dries", a.Name)
		}
	}
}

func (c *checker) asked(a *plan.Step, load int) bool {
	settings := c.s.Site.Panel.Loads[load].Settings
	if fixed := c.station(a).Setting; fixed != "" {
		return settings[a.Setting].Name == fixed
	}
	for i := range c.s.Batches {
		if step := &c.s.Batches[i].Step; step.Active() && step.Load == load && (step.Setting == a.Setting || c.s.Power.Loads[load].Setting == a.Setting) {
			return true // what runs already may be joined
		}
		r, _ := c.s.Recipe(c.s.Batches[i].Crop)
		for _, set := range settings {
			if set.Name == r.Fan && settings[a.Setting].AmpsA <= set.AmpsA {
				return true
			}
		}
	}
	return len(settings) == 1
}

// water: never used for longer than it may be, or for crops to be kept apart.
func (c *checker) water() {
	for i := range c.s.Site.Stations {
		st := &c.s.Site.Stations[i]
		if st.Kind != line.Wash {
			continue
		}
		n, crops := c.s.Water[i].Batches, c.s.Water[i].Crops
		for k := range c.p.Steps {
			w := &c.p.Steps[k]
			if w.Place.Station != i || w.Running && w.Batch != 0 {
				continue
			}
			if w.Batch == 0 {
				n, crops = 0, nil
				continue
			}
			if b := c.s.Batch(w.Batch); b.Fate == line.OnLine && b.Step.Place.Station == i && b.Step.Progress != line.Loaded {
				continue // counted when it started
			}
			crop := c.s.Batch(w.Batch).Crop
			if n++; st.WaterBatches > 0 && n > st.WaterBatches {
				c.fail("%s is batch %d in the same water", w.Name, n)
			}
			for _, o := range crops {
				if c.s.Sheet.KeptApart(o, crop) {
					c.fail("%s is washed in the water of %s", w.Name, o)
				}
			}
			crops = append(slices.Clone(crops), crop)
		}
	}
}

// chores: no tray is washed, sanitized or sown before it is ready for that, the surfaces
// are sanitized after the greens, and as long as it takes.
func (c *checker) chores() {
	var cold time.Time
	surfaces := c.s.Clean.IsZero()
	trays := map[line.ChoreKind]int{}
	for i := range c.p.Steps {
		st := &c.p.Steps[i]
		if st.Batch != 0 {
			cold, surfaces = latest(cold, st.Leaves), true
			continue
		}
		trays[st.Chore] += st.Trays
	}
	for i := range c.p.Steps {
		st := &c.p.Steps[i]
		if st.Batch != 0 || st.Chore == line.ChangeWater {
			continue
		}
		if st.Chore == line.SanitizeAll {
			if st.Ready.Sub(st.Start) < c.station(st).Contact && !st.Running {
				c.fail("the sanitizer works for %s only", st.Ready.Sub(st.Start))
			}
			surfaces = surfaces && st.Enters.Before(cold)
		}
		c.ready(st)
	}
	if surfaces {
		c.fail("the surfaces are not sanitized after the greens")
	}
	c.counts(trays)
}

// ready: at no instant are more trays worked on than have come through what is before.
func (c *checker) ready(st *plan.Step) {
	have := map[line.ChoreKind]int{line.WashTrays: c.s.Trays.Dirty, line.SanitizeAll: c.s.Trays.Washed, line.SowTrays: c.s.Trays.Sanitized}[st.Chore]
	taken := 0
	for i := range c.p.Steps {
		o := &c.p.Steps[i]
		switch {
		case o.Batch == 0 && o.Chore == st.Chore && !o.Running && !o.Start.After(st.Start):
			if worked := st.Start.Sub(o.Start); c.station(o).Hands == line.HandsThroughout {
				per := c.station(o).PerTray
				taken += min(o.Trays, 1+int(worked/max(1, per))) // one tray after the other
				continue
			}
			taken += o.Trays
		case st.Chore == line.WashTrays && o.Batch != 0 && o.Kind == line.Cut && !o.Ready.After(st.Start):
			have += o.Trays
		case o.Batch == 0 && (st.Chore == line.SanitizeAll && o.Chore == line.WashTrays || st.Chore == line.SowTrays && o.Chore == line.SanitizeAll) && !o.Leaves.After(st.Start):
			have += o.Trays
		}
	}
	if taken > have && !st.Running {
		c.fail("%s of %d trays at %s, and %d are ready", st.Name, taken, st.Start.Format("15:04:05"), have)
	}
}

func (c *checker) counts(trays map[line.ChoreKind]int) {
	dirty := c.s.Trays.Dirty
	for i := range c.s.Batches {
		b := &c.s.Batches[i]
		uncut := b.Fate == line.Waiting || b.Fate == line.OnLine && b.Step.Progress != line.Finished && c.s.Site.Stations[b.Step.Place.Station].Kind == line.Cut
		if uncut {
			dirty += b.Trays
		}
	}
	for i := range c.s.Chores {
		if c.s.Chores[i].Kind == line.WashTrays {
			dirty += c.s.Chores[i].Trays
		}
	}
	if trays[line.WashTrays] != dirty {
		c.fail("%d trays are washed and %d are or get dirty", trays[line.WashTrays], dirty)
	}
}

func (c *checker) finish() {
	var last time.Time
	for _, t := range c.p.Hands {
		last = latest(last, t.End)
	}
	for i := range c.p.Steps {
		last = latest(last, c.p.Steps[i].Ready)
	}
	if len(c.p.Steps) > 0 && !last.Equal(c.p.Finish) {
		c.fail("the day is said to end at %s and ends at %s", c.p.Finish, last)
	}
	if c.p.LowerBound.After(c.p.Finish) {
		c.fail("the bound %s is after the end %s", c.p.LowerBound, c.p.Finish)
	}
}

func latest(a, b time.Time) time.Time {
	if b.After(a) {
		return b
	}
	return a
}

// handTime is the work by hand as the line file has it.
func handTime(s *line.State, station, trays int) time.Duration {
	if st := &s.Site.Stations[station]; st.Hands == line.HandsThroughout {
		return time.Duration(trays) * st.PerTray
	}
	return 0
}
