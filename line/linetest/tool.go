package linetest

import (
	"os"
	"os/exec"
	"testing"
)

// NeedTools is the environment variable that makes the lack of a tool a failure. The
// checks that run before a change lands set it, as they install the tools.
const NeedTools = "SHEDBELL_NEED_TOOLS"

// Tool finds an independent reader such as pdftotext. The test is skipped where there
// is none.
func Tool(t testing.TB, name string) string {
	t.Helper()
	path, err := exec.LookPath(name)
	if err == nil {
		return path
	}
	if os.Getenv(NeedTools) != "" {
		t.Fatalf("%s is not installed", name)
	}
	t.Skipf("%s is not installed", name)
	return ""
}
