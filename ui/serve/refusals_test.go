package serve

import (
	"bytes"
	"io"
	"net"
	"strings"
	"testing"

	"golang.org/x/crypto/ssh"

	"shedbell/recipes/strictfile"
)

func TestUnknownKeyIsRefused(t *testing.T) {
	s := serveShed(t, Limits{})
	stranger := newKey(t)
	if _, err := s.dial(ssh.PublicKeys(stranger)); err == nil {
		t.Fatal("an unknown key came in")
	}
	s.logged("refused", "unknown key", ssh.FingerprintSHA256(stranger.PublicKey()))
	s.unharmed()
}

func TestPasswordIsRefused(t *testing.T) {
	s := serveShed(t, Limits{})
	asked := false
	_, err := s.dial(ssh.PasswordCallback(func() (string, error) { asked = true; return "alder", nil }),
		ssh.KeyboardInteractive(func(string, string, []string, []bool) ([]string, error) { asked = true; return []string{"alder"}, nil }))
	if err == nil {
		t.Fatal("a password let somebody in")
	}
	if asked {
		t.Error("the server offers passwords")
	}
	if !strings.Contains(err.Error(), "no supported methods remain") {
		t.Errorf("refused otherwise: %v", err)
	}
	s.logged("refused", "connection")
	s.unharmed()
}

// A key of a viewer that somebody else only knows the public half of.
func TestPublicHalfOfAKeyIsNotEnough(t *testing.T) {
	s := serveShed(t, Limits{})
	if _, err := s.dial(ssh.PublicKeys(forged{s.viewer, newKey(t)})); err == nil {
		t.Fatal("a signature by another key was taken")
	}
	s.unharmed()
}

// forged shows one key and signs with another.
type forged struct{ shows, signs ssh.Signer }

func (f forged) PublicKey() ssh.PublicKey { return f.shows.PublicKey() }
func (f forged) Sign(r io.Reader, data []byte) (*ssh.Signature, error) {
	return f.signs.Sign(r, data)
}

func TestForwardingIsRefused(t *testing.T) {
	s := serveShed(t, Limits{})
	for _, key := range []ssh.Signer{s.operator, s.viewer} {
		c := s.login(key)
		if conn, err := c.Dial("tcp", s.addr); err == nil { // RFC 4254, 7.2
			conn.Close()
			t.Error("a connection was forwarded")
		}
		if l, err := c.Listen("tcp", "127.0.0.1:0"); err == nil { // RFC 4254, 7.1
			l.Close()
			t.Error("a port was opened for a client")
		}
		if _, _, err := c.OpenChannel("auth-agent@openssh.com", nil); err == nil {
			t.Error("an agent channel was opened")
		}
		if _, _, err := c.OpenChannel("x11", nil); err == nil {
			t.Error("an X11 channel was opened")
		}
	}
	s.logged("refused", "direct-tcpip")
	s.logged("refused", "tcpip-forward")
	s.unharmed()
}

func TestOnlyTheBoardIsThere(t *testing.T) {
	for name, ask := range map[string]func(*ssh.Session) error{
		"exec":                       func(x *ssh.Session) error { return x.Start("sh -c id") },
		"subsystem":                  func(x *ssh.Session) error { return x.RequestSubsystem("sftp") },
		"shell":                      func(x *ssh.Session) error { return x.Shell() }, // without a terminal
		"x11-req":                    func(x *ssh.Session) error { return request(x, "x11-req") },
		"auth-agent-req@openssh.com": func(x *ssh.Session) error { return request(x, "auth-agent-req@openssh.com") },
		"pty-req":                    func(x *ssh.Session) error { return request(x, "pty-req") }, // cut short
	} {
		t.Run(name, func(t *testing.T) {
			s := serveShed(t, Limits{})
			x, err := s.login(s.operator).NewSession()
			if err != nil {
				t.Fatal(err)
			}
			if err := ask(x); err == nil {
				t.Errorf("%s was granted", name)
			}
			s.logged("refused", "type="+name)
			s.unharmed()
		})
	}
}

// request asks for something with an empty payload.
func request(x *ssh.Session, kind string) error {
	ok, err := x.SendRequest(kind, true, nil)
	if err == nil && !ok {
		err = io.EOF
	}
	return err
}

func TestOneScreenForEachConnection(t *testing.T) {
	s := serveShed(t, Limits{})
	b := s.open(s.viewer)
	b.shows("Cut PEA 1")
	if _, err := b.client.NewSession(); err == nil {
		t.Error("a second session was opened")
	}
	s.logged("refused", "second session")
}

// Ten thousand bytes of junk, before and after a login.
func TestJunk(t *testing.T) {
	s := serveShed(t, Limits{})
	shown := s.open(s.viewer)
	shown.shows("Cut PEA 1")
	junk := bytes.Repeat([]byte("\x00\xff\x1b[6n\r1\x03"), 1200)[:10_000]
	for _, lead := range []string{"", "SSH-2.0-junk\r\n"} {
		conn, err := net.Dial("tcp", s.addr)
		if err != nil {
			t.Fatal(err)
		}
		_, _ = conn.Write(append([]byte(lead), junk...))
		_, _ = io.Copy(io.Discard, conn) // ends when the server hangs up
		conn.Close()
	}
	s.logged("refused", "connection")

	before := s.line.State().Seq
	b := s.open(s.operator)
	b.shows("Cut PEA 1")
	_, _ = b.keys.Write(junk)
	_ = b.Wait() // the server hangs up
	s.logged("dropped", "more at once than a person types")
	if s.line.State().Seq != before {
		t.Error("junk was taken for keys and did something")
	}
	s.unharmed()
	shown.forget()
	shown.press("?")
	shown.shows("help")
}

func TestTooManyConnections(t *testing.T) {
	limits := Usual
	limits.Connections = 3
	s := serveShed(t, limits)
	for range 3 {
		conn, err := net.Dial("tcp", s.addr)
		if err != nil {
			t.Fatal(err)
		}
		defer conn.Close()
		if _, err := io.ReadFull(conn, make([]byte, 4)); err != nil { // the server's first word
			t.Fatal(err)
		}
	}
	conn, err := net.Dial("tcp", s.addr)
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close()
	if n, _ := conn.Read(make([]byte, 1)); n != 0 {
		t.Error("one connection too many was taken")
	}
	s.logged("refused", "too many at once")
}

func TestTooManyScreens(t *testing.T) {
	limits := Usual
	limits.Screens = 1
	s := serveShed(t, limits)
	s.open(s.viewer).shows("Cut PEA 1")
	if _, err := s.login(s.viewer).NewSession(); err == nil {
		t.Error("one screen too many was opened")
	}
	s.logged("refused", "no room")
}

// A client that comes to no screen does not stay, whether it has logged in or not.
func TestIdleConnectionsEnd(t *testing.T) {
	limits := Usual
	limits.Login = 300_000_000 // 0.3 s
	s := serveShed(t, limits)
	conn, err := net.Dial("tcp", s.addr)
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close()
	_, _ = io.Copy(io.Discard, conn) // ends when the server hangs up
	if c, err := s.dial(ssh.PublicKeys(s.viewer)); err == nil {
		_ = c.Wait()
	}
	s.logged("refused", "no screen was asked for in time")
}

// A client that asks again and again is dropped, and does not fill the log.
func TestEndlessRequests(t *testing.T) {
	s := serveShed(t, Limits{})
	c := s.login(s.viewer)
	x, err := c.NewSession()
	if err != nil {
		t.Fatal(err)
	}
	for range 10 * maxRefusals {
		if _, err := x.SendRequest("x11-req", true, nil); err != nil {
			break
		}
	}
	_ = c.Wait()
	s.logged("dropped", "does not stop asking")
	if n := strings.Count(s.log.String(), "x11-req"); n > maxRefusals {
		t.Errorf("%d lines in the log", n)
	}
	s.unharmed()
}

// What a client sends is in the log, but cannot steer the terminal of who reads it.
func TestTheLogHoldsNoSequences(t *testing.T) {
	s := serveShed(t, Limits{})
	const dirt = "\x1b[2J\x1b]0;owned\a\u009b31m\x9b\u202e\u2028\r\nlevel=INFO"
	c := s.login(s.viewer)
	if _, _, err := c.OpenChannel(dirt, nil); err == nil {
		t.Error("a channel without a name was opened")
	}
	x, err := c.NewSession()
	if err != nil {
		t.Fatal(err)
	}
	if err := request(x, dirt); err == nil {
		t.Error("a request without a name was granted")
	}
	if _, _, err := c.SendRequest(dirt, true, nil); err != nil {
		t.Fatal(err)
	}
	conn, err := net.Dial("tcp", s.addr)
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close()
	_, _ = conn.Write([]byte("SSH-1.0-" + dirt + "\r\n"))
	_, _ = io.Copy(io.Discard, conn)
	s.logged("refused", "channel")
	s.logged("refused", "request")
	s.logged("refused", "connection")
	log := strings.ReplaceAll(s.log.String(), "\n", "")
	if strings.ContainsFunc(log, strictfile.IsControl) {
		t.Errorf("logged as %q", s.log.String())
	}
	for _, line := range strings.Split(strings.TrimSpace(s.log.String()), "\n") {
		if !strings.HasPrefix(line, "time=") {
			t.Errorf("a client wrote a line of the log: %q", line)
		}
	}
	s.unharmed()
}
