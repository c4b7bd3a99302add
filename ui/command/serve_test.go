package command_test

import (
	"context"
	"path/filepath"
	"strings"
	"testing"

	"shedbell/ui/command"
)

func TestServeGetsTheLine(t *testing.T) {
	s := newShell(t)
	var got command.ServeOptions
	s.env.Serve = func(_ context.Context, o command.ServeOptions) error { got = o; return nil }
	s.want(t, 0, "serve")
	if got.Listen != "127.0.0.1:2222" || got.Terminal || got.Keys != filepath.Join(got.Folder, "ssh_keys") || got.Site.Name != "Alder shed" {
		t.Errorf("served with %+v", got)
	}
	s.env.Terminal = true
	s.want(t, 0, "serve", "--listen", "[::1]:22022", "--keys", "/etc/keys")
	if got.Listen != "[::1]:22022" || !got.Terminal || got.Keys != "/etc/keys" {
		t.Errorf("served with %+v", got)
	}
}

// An address that reaches further than was said is not guessed at.
func TestServeAddresses(t *testing.T) {
	s := newShell(t)
	s.env.Serve = func(context.Context, command.ServeOptions) error { t.Error("served"); return nil }
	for _, bad := range []string{":2222", "2222", "127.0.0.1", "127.0.0.1:ssh", "127.0.0.1:70000"} {
		s.want(t, command.ExitBadInput, "serve", "--listen="+bad)
		if !strings.Contains(s.err.String(), "--listen") {
			t.Errorf("%s: says %q", bad, s.err.String())
		}
	}
}

func TestWatchNeedsATerminal(t *testing.T) {
	s := newShell(t)
	s.env.Watch = func(command.BoardOptions) error { t.Error("opened without a terminal"); return nil }
	s.env.Board = s.env.Watch
	s.want(t, command.ExitNoTerminal, "watch")
	s.env.Terminal = true
	watched := false
	s.env.Watch = func(command.BoardOptions) error { watched = true; return nil }
	s.want(t, 0, "watch")
	if !watched {
		t.Error("not watched")
	}
}
