package start

import (
	"math/rand/v2"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strconv"
	"testing"
	"testing/synctest"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"shedbell/line"
	"shedbell/line/linetest"
	"shedbell/line/live"
	"shedbell/ui/app"
	"shedbell/ui/screen"
)

// program runs a model as bubbletea does, without its terminal.
type program struct {
	model tea.Model
	msgs  chan tea.Msg
	over  chan struct{}
}

func (p *program) run() {
	p.start(p.model.Init())
	for {
		select {
		case <-p.over:
			return
		case msg := <-p.msgs:
			var cmd tea.Cmd
			p.model, cmd = p.model.Update(msg)
			p.model.View()
			p.start(cmd)
		}
	}
}

func (p *program) start(cmd tea.Cmd) {
	if cmd == nil {
		return
	}
	go func() {
		msg := cmd()
		if batch, ok := msg.(tea.BatchMsg); ok {
			for _, c := range batch {
				p.start(c)
			}
			return
		}
		if msg != nil {
			p.send(msg)
		}
	}()
}

func (p *program) send(msg tea.Msg) {
	select {
	case p.msgs <- msg:
	case <-p.over:
	}
}

// press sends keys, each when all that the one before has caused is done.
func (p *program) press(keys ...tea.KeyMsg) {
	for _, k := range keys {
		p.send(k)
		synctest.Wait()
	}
}

var (
	enter  = tea.KeyMsg{Type: tea.KeyEnter}
	escape = tea.KeyMsg{Type: tea.KeyEsc}
)

func char(r rune) tea.KeyMsg { return tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune{r}} }

// soak is a month at the board.
type soak struct {
	t      *testing.T
	p      *program
	l      *live.Line
	random *rand.Rand

	began time.Time               // of the reference clock
	first time.Time               // what the line's clock said then
	due   map[line.Step]time.Time // when the countdowns that run will have run, by the reference
	off   time.Duration           // farthest that the line's clock was off the reference
	wrong time.Duration           // farthest that a countdown was

	keys, rings, days int
}

// second lets one pass and compares clocks.
func (s *soak) second() {
	time.Sleep(time.Second)
	synctest.Wait()
	ran := time.Since(s.began)
	s.off = max(s.off, (s.l.Now().Sub(s.first) - ran).Abs())
	state, now := s.l.State(), s.l.Now()
	running := map[line.Step]time.Time{}
	for i := range state.Batches {
		step := state.Batches[i].Step
		if step.Progress != line.Running || step.Planned == 0 {
			continue
		}
		due, known := s.due[step]
		if !known {
			due = s.began.Add(ran + step.Left(now))
		}
		running[step] = due
		s.wrong = max(s.wrong, (due.Sub(s.began.Add(ran)) - step.Left(now)).Abs())
	}
	s.due = running
}

// day opens a day, works through it by keys and closes it.
func (s *soak) day() {
	t := s.t
	sheet := linetest.Sheet()
	sheet.Start = s.l.Now()
	sheet.Date = sheet.Start.Format(time.DateOnly)
	if _, _, no := s.l.Do(line.OpenDay{Sheet: sheet}); no != nil {
		t.Fatal(no)
	}
	s.days++
	until := s.l.Now().Add(14 * time.Hour)
	var idle time.Time // until when nobody is there
	for s.l.State().Sheet != nil {
		s.second()
		now := s.l.Now()
		if now.After(until) {
			t.Fatalf("the day does not end:\n%s", s.p.model.View())
		}
		prompts := line.Prompts(s.l.State(), now, nil)
		switch {
		case now.Before(idle) || len(prompts) == 0:
		case s.random.IntN(400) == 0:
			s.keys += 5
			s.p.press(char('/'), char(rune('1'+s.random.IntN(9))), escape, escape, escape)
		case s.random.IntN(600) == 0:
			idle = now.Add(10 * time.Minute) // on the phone
		case prompts[0].Ready(now):
			s.keys++
			s.p.press(enter)
		}
	}
}

// held is what the process holds when all is at rest.
type held struct {
	heapKB, goroutines, files int
}

func (s *soak) held() (h held) {
	synctest.Wait()
	h.goroutines = runtime.NumGoroutine()
	runtime.GC()
	runtime.GC() // what the first has found may be finalised only then
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	h.heapKB = int(m.HeapAlloc / 1000)
	if open, err := os.ReadDir("/proc/self/fd"); err == nil {
		h.files = len(open)
	}
	return h
}

// virtual reads the clocks of a computer that never sleeps.
func virtual(began time.Time) func() live.Readings {
	return func() live.Readings {
		ran := time.Since(began)
		return live.Readings{Wall: time.Now(), Awake: ran, Always: ran}
	}
}

// folder is one in memory, where there is one: half a million heartbeats need no disk.
func folder(t *testing.T) string {
	t.Helper()
	dir, err := os.MkdirTemp("/dev/shm", "shedbell")
	if err != nil {
		return t.TempDir()
	}
	t.Cleanup(func() { os.RemoveAll(dir) })
	return dir
}

// TestManyDays works day after day in one process, on the virtual clock of
// testing/synctest: journal, heartbeats, ticks, alarms and daily copies as in the shed,
// only the forecast is left out. One day without its night, or SHEDBELL_SOAK_DAYS whole
// days. What the process holds after the fifth is compared with what it holds in the
// end.
func TestManyDays(t *testing.T) {
	days, night := amount("SHEDBELL_SOAK_DAYS", 1)
	dir := folder(t)
	synctest.Test(t, func(t *testing.T) {
		store, _, err := open(dir)
		if err != nil {
			t.Fatal(err)
		}
		// What the state keeps of earlier days is full from the beginning.
		wholePast, earlier := past(dir), slices.Collect(linetest.Years(time.Now().AddDate(0, -2, 0), 25))
		if err := store.Append(t.Context(), earlier); err != nil {
			t.Fatal(err)
		}
		l, _, err := live.Open(store, linetest.Site(), linetest.Book(), live.NewSteady(time.Now(), 1), "Ash")
		if err != nil {
			t.Fatal(err)
		}
		l.WatchClock(virtual(time.Now()))
		go keepCopies(store, l)
		s := &soak{t: t, l: l, random: rand.New(rand.NewPCG(1, 7)), began: time.Now(), first: l.Now()}
		s.p = &program{msgs: make(chan tea.Msg), over: make(chan struct{})}
		s.p.model = app.Guarded(app.Options{Line: l, Past: wholePast, Faults: dir,
			Ring:     func(screen.Prefs, line.Priority, string) { s.rings++ },
			Forecast: func(*line.State, time.Time) screen.Forecast { return screen.Forecast{} }})
		go s.p.run()
		var fifth, last held
		for n := range days {
			s.day()
			for night && s.l.Now().Sub(s.first) < time.Duration(n+1)*24*time.Hour {
				s.second()
			}
			if last = s.held(); n <= 4 {
				fifth = last
			}
			t.Logf("day %d: %+v", n+1, last)
		}
		s.judge(fifth, last)
		close(s.p.over)
		if err := l.Close(); err != nil {
			t.Error(err)
		}
		time.Sleep(2 * time.Hour) // what waits comes to its end
	})
	faults, err := filepath.Glob(filepath.Join(dir, "fault-*"))
	if err != nil || len(faults) > 0 {
		t.Errorf("faults of screens: %v %v", faults, err)
	}
}

// amount is how much the environment asks for; else a little.
func amount(name string, little int) (n int, asked bool) {
	if n, err := strconv.Atoi(os.Getenv(name)); err == nil && n > 0 {
		return n, true
	}
	return little, false
}

func (s *soak) judge(fifth, last held) {
	t := s.t
	t.Logf("%d days, %d keys, %d records, %d rings; the line's clock was off by %s at the most, a countdown by %s",
		s.days, s.keys, s.l.State().Seq, s.rings, s.off, s.wrong)
	allowed := time.Duration(s.days) * 50 * time.Millisecond
	if s.off > allowed || s.wrong > 50*time.Millisecond {
		t.Errorf("allowed are %s and 50 ms", allowed)
	}
	if s.keys < 50*s.days || s.rings == 0 && s.days > 5 {
		t.Error("that was no work")
	}
	if last.goroutines > fifth.goroutines || last.files > fifth.files {
		t.Errorf("goroutines and files grew: %+v became %+v", fifth, last)
	}
	// The records screen, once it was open, keeps some 4 kB of each day.
	if s.days > 5 && last.heapKB > fifth.heapKB+fifth.heapKB/10+5*(s.days-5) {
		t.Errorf("the heap grew: %+v became %+v", fifth, last)
	}
}
