package words

import (
	"fmt"
	"strings"

	"shedbell/line"
	"shedbell/power"
	"shedbell/recipes"
	"shedbell/recipes/air"
)

// Refusal is the line's no in this language.
func (t *Tongue) Refusal(no *line.Refusal) string { return t.Speech(no.Says) }

// Speech is what the line or the interlock says, in this language. A sentence that
// has no translation stays in English: a refusal is never left out.
func (t *Tongue) Speech(p power.Speech) string {
	parts := make([]string, len(p))
	for i, s := range p {
		parts[i] = t.Sentence(s)
	}
	return strings.Join(parts, " ")
}

// Sentence is one sentence of a speech in this language.
func (t *Tongue) Sentence(s power.Sentence) string {
	format, ok := t.texts[sentenceTable+s.Format]
	if !ok {
		format = s.Format
	}
	args := make([]any, len(s.Args))
	for i, a := range s.Args {
		args[i] = t.argument(a)
	}
	return fmt.Sprintf(format, args...)
}

// sentenceTable has the sentences of packages line and power. Their key is the
// English format, so English itself needs no such table.
const sentenceTable = "said."

// argument puts those values into words that are not numbers or names given by
// people.
func (t *Tongue) argument(a any) any {
	switch a := a.(type) {
	case power.Sentence:
		return t.Sentence(a)
	case power.Names:
		return a.Join(t.word(" and "))
	case recipes.Step:
		return t.Say("recipes-step." + string(a))
	case air.State:
		return t.Air(a)
	case line.Kind, line.ChoreKind, line.EntryKind, line.Effect, line.Use, line.Unit:
		return t.word(fmt.Sprint(a))
	case error:
		return t.word(a.Error())
	}
	return a
}

// Use is what a sanitizer is for.
func (t *Tongue) Use(u line.Use) string { return t.word(string(u)) }

func (t *Tongue) word(english string) string {
	if text, ok := t.texts[sentenceTable+english]; ok {
		return text
	}
	return english
}
