package e2e

import (
	"bytes"
	"crypto/ed25519"
	"crypto/rand"
	"fmt"
	"io"
	"net"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"golang.org/x/crypto/ssh"
)

// output is what a program has printed so far.
type output struct {
	mu sync.Mutex
	b  bytes.Buffer
}

func (o *output) Write(p []byte) (int, error) {
	o.mu.Lock()
	defer o.mu.Unlock()
	return o.b.Write(p)
}

// find waits for a match.
func (o *output) find(t *testing.T, pattern string) []string {
	t.Helper()
	re := regexp.MustCompile(pattern)
	for deadline := time.Now().Add(patience); ; time.Sleep(5 * time.Millisecond) {
		o.mu.Lock()
		text := o.b.String()
		o.mu.Unlock()
		if found := re.FindStringSubmatch(text); found != nil {
			return found
		}
		if time.Now().After(deadline) {
			t.Fatalf("never printed %s:\n%s", pattern, text)
		}
	}
}

// TestServeWithoutTerminal: as a service, the program serves only; what is done
// over SSH is there at the next start, and it ends in good order when it is asked.
func TestServeWithoutTerminal(t *testing.T) {
	path, err := binary()
	if err != nil {
		t.Fatalf("build: %v", err)
	}
	_, private, err := ed25519.GenerateKey(rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	key, err := ssh.NewSignerFromKey(private)
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	allowed := "operator " + string(ssh.MarshalAuthorizedKey(key.PublicKey()))
	for name, text := range map[string]string{"recipes.toml": quickRecipes, "day.toml": quickDay, "ssh_keys": allowed} {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	cmd := exec.Command(path, "--data", dir, "serve", "--listen", "127.0.0.1:0")
	var said output
	cmd.Stdout, cmd.Stderr = &said, &said
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { cmd.Process.Kill() })
	where := said.find(t, `Served over SSH on (\S+), host key (SHA256:\S+)\. There is no terminal`)

	client, err := ssh.Dial("tcp", where[1], &ssh.ClientConfig{User: "grower", Auth: []ssh.AuthMethod{ssh.PublicKeys(key)},
		HostKeyCallback: func(_ string, _ net.Addr, host ssh.PublicKey) error {
			if got := ssh.FingerprintSHA256(host); got != where[2] {
				return fmt.Errorf("host key %s, printed was %s", got, where[2])
			}
			return nil
		}})
	if err != nil {
		t.Fatal(err)
	}
	defer client.Close()
	session, err := client.NewSession()
	if err != nil {
		t.Fatal(err)
	}
	var shown output
	session.Stdout = &shown
	keys, err := session.StdinPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := session.RequestPty("xterm", 30, 100, nil); err != nil {
		t.Fatal(err)
	}
	if err := session.Shell(); err != nil {
		t.Fatal(err)
	}
	shown.find(t, "No day is open")
	for _, step := range [][2]string{{"\r", "pea"}, {"\r", "Cut PEA 1, 2 trays"}, {"\r", "PEA 1 started at the cutting table"}} {
		time.Sleep(1100 * time.Millisecond) // sooner, an Enter is one pressed twice
		if _, err := io.WriteString(keys, step[0]); err != nil {
			t.Fatal(err)
		}
		shown.find(t, step[1])
	}
	if err := cmd.Process.Signal(syscall.SIGTERM); err != nil { // as systemd ends a service
		t.Fatal(err)
	}
	if err := cmd.Wait(); err != nil {
		t.Errorf("ended with %v", err)
	}
	log, err := os.ReadFile(filepath.Join(dir, "serve.log"))
	if err != nil || !strings.Contains(string(log), "no terminal: serving only") || !strings.Contains(string(log), "screen opened") {
		t.Errorf("%v; the log:\n%s", err, log)
	}
	x := start(t, 100, 30, "--data", dir)
	x.expect("inish cutting PEA 1")
	x.quit()
}
