package e2e

import (
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"
)

// slowRecipes keep countdowns running for as long as a measurement takes.
var slowRecipes = strings.NewReplacer(`"1m"`, `"55m"`, `"30s"`, `"50m"`).Replace(quickRecipes)

const threeBatches = `
date = 2026-12-03
start = 07:30:00
crew = ["Ash"]

[[crop]]
name = "pea"
trays = 6
`

// busyBoard is the real program with countdowns that run at the tub and the
// spinner, and a hand at the cutting table.
func busyBoard(t testing.TB, w, h int) *terminal {
	t.Helper()
	dir := t.TempDir()
	for name, text := range map[string]string{"recipes.toml": slowRecipes, "day.toml": threeBatches} {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	x := start(t, w, h, "--data", dir)
	x.expect("No day is open")
	x.press("Enter")
	x.expect("pea")
	x.press("Enter")
	x.expect("Cut PEA 1, 2 trays")
	x.press("1", "Enter")
	x.expect("inish cutting PEA 1")
	x.endAtOnce()
	x.expect("done at the cutting table")
	x.press("2", "Enter")
	x.expect("lift PEA 1 out of the tub")
	x.press("Enter")
	x.expect("too early")
	x.press("Enter")
	x.expect("PEA 1 started at the spinner")
	x.press("1", "Enter")
	x.expect("inish cutting PEA 2")
	time.Sleep(2 * time.Second) // the spinner's starting current is over
	x.endAtOnce()
	x.expect("done at the cutting table")
	x.press("2", "Enter")
	x.expect("lift PEA 2 out of the tub")
	x.press("\x1b")
	return x
}

// shedSizes are the terminals that are measured.
var shedSizes = [][2]int{{80, 24}, {200, 60}, {300, 90}}

// BenchmarkKeyToFrame is the time from a key to the frame that shows what it did,
// through the real program on a real terminal. Each operation is one key, at any
// moment between two frames.
func BenchmarkKeyToFrame(b *testing.B) {
	for _, size := range shedSizes {
		b.Run(fmt.Sprintf("%dx%d", size[0], size[1]), func(b *testing.B) {
			x := busyBoard(b, size[0], size[1])
			keys := []struct{ key, says string }{{"2", "ift PEA 2 out of the tub"}, {"3", "top the spinner"}}
			var took []time.Duration
			b.ResetTimer()
			for i := range b.N {
				k := keys[i%len(keys)]
				took = append(took, x.shows(k.key, k.says))
				time.Sleep(30*time.Millisecond + rand.N(50*time.Millisecond))
			}
			b.StopTimer()
			slices.Sort(took)
			for _, p := range []int{50, 99} {
				b.ReportMetric(float64(took[min(len(took)*p/100, len(took)-1)])/1e6, fmt.Sprintf("p%d-ms", p))
			}
			b.ReportMetric(0, "ns/op")
			x.quit()
		})
	}
}

// shows presses a key and returns how long it took until the screen began a row
// with the text.
func (x *terminal) shows(key, text string) time.Duration {
	shown := make(chan time.Time, 1)
	x.mu.Lock()
	x.watch = func(at time.Time) {
		if strings.Contains(x.text(), text) {
			select {
			case shown <- at:
			default:
			}
		}
	}
	x.mu.Unlock()
	defer func() {
		x.mu.Lock()
		x.watch = nil
		x.mu.Unlock()
	}()
	began := time.Now()
	x.press(key)
	select {
	case at := <-shown:
		return at.Sub(began)
	case <-time.After(patience):
		x.t.Fatalf("%q never led to %q:\n%s", key, text, x.screen())
		return 0
	}
}

// BenchmarkIdle is what a board costs that nobody touches while countdowns run.
// Each operation is one second: `-benchtime 60x` measures a minute of each.
func BenchmarkIdle(b *testing.B) {
	for _, letters := range []bool{false, true} {
		for _, size := range shedSizes {
			name := fmt.Sprintf("%dx%d", size[0], size[1])
			if letters {
				name += "-letters"
			}
			b.Run(name, func(b *testing.B) {
				x := busyBoard(b, size[0], size[1])
				if letters {
					x.press("f")
				}
				time.Sleep(planning)
				busy, sent := cpuTime(b, x.cmd.Process.Pid), len(x.sent())
				b.ResetTimer()
				time.Sleep(time.Duration(b.N) * time.Second)
				b.StopTimer()
				span := time.Duration(b.N) * time.Second
				b.ReportMetric(float64(len(x.sent())-sent)/span.Seconds(), "B/s")
				b.ReportMetric(100*float64(cpuTime(b, x.cmd.Process.Pid)-busy)/float64(span), "%core")
				b.ReportMetric(0, "ns/op")
				x.quit()
			})
		}
	}
}

// planning is longer than the search for a better plan goes on after an action,
// on a loaded machine too.
const planning = 12 * time.Second

// cpuTime is what a process has used of the processors.
func cpuTime(t testing.TB, pid int) time.Duration {
	t.Helper()
	data, err := os.ReadFile(fmt.Sprintf("/proc/%d/stat", pid))
	if err != nil {
		t.Skip("the system does not tell what a process uses: ", err)
	}
	// After the name in parentheses: utime and stime are the 12th and 13th field, in
	// hundredths of a second (proc_pid_stat(5)).
	fields := strings.Fields(string(data[strings.LastIndexByte(string(data), ')')+1:]))
	var ticks int
	for _, field := range fields[11:13] {
		n, err := strconv.Atoi(field)
		if err != nil {
			t.Fatal(err)
		}
		ticks += n
	}
	return time.Duration(ticks) * 10 * time.Millisecond
}
