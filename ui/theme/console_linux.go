package theme

import (
	"os"
	"syscall"
	"unsafe"
)

// fontMap is GIO_UNIMAP, the request for a console's map from characters to shapes
// (linux/kd.h); it needs no privileges.
const fontMap = 0x4B66

type unicodeAt struct{ char, at uint16 }

// consoleShapes asks the console on stdout for the shapes of its font. Over the net
// there is nobody to ask; Debian's fonts, which have the fewest, are assumed.
func consoleShapes() Shapes {
	pairs := make([]unicodeAt, 8192)
	desc := struct {
		count uint16
		pairs *unicodeAt
	}{uint16(len(pairs)), &pairs[0]}
	_, _, fault := syscall.Syscall(syscall.SYS_IOCTL, os.Stdout.Fd(), fontMap, uintptr(unsafe.Pointer(&desc)))
	if fault != 0 {
		return Latin
	}
	at := make(map[rune]int, desc.count)
	for _, p := range pairs[:desc.count] {
		at[rune(p.char)] = int(p.at)
	}
	return shapesOf(at)
}
