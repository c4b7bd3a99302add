// Package recipeui is the recipe screen: every crop's times and how they came to
// be, the air of the day, tastings, and what the tastings speak for.
package recipeui

import (
	tea "github.com/charmbracelet/bubbletea"

	"shedbell/line"
	"shedbell/recipes"
	"shedbell/ui/act"
	"shedbell/ui/canvas"
	"shedbell/ui/form"
	"shedbell/ui/screen"
)

// page is one of the screen's pages.
type page interface {
	actions(s *Screen, env *screen.Env) act.Table
	draw(s *Screen, env *screen.Env, r canvas.Region)
}

// Screen is the recipe screen. What was changed or typed and not saved stays until
// it is.
type Screen struct {
	at     page
	list   listPage
	one    onePage
	tastes map[int]*form.Form // begun and not finished, by batch
	air    *form.Form         // the air, begun and not sent
	known  known
}

// New makes the screen.
func New() *Screen {
	s := &Screen{tastes: map[int]*form.Form{}}
	s.one.drafts = map[string]recipes.Recipe{}
	s.known.looked = map[string]looked{}
	s.at = &s.list
	return s
}

// Actions is what can be done on the page at hand.
func (s *Screen) Actions(env *screen.Env) act.Table { return s.at.actions(s, env) }

// Draw draws the page at hand.
func (s *Screen) Draw(env *screen.Env, r canvas.Region) { s.at.draw(s, env, r) }

// Update answers a message.
func (s *Screen) Update(env *screen.Env, msg tea.Msg) tea.Cmd {
	switch msg := msg.(type) {
	case screen.OpenMsg:
		return s.open(env, msg)
	case savingMsg:
		s.known.saving = msg
	case screen.ResultMsg:
		return s.result(env, msg)
	}
	return nil
}

// open goes to the page that is asked for: a batch to taste, a crop, from the board
// the crop and the step at hand, else the list. Back from the help, or from another
// screen that says nothing, everything is as it was.
func (s *Screen) open(env *screen.Env, msg screen.OpenMsg) tea.Cmd {
	switch {
	case msg.Batch != 0:
		s.taste(env, msg.Batch, msg.From)
	case msg.Crop != "":
		return s.show(env, msg.Crop, "", env.Words.Say("recipes.why-screen"))
	case msg.From == screen.Board:
		if crop, step, ok := atHand(env); ok {
			return s.show(env, crop, step, env.Words.Say("recipes.why-board"))
		}
		s.at = &s.list
	case msg.From == screen.Help:
	default:
		s.at = &s.list
	}
	return nil
}

// result drops the draft that has become a revision, and goes on with what waits.
func (s *Screen) result(env *screen.Env, msg screen.ResultMsg) tea.Cmd {
	switch c := msg.Command.(type) {
	case line.Revise:
		if msg.Refusal == nil {
			delete(s.one.drafts, c.Recipe.Crop)
			s.one.typed = ""
		}
	case line.GoBack:
		if msg.Refusal == nil {
			return s.show(env, c.Crop, "", s.one.why)
		}
	case line.TasteBatch:
		if t, ok := s.at.(*tastePage); ok && msg.Refusal == nil {
			delete(s.tastes, c.Batch)
			return t.done(s, env)
		}
	case line.ReadAir:
		if _, ok := s.at.(*airPage); ok && msg.Refusal == nil {
			s.at, s.air = &s.list, nil
		}
	}
	return s.weigh(env)
}

// atHand is the crop and the step that a person at the board means: those of the
// chosen station, else of what the sentence is about.
func atHand(env *screen.Env) (crop string, step recipes.Step, ok bool) {
	place := line.Nowhere
	switch {
	case env.Focus.Set:
		place = env.Focus.Place
	case len(env.Prompt) > 0:
		place = env.Prompt[0].From
		if place.Station < 0 {
			place = env.Prompt[0].To
		}
		crop = env.Prompt[0].Crop
	}
	if place.Station < 0 {
		return "", "", false
	}
	kind := env.State.Site.Stations[place.Station].Kind
	step = stepOf(kind)
	if b, _ := env.State.Occupant(place); b != nil {
		return b.Crop, step, true
	}
	if crop == "" {
		crop = next(env.State, kind)
	}
	if crop == "" {
		crop = last(env.State)
	}
	_, ok = env.State.Recipe(crop)
	return crop, step, ok
}

// stepOf is the time that belongs to a kind of station.
func stepOf(k line.Kind) recipes.Step {
	switch k {
	case line.Cut, line.Wash:
		return recipes.Soak
	case line.Spin:
		return recipes.Spin
	}
	return recipes.Dry
}

// next is the crop that comes to a kind of station next.
func next(s *line.State, k line.Kind) string {
	for i := range s.Batches {
		if next, ok := s.NextKind(&s.Batches[i]); ok && next == k {
			return s.Batches[i].Crop
		}
	}
	return ""
}

// last is the crop of the batch that was packed last.
func last(s *line.State) string {
	p, _ := s.LastPacked()
	return p.Ran.Crop
}

// goTo shows another page.
func (s *Screen) goTo(p page) func() tea.Cmd {
	return func() tea.Cmd { s.at = p; return nil }
}

// readOnly says why a recipe cannot be changed; empty where it can.
func readOnly(env *screen.Env) string {
	if env.Prefs.Trainee {
		return "recipes-why.trainee"
	}
	return ""
}
