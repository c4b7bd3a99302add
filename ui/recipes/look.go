package recipeui

import (
	"fmt"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"shedbell/line"
	"shedbell/line/plan"
	"shedbell/recipes"
	"shedbell/ui/screen"
	"shedbell/ui/words"
)

// known is what has been worked out from the tastings, kept until there is a new
// tasting or a new revision.
type known struct {
	looked map[string]looked
	saving savingMsg
	weighs string // what saving is being worked out for
}

// looked is one crop's evidence.
type looked struct {
	revision, tastings int
	last               time.Time
	suggestion         recipes.Suggestion
	bracket            recipes.Bracket
	points             []recipes.Point
}

// look gives a crop's evidence.
func (s *Screen) look(st *line.State, r *recipes.Recipe) looked {
	n := 0
	var last time.Time
	for i := range st.Tastings {
		if st.Tastings[i].Ran.Crop == r.Crop {
			n, last = n+1, st.Tastings[i].At
		}
	}
	l, ok := s.known.looked[r.Crop]
	if ok && l.revision == r.Revision && l.tastings == n && l.last.Equal(last) {
		return l
	}
	l = looked{revision: r.Revision, tastings: n, last: last}
	if n > 0 {
		l.suggestion, l.bracket, l.points = st.Book.Look(r.Crop, st.Tastings)
	}
	s.known.looked[r.Crop] = l
	return l
}

// savingMsg is what a suggestion saves of the day, from two rehearsals.
type savingMsg struct {
	about string        // the suggestion in words
	by    time.Duration // how much sooner the day is done
	ok    bool
}

// weigh starts working out in the background what the suggestion on the page saves
// of the day.
func (s *Screen) weigh(env *screen.Env) tea.Cmd {
	r, ok := env.State.Recipe(s.one.crop)
	if s.at != page(&s.one) || !ok || env.State.Sheet == nil {
		return nil
	}
	g := s.look(env.State, &r).suggestion
	if len(g.Changes) == 0 {
		return nil
	}
	about := fmt.Sprint(g.Revision, env.State.Seq, g.Changes)
	if s.known.weighs == about {
		return nil
	}
	s.known.weighs = about
	st, now, changed := env.State, env.Now, g.Apply(r)
	return func() tea.Msg {
		by, ok := Saves(st, now, changed)
		return savingMsg{about, by, ok}
	}
}

// Saves is how much sooner the open day would be done with a changed recipe, by
// planning the rest of it both ways. It is false where no day is open or the day
// cannot end.
func Saves(s *line.State, now time.Time, changed recipes.Recipe) (time.Duration, bool) {
	if s.Sheet == nil {
		return 0, false
	}
	ends := [2]time.Time{}
	with := *s
	with.Book = s.Book.With(changed)
	for i, st := range []*line.State{s, &with} {
		p, err := plan.Repair(st, now, nil, plan.Options{Seed: 1})
		if err != nil {
			return 0, false
		}
		ends[i] = p.Finish
	}
	return ends[0].Sub(ends[1]), true
}

// savingWords says what a suggestion saves of the day.
func (s *Screen) savingWords(env *screen.Env, g *recipes.Suggestion) string {
	if env.State.Sheet == nil || len(g.Changes) == 0 {
		return ""
	}
	m := s.known.saving
	switch {
	case m.about != s.known.weighs || m.about == "":
		return env.Words.Say("recipes.saving-computed")
	case !m.ok:
		return ""
	case m.by >= time.Minute:
		return env.Words.Say("recipes.saving-sooner", words.Clock(m.by))
	case m.by <= -time.Minute:
		return env.Words.Say("recipes.saving-later", words.Clock(-m.by))
	}
	return env.Words.Say("recipes.saving-none")
}
