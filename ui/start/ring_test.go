package start

import (
	"bytes"
	"testing"

	"shedbell/line"
	"shedbell/ui/screen"
)

// What an alarm says cannot end the notification early or begin another sequence. OSC
// strings end with BEL or ST, 7 or 8 bits wide: ECMA-48, 5.6 and 8.3.143.
func TestNotificationsHoldNoSequences(t *testing.T) {
	for text, want := range map[string]string{
		"PEA 1 waits":                       "PEA 1 waits",
		"PEA\a 1\x1b]0;owned\a waits":       "PEA 1 waits",
		"PEA\u009c\u202e 1\x1b\\\x9b2J\r\n": "PEA 12J",
	} {
		var out bytes.Buffer
		ringer(&out)(screen.Prefs{Notify: true}, line.Urgent, text)
		if got := out.String(); got != "\a\x1b]9;"+want+"\a" {
			t.Errorf("%q was sent as %q", text, got)
		}
	}
}
