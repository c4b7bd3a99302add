package line

import (
	"fmt"
	"time"
)

// running returns the step in a slot, with what it is called, or says why there is
// none to act on.
func (d *draft) running(at Place) (*Step, string, *Refusal) {
	b, chore := d.s.Occupant(at)
	switch {
	case b != nil && b.Step.Active():
		return &b.Step, b.Name(), nil
	case chore != nil && chore.Step.Active():
		return &chore.Step, chore.Kind.String(), nil
	case b != nil:
		return nil, "", refuse(RuleOrder, "%s is not running at %s.", b.Name(), d.s.PlaceName(at))
	}
	return nil, "", refuse(RuleNothing, "nothing runs there.")
}

func (c Adjust) decide(d *draft) *Refusal {
	step, name, no := d.running(c.At)
	if no != nil {
		return no
	}
	st := &d.s.Site.Stations[c.At.Station]
	if step.Planned == 0 {
		return refuse(RuleOrder, "%s is done by hand and has no countdown to change.", st.Name)
	}
	if c.By < -MaxCountdown || c.By > MaxCountdown {
		return refuse(RuleValue, "a countdown is not changed by %s.", signed(c.By))
	}
	planned := step.Planned + c.By
	if no := d.keepsContact(c.At, planned); no != nil {
		return no
	}
	if st.Kind == Sanitize && planned < st.Contact {
		return refuse(RuleContact, "the sanitizer needs its contact time of %s. It can be made longer, not shorter.", Clock(st.Contact))
	}
	if planned < MinCountdown || planned > MaxCountdown {
		return refuse(RuleValue, "a countdown of %s cannot be meant. Use Finish to end the step.", Clock(planned))
	}
	if no := d.selfOffAgain(step, c.By); no != nil {
		return no
	}
	d.undo = fmt.Sprintf("%s on %s, %s", signed(c.By), st.Name, name)
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
		return refuse(RuleContact, "the wash sanitizer needs its contact time of %s. The wash can be made longer, not shorter.", Clock(r.SanitizerContact))
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
		return refuse(RuleOrder, "%s is already held.", name)
	}
	d.undo = "hold of " + name
	d.emit(StepHeld(c))
	return nil
}

func (c Resume) decide(d *draft) *Refusal  { return d.resume(c.At, false) }
func (c Restart) decide(d *draft) *Refusal { return d.resume(c.At, true) }

func (d *draft) resume(at Place, afresh bool) *Refusal {
	step, name, no := d.running(at)
	if no != nil {
		return no
	}
	if step.Progress == Running {
		return refuse(RuleOrder, "%s is running. Hold it first.", name)
	}
	if d.s.IsBroken(at) {
		return refuse(RuleBroken, "%s is out of use until it is mended.", d.s.PlaceName(at))
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
	d.undo = "resuming of " + name
	if afresh {
		d.undo = "restart of " + name
	}
	if b, _ := d.s.Occupant(at); b != nil {
		if by := d.rescaled(b, left, setting); by != 0 {
			d.emit(StepAdjusted{At: at, By: by})
		}
	}
	d.emit(StepResumed{At: at, Setting: setting, Afresh: afresh})
	return nil
}

// Clock writes a duration as a countdown shows it, to the nearest second: 12:40,
// 1:02:03, -0:12.
func Clock(t time.Duration) string {
	sign := ""
	if t < 0 {
		sign, t = "-", -t
	}
	t = t.Round(time.Second)
	if h := int(t.Hours()); h > 0 {
		return fmt.Sprintf("%s%d:%02d:%02d", sign, h, int(t.Minutes())%60, int(t.Seconds())%60)
	}
	return fmt.Sprintf("%s%d:%02d", sign, int(t.Minutes()), int(t.Seconds())%60)
}

func signed(t time.Duration) string {
	if t < 0 {
		return Clock(t)
	}
	return "+" + Clock(t)
}
