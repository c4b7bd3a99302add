package command_test

import (
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"shedbell/line/files"
	"shedbell/ui/command"
	"shedbell/ui/setup"
)

func TestSetupWithoutTerminal(t *testing.T) {
	s := newShell(t)
	s.env.Setup = func(context.Context, setup.Options) error { t.Error("asked without a terminal"); return nil }
	s.want(t, command.ExitNoTerminal, "setup")
	if text := s.err.String(); !strings.Contains(text, "terminal") || !strings.Contains(text, "shedbell check") {
		t.Errorf("says %q", text)
	}
	if _, err := os.Stat(s.vars["SHEDBELL_DATA"]); err == nil {
		t.Error("made the data folder")
	}
}

func TestSetupGetsTheFile(t *testing.T) {
	s := newShell(t)
	s.env.Terminal = true
	var got setup.Options
	asked := 0
	s.env.Setup = func(_ context.Context, o setup.Options) error { got = o; asked++; return nil }
	path := filepath.Join(s.vars["SHEDBELL_DATA"], "line.toml")
	s.want(t, 0, "setup")
	if got.Path != path || got.Data != nil {
		t.Errorf("asked about %q in %s, want a new %s", got.Data, got.Path, path)
	}
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		t.Fatal(err)
	}
	put(t, path, string(files.StarterLine()))
	s.want(t, 0, "setup")
	if got.Path != path || string(got.Data) != string(files.StarterLine()) {
		t.Errorf("asked about %d bytes in %s", len(got.Data), got.Path)
	}
	put(t, path, "name = 3\n")
	s.want(t, command.ExitBadInput, "setup")
	put(t, path, "")
	s.want(t, command.ExitBadInput, "setup")
	if got.Words.Language() != "en" {
		t.Errorf("asked in %q", got.Words.Language())
	}
	if asked != 2 {
		t.Errorf("asked %d times, want 2: a file with a fault is mended first", asked)
	}
}

func TestSetupSpeaksTheLanguage(t *testing.T) {
	s := newShell(t)
	s.env.Terminal = true
	var got setup.Options
	s.env.Setup = func(_ context.Context, o setup.Options) error { got = o; return nil }
	s.vars["LANG"] = "es_MX.UTF-8"
	s.want(t, 0, "setup")
	if got.Words.Language() != "es" {
		t.Errorf("without settings it asks in %q", got.Words.Language())
	}
	if err := os.MkdirAll(s.vars["SHEDBELL_DATA"], 0o755); err != nil {
		t.Fatal(err)
	}
	put(t, filepath.Join(s.vars["SHEDBELL_DATA"], "settings.toml"), "language = \"en\"\n")
	if s.want(t, 0, "setup"); got.Words.Language() != "en" {
		t.Errorf("with English settings it asks in %q", got.Words.Language())
	}
}
