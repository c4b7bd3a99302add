package screen

import (
	"context"
	"sync"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"shedbell/line"
	"shedbell/line/pace"
	"shedbell/line/records"
)

// JournalReader turns the journal into a book of records in the background, so that a
// screen never waits for years of them. It reads for one screen. What it has read stays
// until it is read again, also while another screen is shown.
type JournalReader struct {
	Paced bool // learns how long the work took, too

	mu    sync.Mutex
	today *records.Book
	all   *records.Book
	err   error
	seq   int64 // of the state that was read
	at    time.Time
	busy  bool
	read  int64
	of    int64
}

// JournalReadMsg says that a job has come to its end.
type JournalReadMsg struct{ Job *JournalReader }

// Start reads again unless nothing has happened since. The command blocks; it must
// not be the answer to a key, or the keys after it would wait.
func (j *JournalReader) Start(env *Env) tea.Cmd {
	j.mu.Lock()
	defer j.mu.Unlock()
	same := j.all != nil && j.seq == env.State.Seq
	if j.busy || same && (env.State.Sheet == nil || env.Now.Sub(j.at) < time.Minute) {
		return nil
	}
	j.busy, j.err, j.read, j.of, j.seq, j.at = true, nil, 0, env.State.Seq, env.State.Seq, env.Now
	history, before, past, now, paces := env.History, env.Before, env.Past, env.Now, env.End.Advice.Paces
	if before == nil {
		before = env.State
	}
	return func() tea.Msg {
		today := records.ReadDay(history, before, now, nil)
		rehearseLastDay(today, paces)
		j.mu.Lock()
		j.today = today
		j.mu.Unlock()
		all, err := today, error(nil)
		switch {
		case past == nil:
		case same: // only the open day has gone on
			all = j.All()
		default:
			if all, err = j.readAll(past, now); err == nil {
				rehearseLastDay(all, paces)
			}
		}
		j.mu.Lock()
		defer j.mu.Unlock()
		j.busy, j.err = false, err
		if err == nil {
			j.all = all
		}
		return JournalReadMsg{j}
	}
}

// rehearseLastDay says what would have sped up the last day.
func rehearseLastDay(b *records.Book, paces line.Paces) {
	if n := len(b.Days); n > 0 {
		_ = records.RehearseOneMore(context.Background(), b, b.Days[n-1].Date, paces)
	}
}

// progressEvery is how many records are read between two words about it.
const progressEvery = 4096

func (j *JournalReader) readAll(past func(context.Context, func(line.Record) error) error, now time.Time) (*records.Book, error) {
	r := records.NewReader(records.Filter{})
	if r.Now = now; j.Paced {
		r.Pace = &pace.Learner{}
	}
	err := past(context.Background(), func(rec line.Record) error {
		r.Add(rec)
		if n := r.Count(); n%progressEvery == 0 {
			j.mu.Lock()
			j.read = n
			j.mu.Unlock()
		}
		return nil
	})
	if err != nil {
		return nil, err
	}
	return r.Book(), nil
}

// Today is the book of the open day, or nil. All is that of the whole journal, or
// nil as long as it is not read for the first time.
func (j *JournalReader) Today() *records.Book { return j.get(&j.today) }

// All is the book of the whole journal, or nil.
func (j *JournalReader) All() *records.Book { return j.get(&j.all) }

func (j *JournalReader) get(b **records.Book) *records.Book {
	j.mu.Lock()
	defer j.mu.Unlock()
	return *b
}

// Progress says how much of the journal has been read, from 0 to 1, and whether
// it is still being read; and why it could not be, if so.
func (j *JournalReader) Progress() (part float64, busy bool, err error) {
	j.mu.Lock()
	defer j.mu.Unlock()
	if j.of > 0 {
		part = min(float64(j.read)/float64(j.of), 1)
	}
	return part, j.busy, j.err
}
