package words

import (
	"strconv"
	"strings"
	"time"

	"shedbell/line"
	"shedbell/line/say"
)

// Event says in words what a record reports, given the state before it. It is
// empty for what people need not read.
func (t *Speaker) Event(s *line.State, r line.Record) string {
	for _, word := range []func(*line.State, line.Event) string{t.batchEvent, t.stepEvent, t.recordEvent, t.powerEvent, t.attentionEvent} {
		if text := word(s, r.Event); text != "" {
			return text
		}
	}
	switch e := r.Event.(type) {
	case line.LineLaid:
		return t.Say("event.line", e.Site.Name)
	case line.DayOpened:
		return t.Say("event.day-opened", t.Trays(e.Sheet.Trays()), t.Batches(len(e.Batches)))
	case line.DayClosed:
		return t.Say("event.day-closed")
	case line.RecipeRevised:
		return t.Say("event.recipe", say.Crop(e.Recipe.Crop), e.Recipe.Revision)
	case line.TastingMade:
		return t.Say("event.tasted", e.Tasting.Ran.Called())
	case line.AirRead:
		return t.Say("event.air", say.Celsius(e.Air.TempC), say.Percent(e.Air.RHPercent))
	case line.AirUsed:
		crops := join(each(e.Crops, t.Crop))
		if e.On {
			return t.Say("event.air-used", crops)
		}
		return t.Say("event.air-dropped", crops)
	case line.CrewChanged:
		return t.Say("event.crew", join(e.Names))
	case line.HoursSet:
		return t.Say("event.hours", e.Name, t.Hours(e.Hours))
	case line.WorkGivenOver:
		return t.Say("event.given-over", e.To, s.PlaceName(e.At))
	case line.SlotBroken:
		return t.Say("event.broken", t.Place(s, e.At), e.Why)
	case line.SlotMended:
		return t.Say("event.mended-slot", t.Place(s, e.At))
	case line.NoteAdded:
		return t.Say("event.note", e.Text)
	case line.Refused:
		return t.Speech(e.Speech())
	case line.Corrected:
		d, _ := s.DoneNo(e.Entry)
		return t.Say("event.set-right", d.Text, t.Speech(e.Says(d.Said)))
	case line.Undone:
		return t.Say("event.undone", say.Kept(e.Text))
	}
	return ""
}

// batchEvent words what happens to batches.
func (t *Speaker) batchEvent(s *line.State, e line.Event) string {
	name := func(id int) string {
		if b := s.Batch(id); b != nil {
			return t.Caps(b)
		}
		return t.Say("event.batch-no", id)
	}
	switch e := e.(type) {
	case line.BatchLoaded:
		return t.Say("event.loaded", name(e.Batch), t.Place(s, e.At))
	case line.StepStarted:
		switch {
		case e.Again:
			return t.Say("event.started-again", name(e.Batch), t.Place(s, e.At))
		case e.ByHand:
			return t.Say("event.started-by-hand", name(e.Batch), t.Place(s, e.At))
		}
		if e.Planned > 0 {
			return t.Say("event.started-for", name(e.Batch), t.Place(s, e.At), Clock(e.Planned))
		}
		return t.Say("event.started", name(e.Batch), t.Place(s, e.At))
	case line.StepFinished:
		at := ""
		if b := s.Batch(e.Batch); b != nil {
			at = t.Place(s, b.Step.Place)
		}
		if e.Lot != "" {
			return t.Say("event.packed", name(e.Batch), t.Packages(e.Packages), say.Grams(e.NetG), e.Lot)
		}
		return t.Say("event.finished", name(e.Batch), at)
	case line.BatchCooled:
		return t.Say("event.cold", name(e.Batch))
	case line.TraysFound:
		return t.Say("event.counted", name(e.Batch), t.Trays(e.Trays))
	case line.TraysLost:
		return t.Say("event.lost", name(e.Batch), t.Trays(e.Trays), e.Reason)
	case line.TubDrained:
		return t.Say("event.drained", t.Place(s, line.Place{Station: e.Station}))
	case line.BatchMoved:
		return t.Say("event.moved", name(e.Batch), t.Place(s, e.At))
	case line.StepSkipped:
		return t.Say("event.skipped", name(e.Batch), t.Kind(e.Kind), e.Reason)
	case line.BatchesAdded:
		return t.Say("event.added", t.Batches(len(e.Batches)))
	case line.BatchSplit:
		return t.Say("event.split", name(e.From), t.Trays(e.New.Trays))
	case line.BatchMerged:
		return t.Say("event.merged", name(e.From), name(e.Into))
	case line.BatchScrapped:
		return t.Say("event.scrapped", name(e.Batch), e.Reason)
	}
	return ""
}

// stepEvent words what happens to a step on its way, and to work without a batch.
func (t *Speaker) stepEvent(s *line.State, e line.Event) string {
	switch e := e.(type) {
	case line.StepAdjusted:
		if e.By < 0 {
			return t.Say("event.shorter", t.who(s, e.At), Clock(-e.By))
		}
		return t.Say("event.longer", t.who(s, e.At), Clock(e.By))
	case line.StepHeld:
		return t.Say("event.held", t.who(s, e.At))
	case line.StepResumed:
		switch {
		case e.Afresh:
			return t.Say("event.again", t.who(s, e.At))
		case e.ByHand:
			return t.Say("event.goes-on-by-hand", t.who(s, e.At))
		}
		return t.Say("event.goes-on", t.who(s, e.At))
	case line.ChoreStarted:
		return t.Say("event.work-started", t.Say(workKey[e.Kind]), t.workOn(s, e.Kind, e.Trays, e.Crop, e.At))
	case line.ChoreFinished:
		for _, c := range s.Chores {
			if c.ID == e.ID {
				return t.Say("event.work-done", t.Say(workKey[c.Kind]), t.workOn(s, c.Kind, c.Trays, c.Crop, c.Step.Place))
			}
		}
		return t.Say("event.some-work-done")
	}
	return ""
}

// who names what stands at a place.
func (t *Speaker) who(s *line.State, p line.Place) string {
	b, c := s.Occupant(p)
	switch {
	case b != nil:
		return t.Say("event.batch-at", t.Caps(b), t.Place(s, p))
	case c != nil:
		return t.Say(workKey[c.Kind])
	}
	return t.Say("event.place", t.Place(s, p))
}

// workKey names work that has no batch.
var workKey = map[line.ChoreKind]string{line.WashTrays: "event.tray-wash", line.SanitizeAll: "event.sanitize",
	line.SowTrays: "event.sow", line.ChangeWater: "event.water-change"}

// workOn says what such work is done on.
func (t *Speaker) workOn(s *line.State, k line.ChoreKind, trays int, crop string, at line.Place) string {
	switch k {
	case line.WashTrays:
		return t.Trays(trays)
	case line.SanitizeAll:
		return t.surfaces(trays)
	case line.SowTrays:
		return t.Say("work.trays-of", t.Trays(trays), say.Crop(crop))
	}
	return t.Place(s, at)
}

// surfaces is what is sanitized: surfaces, and trays where there are any.
func (t *Speaker) surfaces(trays int) string {
	if trays == 0 {
		return t.Say("work.surfaces-only")
	}
	return t.Say("work.surfaces-and", t.Trays(trays))
}

// powerEvent words what happens on the wires.
func (t *Speaker) powerEvent(s *line.State, e line.Event) string {
	switch e := e.(type) {
	case line.LoadSwitched:
		name, setting := t.machine(s, e.Load, e.Setting)
		switch {
		case !e.On:
			return t.Say("event.off", name)
		case setting != "":
			return t.Say("event.on-at", name, setting)
		}
		return t.Say("event.on", name)
	case line.BreakerTripped:
		return t.tripped(s, e)
	case line.BreakerReset:
		return t.since(t.Say("event.reset", t.breaker(s, e.Circuit, e.Feeder)), e.AsOf)
	}
	return t.factEvent(s, e)
}

// factEvent words what somebody saw.
func (t *Speaker) factEvent(s *line.State, e line.Event) string {
	where := func(circuit int, everywhere bool) string {
		if everywhere {
			return t.Say("event.everywhere")
		}
		return t.breaker(s, circuit, "")
	}
	switch e := e.(type) {
	case line.FoundOn:
		name, setting := t.machine(s, e.Load, e.Setting)
		if setting != "" {
			return t.since(t.Say("event.found-on-at", name, setting), e.AsOf)
		}
		return t.since(t.Say("event.found-on", name), e.AsOf)
	case line.FoundOff:
		name, _ := t.machine(s, e.Load, 0)
		return t.since(t.Say("event.found-off", name), e.AsOf)
	case line.Unplugged:
		name, _ := t.machine(s, e.Load, 0)
		return t.since(t.Say("event.unplugged", name), e.AsOf)
	case line.PluggedIn:
		name, _ := t.machine(s, e.Load, 0)
		return t.since(t.Say("event.plugged-in", name, t.circuitName(s, e.Circuit)), e.AsOf)
	case line.PowerLost:
		return t.since(t.Say("event.power-lost", where(e.Circuit, e.Everywhere)), e.AsOf)
	case line.PowerBack:
		return t.since(t.Say("event.power-back", where(e.Circuit, e.Everywhere)), e.AsOf)
	}
	return ""
}

// since adds from when on a fact was true, where that is earlier than it was told.
func (t *Speaker) since(text string, asOf time.Time) string {
	if asOf.IsZero() {
		return text
	}
	return t.Say("event.as-of", text, t.TimeOfDay(asOf, ""))
}

// machine names a load and, where it has several, its setting. A record that does not
// fit the line is read all the same: what it names has a number.
func (t *Speaker) machine(s *line.State, load, setting int) (name, set string) {
	if load < 0 || load >= len(s.Site.Panel.Loads) {
		return "#" + strconv.Itoa(load+1), ""
	}
	l := &s.Site.Panel.Loads[load]
	if len(l.Settings) > 1 && setting >= 0 && setting < len(l.Settings) {
		set = t.Setting(l.Settings[setting].Name)
	}
	return t.Load(l.Name), set
}

// tripped says what was on, for the person who looks for the reason.
func (t *Speaker) tripped(s *line.State, e line.BreakerTripped) string {
	name := t.breaker(s, e.Circuit, e.Feeder)
	if e.Found == nil {
		return t.since(t.Say("event.tripped", name), e.AsOf)
	}
	var on []string
	for _, l := range e.Found.On {
		load, _ := t.machine(s, l.Load, l.Setting)
		on = append(on, t.Say("event.on-for", load, Clock(l.For)))
	}
	if len(on) == 0 {
		return t.Say("event.tripped-idle", name)
	}
	return t.Say("event.tripped-on", name, join(on))
}

func (t *Speaker) breaker(s *line.State, circuit int, feeder string) string {
	if feeder != "" {
		return t.Say("event.feeder", t.Circuit(feeder))
	}
	return t.Say("event.circuit", t.circuitName(s, circuit))
}

func (t *Speaker) circuitName(s *line.State, circuit int) string {
	if circuit < 0 || circuit >= len(s.Site.Panel.Circuits) {
		return "#" + strconv.Itoa(circuit+1)
	}
	return t.Circuit(s.Site.Panel.Circuits[circuit].Name)
}

// attentionEvent words what became of alarms, and times in which nobody watched.
func (t *Speaker) attentionEvent(_ *line.State, e line.Event) string {
	switch e := e.(type) {
	case line.WatchLost:
		return t.Say("event.unwatched", say.TimeToSecond(e.LastBeat))
	case line.AlarmsAcked:
		return t.Say("event.acked", len(e.IDs))
	case line.AlarmShelved:
		return t.Say("event.shelved", say.Time(e.Until), e.Reason)
	case line.ClockJumped:
		if e.By < 0 {
			return t.Say("event.clock-back", t.Span(e.By))
		}
		return t.Say("event.clock-on", t.Span(e.By))
	case line.ClockFollowed:
		return t.Say("event.clock-followed", Clock(e.By))
	}
	return ""
}

// each puts a list into words.
func each(names []string, word func(string) string) []string {
	out := make([]string, len(names))
	for i, n := range names {
		out[i] = word(n)
	}
	return out
}

func join(names []string) string { return strings.Join(names, ", ") }

// Hours says when somebody is on the line.
func (t *Speaker) Hours(hours []line.Hours) string {
	if len(hours) == 0 {
		return t.Say("event.all-day")
	}
	var out []string
	for _, h := range hours {
		from, to := t.TimeOfDay(h.From, ""), t.TimeOfDay(h.To, "")
		switch {
		case h.From.IsZero() && h.To.IsZero():
			out = append(out, t.Say("event.all-day"))
		case h.From.IsZero():
			out = append(out, t.Say("event.until", to))
		case h.To.IsZero():
			out = append(out, t.Say("event.from", from))
		default:
			out = append(out, t.Say("event.from-until", from, to))
		}
	}
	return join(out)
}
