//go:build !linux

package theme

// consoleShapes is what a console can be asked for on Linux alone.
func consoleShapes() Shapes { return Latin }
