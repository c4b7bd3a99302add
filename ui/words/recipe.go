package words

import (
	"fmt"
	"strconv"
	"strings"
	"time"

	"shedbell/line/say"
	"shedbell/recipes"
)

// Recipe is what package recipes says, in this language.
func (t *Speaker) Recipe(s say.Sentence) string { return t.Sentence(s) }

func (t *Speaker) recipes(list []say.Sentence) []string {
	out := make([]string, len(list))
	for i, s := range list {
		out[i] = t.Recipe(s)
	}
	return out
}

// Air is the state of the air: "24 °C and 71 % humid".
func (t *Speaker) Air(a recipes.Air) string { return t.Sentence(a.Says()) }

// Step is what people call a step of a recipe.
func (t *Speaker) Step(s recipes.Step) string { return t.Say("recipes-step." + string(s)) }

// Question is what is asked about a batch in the place of an aspect.
func (t *Speaker) Question(aspect int) string { return t.Say("aspect." + recipes.Aspects[aspect]) }

// Answer is a score in words.
func (t *Speaker) Answer(aspect int, s recipes.Score) string {
	return t.Say(fmt.Sprintf("aspect.%s-%d", recipes.Aspects[aspect], s))
}

// Changes are the times that a suggestion changes: "spin 4:00 to 3:30".
func (t *Speaker) Changes(s *recipes.Suggestion) string {
	parts := make([]string, len(s.Changes))
	for i, c := range s.Changes {
		parts[i] = t.Say("suggest.change", t.Step(c.Step), Clock(c.From), Clock(c.To))
		if c.Step == recipes.Dry {
			parts[i] = t.Say("suggest.in-air", parts[i], t.Air(s.Air))
		}
	}
	return strings.Join(parts, ", ")
}

// Suggestion is one in a line, with what speaks for it.
func (t *Speaker) Suggestion(s *recipes.Suggestion) string {
	text := t.Say("suggest.keep")
	if len(s.Changes) > 0 {
		text = t.Changes(s)
	}
	evidence := append([]string{t.Batches(len(s.Batches))}, t.recipes(s.Evidence)...)
	text = t.Say("suggest.evidence", text, strings.Join(evidence, ", "))
	switch {
	case s.Saving > 0:
		text = t.Say("suggest.saves", text, Clock(s.Saving))
	case s.Saving < 0:
		text = t.Say("suggest.takes", text, Clock(-s.Saving))
	}
	if !s.Cost.IsZero() {
		text = t.Say("suggest.cost", text, t.Recipe(s.Cost))
	}
	return text
}

// Bracket is where the tastings put the right dry time.
func (t *Speaker) Bracket(b *recipes.Bracket) string {
	return t.Say("suggest.bracket", Clock(b.Low), Clock(b.High), b.Tastings, Clock(b.Try))
}

// Today compares the recipe's dry time with the day's.
func (t *Speaker) Today(d *recipes.DryTime) string {
	own, today := t.minutes(d.Recipe), t.minutes(d.Today)
	if d.Today == d.Recipe && d.Bound == "" {
		return t.Say("suggest.as-recipe", own, today)
	}
	text := t.Say("suggest.today", own, today)
	if len(d.Reasons) > 0 {
		text += t.Say("suggest.because", strings.Join(t.recipes(d.Reasons), t.Say("suggest.and")))
	}
	switch {
	case d.Bound == "longest" && d.Needed == 0:
		text += t.Say("suggest.never", t.Recipe(d.WayOut))
	case d.Bound == "longest":
		text += t.Say("suggest.at-longest", t.minutes(d.Needed), t.Recipe(d.WayOut))
	case d.Bound == "shortest":
		text += t.Say("suggest.at-shortest", t.minutes(d.Needed))
	}
	return text
}

// minutes writes a time the way it is said: 22 min, 22:30 min.
func (t *Speaker) minutes(d time.Duration) string {
	s := int(d.Round(time.Second).Seconds())
	if s%60 == 0 {
		return t.Say("suggest.minutes", strconv.Itoa(s/60))
	}
	return t.Say("suggest.minutes", fmt.Sprintf("%d:%02d", s/60, s%60))
}
