//go:build unix

package canvas

import (
	"errors"
	"time"

	"golang.org/x/sys/unix"
)

// readable waits until a file has something to read, or says that it has not.
func readable(fd uintptr, wait time.Duration) bool {
	if fd >= unix.FD_SETSIZE {
		return false
	}
	for {
		var set unix.FdSet
		set.Set(int(fd))
		left := unix.NsecToTimeval(int64(wait))
		n, err := unix.Select(int(fd)+1, &set, nil, nil, &left)
		if !errors.Is(err, unix.EINTR) {
			return err == nil && n > 0
		}
	}
}
