package line

import (
	"time"
)

func (a *adviser) batch(b *Batch) {
	switch {
	case b.Fate == Waiting:
		a.enter(b, Cut, rankCut)
	case b.Fate != OnLine:
		return
	case b.Step.Progress == Running:
		a.running(b)
	case b.Step.Progress == Held || b.Step.Progress == Interrupted:
		a.goOn(b)
	case b.Step.Progress == Loaded:
		a.enter(b, a.kind(b.Step.Place), a.rankOf(b, a.kind(b.Step.Place)))
	case b.Step.Progress == Finished:
		if next, ok := a.s.NextKind(b); ok {
			a.enter(b, next, a.rankOf(b, next))
		}
	}
}

// goOn prompts for a step that is held: where its machine is out of use, at another
// place or by hand.
func (a *adviser) goOn(b *Batch) {
	at := b.Step.Place
	p := Prompt{Act: ActResume, Batch: b.ID, Trays: b.Trays, Crop: b.Crop, From: at, To: at, At: a.now, Command: Resume{At: at}, rank: rankWet}
	if a.s.IsBroken(at) && !b.Step.ByHand {
		if to, free := a.s.FreeSlotOf(a.kind(at), b.Trays); free {
			p.Act, p.To, p.Command = ActMove, to, Move{Batch: b.ID, To: to}
		} else {
			p.ByHand, p.Command = true, Resume{At: at, ByHand: true}
		}
	}
	if d := (draft{s: a.s, now: a.now}); d.contactAnew(at) {
		p.ByHand, p.Command = false, Restart{At: at}
	}
	a.offer(p)
}

// running prompts for the end of a step: when its countdown is over, or when work
// by hand should be done.
func (a *adviser) running(b *Batch) {
	from := b.Step.Place
	at, timed := b.Step.DueAt()
	rank := rankMachine
	if !timed {
		at = a.handEnd(&b.Step, b.Crop, b.Trays)
		rank = rankHand
	} else if a.kind(from) == Wash || a.kind(from) == Spin {
		rank = rankWet
		if r, ok := a.s.Recipe(b.Crop); ok && a.s.WetWait(b, a.now) > r.MaxWetWait/2 {
			rank = rankWetLate
		}
	}
	p := Prompt{Act: ActFinish, Batch: b.ID, Trays: b.Trays, Crop: b.Crop, From: from, To: Nowhere, At: at,
		Hands: a.s.Site.HandsAtEnd(from.Station), Command: Finish{At: from}, rank: rank}
	if next, ok := a.s.NextKind(b); ok && next != Pack && a.kind(from) != Cut && a.kind(from) != Pack {
		if to, free := a.in.FreeSlotOf(next, b.Trays); free || next == Chill {
			adv := p
			adv.Act, adv.To, adv.ByHand = ActAdvance, to, a.s.IsBroken(to)
			adv.Command = Advance{Batch: b.ID, To: to, Setting: a.setting(b, to), ByHand: adv.ByHand}
			if !free {
				adv.Command = Advance{Batch: b.ID, To: Anywhere}
			}
			adv.Hands += a.s.Site.Stations[from.Station].Walk + a.in.Site.HandsAtStart(to.Station)
			if a.carried(&adv, b, next) {
				return
			}
		}
	}
	a.offer(p)
}

// carried prompts for taking a batch on to a free place: to start there, or to stand
// there first, where the plan has it so or the interlock refuses the start now.
func (a *adviser) carried(adv *Prompt, b *Batch, next Kind) bool {
	if next.standsFirst() {
		until := a.standsUntil(b, next)
		_, no := Decide(a.s, adv.Command, later(a.now, adv.At))
		if until.After(later(a.now, adv.At)) || no != nil && no.Verdict != nil && !adv.At.After(a.now) {
			adv.Act, adv.Command = ActPut, Put{Batch: b.ID, To: adv.To}
		}
	}
	if adv.At.After(a.now) || a.decides(adv.Command) {
		a.out = append(a.out, *adv)
		return true
	}
	return false
}

// standsUntil is until when the plan has a batch stand at a kind of station.
func (a *adviser) standsUntil(b *Batch, k Kind) time.Time {
	if a.advice.Stands == nil || !k.standsFirst() {
		return time.Time{}
	}
	return a.advice.Stands(b.ID, k)
}

// setting is the one that the plan wants for a bank of fans that a batch starts,
// where that is another than the recipe's. A bank that runs stays as it is.
func (a *adviser) setting(b *Batch, to Place) string {
	st := &a.in.Site.Stations[to.Station]
	if a.fans == nil || st.Kind != Dry || st.Load == NoLoad || st.Setting != "" {
		return ""
	}
	name := a.fans(b.ID)
	load := &a.s.Site.Panel.Loads[st.Load]
	if _, ok := load.SettingByName(name); !ok || a.s.Power.Loads[st.Load].On && a.s.LoadUsers(st.Load, to) > 0 {
		return ""
	}
	if r, ok := a.s.Recipe(b.Crop); !ok || r.Fan == name {
		return ""
	}
	return name
}

func (a *adviser) decides(c Command) bool { return decides(a.s, c, a.now) }

// enter prompts for putting a standing batch into its next step.
func (a *adviser) enter(b *Batch, k Kind, rank int) {
	to := b.Step.Place
	if b.Fate == Waiting || b.Step.Progress != Loaded || a.s.IsBroken(to) {
		other, free := a.in.FreeSlotOf(k, b.Trays)
		switch {
		case free:
			to = other
		case b.Fate == Waiting || b.Step.Progress != Loaded:
			return
		}
	}
	hand := a.s.IsBroken(to)
	p := Prompt{Act: ActStart, Batch: b.ID, Trays: b.Trays, Crop: b.Crop, From: b.Step.Place, To: to, At: a.now, ByHand: hand,
		Hands: a.in.Site.HandsAtStart(to.Station), Command: Start{Batch: b.ID, To: to, Setting: a.setting(b, to), ByHand: hand}, rank: rank}
	if k == Chill {
		p.Act = ActChill
	}
	if k == Wash && !a.flows(b) || k == Cut && b.Fate == Waiting && !a.sparesHands() {
		return
	}
	_, no := Decide(a.s, p.Command, a.now)
	if no != nil && (no.Rule == RuleWater || no.Rule == RuleApart) {
		a.offerWater(to)
		return
	}
	until := a.standsUntil(b, k)
	switch {
	case b.Fate == OnLine && b.Step.Progress == Loaded:
		if p.Hands = 0; until.After(a.now) {
			p.At = until
			a.out = append(a.out, p)
			return
		}
	case k.standsFirst() && (until.After(a.now) || no != nil && no.Verdict != nil):
		p.Act, p.Command = ActPut, Put{Batch: b.ID, To: to}
		a.offer(p)
		return
	}
	a.answered(p, no)
}

// offerWater prompts for a water change, which is what stands in the way.
func (a *adviser) offerWater(to Place) {
	st := &a.s.Site.Stations[to.Station]
	a.offer(Prompt{Act: ActChore, Chore: ChangeWater, From: Nowhere, To: Place{to.Station, 0}, At: a.now,
		Hands: st.HandsTime, ByHand: a.s.IsBroken(Place{to.Station, 0}), Command: StartChore{Kind: ChangeWater, To: Place{to.Station, 0}, ByHand: a.s.IsBroken(Place{to.Station, 0})}, rank: rankWater})
}

func (a *adviser) rankOf(b *Batch, k Kind) int {
	switch k {
	case Chill:
		return rankCold
	case Pack:
		return rankPack
	case Cut:
		return rankCut
	case Wash:
		return rankWash
	}
	if r, ok := a.s.Recipe(b.Crop); ok && a.s.WetWait(b, a.now) > r.MaxWetWait/2 {
		return rankWetLate
	}
	return rankWet
}

func (a *adviser) kind(p Place) Kind { return a.s.Site.Stations[p.Station].Kind }

// handEnd is when work by hand that goes on should be over.
func (a *adviser) handEnd(step *Step, crop string, trays int) time.Time {
	return step.Started.Add(step.Paused + a.advice.HandTime(a.s, step.Place, crop, trays, step.By))
}

// HandsAtStart is how long starting a step at a station ties a person up.
func (s *Site) HandsAtStart(station int) time.Duration {
	if station < 0 {
		return 0
	}
	if h := s.Stations[station].Hands; h == HandsStart || h == HandsBoth {
		return s.Stations[station].HandsTime
	}
	return 0
}

// HandsAtEnd is how long ending a step at a station ties a person up.
func (s *Site) HandsAtEnd(station int) time.Duration {
	if h := s.Stations[station].Hands; h == HandsEnd || h == HandsBoth {
		return s.Stations[station].HandsTime
	}
	return 0
}
