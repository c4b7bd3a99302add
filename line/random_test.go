package line_test

import (
	"fmt"
	"math"
	"slices"
	"time"

	"pgregory.net/rapid"

	"shedbell/line"
	"shedbell/line/linetest"
	"shedbell/power"
	"shedbell/recipes"
)

// pick draws an index evenly; the library's own draws favour small numbers, which
// here would be the same few batches and loads over and over.
func pick(t *rapid.T, n int, label string) int {
	return int(rapid.Uint32().Draw(t, label)*2654435761>>8) % n
}

func one[T any](t *rapid.T, label string, of ...T) T { return of[pick(t, len(of), label)] }

// drawSite makes a shed with one to three slots at a station and sometimes two
// stations of a kind. What is never switched off fits its circuit by itself.
func drawSite(t *rapid.T) *line.Site {
	n := one(t, "circuits", 1, 1, 2, 3)
	p := power.Panel{VoltageV: 120}
	for i := range n {
		p.Circuits = append(p.Circuits, power.Circuit{Name: fmt.Sprint("circuit ", i), RatingA: one(t, "rating", 15.0, 20)})
	}
	amps := func(lo, hi int) float64 { return float64(lo) + float64(pick(t, (hi-lo)*10, "deciamps"))/10 }
	add := func(l power.Load, settings ...power.Setting) int {
		l.Circuit, l.Settings = pick(t, n, "circuit"), settings
		if pick(t, 4, "motor") == 0 {
			l.StartingA, l.StartingTime = l.WorstA()*2, time.Second
		}
		p.Loads = append(p.Loads, l)
		return len(p.Loads) - 1
	}
	on := func(a float64) power.Setting { return power.Setting{Name: "on", AmpsA: a} }
	self := func() bool { return pick(t, 2, "self-off") == 1 }
	add(power.Load{Name: "fridge", Cycles: true, StaysOn: true}, on(amps(1, 3)))
	add(power.Load{Name: "lights", StaysOn: true}, on(amps(1, 2)))
	add(power.Load{Name: "dryer", Cycles: rapid.Bool().Draw(t, "cycles")}, on(amps(1, 3)))
	washer := add(power.Load{Name: "washer", Alone: rapid.Bool().Draw(t, "alone")}, on(amps(6, 10)))
	drain := add(power.Load{Name: "drain", SelfOff: true}, on(amps(1, 5)))

	s := &line.Site{Name: "Alder shed", Panel: p, Crew: []string{"Ash"}}
	for _, k := range line.Kinds() {
		for i := range 1 + pick(t, 2, "stations") {
			st := line.Station{Name: fmt.Sprint(k, " ", i), Kind: k, Load: line.NoLoad, DrainLoad: line.NoLoad,
				Slots: 1 + pick(t, 3, "slots"), SlotTrays: 1 + pick(t, 6, "trays"),
				PerTray: time.Minute, Hands: line.HandsBoth, HandsTime: 20 * time.Second}
			switch k {
			case line.Wash:
				st.Load = add(power.Load{Name: fmt.Sprint("blower ", i), SelfOff: self()}, on(amps(4, 9)))
				st.DrainLoad, st.DrainTime = drain, 3*time.Minute
				st.WaterBatches = rapid.IntRange(0, 2).Draw(t, "water")
			case line.Spin:
				st.Load = add(power.Load{Name: fmt.Sprint("spinner ", i), SelfOff: self()}, on(amps(4, 9)))
			case line.Dry:
				st.Load = add(power.Load{Name: fmt.Sprint("fans ", i), SelfOff: self()},
					power.Setting{Name: "low", AmpsA: 1}, power.Setting{Name: "medium", AmpsA: amps(2, 4)}, power.Setting{Name: "high", AmpsA: amps(4, 8)})
			case line.TrayWash:
				st.Load = washer
			case line.Sanitize:
				st.Contact = 5 * time.Minute
			case line.Chill:
				st.SlotTrays = 20
			}
			s.Stations = append(s.Stations, st)
		}
	}
	s.Panel = p
	return s
}

var crops = []string{"pea", "radish", "sunflower", "broccoli"}

func drawSheet(t *rapid.T) line.Sheet {
	sheet := line.Sheet{Date: "2026-12-03", Start: linetest.Morning, Crew: []string{"Ash"}}
	for range 1 + pick(t, 3, "demands") {
		sheet.Crops = append(sheet.Crops, drawDemand(t))
	}
	if rapid.Bool().Draw(t, "apart") {
		sheet.Apart = [][2]string{{"pea", "radish"}}
	}
	return sheet
}

func drawDemand(t *rapid.T) line.Demand {
	trays := 1 + pick(t, 8, "trays")
	if pick(t, 10, "absurd") == 0 {
		trays = one(t, "trays", 0, -1, 501, math.MaxInt, math.MinInt)
	}
	return line.Demand{Crop: one(t, "crop", crops...), Trays: trays}
}

// drawStep draws how far the clock goes on before the next command, sometimes
// back.
func drawStep(t *rapid.T) time.Duration {
	return one(t, "pass", 0, 0, time.Second, 20*time.Second, 20*time.Second, 2*time.Minute, 2*time.Minute, 10*time.Minute,
		30*time.Minute, 4*time.Hour, -time.Minute)
}

func drawPlace(t *rapid.T, s *line.State) line.Place {
	var taken []line.Place
	for i := range s.Batches {
		if s.Batches[i].Fate == line.OnLine {
			taken = append(taken, s.Batches[i].Step.Place)
		}
	}
	for i := range s.Chores {
		taken = append(taken, s.Chores[i].Step.Place)
	}
	if len(taken) > 0 && pick(t, 5, "taken") > 0 {
		return one(t, "place", taken...)
	}
	return line.Place{Station: rapid.IntRange(-1, len(s.Site.Stations)).Draw(t, "station"), Slot: rapid.IntRange(-1, 3).Draw(t, "slot")}
}

// drawCommand draws any command, those that move the day on more often.
func drawCommand(t *rapid.T, s *line.State, now time.Time) line.Command {
	if s.Sheet == nil && pick(t, 4, "open") > 0 {
		return line.OpenDay{Sheet: drawSheet(t)}
	}
	batch := drawBatch(t, s)
	to := line.Anywhere
	if pick(t, 4, "somewhere") == 0 {
		to = drawPlace(t, s)
	}
	switch k := pick(t, 25, "kind"); {
	case k < 4:
		return drawStepCommand(t, s, batch)
	case k < 6:
		return drawRareCommand(t, s, now)
	case k < 14:
		advice := line.Advice{}
		if setting := one(t, "advised", "", "", "low", "high", "gone"); setting != "" {
			advice.Fans = func(int) string { return setting }
		}
		if ps := advice.Prompts(s, now); len(ps) > 0 {
			return ps[pick(t, min(4, len(ps)), "prompt")].Command
		}
		return line.Undo{}
	case k < 16:
		return line.Put{Batch: batch, To: to}
	case k < 17:
		return line.Advance{Batch: batch, To: to, ByHand: pick(t, 6, "by hand") == 0}
	case k < 21:
		setting := one(t, "setting", "", "", "low", "high", "on")
		return line.Start{Batch: batch, To: to, Setting: setting, ByHand: pick(t, 8, "by hand") == 0}
	case k < 24:
		return drawRecordCommand(t, s, now)
	}
	return line.Undo{}
}

func drawStepCommand(t *rapid.T, s *line.State, batch int) line.Command {
	at := drawPlace(t, s)
	switch pick(t, 13, "step") {
	case 0:
		return line.Finish{At: at, NetG: one(t, "net", 0, 500, -1, math.NaN(), math.Inf(1))}
	case 1:
		return line.Finish{At: at}
	case 2:
		return line.Hold{At: at}
	case 3:
		return line.Resume{At: at}
	case 4:
		return line.Restart{At: at}
	case 5:
		return line.Adjust{At: at, By: one(t, "by", 15*time.Second, -15*time.Second, 10*time.Minute, -time.Hour, math.MaxInt64, math.MinInt64)}
	case 6:
		return line.Split{Batch: batch, Trays: pick(t, 5, "split")}
	case 10:
		return one[line.Command](t, "count", line.CountTrays{Batch: batch, Trays: pick(t, 6, "found")}, line.DropTrays{Batch: batch, Trays: 1, Reason: "dropped"},
			line.DropTrays{Batch: batch, Trays: pick(t, 6, "lost"), Reason: one(t, "why lost", "dropped", "")}, line.DrainTub{Station: at.Station})
	case 11:
		return line.Again{Batch: batch, Kind: line.Kind(pick(t, 7, "again"))}
	case 8:
		return line.Resume{At: at, ByHand: true}
	case 9:
		return one[line.Command](t, "other way", line.Move{Batch: batch, To: at}, line.Move{Batch: batch, To: drawPlace(t, s)}, line.Skip{Batch: batch, Reason: "no power"})
	case 7:
		return line.Merge{From: batch, Into: drawSameCrop(t, s, batch)}
	}
	return line.StartChore{Kind: line.ChoreKind(pick(t, 5, "chore")), To: line.Anywhere}
}

// drawBatch draws a batch of the day, one that is on the line more often, and now
// and then one that is not there.
func drawBatch(t *rapid.T, s *line.State) int {
	ids := []int{s.LastID + 1}
	for i := range s.Batches {
		ids = append(ids, s.Batches[i].ID)
		if s.Batches[i].Fate == line.OnLine {
			ids = append(ids, s.Batches[i].ID, s.Batches[i].ID)
		}
	}
	return one(t, "batch", ids...)
}

func drawSameCrop(t *rapid.T, s *line.State, batch int) int {
	var same []int
	for i := range s.Batches {
		if b := s.Batch(batch); b != nil && s.Batches[i].Crop == b.Crop && s.Batches[i].Fate <= line.OnLine {
			same = append(same, s.Batches[i].ID)
		}
	}
	if len(same) == 0 {
		return batch
	}
	return one(t, "into", same...)
}

func drawRareCommand(t *rapid.T, s *line.State, now time.Time) line.Command {
	load := pick(t, len(s.Site.Panel.Loads)+2, "load") - 1
	circuit := pick(t, len(s.Site.Panel.Circuits)+2, "which circuit") - 1
	at := drawPlace(t, s)
	if open := openCircuits(s); len(open) > 0 && rapid.Bool().Draw(t, "reset") {
		return line.ResetBreaker{Circuit: open[0]}
	}
	if len(s.Broken) > 0 && rapid.Bool().Draw(t, "mend") {
		return line.MarkMended{At: s.Broken[0]}
	}
	switch pick(t, 14, "rare") {
	case 0, 1:
		return line.SwitchOn{Load: load, Setting: pick(t, 3, "on"), For: one(t, "for", 0, time.Minute, -1)}
	case 2, 3:
		return line.SwitchOff{Load: load}
	case 4:
		return line.MarkTripped{Circuit: circuit}
	case 5, 6:
		return line.ResetBreaker{Circuit: circuit}
	case 7:
		return line.MarkBroken{At: at, Why: one(t, "why broken", "", "belt torn")}
	case 8:
		return line.MarkMended{At: at}
	case 9:
		return line.Scrap{Batch: drawBatch(t, s), Reason: "hot"}
	case 10:
		return line.Recover{LastBeat: now.Add(one(t, "beat", -time.Hour, -time.Minute, time.Hour))}
	case 11:
		return line.AddTrays{Demand: drawDemand(t)}
	case 12:
		r, _ := s.Recipe(rapid.SampledFrom(crops).Draw(t, "revised"))
		r.Dry = one(t, "dry", 0, 5*time.Minute, 10*time.Minute, -1)
		r.Skippable = one(t, "may skip", nil, []recipes.Step{recipes.Spin}, []recipes.Step{recipes.Dry})
		r.YieldG = one(t, "yield", 200, math.NaN(), 1e300)
		r.By, r.Why = one(t, "who", "Ash", "Ash", ""), "a test"
		return line.Revise{Recipe: r}
	}
	site := *s.Site
	site.Crew = []string{"Birch"}
	return one[line.Command](t, "other", line.ReadAir{TempC: one(t, "air", 5, 20, 35.0, 90), RHPercent: one(t, "humid", 0, 60, 100.0)},
		line.UseAir{On: rapid.Bool().Draw(t, "use")}, line.GoBack{Crop: "pea", Revision: 1, By: "Ash", Why: "a test"},
		line.TasteBatch{Batch: drawBatch(t, s), Tasting: recipes.Tasting{Wetness: 4, Bruising: 2}},
		line.CloseDay{}, line.AddNote{Text: "wet floor"}, line.SetCrew{Names: []string{"Ash", "Elm"}},
		line.LayLine{Site: site}, drawSignOff(t), drawSignOff(t), drawHours(t, s),
		line.GiveOver{At: drawPlace(t, s), To: one(t, "takes over", append([]string{"Birch"}, s.Crew...)...)},
		line.NoteClock{By: time.Hour, Ahead: time.Hour}, line.FollowClock{By: time.Hour})
}

// drawHours has somebody come, go, or have hours that may not fit each other.
func drawHours(t *rapid.T, s *line.State) line.Command {
	name, at := one(t, "person", append([]string{"Elm", "helper 2"}, s.Crew...)...), s.At.Add(one(t, "by", -time.Hour, 0, 20*time.Minute))
	return one[line.Command](t, "hours", s.Goes(name, at, time.Time{}), s.Goes(name, at, at.Add(15*time.Minute)), s.Comes(name, at), s.Stays(name),
		line.SetHours{Name: name, Hours: []line.Hours{{From: at, To: at.Add(time.Hour)}, {From: at.Add(one(t, "later", time.Minute, 2*time.Hour))}}})
}

func drawSignOff(t *rapid.T) line.Command {
	person := one(t, "trainee", "Birch", "Elm", " Birch ", "", "Ash")
	station := line.Kind(pick(t, 11, "station kind"))
	if rapid.Bool().Draw(t, "revoke") {
		return line.RevokeSignOff{Person: person, Station: station, SignedBy: one(t, "revoked by", "Ash", "Elm", ""), Why: one(t, "why", "off a year", "")}
	}
	return line.SignOff{Person: person, Station: station, SignedBy: one(t, "signed by", "Ash", "Ash", "Elm", "")}
}

// trays counts the trays of the greens and, apart from them, the growing trays on
// their way back to the racks.
func trays(s *line.State) (greens, pool int) {
	pool = s.Trays.Dirty + s.Trays.Washed + s.Trays.Sanitized + s.Trays.Sown
	for i := range s.Batches {
		b := &s.Batches[i]
		greens += b.Trays + b.Lost
		uncut := b.Fate == line.Waiting ||
			b.Fate == line.OnLine && s.Site.Stations[b.Step.Place.Station].Kind == line.Cut && b.Step.Progress != line.Finished
		if uncut {
			pool += b.Trays
		}
	}
	return greens, pool + chores(s)
}

// chores counts the growing trays that are in work.
func chores(s *line.State) (n int) {
	for _, c := range s.Chores {
		n += c.Trays
	}
	return n
}

// carried works out from the raw loads what a circuit has to be counted with.
func carried(s *line.State, circuit int, now time.Time) float64 {
	open := slices.Contains(openCircuits(s), circuit)
	sum := 0.0
	for i, l := range s.Site.Panel.Loads {
		if l.Circuit != circuit || open && !s.Power.Loads[i].InDoubt {
			continue
		}
		worst := 0.0
		for _, st := range l.Settings {
			worst = max(worst, st.AmpsA)
		}
		switch {
		case l.Cycles && !s.Power.Loads[i].DeclaredOff:
			sum += worst
		case isOn(s, i, now):
			sum += l.Settings[s.Power.Loads[i].Setting].AmpsA
		}
	}
	return sum
}

func openCircuits(s *line.State) []int {
	var out []int
	for c, since := range s.Tripped {
		if !since.IsZero() {
			out = append(out, c)
		}
	}
	return out
}

// inDoubt says whether a machine counts as on only because an entry was taken back.
func inDoubt(s *line.State, now time.Time) bool {
	for i := range s.Power.Loads {
		if s.Power.Loads[i].InDoubt && isOn(s, i, now) {
			return true
		}
	}
	return false
}

func isOn(s *line.State, load int, now time.Time) bool {
	st, l := s.Power.Loads[load], s.Site.Panel.Loads[load]
	return st.On && !(l.SelfOff && !st.Until.IsZero() && !now.Before(st.Until))
}

// drawFact draws something that somebody saw, now or earlier.
func drawFact(t *rapid.T, s *line.State, now time.Time) line.Command {
	load := pick(t, len(s.Site.Panel.Loads), "load")
	circuit := pick(t, len(s.Site.Panel.Circuits), "circuit")
	everywhere := rapid.Bool().Draw(t, "everywhere")
	asOf := one(t, "as of", time.Time{}, now, now.Add(-time.Duration(pick(t, 3600, "ago"))*time.Second), now.Add(-48*time.Hour), now.Add(time.Minute))
	switch pick(t, 10, "what") {
	case 0, 1, 2:
		return line.MarkOn{Load: load, Setting: pick(t, 3, "setting"), AsOf: asOf, Meter: pick(t, 2, "meter") == 1}
	case 3, 4:
		return line.MarkOff{Load: load, AsOf: asOf}
	case 5:
		return line.MarkUnplugged{Load: load, AsOf: asOf}
	case 6:
		return line.MarkPlugged{Load: load, Circuit: circuit, AsOf: asOf}
	case 7:
		return line.MarkPowerLost{Circuit: circuit, Everywhere: everywhere, AsOf: asOf}
	case 8:
		return line.MarkTripped{Circuit: circuit, AsOf: asOf}
	}
	if s.Power.Open(circuit) && !s.Power.Dark(circuit) {
		return line.ResetBreaker{Circuit: circuit, AsOf: asOf}
	}
	return line.MarkPowerBack{Circuit: circuit, Everywhere: everywhere, AsOf: asOf}
}
