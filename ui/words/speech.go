package words

import (
	"errors"
	"fmt"
	"strings"

	"shedbell/line"
	"shedbell/power"
	"shedbell/recipes"
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
	case recipes.Air:
		return t.Air(a)
	case line.Kind, line.ChoreKind, line.EntryKind, line.Effect, line.Use, line.Unit:
		return t.word(fmt.Sprint(a))
	case error:
		return t.word(a.Error())
	}
	return a
}

// Problem is an error in this language. One that has its values apart is said; of
// others it is tried what is known of their English.
func (t *Tongue) Problem(err error) string {
	var said interface{ Sentence() power.Sentence }
	if errors.As(err, &said) {
		return t.Sentence(said.Sentence())
	}
	return t.Echo(err.Error())
}

// Setting is the name of a load's setting. The usual three are words; any other is a
// name that people gave.
func (t *Tongue) Setting(name string) string {
	if key := "setting." + name; t.Has(key) {
		return t.Say(key)
	}
	return name
}

// Use is what a sanitizer is for.
func (t *Tongue) Use(u line.Use) string { return t.word(string(u)) }

func (t *Tongue) word(english string) string {
	if text, ok := t.texts[sentenceTable+english]; ok {
		return text
	}
	return english
}
