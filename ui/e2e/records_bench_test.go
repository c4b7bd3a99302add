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

// BenchmarkRecordsOfTenYears prints reports with the real program from a journal of
// ten years with 104,000 batches: of a month, and of everything. It tells the time
// and the most memory that the program had.
func BenchmarkRecordsOfTenYears(b *testing.B) {
	path, err := binary()
	if err != nil {
		b.Fatal(err)
	}
	dir, _ := tenYears(b)
	out := filepath.Join(b.TempDir(), "report.csv")
	month := time.Now().AddDate(-3, 0, 0)
	for name, args := range map[string][]string{
		"month":  {"time", "--from", month.Format("2006-01") + "-01", "--to", month.Format("2006-01") + "-31"},
		"time":   {"time"},
		"safety": {"safety"},
		"charts": {"charts"},
		"lots":   {"lots"},
	} {
		b.Run(name, func(b *testing.B) {
			most := 0.0
			for b.Loop() {
				cmd := exec.Command(path, append([]string{"records", "--data", dir, "-o", out}, args...)...)
				cmd.Stderr = nil
				if err := cmd.Run(); err != nil {
					b.Fatal(err)
				}
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
			b.ReportMetric(float64(b.Elapsed().Milliseconds())/float64(b.N), "ms")
			b.ReportMetric(0, "ns/op")
		})
	}
}
