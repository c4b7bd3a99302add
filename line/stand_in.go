package line

import (
	"slices"
	"strings"
	"time"

	"shedbell/line/say"
	"shedbell/recipes"
)

// What people do while a station's machine is out of use: its step by hand at the same
// place, which ties them up throughout and takes longer; the step at another station; no
// step, where the recipe allows that. Greens dry without fans, and the contact time of a
// sanitizer stays what it is.

// usualByHand is the time by hand for a tray where the line file does not say: common
// practice, no source. What is hand work anyway takes half as long again.
var usualByHand = map[Kind]time.Duration{Wash: 90 * time.Second, Spin: 3 * time.Minute}

// ByHand is the station as it works while people stand in for its machine.
func (st *Station) ByHand() Station {
	out := *st
	out.Load, out.DrainLoad, out.Setting, out.StandIn = NoLoad, NoLoad, "", true
	switch st.Kind {
	case Dry:
		out.Setting = recipes.FanOff
	case Cut, Wash, Spin, Pack, TrayWash, Sow:
		out.Hands, out.HandsTime, out.PerTray = HandsThroughout, 0, st.ByHandPer
		if out.PerTray == 0 {
			out.PerTray = max(usualByHand[st.Kind], st.PerTray*3/2)
		}
	}
	return out
}

// StationOf is the station of a step, as the step is done there.
func (s *Site) StationOf(step *Step) *Station {
	st := &s.Stations[step.Place.Station]
	if step.ByHand {
		hand := st.ByHand()
		return &hand
	}
	return st
}

// stationAt is the station of a place as its step is done, or would be: by hand where it
// goes on so, or where it is out of use.
func (s *State) stationAt(at Place) *Station {
	standIn := s.IsBroken(at) || at.Slot == WholeStation && s.IsBroken(Place{at.Station, 0})
	if step := s.StepAt(at); step != nil {
		standIn = step.ByHand || standIn && step.Progress != Running
	}
	return s.Site.StationOf(&Step{Place: at, ByHand: standIn})
}

// PaceName is the name under which the pace of the work at the station is kept: people
// who stand in for its machine have their own.
func (st *Station) PaceName() string {
	if st.StandIn {
		return st.Name + " by hand"
	}
	return st.Name
}

// kindOut says whether a kind of station is there and none of its slots can be used.
func (s *State) kindOut(k Kind) bool {
	found := false
	for i := range s.Site.Stations {
		if s.Site.Stations[i].Kind != k {
			continue
		}
		found = true
		for slot := range s.Site.Stations[i].Slots {
			if !s.IsBroken(Place{i, slot}) {
				return false
			}
		}
	}
	return found
}

// WithStandIns is the line as it goes on although machines are out of use: where no
// station of a kind can be used, people stand in. It is s itself as long as there is one of
// each.
func (s *State) WithStandIns() *State {
	if len(s.Broken) == 0 {
		return s
	}
	out := s
	for k := Cut; k < kindCount; k++ {
		if !s.kindOut(k) {
			continue
		}
		if out == s {
			c, site := *s, *s.Site
			site.Stations, c.Site = slices.Clone(site.Stations), &site
			c.Broken = slices.Clone(s.Broken)
			out = &c
		}
		for _, i := range s.Site.StationsOf(k) {
			out.Site.Stations[i] = s.Site.Stations[i].ByHand()
			out.Broken = slices.DeleteFunc(out.Broken, func(p Place) bool { return p.Station == i })
		}
	}
	return out
}

// OutOfUse is the trouble that keeps a slot out of use. What journals of earlier
// versions took out of use has no reason here.
func (s *State) OutOfUse(p Place) (Trouble, bool) {
	for i := range s.Backlog {
		if s.Backlog[i].holds(p) {
			return s.Backlog[i], true
		}
	}
	return Trouble{}, s.IsBroken(p)
}

// handPlace is where people would stand in for a kind of station; ok is false where all
// its places hold something.
func (s *State) handPlace(k Kind, trays int) (Place, bool) {
	if p, ok := s.FreeSlotOf(k, trays); ok {
		return p, true
	}
	return s.WithStandIns().FreeSlotOf(k, trays)
}

// byHand makes a step one by hand: without its machine, and with a countdown only where
// water, sanitizer or air take their time.
func (d *draft) byHand(st *Station, r *recipes.Recipe, at Place) time.Duration {
	switch hand := st.ByHand(); st.Kind {
	case Wash:
		return d.plannedTime(&hand, at, NoLoad, r, 0)
	case Dry:
		return min(d.s.slower(at, d.s.DryTime(r, recipes.FanOff, d.now)), MaxCountdown)
	case Sanitize:
		return st.Contact
	}
	return 0
}

// Skip has a batch go without its next step, for a reason. The recipe has to allow it;
// nothing allows to leave out the wash, in which the sanitizer's contact time is.
type Skip struct {
	Batch  int
	Reason string
}

// StepSkipped says so.
type StepSkipped struct {
	Batch  int
	Kind   Kind
	Reason string
}

func (c Skip) decide(d *draft) *Refusal {
	b := d.s.Batch(c.Batch)
	if b == nil {
		return refuse(RuleUnknown, "line.no-batch", c.Batch)
	}
	k, ok := d.s.NextKind(b)
	if b.Fate == OnLine && b.Step.Progress != Finished { // it stands where the step was to be, or half done
		k = d.kind(b.Step.Place)
	}
	r, _ := d.s.Recipe(b.Crop)
	reason := strings.TrimSpace(c.Reason)
	switch {
	case !ok || b.Fate != OnLine || b.Step.Progress == Running || b.Step.Progress == Interrupted:
		return refuse(RuleOrder, "line.skip-when", b.Label())
	case !r.MaySkip(recipes.Step(k.String())):
		return refuse(RuleOrder, "line.skip-not", say.Crop(b.Crop), k)
	case reason == "" || unfit(reason):
		return refuse(RuleValue, "line.skip-why", b.Label())
	}
	d.undo = say.New("undo.skip", k, b.Label())
	d.emit(StepSkipped{Batch: b.ID, Kind: k, Reason: reason})
	return nil
}

// A batch that stands at the station whose step it goes without is ready for the next.
func (e StepSkipped) apply(s *State, r Record) {
	b := s.batch(e.Batch)
	if b == nil || b.Fate != OnLine {
		return
	}
	b.Skips = append(slices.Clone(b.Skips), e.Kind)
	if s.Site.Stations[b.Step.Place.Station].Kind == e.Kind {
		s.noteRan(b, r.At)
		b.Step.Progress, b.Step.Ended, b.Step.Load = Finished, r.At, NoLoad
	}
}

// Move says that a batch is in another place than the books have it in: on another
// shelf, or carried to another station of the kind. It goes on as it was; batches that
// were mixed up change places. A running step does not change its machine.
type Move struct {
	Batch int
	To    Place
}

// BatchMoved says so.
type BatchMoved struct {
	Batch int
	At    Place
}

func (c Move) decide(d *draft) *Refusal {
	b := d.s.Batch(c.Batch)
	if b == nil {
		return refuse(RuleUnknown, "line.no-batch", c.Batch)
	}
	if b.Fate != OnLine || !d.s.valid(c.To) || d.kind(c.To) != d.kind(b.Step.Place) {
		return refuse(RuleOrder, "line.move-kind", b.Label())
	}
	other, chore := d.s.Occupant(c.To)
	switch from := b.Step.Place; {
	case c.To == from:
		return refuse(RuleNothing, "line.so-already")
	case chore != nil:
		return refuse(RuleOccupied, "line.busy", d.at(c.To), chore.Kind)
	default:
		no := d.movable(b, c.To)
		if no == nil && other != nil {
			no = d.movable(other, from)
		}
		if no != nil {
			return no
		}
	}
	d.undo = say.New("undo.move", b.Label())
	d.emit(BatchMoved{Batch: b.ID, At: c.To})
	return nil
}

// movable refuses a place that does not hold a batch, or whose machine is another than
// the one that runs for it.
func (d *draft) movable(b *Batch, to Place) *Refusal {
	st := &d.s.Site.Stations[to.Station]
	if b.Trays > st.SlotTrays && to.Station != b.Step.Place.Station {
		return refuse(RuleCapacity, "line.too-many-for-place", b.Label(), b.Trays, d.at(to), st.SlotTrays)
	}
	runs := b.Step.Progress == Running || b.Step.Progress == Interrupted
	if runs && b.Step.Load != NoLoad && b.Step.Load != st.Load {
		return refuse(RuleOrder, "line.runs-already", b.Label())
	}
	return nil
}

func (e BatchMoved) apply(s *State, _ Record) {
	b := s.batch(e.Batch)
	if b == nil || b.Fate != OnLine || !s.valid(e.At) {
		return
	}
	from := b.Step.Place
	if other, _ := s.Occupant(e.At); other != nil && other != b {
		s.putAt(other, from)
	}
	s.putAt(b, e.At)
}

// putAt is a batch at another place of the kind. A held step goes on with that one's
// machine.
func (s *State) putAt(b *Batch, at Place) {
	step := &b.Step
	step.Place = at
	if load := s.Site.Stations[at.Station].Load; step.Load != load && step.Progress == Held && !step.ByHand {
		step.Load, step.Setting = load, 0
		if s.hasLoad(load) {
			step.Setting, _ = s.Site.Panel.Loads[load].SettingByName(s.Site.Stations[at.Station].Setting)
		}
	}
}
