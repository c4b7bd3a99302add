package power

import (
	"slices"
	"time"
)

// offInBooks is the setting in the books of a load that they have as off.
const offInBooks = -1

// InBooks is what the books say of a load, which is something else than what it
// counts as while that is in doubt.
func (st *Status) InBooks() (setting int, on bool) {
	if st.InDoubt {
		return st.Books, st.Books != offInBooks
	}
	return st.Setting, st.On
}

// PerhapsOff says whether a load counts as on although by the books it is off, or has
// switched itself off. Who starts it then may really start it.
func (st *Status) PerhapsOff() bool {
	return st.On && st.InDoubt && (st.Books == offInBooks || st.Books == st.Setting)
}

// Settled returns the state with a load certain to be as it counts.
func (s State) Settled(load int) State {
	loads := slices.Clone(s.Loads)
	loads[load].InDoubt, loads[load].Books = false, 0
	s.Loads = loads
	return s
}

// Doubted returns the state with a load that is on in doubt: by the books it does
// something else.
func (s State) Doubted(load int, books Status) State {
	loads := slices.Clone(s.Loads)
	st := &loads[load]
	st.InDoubt, st.Books = true, offInBooks
	if setting, on := books.InBooks(); on {
		st.Books = setting
	}
	s.Loads = loads
	return s
}

// TakenBack returns the state after an action that began at the instant since is
// taken out of the books, which were as before. That changes nothing in the shed: a
// load counts as on if it does in either state, at the setting that draws more. Every
// breaker is as warm as that makes it, and no cooler than it was.
func (s State) TakenBack(p *Panel, before State, since, now time.Time) State {
	since, now = since.Round(0), now.Round(0)
	next := State{Loads: make([]Status, len(s.Loads)), OpenCircuits: before.OpenCircuits, DarkCircuits: before.DarkCircuits}
	for i := range next.Loads {
		next.Loads[i] = p.eitherOf(s, before, i, now)
	}
	both := next
	both.Heat = make([]Heat, len(p.Circuits)+2*len(p.Feeders))
	p.eachPole(func(pl pole) {
		k := p.slot(pl)
		both.Heat[k] = p.heatOf(before, pl, since)
		both.Heat[k].At = since
	})
	next.Heat = both.AsHot(p, s, now).Heat
	return next
}

// AsHot returns the state with every breaker at least as warm as in another one at the
// instant now.
func (s State) AsHot(p *Panel, other State, now time.Time) State {
	heat := make([]Heat, len(p.Circuits)+2*len(p.Feeders))
	p.eachPole(func(pl pole) {
		x, y := p.heatOf(s, pl, now), p.heatOf(other, pl, now)
		heat[p.slot(pl)] = Heat{Level: max(x.Level, y.Level), Short: max(x.Short, y.Short), At: now}
	})
	s.Heat = heat
	return s
}

// eitherOf is how a load counts that was doing what s says and by the books does what
// before says.
func (p *Panel) eitherOf(s, before State, i int, now time.Time) Status {
	st, books := s.Loads[i], before.Loads[i]
	books.DeclaredOff = st.DeclaredOff && books.DeclaredOff
	st.DeclaredOff = books.DeclaredOff
	switch {
	case s.Drawing(p, i, now):
	case !books.On && s.reserved(p, i) && before.Open(p.Loads[i].Circuit):
		return Status{On: true, Since: now, InDoubt: true, Books: offInBooks} // its breaker may be closed
	default:
		return books
	}
	setting, on := books.InBooks()
	if !on {
		setting = offInBooks
	}
	draws := before.Drawing(p, i, now)
	if draws && p.settingA(i, books.Setting) > p.settingA(i, st.Setting) {
		st.Setting = books.Setting
	}
	if draws && books.onSince().Before(st.onSince()) {
		st.OnSince = books.onSince()
	}
	if books.On {
		st.Since = books.Since
	}
	st.Spoils = books.On && books.Spoils
	if !p.Loads[i].SelfOff || endsLater(books, st) {
		st.Until = books.Until
	}
	st.InDoubt, st.Books = setting != st.Setting || !draws || books.PerhapsOff() || before.Open(p.Loads[i].Circuit), 0
	if st.InDoubt {
		st.Books = setting
	}
	return st
}

// endsLater says whether the books have a load go on for longer. The end of a countdown
// is that of the books, but what switches itself off does so at the later end.
func endsLater(books, st Status) bool {
	return books.On && !st.Until.IsZero() && (books.Until.IsZero() || books.Until.After(st.Until))
}

// eachPole calls f with every pole of the panel.
func (p *Panel) eachPole(f func(pole)) {
	for c := range p.Circuits {
		f(pole{circuit: c, feeder: -1})
	}
	for i := range p.Feeders {
		for _, leg := range [2]Leg{LegA, LegB} {
			f(pole{circuit: -1, feeder: i, leg: leg})
		}
	}
}
