//go:build !unix

package canvas

import "time"

// readable waits for nothing: on Windows the console's keys do not come as bytes.
func readable(uintptr, time.Duration) bool { return false }
