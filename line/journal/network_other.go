//go:build !linux

package journal

import (
	"path/filepath"
	"strings"
)

// networkKind recognises UNC paths; elsewhere other systems give no portable
// answer.
func networkKind(dir string) string {
	if strings.HasPrefix(filepath.VolumeName(dir), `\\`) {
		return "a Windows share"
	}
	return ""
}
