package command_test

import (
	"bytes"
	"fmt"
	"io"
	"net"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"shedbell/line/files"
	"shedbell/line/live/meters"
	"shedbell/ui/command"
)

// person stands at the machines: it reads what is asked, switches, and answers.
type person struct {
	t      *testing.T
	mu     sync.Mutex
	all    bytes.Buffer
	does   func(asked string) (answer string, answers bool)
	answer io.Writer
}

func (p *person) Write(text []byte) (int, error) {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.all.Write(text)
	if answer, ok := p.does(strings.Join(strings.Fields(string(text)), " ")); ok {
		go io.WriteString(p.answer, answer+"\n")
	}
	return len(text), nil
}

func TestMetersAreFoundByTheirMachines(t *testing.T) {
	s := newShell(t)
	dir := s.vars["SHEDBELL_DATA"]
	free, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	address := free.Addr().String()
	free.Close()
	starter, err := os.ReadFile("../../testdata/starter_line.toml")
	if err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(dir, "line.toml")
	if err := os.MkdirAll(dir, 0o700); err != nil {
		t.Fatal(err)
	}
	was := fmt.Appendf(nil, "%s\n[meters]\naddress = %q\nanonymous = true\n", starter, address)
	if err := os.WriteFile(path, was, 0o600); err != nil {
		t.Fatal(err)
	}
	in, out := io.Pipe()
	who := &person{t: t, answer: out}
	who.does = plugs(t, address)
	s.env.Stdin, s.env.Stdout = in, who
	s.want(t, command.ExitOK, "meters", "find", "--wait", "5s")
	now, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	cfg := files.ReadMeters(path, now)
	if cfg == nil || len(cfg.Meters) != 1 || cfg.Meters[0].Of != "spinner" || cfg.Meters[0].Topic != "hall/plug 2" || cfg.Meters[0].Pointer.String() != "/now/a" {
		t.Errorf("%+v\n%s", cfg, who.all.String())
	}
	if before, err := os.ReadFile(path + ".1"); err != nil || !bytes.Equal(before, was) || !bytes.HasPrefix(now, bytes.TrimRight(was, "\n")) {
		t.Errorf("what was there is not kept: %v", err)
	}
	who.does = func(string) (string, bool) { return "", false }
	s.env.Stdin = strings.NewReader("")
	s.want(t, command.ExitBadInput, "meters", "find") // nobody answers
	if again, err := os.ReadFile(path); err != nil || !bytes.Equal(again, now) {
		t.Error("written though nobody answered")
	}
}

// plugs are three, of which the third is on the spinner and the second on something that
// starts beside it; the person says no to the wrong one and skips every other machine.
func plugs(t *testing.T, address string) func(string) (string, bool) {
	var c *meters.Client
	send := func(a ...float64) {
		if c == nil {
			to, err := net.Dial("tcp", address)
			if err != nil {
				t.Error(err)
				return
			}
			t.Cleanup(func() { to.Close() })
			if c, err = meters.Greet(to, "plugs", "", ""); err != nil {
				t.Error(err)
			}
		}
		for i, v := range a {
			if err := c.Send(fmt.Sprint("hall/plug ", i), fmt.Sprintf(`{"now": {"a": %.2f}, "total": 4711}`, v)); err != nil {
				t.Error(err)
			}
		}
	}
	return func(asked string) (string, bool) {
		switch {
		case strings.Contains(asked, "everything else off"):
			send(0, 0.01, 0)
		case strings.Contains(asked, "Switch spinner on"):
			send(0, 7, 6)
			return "", true
		case strings.Contains(asked, "Is that"):
			if strings.Contains(asked, "plug 2") {
				return "", true
			}
			return "n", true
		case strings.Contains(asked, "off again"), strings.Contains(asked, "No value rose"):
			return "", true
		case strings.Contains(asked, " on now"):
			return "0", true
		}
		return "", false
	}
}

func TestMetersFindNeedsABroker(t *testing.T) {
	s := newShell(t)
	s.want(t, command.ExitBadInput, "meters", "find")
	if !strings.Contains(s.err.String(), "[meters]") {
		t.Error(s.err.String())
	}
}
