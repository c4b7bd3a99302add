package line

import (
	"time"

	"shedbell/line/say"
	"shedbell/recipes"
)

// running returns the step in a slot, with what it is called, or says why there is
// none to act on.
func (d *draft) running(at Place) (*Step, any, *Refusal) {
	b, chore := d.s.Occupant(at)
	switch {
	case b != nil && b.Step.Active():
		return &b.Step, b.Label(), nil
	case chore != nil && chore.Step.Active():
		return &chore.Step, chore.Kind, nil
	case b != nil:
		return nil, "", refuse(RuleOrder, "line.not-running", b.Label(), d.at(at))
	}
	return nil, "", refuse(RuleNothing, "line.nothing-runs")
}

func (c Adjust) decide(d *draft) *Refusal {
	step, name, no := d.running(c.At)
	if no != nil {
		return no
	}
	st := &d.s.Site.Stations[c.At.Station]
	if step.Planned == 0 {
		return refuse(RuleOrder, "line.by-hand", say.Station(st.Name))
	}
	if c.By < -MaxCountdown || c.By > MaxCountdown {
		return refuse(RuleValue, "line.change-by", clock(c.By))
	}
	planned := step.Planned + c.By
	if no := d.keepsContact(c.At, planned); no != nil {
		return no
	}
	if least := max(st.Contact, d.s.labelContact()); st.Kind == Sanitize && planned < least {
		return refuse(RuleContact, "line.contact", clock(least))
	}
	if planned < MinCountdown || planned > MaxCountdown {
		return refuse(RuleValue, "line.countdown", clock(planned))
	}
	if no := d.selfOffAgain(step, c.By); no != nil {
		return no
	}
	d.undo = say.New("undo.adjust", clock(c.By), say.Station(st.Name), name)
	d.emit(StepAdjusted(c))
	return nil
}

// keepsContact refuses a wash countdown shorter than its sanitizer's contact time.
func (d *draft) keepsContact(at Place, planned time.Duration) *Refusal {
	b, _ := d.s.Occupant(at)
	if b == nil || d.kind(at) != Wash {
		return nil
	}
	if r, ok := d.s.Book.Revision(b.Crop, b.Step.Revision); ok && planned < r.SanitizerContact {
		return refuse(RuleContact, "line.wash-contact", clock(r.SanitizerContact))
	}
	return nil
}

// selfOffAgain puts more time for a machine that has switched itself off to the
// interlock, because it starts again with it.
func (d *draft) selfOffAgain(step *Step, by time.Duration) *Refusal {
	if step.Load == NoLoad || step.Progress == Held || d.s.Power.Drawing(&d.s.Site.Panel, step.Load, d.now) {
		return nil
	}
	left := step.countdownEnd().Add(by).Sub(d.now)
	if left <= 0 {
		return nil
	}
	return d.allow(step.Load, step.Setting, left)
}

func (c Hold) decide(d *draft) *Refusal {
	step, name, no := d.running(c.At)
	if no != nil {
		return no
	}
	if step.Progress == Held {
		return refuse(RuleOrder, "line.held-already", name)
	}
	d.undo = say.New("undo.hold", name)
	d.emit(StepHeld(c))
	return nil
}

func (c Resume) decide(d *draft) *Refusal {
	if c.ByHand {
		return d.standIn(c.At)
	}
	return d.resume(c.At, false)
}
func (c Restart) decide(d *draft) *Refusal { return d.resume(c.At, true) }

// contactAnew says whether a wash has to begin again, because its water with the
// sanitizer in it was let out.
func (d *draft) contactAnew(at Place) bool {
	b, _ := d.s.Occupant(at)
	if b == nil || d.kind(at) != Wash || !d.s.Water[at.Station].Empty {
		return false
	}
	r, _ := d.s.Book.Revision(b.Crop, b.Step.Revision)
	return r.SanitizerContact > 0
}

// standIn has people go on by hand with a step whose machine has stopped. Greens on a
// rack dry on without fans.
func (d *draft) standIn(at Place) *Refusal {
	step, name, no := d.running(at)
	if no != nil {
		return no
	}
	switch {
	case step.Progress != Held:
		return refuse(RuleOrder, "line.by-hand-held", name)
	case d.contactAnew(at):
		return refuse(RuleContact, "line.contact-anew", d.at(at))
	}
	e := StepResumed{At: at, ByHand: true}
	switch st := &d.s.Site.Stations[at.Station]; st.Kind {
	case Wash, Sanitize:
		e.Planned = step.Planned
	case Dry:
		b, _ := d.s.Occupant(at)
		r, _ := d.s.Book.Revision(b.Crop, step.Revision)
		left := max(0, step.Left(d.now))
		if was := d.s.DryTime(&r, d.s.fanOf(st, step), d.now); was > 0 {
			left = time.Duration(float64(left) * float64(d.s.DryTime(&r, recipes.FanOff, d.now)) / float64(was)).Round(time.Second)
		}
		e.Planned = min(step.Ran(d.now)+left, MaxCountdown)
	}
	d.undo = say.New("undo.resume", name)
	d.emit(e)
	return nil
}

func (d *draft) resume(at Place, afresh bool) *Refusal {
	step, name, no := d.running(at)
	if no != nil {
		return no
	}
	if step.Progress == Running {
		return refuse(RuleOrder, "line.runs-already", name)
	}
	if d.s.IsBroken(at) {
		return refuse(RuleBroken, "line.out-of-use", d.at(at))
	}
	if !afresh && d.contactAnew(at) {
		return refuse(RuleContact, "line.contact-anew", d.at(at))
	}
	setting := step.Setting
	if step.Load != NoLoad && d.s.LoadUsers(step.Load, at) > 0 {
		if now, on := d.s.Power.Loads[step.Load].InBooks(); on {
			setting = now
		}
	}
	left := step.Planned
	if !afresh {
		left = max(0, step.Left(d.now))
	}
	if no := d.allow(step.Load, setting, left); no != nil {
		return no
	}
	d.undo = say.New("undo.resume", name)
	if afresh {
		d.undo = say.New("undo.restart", name)
	}
	if b, _ := d.s.Occupant(at); b != nil {
		if by := d.rescaled(b, left, setting); by != 0 {
			d.emit(StepAdjusted{At: at, By: by})
		}
	}
	d.emit(StepResumed{At: at, Setting: setting, Afresh: afresh})
	return nil
}
