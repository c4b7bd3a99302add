//go:build unix

package e2e

import (
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"syscall"
	"testing"
	"time"
)

// BenchmarkReports prints reports with the real program from a journal of
// ten years with 104,000 batches: of a month, and of everything. It tells the time
// and the most memory that the program had.
func BenchmarkReports(b *testing.B) {
	path, err := binary()
	if err != nil {
		b.Fatal(err)
	}
	dir, _ := tenYears(b)
	out := filepath.Join(b.TempDir(), "report.json")
	year, month, _ := time.Now().AddDate(-4, 0, 0).Date()
	first := time.Date(year, month, 1, 0, 0, 0, 0, time.UTC)
	for name, args := range map[string][]string{
		"month":  {"time", "--from", first.Format(time.DateOnly), "--to", first.AddDate(0, 1, -1).Format(time.DateOnly)},
		"time":   {"time"},
		"safety": {"safety"},
		"charts": {"charts"},
		"lots":   {"lots"},
	} {
		b.Run(name, func(b *testing.B) {
			most, cpu := 0.0, time.Duration(0)
			for b.Loop() {
				cmd := exec.Command(path, append([]string{"records", "--data", dir, "-o", out}, args...)...)
				if said, err := cmd.CombinedOutput(); err != nil {
					b.Fatalf("%v: %s", err, said)
				}
				cpu += cmd.ProcessState.UserTime() + cmd.ProcessState.SystemTime()
				unit := 1024.0 // bytes in what the system counts memory in
				if runtime.GOOS == "darwin" {
					unit = 1
				}
				most = max(most, float64(cmd.ProcessState.SysUsage().(*syscall.Rusage).Maxrss)*unit/1e6)
			}
			if info, err := os.Stat(out); err != nil || info.Size() == 0 {
				b.Fatal("nothing was written")
			}
			b.ReportMetric(most, "MB")
			b.ReportMetric(float64(cpu.Milliseconds())/float64(b.N), "cpu-ms") // on a busy machine the time says little
			b.ReportMetric(float64(b.Elapsed().Milliseconds())/float64(b.N), "ms")
			b.ReportMetric(0, "ns/op")
		})
	}
}
