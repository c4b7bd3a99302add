package line

import (
	"slices"
	"time"

	"shedbell/line/say"
	"shedbell/power"
	"shedbell/recipes"
)

// chooseSetting picks the setting that a step's load would run at. A bank that
// serves several slots and is already on stays as it is unless asked otherwise.
func (d *draft) chooseSetting(st *Station, to Place, r *recipes.Recipe, asked string) (int, *Refusal) {
	if st.Load == NoLoad {
		return 0, nil
	}
	load := &d.s.Site.Panel.Loads[st.Load]
	if setting, on := d.s.Power.Loads[st.Load].InBooks(); asked == "" && on && d.s.LoadUsers(st.Load, to) > 0 {
		return setting, nil
	}
	name := asked
	if name == "" {
		name = st.Setting
	}
	if name == "" && st.Kind == Dry && len(load.Settings) > 1 {
		name = r.Fan // a bank with one speed has no choice
	}
	setting, ok := load.SettingByName(name)
	if !ok {
		return 0, refuse(RuleUnknown, "line.no-setting", say.Load(load.Name), printable(name))
	}
	return setting, nil
}

// plannedTime is the countdown of a step: from the recipe, the dry time scaled to
// the setting that the fans really run at and, where the crop follows it, the air;
// longer by what is reported to slow the place.
func (d *draft) plannedTime(st *Station, at Place, load int, r *recipes.Recipe, setting int) time.Duration {
	var t time.Duration
	switch st.Kind {
	case Wash:
		t = r.WashTime()
	case Spin:
		t = r.Spin
	case Dry:
		t = d.s.DryTime(r, d.s.fanOf(st, &Step{Load: load, Setting: setting}), d.now)
	}
	return min(d.s.slower(at, t), max(t, MaxCountdown))
}

// allow puts a start to the interlock.
func (d *draft) allow(load, setting int, runs time.Duration) *Refusal {
	if load == NoLoad || d.past {
		return nil
	}
	v := d.s.Site.Panel.Judge(d.s.Power, power.Ask{Load: load, Setting: setting, For: runs}, d.now)
	if v.Allowed {
		return nil
	}
	return d.powerRefusal(load, setting, runs, &v)
}

// powerRefusal puts the interlock's answer into one text: why, and the way out.
func (d *draft) powerRefusal(load, setting int, runs time.Duration, v *power.Verdict) *Refusal {
	p := &d.s.Site.Panel
	says := v.Says()
	for i := range p.Loads[load].Settings {
		if p.Loads[load].Settings[i].AmpsA >= p.Loads[load].Settings[setting].AmpsA {
			continue
		}
		if p.Allows(d.s.Power, power.Ask{Load: load, Setting: i, For: runs}, d.now) {
			says = append(says, say.New("line.runs-at-setting", say.Setting(p.Loads[load].Settings[i].Name)))
			break
		}
	}
	rule := "power"
	if len(v.Reasons) > 0 {
		rule = v.Reasons[0].Rule
	}
	return &Refusal{Rule: rule, Says: says, Verdict: v}
}

func (c SwitchOn) decide(d *draft) *Refusal {
	p := &d.s.Site.Panel
	if c.Load < 0 || c.Load >= len(p.Loads) || c.Setting < 0 || c.Setting >= len(p.Loads[c.Load].Settings) {
		return refuse(RuleUnknown, "line.no-load-or-setting")
	}
	if c.For < 0 || c.For > MaxCountdown {
		return refuse(RuleValue, "line.run-length", clock(c.For))
	}
	if no := d.allow(c.Load, c.Setting, c.For); no != nil {
		return no
	}
	d.undo = say.New("undo.switch-on", say.Load(p.Loads[c.Load].Name))
	d.rescale(c.Load, c.Setting)
	d.emit(LoadSwitched{Load: c.Load, On: true, Setting: c.Setting, For: c.For})
	return nil
}

func (c SwitchOff) decide(d *draft) *Refusal {
	p := &d.s.Site.Panel
	if c.Load < 0 || c.Load >= len(p.Loads) {
		return refuse(RuleUnknown, "line.no-load")
	}
	if !d.s.Power.Loads[c.Load].On {
		return refuse(RuleNothing, "line.is-off", say.Load(p.Loads[c.Load].Name))
	}
	if n := d.s.LoadUsers(c.Load, Nowhere); n > 0 {
		return refuse(RuleOrder, "line.serves", say.Load(p.Loads[c.Load].Name), n)
	}
	d.undo = say.New("undo.switch-off", say.Load(p.Loads[c.Load].Name))
	d.emit(LoadSwitched{Load: c.Load})
	return nil
}

func (c MarkTripped) decide(d *draft) *Refusal {
	name, no := d.breaker(c.Circuit, c.Feeder)
	if no != nil {
		return no
	}
	circuits := d.s.Site.circuitsOf(c.Circuit, c.Feeder)
	if !slices.ContainsFunc(circuits, func(i int) bool { return !d.s.Power.Open(i) }) {
		return refuse(RuleNothing, "line.tripped-already", name)
	}
	at, no := d.asOf(c.AsOf)
	if no != nil {
		return no
	}
	d.undo = say.New("undo.trip", name)
	p := &d.s.Site.Panel
	found := foundAt(p.RecordTrip(d.s.Power, circuits[0], d.now))
	if c.Feeder != "" {
		found = foundOnFeeder(d.s, c.Feeder, d.now)
	}
	d.emit(BreakerTripped{Circuit: c.Circuit, Feeder: c.Feeder, Found: found, AsOf: at})
	return nil
}

func (c ResetBreaker) decide(d *draft) *Refusal {
	name, no := d.breaker(c.Circuit, c.Feeder)
	if no != nil {
		return no
	}
	if !slices.ContainsFunc(d.s.Site.circuitsOf(c.Circuit, c.Feeder), d.s.Power.Open) {
		return refuse(RuleNothing, "line.not-tripped", name)
	}
	at, no := d.asOf(c.AsOf)
	if no != nil {
		return no
	}
	d.undo = say.New("undo.reset", name)
	d.emit(BreakerReset{Circuit: c.Circuit, Feeder: c.Feeder, Asks: true, AsOf: at})
	return nil
}

// breaker names a breaker that there is.
func (d *draft) breaker(circuit int, feeder string) (says say.Sentence, no *Refusal) {
	if feeder != "" {
		if len(d.s.Site.circuitsOf(0, feeder)) == 0 {
			return says, refuse(RuleUnknown, "line.no-feeder")
		}
		return say.New("interlock.feeder", say.Circuit(feeder)), nil
	}
	if !d.s.hasCircuit(circuit) {
		return says, refuse(RuleUnknown, "line.no-circuit")
	}
	return say.New("interlock.circuit", say.Circuit(d.s.Site.Panel.Circuits[circuit].Name)), nil
}
