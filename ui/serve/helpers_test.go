package serve

import (
	"bytes"
	"crypto/ed25519"
	"crypto/rand"
	"fmt"
	"log/slog"
	"net"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/charmbracelet/x/ansi"
	"golang.org/x/crypto/ssh"

	"shedbell/line"
	"shedbell/line/linetest"
	"shedbell/line/live"
	"shedbell/ui/screen"
)

// patience bounds every wait for another goroutine; a busy machine is no failure.
const patience = 20 * time.Second

// until waits for something that another goroutine does.
func until(t testing.TB, what string, ok func() bool) {
	t.Helper()
	for end := time.Now().Add(patience); !ok(); time.Sleep(2 * time.Millisecond) {
		if time.Now().After(end) {
			t.Fatalf("never happened: %s", what)
		}
	}
}

// text is a buffer that several goroutines use.
type text struct {
	mu sync.Mutex
	b  bytes.Buffer
}

func (x *text) Write(p []byte) (int, error) {
	x.mu.Lock()
	defer x.mu.Unlock()
	return x.b.Write(p)
}

func (x *text) String() string {
	x.mu.Lock()
	defer x.mu.Unlock()
	return x.b.String()
}

// shed is a served line with the keys of an operator and of a viewer.
type shed struct {
	t        testing.TB
	line     *live.Line
	srv      *Server
	addr     string
	keys     string // file
	log      text
	operator ssh.Signer
	viewer   ssh.Signer
}

func newKey(t testing.TB) ssh.Signer {
	t.Helper()
	_, private, err := ed25519.GenerateKey(rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	signer, err := ssh.NewSignerFromKey(private)
	if err != nil {
		t.Fatal(err)
	}
	return signer
}

func public(s ssh.Signer) string {
	return strings.TrimSpace(string(ssh.MarshalAuthorizedKey(s.PublicKey())))
}

// serveShed serves the test shed on its usual morning, with a day open.
func serveShed(t testing.TB, limits Limits, change ...func(*Options)) *shed {
	t.Helper()
	s := &shed{t: t, operator: newKey(t), viewer: newKey(t)}
	dir := t.TempDir()
	s.keys = filepath.Join(dir, "ssh_keys")
	s.allow(fmt.Sprintf("# the shed's\noperator,by=\"Ash\" %s a phone\nviewer %s\n", public(s.operator), public(s.viewer)))
	l, _, err := live.Open(&linetest.Memory{}, linetest.Site(), linetest.Book(), linetest.NewManual(linetest.Morning), "Juniper")
	if err != nil {
		t.Fatal(err)
	}
	s.line = l
	if _, _, no := l.Do(line.OpenDay{Sheet: linetest.Sheet()}); no != nil {
		t.Fatal(no)
	}
	o := Options{Line: l, HostKey: HostKeyFile(dir), Keys: s.keys, Log: slog.New(slog.NewTextHandler(&s.log, nil)), Limits: limits,
		Forecast: func(*line.State, time.Time) screen.Forecast { return screen.Forecast{} }}
	for _, c := range change {
		c(&o)
	}
	s.srv, err = New(o)
	if err != nil {
		t.Fatal(err)
	}
	listener, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	s.addr = listener.Addr().String()
	done := make(chan error, 1)
	go func() { done <- s.srv.Serve(listener) }()
	t.Cleanup(func() {
		s.srv.Close()
		if err := <-done; err != nil {
			t.Errorf("the server ended with %v", err)
		}
		if err := l.Close(); err != nil {
			t.Errorf("the line was not closed well: %v", err)
		}
	})
	return s
}

func (s *shed) allow(keys string) {
	s.t.Helper()
	if err := os.WriteFile(s.keys, []byte(keys), 0o600); err != nil {
		s.t.Fatal(err)
	}
}

// dial logs in.
func (s *shed) dial(auth ...ssh.AuthMethod) (*ssh.Client, error) {
	return ssh.Dial("tcp", s.addr, &ssh.ClientConfig{User: "grower", Auth: auth, Timeout: patience,
		HostKeyCallback: func(_ string, _ net.Addr, key ssh.PublicKey) error {
			if got := ssh.FingerprintSHA256(key); got != s.srv.Fingerprint() {
				return fmt.Errorf("host key %s, the server says %s", got, s.srv.Fingerprint())
			}
			return nil
		}})
}

func (s *shed) login(key ssh.Signer) *ssh.Client {
	s.t.Helper()
	c, err := s.dial(ssh.PublicKeys(key))
	if err != nil {
		s.t.Fatal(err)
	}
	s.t.Cleanup(func() { c.Close() })
	return c
}

// board is a session that shows the board.
type board struct {
	t      testing.TB
	shed   *shed
	client *ssh.Client
	*ssh.Session
	keys interface{ Write([]byte) (int, error) }
	out  text

	entered time.Time // when Enter was pressed last: nobody means a doubled one
}

// open logs in and opens the board on a terminal.
func (s *shed) open(key ssh.Signer) *board {
	s.t.Helper()
	c := s.login(key)
	x, err := c.NewSession()
	if err != nil {
		s.t.Fatal(err)
	}
	b := &board{t: s.t, shed: s, client: c, Session: x}
	x.Stdout = &b.out
	if b.keys, err = x.StdinPipe(); err != nil {
		s.t.Fatal(err)
	}
	if err := x.RequestPty("xterm-256color", 30, 100, ssh.TerminalModes{}); err != nil {
		s.t.Fatal(err)
	}
	if err := x.Shell(); err != nil {
		s.t.Fatal(err)
	}
	return b
}

// shows waits until a text has been drawn. Frames are sent as the lines that have
// changed, so one line is looked for.
func (b *board) shows(what string) {
	b.t.Helper()
	end := time.Now().Add(patience)
	for !strings.Contains(ansi.Strip(b.out.String()), what) {
		if time.Now().After(end) {
			b.t.Fatalf("never shown: %q in\n%s\nthe log:\n%s", what, ansi.Strip(b.out.String()), b.shed.log.String())
		}
		time.Sleep(2 * time.Millisecond)
	}
}

// forget drops what has been shown so far.
func (b *board) forget() {
	b.out.mu.Lock()
	defer b.out.mu.Unlock()
	b.out.b.Reset()
}

func (b *board) press(keys string) {
	b.t.Helper()
	if strings.Contains(keys, "\r") {
		time.Sleep(time.Until(b.entered.Add(1100 * time.Millisecond)))
		b.entered = time.Now()
	}
	if _, err := b.keys.Write([]byte(keys)); err != nil {
		b.t.Fatal(err)
	}
}

// unharmed checks that the line still takes a step.
func (s *shed) unharmed() {
	s.t.Helper()
	before := s.line.State().Seq
	if _, _, no := s.line.Do(line.AddNote{Text: "still here"}); no != nil {
		s.t.Fatalf("the line refuses: %s", no.Error())
	}
	if s.line.State().Seq <= before {
		s.t.Fatal("the line does not record")
	}
}

// logged waits for a line in the log that holds all the parts.
func (s *shed) logged(parts ...string) {
	s.t.Helper()
	until(s.t, fmt.Sprintf("a log line with %q", parts), func() bool {
	lines:
		for _, l := range strings.Split(s.log.String(), "\n") {
			for _, p := range parts {
				if !strings.Contains(l, p) {
					continue lines
				}
			}
			return true
		}
		return false
	})
}

// raw opens the board for a viewer on a connection whose questions nobody answers.
func (s *shed) raw(conn net.Conn, w, h uint32) ssh.Conn {
	s.t.Helper()
	c, chans, reqs, err := ssh.NewClientConn(conn, s.addr, &ssh.ClientConfig{User: "grower",
		Auth: []ssh.AuthMethod{ssh.PublicKeys(s.viewer)}, HostKeyCallback: ssh.InsecureIgnoreHostKey()})
	if err != nil {
		s.t.Fatal(err)
	}
	go func() {
		for range chans {
		}
	}()
	go func() {
		for range reqs { // read, never answered
		}
	}()
	ch, asked, err := c.OpenChannel("session", nil)
	if err != nil {
		s.t.Fatal(err)
	}
	go ssh.DiscardRequests(asked)
	pty := ssh.Marshal(struct {
		Term                         string
		Columns, Rows, Width, Height uint32
		Modes                        string
	}{"xterm-256color", w, h, 0, 0, "\x00"})
	if ok, err := ch.SendRequest("pty-req", true, pty); !ok || err != nil {
		s.t.Fatal("no terminal", err)
	}
	if ok, err := ch.SendRequest("shell", true, nil); !ok || err != nil {
		s.t.Fatal("no board", err)
	}
	return c
}
