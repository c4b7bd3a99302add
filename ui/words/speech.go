package words

import (
	"shedbell/line"
	"shedbell/line/say"
)

// Speaker puts what the line is and does into the sentences of screens.
type Speaker struct{ *say.Speaker }

// New is a speaker of one of say.Languages.
func New(language string, p say.Prefs) (*Speaker, error) {
	s, err := say.NewSpeaker(language, p)
	if err != nil {
		return nil, err
	}
	return &Speaker{s}, nil
}

// English is the speaker when nothing else is chosen.
func English() *Speaker { return &Speaker{say.English()} }

// Refusal is the line's no in this language.
func (t *Speaker) Refusal(no *line.Refusal) string { return t.Speech(no.Says) }

// Setting is the name of a load's setting. The usual three are words; any other is a
// name that people gave.
func (t *Speaker) Setting(name string) string { return t.Value(say.Setting(name)) }

// Use is what a sanitizer is for.
func (t *Speaker) Use(u line.Use) string { return t.Sentence(u.Says()) }
