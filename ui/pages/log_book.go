package pages

import (
	"time"

	"shedbell/line"
	"shedbell/ui/canvas"
	"shedbell/ui/screen"
	"shedbell/ui/words"
)

// logEntry is a record in words.
type logEntry struct {
	at      time.Time
	who     string
	text    string
	refused bool

	width int // that lines was wrapped for
	lines []string
}

// wrapped breaks the text into lines, once for each width.
func (e *logEntry) wrapped(width int) []string {
	if e.width != width {
		e.width, e.lines = width, canvas.Wrap(e.text, width)
	}
	return e.lines
}

// logBook keeps the day's records in words. A record is worded by the state before
// it, so the day is replayed alongside, each record once.
type logBook struct {
	first   int64 // the number of the day's first record
	seen    int   // records read
	state   *line.State
	words   *words.Speaker // that the entries are in
	entries []*logEntry
}

// read takes over the records that are new. A day opened since begins the book
// again, and so does another language.
func (b *logBook) read(env *screen.Env) {
	records := env.History
	if len(records) == 0 {
		*b = logBook{}
		return
	}
	if records[0].Seq != b.first || len(records) < b.seen || b.words != env.Words {
		*b = logBook{first: records[0].Seq, words: env.Words, state: env.Before}
	}
	for _, r := range records[b.seen:] {
		if text := env.Words.Event(b.state, r); text != "" {
			_, refused := r.Event.(line.Refused)
			if refused {
				text = env.Words.Say("log.refused", text)
			}
			b.entries = append(b.entries, &logEntry{at: r.At.In(env.Now.Location()), who: r.By, text: text, refused: refused})
		}
		b.state = line.Apply(b.state, r)
	}
	b.seen = len(records)
}

// list is all entries, or the refusals among them.
func (b *logBook) list(refused bool) []*logEntry {
	if !refused {
		return b.entries
	}
	var out []*logEntry
	for _, e := range b.entries {
		if e.refused {
			out = append(out, e)
		}
	}
	return out
}
