package e2e

import (
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"

	"shedbell/line/journal"
)

// soakSpeed is how much faster than the wall the demo's clock runs.
const soakSpeed = 60

// use is what a program holds of the machine.
type use struct {
	rssKB, threads, files int
}

func (x *terminal) use() (u use) {
	x.t.Helper()
	dir := fmt.Sprintf("/proc/%d/", x.cmd.Process.Pid)
	status, err := os.ReadFile(dir + "status") // fields of proc_pid_status(5)
	if err != nil {
		x.t.Fatal(err)
	}
	for row := range strings.Lines(string(status)) {
		f := strings.Fields(row)
		switch f[0] {
		case "VmRSS:":
			u.rssKB, _ = strconv.Atoi(f[1])
		case "Threads:":
			u.threads, _ = strconv.Atoi(f[1])
		}
	}
	open, err := os.ReadDir(dir + "fd")
	if err != nil {
		x.t.Fatal(err)
	}
	u.files = len(open)
	return u
}

// goroutines ends the program by the signal on which the Go runtime lists them,
// https://pkg.go.dev/os/signal#hdr-Default_behavior_of_signals_in_Go_programs.
func (x *terminal) goroutines() int {
	x.t.Helper()
	<-time.After(2 * time.Second) // what works in the background comes to rest
	before := len(x.sent())
	x.cmd.Process.Signal(syscall.SIGQUIT)
	<-x.done
	return strings.Count(x.sent()[before:], "\ngoroutine ")
}

// operator sends keys as a person does: mostly the next thing to do, now and then a
// look at another screen, a new day when one is closed.
type operator struct {
	x      *terminal
	random *rand.Rand
	keys   int
	queue  []string
}

func (o *operator) next() string {
	if len(o.queue) == 0 {
		o.queue = o.choose()
	}
	k := o.queue[0]
	o.queue = o.queue[1:]
	o.keys++
	return k
}

func (o *operator) choose() []string {
	screen := o.x.screen()
	if strings.Contains(screen, "   the day of ") {
		return []string{"Enter", "\x1b"} // the demo's form begins at its last row, filled in
	}
	switch n := o.random.IntN(100); {
	case n < 65:
		return []string{"Enter"}
	case n < 85:
		return []string{"+", "-"}
	case n < 88:
		return []string{"?", "\x1b"}
	case n < 95:
		return []string{"/", strconv.Itoa(1 + o.random.IntN(9)), "\x1b", "\x1b", "\x1b"}
	default:
		return []string{"*", "f", "f"}
	}
}

// soaked is what was seen of a program over a long time.
type soaked struct {
	uses  []use
	beats []sample // the line's time in a heartbeat, by when it was written
	shown []sample // a minute that came up in the head, by when it did
}

// sample is an instant of the test's monotonic clock and what the line's clock said.
type sample struct {
	at   time.Duration
	line time.Time
}

// late is how far a sample is behind a line's clock that began at zero.
func (s sample) late(zero time.Time) time.Duration { return soakSpeed*s.at - s.line.Sub(zero) }

var headClock = regexp.MustCompile(`[A-Z][a-z][a-z] (\d\d):(\d\d)`)

// soak works at a demo for d and measures it against the test's monotonic clock.
func soak(t *testing.T, x *terminal, j *journal.Journal, d time.Duration) (s soaked) {
	t.Helper()
	o := &operator{x: x, random: rand.New(rand.NewPCG(1, 7))}
	began := time.Now()
	sent, nextUse := began, began
	for time.Since(began) < d {
		if now := time.Now(); now.Sub(sent) > 250*time.Millisecond {
			sent = now
			x.press(o.next())
		}
		if now := time.Now(); now.After(nextUse) {
			s.uses, nextUse = append(s.uses, x.use()), now.Add(time.Second)
		}
		<-time.After(20 * time.Millisecond)
		s.beat(j, began)
		if m := headClock.FindStringSubmatch(x.frame()); m != nil && len(s.beats) > 0 {
			s.minute(time.Since(began), m[1], m[2])
		}
	}
	return s
}

// beat takes a new heartbeat down. The kernel says when it was written, moments after
// the program had looked at its clock.
func (s *soaked) beat(j *journal.Journal, began time.Time) {
	line, ok := j.WriterBeat()
	if n := len(s.beats); !ok || n > 0 && s.beats[n-1].line.Equal(line) {
		return
	}
	info, err := os.Stat(filepath.Join(j.Dir(), "shedbell.beat"))
	if again, _ := j.WriterBeat(); err != nil || !again.Equal(line) {
		return
	}
	now := time.Now()
	s.beats = append(s.beats, sample{now.Sub(began) - now.Round(0).Sub(info.ModTime()), line})
}

// minute takes a minute of the head down when it has just come up.
func (s *soaked) minute(at time.Duration, hour, minute string) {
	h, _ := strconv.Atoi(hour)
	n, _ := strconv.Atoi(minute)
	near := s.beats[len(s.beats)-1].line
	shows := time.Date(near.Year(), near.Month(), near.Day(), h, n, 0, 0, near.Location())
	switch off := shows.Sub(near); { // about midnight it is another day's
	case off < -12*time.Hour:
		shows = shows.AddDate(0, 0, 1)
	case off > 12*time.Hour:
		shows = shows.AddDate(0, 0, -1)
	}
	if k := len(s.shown); k == 0 || !s.shown[k-1].line.Equal(shows) {
		s.shown = append(s.shown, sample{at, shows})
	}
}

// began is the line's time at the test's beginning, as the quickest heartbeat has it.
func (s *soaked) began() time.Time {
	first := s.beats[0].line
	least := slices.MinFunc(s.beats, func(a, b sample) int { return int(a.late(first) - b.late(first)) })
	return first.Add(-least.late(first))
}

// drift is how far the least lags move in a day of the line's time: the least in each
// tenth, as anything above it is a machine that was busy, and a line through them by
// least squares.
func drift(all []sample, zero time.Time) (aDay time.Duration) {
	const parts = 10
	if len(all) < 2*parts {
		return 0
	}
	end := all[len(all)-1].at + 1
	var least [parts]*sample
	for i := range all {
		p := &least[int(max(0, all[i].at)*parts/end)]
		if *p == nil || all[i].late(zero) < (*p).late(zero) {
			*p = &all[i]
		}
	}
	var n, sx, sy, sxx, sxy float64
	for _, p := range least {
		if p != nil {
			x, y := soakSpeed*p.at.Seconds(), p.late(zero).Seconds()
			n, sx, sy, sxx, sxy = n+1, sx+x, sy+y, sxx+x*x, sxy+x*y
		}
	}
	return time.Duration((n*sxy - sx*sy) / (n*sxx - sx*sx) * 86400 * float64(time.Second))
}

// TestSoak works at the demo at sixty times the speed of the wall: for 6 seconds, or
// as long as SHEDBELL_SOAK says, such as 30m.
func TestSoak(t *testing.T) {
	long, err := time.ParseDuration(os.Getenv("SHEDBELL_SOAK"))
	if err != nil {
		long = 6 * time.Second
	}
	if _, err := binary(); err != nil { // not in a folder that goes with this test
		t.Fatal(err)
	}
	tmp := t.TempDir()
	t.Setenv("TMPDIR", tmp)
	t.Setenv("GOTRACEBACK", "all")
	fresh := start(t, 100, 30, "demo", "--speed", strconv.Itoa(soakSpeed))
	fresh.expect("Cut ")
	fresh.press("Enter")
	fresh.expect("inish cutting")
	few := fresh.goroutines()
	leftovers, err := filepath.Glob(filepath.Join(tmp, "shedbell-demo-*"))
	if err != nil || len(leftovers) != 1 {
		t.Fatalf("%v: %v", leftovers, err)
	}
	if err := os.RemoveAll(leftovers[0]); err != nil {
		t.Fatal(err)
	}
	x := start(t, 100, 30, "demo", "--speed", strconv.Itoa(soakSpeed))
	x.expect("Cut ")
	folders, err := filepath.Glob(filepath.Join(tmp, "shedbell-demo-*"))
	if err != nil || len(folders) != 1 {
		t.Fatalf("%v: %v", folders, err)
	}
	j, err := journal.OpenReadOnly(folders[0])
	if err != nil {
		t.Fatal(err)
	}
	defer j.Close()
	s := soak(t, x, j, long)
	last, err := j.LastSeq()
	if err != nil {
		t.Fatal(err)
	}
	many := x.goroutines()
	s.report(t, long)
	t.Logf("%d records; goroutines: %d after a start, %d in the end", last, few, many)
	if many == 0 || many > few+8 {
		t.Errorf("%d goroutines after a start, %d in the end", few, many)
	}
}

// report judges what was seen. The first third is for warming up.
func (s *soaked) report(t *testing.T, long time.Duration) {
	t.Helper()
	third := len(s.uses) / 3
	if third == 0 || len(s.beats) == 0 || len(s.shown) < 2 {
		t.Fatal("nothing was seen")
	}
	most := func(part []use, of func(use) int) int {
		return of(slices.MaxFunc(part, func(a, b use) int { return of(a) - of(b) }))
	}
	for _, m := range []struct {
		what  string
		of    func(use) int
		spare float64 // growth that is none
	}{
		{"resident memory, kB", func(u use) int { return u.rssKB }, 1.2},
		{"threads", func(u use) int { return u.threads }, 1.5},
		{"open files", func(u use) int { return u.files }, 1.2},
	} {
		thirds := [3]int{most(s.uses[:third], m.of), most(s.uses[third:2*third], m.of), most(s.uses[2*third:], m.of)}
		t.Logf("%s, most in each third: %v", m.what, thirds)
		if long >= time.Minute && float64(thirds[2]) > m.spare*float64(thirds[1]) {
			t.Errorf("%s grew: %v", m.what, thirds)
		}
	}
	days := soakSpeed * long.Hours() / 24
	zero := s.began()
	clock := drift(s.beats, zero)
	var lags []time.Duration
	for _, m := range s.shown[1:] {
		lags = append(lags, m.late(zero))
	}
	slices.Sort(lags)
	t.Logf("%d heartbeats and %d minutes shown in %.2f days of the line; the line's clock drifts by %s a day; a minute comes up %s late at the least, %s in the median, %s at the most",
		len(s.beats), len(s.shown), days, clock.Round(time.Millisecond), lags[0].Round(time.Millisecond), lags[len(lags)/2].Round(time.Millisecond), lags[len(lags)-1].Round(time.Millisecond))
	// Allowed are 50 ms a day, and what cannot be told: on a busy machine a heartbeat may
	// be written a millisecond after its clock was read, which is 60 of the line's.
	allowed := 50*time.Millisecond + time.Duration(soakSpeed*float64(time.Millisecond)/days)
	if long >= 10*time.Minute && clock.Abs() > allowed {
		t.Errorf("the line's clock drifts by %s a day, allowed are %s", clock, allowed)
	}
	if lags[0] < -time.Second {
		t.Errorf("a minute was shown %s too early", -lags[0])
	}
}
