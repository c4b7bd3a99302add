package screen

import (
	"shedbell/line/records"
	"shedbell/ui/words"
)

// Practice is a practice day. Its zero value: nobody practises.
type Practice struct {
	On       bool
	Over     bool // the day has been closed
	Well     int  // steps that ended when they should
	Mistakes []records.Mistake
}

// Head is how the day goes, for the head of a screen.
func (p *Practice) Head(w *words.Speaker) string {
	if len(p.Mistakes) == 0 {
		return w.Say("practice.head")
	}
	return w.Say("practice.head-mistakes", len(p.Mistakes))
}

// PracticeMsg asks the frame to begin a practice day with the line as it is.
type PracticeMsg struct{}
