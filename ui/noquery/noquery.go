// Package noquery keeps bubbletea from asking the terminal for its background before
// main begins. It would wait up to five seconds for an answer, whatever the command is,
// and an answer that comes later still would be read as keys. The board asks by itself
// once it is drawn, and waits for nothing.
//
// The library asks in an init function, and asks no terminal that is called dumb. Go
// initialises packages by rising import path as soon as their own imports are (language
// specification, "Program initialization"): this one needs nothing but os, and so comes
// before all that needs package strings. Whoever imports bubbletea calls Over from its
// own init function.
package noquery

import "os"

var term, set = os.LookupEnv("TERM")

func init() { _ = os.Setenv("TERM", "dumb") }

// Over gives the terminal its name back.
func Over() {
	if set {
		_ = os.Setenv("TERM", term)
	} else {
		_ = os.Unsetenv("TERM")
	}
}
