//go:build !shedbell_faulty

package app

import "shedbell/ui/screen"

// addFaulty adds a screen that panics, in a program that is built to test that.
func addFaulty(map[screen.Name]screen.Screen) {}
