package words

import (
	"fmt"
	"strings"

	"shedbell/line"
)

// Event says in words what a record reports, given the state before it. It is
// empty for what people need not read.
func Event(s *line.State, r line.Record) string {
	if text, ok := batchEvent(s, r.Event); ok {
		return text
	}
	if text, ok := recordEvent(s, r.Event); ok {
		return text
	}
	switch e := r.Event.(type) {
	case line.LineLaid:
		return "The line of " + e.Site.Name + " was set up"
	case line.DayOpened:
		return fmt.Sprintf("Day opened: %s in %s", Count(e.Sheet.Trays(), "tray", "trays"), Count(len(e.Batches), "batch", "batches"))
	case line.DayClosed:
		return "Day closed"
	case line.StepAdjusted:
		verb := "longer"
		if e.By < 0 {
			verb, e.By = "shorter", -e.By
		}
		return fmt.Sprintf("%s %s %s", who(s, e.At), Clock(e.By), verb)
	case line.StepHeld:
		return who(s, e.At) + " held"
	case line.StepResumed:
		if e.Afresh {
			return who(s, e.At) + " started again"
		}
		return who(s, e.At) + " goes on"
	case line.ChoreStarted:
		return fmt.Sprintf("%s started at the %s", chore(e.Kind, e.Trays, e.Crop), s.PlaceName(e.At))
	case line.ChoreFinished:
		for _, c := range s.Chores {
			if c.ID == e.ID {
				return chore(c.Kind, c.Trays, c.Crop) + " done"
			}
		}
		return "Work done"
	case line.LoadSwitched:
		return switched(s, e)
	case line.RecipeRevised:
		return fmt.Sprintf("Recipe %s, revision %d", e.Recipe.Crop, e.Recipe.Revision)
	case line.TastingMade:
		return "Tasted " + e.Tasting.Ran.Batch
	case line.AirRead:
		return "Air read: " + e.Air.String()
	case line.AirUsed:
		if e.On {
			return "Dry times follow today's air: " + join(e.Crops)
		}
		return "Dry times as in the recipes: " + join(e.Crops)
	case line.CrewChanged:
		return "On the line now: " + join(e.Names)
	case line.BreakerTripped:
		return tripped(s, e)
	case line.BreakerReset:
		return fmt.Sprintf("Breaker of %s reset", breaker(s, e.Circuit, e.Feeder))
	case line.SlotBroken:
		return s.PlaceName(e.At) + " out of use: " + e.Why
	case line.SlotMended:
		return s.PlaceName(e.At) + " back in use"
	case line.NoteAdded:
		return "Note: " + e.Text
	case line.WatchLost:
		return "Nobody watched since " + e.LastBeat.Format("15:04:05")
	case line.AlarmsAcked:
		return Count(len(e.IDs), "alarm", "alarms") + " taken note of"
	case line.AlarmShelved:
		return fmt.Sprintf("Alarm shelved until %s: %s", e.Until.Format("15:04"), e.Reason)
	case line.ClockJumped:
		return clockJumped(e)
	case line.ClockFollowed:
		return "The line's time follows the computer's clock again, " + Clock(e.By) + " later"
	case line.Refused:
		return e.Text
	case line.Undone:
		return "Undone: " + e.Text
	}
	return ""
}

func clockJumped(e line.ClockJumped) string {
	verb, by := "on", e.By
	if by < 0 {
		verb, by = "back", -by
	}
	return fmt.Sprintf("The computer's clock was put %s by %s. The line's time and its countdowns go on as they were", verb, Span(by))
}

// batchEvent words what happens to batches.
func batchEvent(s *line.State, e line.Event) (string, bool) {
	name := func(id int) string {
		if b := s.Batch(id); b != nil {
			return b.Shout()
		}
		return fmt.Sprintf("BATCH %d", id)
	}
	switch e := e.(type) {
	case line.BatchLoaded:
		return fmt.Sprintf("%s stands at the %s", name(e.Batch), s.PlaceName(e.At)), true
	case line.StepStarted:
		if e.Planned > 0 {
			return fmt.Sprintf("%s started at the %s, %s", name(e.Batch), s.PlaceName(e.At), Clock(e.Planned)), true
		}
		return fmt.Sprintf("%s started at the %s", name(e.Batch), s.PlaceName(e.At)), true
	case line.StepFinished:
		at := ""
		if b := s.Batch(e.Batch); b != nil {
			at = s.PlaceName(b.Step.Place)
		}
		if e.Lot != "" {
			return fmt.Sprintf("%s packed: %s, %s, lot %s", name(e.Batch), Count(e.Packages, "package", "packages"), Grams(e.NetG), e.Lot), true
		}
		return fmt.Sprintf("%s done at the %s", name(e.Batch), at), true
	case line.BatchCooled:
		return name(e.Batch) + " is cold", true
	case line.BatchesAdded:
		return Count(len(e.Batches), "batch", "batches") + " added", true
	case line.BatchSplit:
		return fmt.Sprintf("%s split: %s in a batch of their own", name(e.From), Count(e.New.Trays, "tray", "trays")), true
	case line.BatchMerged:
		return fmt.Sprintf("%s merged into %s", name(e.From), name(e.Into)), true
	case line.BatchScrapped:
		return fmt.Sprintf("%s scrapped: %s", name(e.Batch), e.Reason), true
	}
	return "", false
}

func who(s *line.State, p line.Place) string {
	b, c := s.Occupant(p)
	switch {
	case b != nil:
		return fmt.Sprintf("%s at the %s", b.Shout(), s.PlaceName(p))
	case c != nil:
		return chore(c.Kind, c.Trays, c.Crop)
	}
	return "The " + s.PlaceName(p)
}

func chore(k line.ChoreKind, trays int, crop string) string {
	n := Count(trays, "tray", "trays")
	switch k {
	case line.WashTrays:
		return "Pressure washing of " + n
	case line.SanitizeAll:
		return "Sanitizing of surfaces and " + n
	case line.SowTrays:
		return fmt.Sprintf("Sowing of %s of %s", n, crop)
	}
	return "Water change"
}

func switched(s *line.State, e line.LoadSwitched) string {
	l := &s.Site.Panel.Loads[e.Load]
	if !e.On {
		return l.Name + " off"
	}
	if len(l.Settings) > 1 {
		return fmt.Sprintf("%s on, %s", l.Name, l.Settings[e.Setting].Name)
	}
	return l.Name + " on"
}

// tripped says what was on, for the person who looks for the reason.
func tripped(s *line.State, e line.BreakerTripped) string {
	p := &s.Site.Panel
	text := fmt.Sprintf("Breaker of %s tripped; what it fed is held", breaker(s, e.Circuit, e.Feeder))
	if e.Found == nil {
		return text
	}
	var on []string
	for _, l := range e.Found.On {
		if l.Load < len(p.Loads) {
			on = append(on, fmt.Sprintf("%s for %s", p.Loads[l.Load].Name, Clock(l.For)))
		}
	}
	if len(on) == 0 {
		return text + "; nothing was on"
	}
	return text + "; on were " + join(on)
}

func breaker(s *line.State, circuit int, feeder string) string {
	if feeder != "" {
		return fmt.Sprintf("feeder %q", feeder)
	}
	return fmt.Sprintf("%q", s.Site.Panel.Circuits[circuit].Name)
}

func join(names []string) string { return strings.Join(names, ", ") }
