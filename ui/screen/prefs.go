package screen

import (
	"time"

	"shedbell/line/say"
	"shedbell/ui/theme"
	"shedbell/ui/words"
)

// Prefs are the user's choices about how things are written, seen and heard.
type Prefs struct {
	Theme     theme.Name
	Language  string // of the texts; empty: English
	say.Prefs        // clock and units
	Trainee   bool   // prompts in full

	Mute      bool
	QuietFrom time.Duration // time of day from which it is silent
	QuietTo   time.Duration // and until which; equal to QuietFrom: never
	Notify    bool          // ask the terminal for a notification too
	Sound     []string      // a command of the user's own that makes a sound, with its arguments
}

// Speaker says things as the user likes them. In a language that there is not it is
// English: a board in the wrong language is better than none.
func (p *Prefs) Speaker() *words.Speaker {
	w, err := words.New(p.Language, p.Prefs)
	if err != nil {
		w, _ = words.New("en", p.Prefs)
	}
	return w
}

// Silent says whether nothing may be heard at an instant.
func (p *Prefs) Silent(now time.Time) bool {
	if p.Mute || p.QuietFrom == p.QuietTo {
		return p.Mute
	}
	h, m, s := now.Clock()
	at := time.Duration(h)*time.Hour + time.Duration(m)*time.Minute + time.Duration(s)*time.Second
	if p.QuietFrom < p.QuietTo {
		return at >= p.QuietFrom && at < p.QuietTo
	}
	return at >= p.QuietFrom || at < p.QuietTo // over midnight
}

// PrefsMsg asks the frame to take over and keep the user's choices.
type PrefsMsg struct{ Prefs Prefs }
