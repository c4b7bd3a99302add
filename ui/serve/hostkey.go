package serve

import (
	"crypto/ed25519"
	"crypto/rand"
	"encoding/pem"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"runtime"

	"golang.org/x/crypto/ssh"
)

// hostKey reads the key that this machine proves itself with, and makes it at the
// first start. It stays the same for good, so that a client notices another
// machine in its place.
func hostKey(path string) (text []byte, err error) {
	info, err := os.Stat(path)
	if errors.Is(err, fs.ErrNotExist) {
		return makeHostKey(path)
	}
	if err != nil {
		return nil, fmt.Errorf("cannot look at the host key: %w", err)
	}
	if runtime.GOOS != "windows" && info.Mode().Perm()&0o077 != 0 {
		return nil, fmt.Errorf("others on this machine can read the host key %s. Close it with: chmod 600 %s; "+
			"or remove it, then a new one is made", path, path)
	}
	if text, err = os.ReadFile(path); err != nil {
		return nil, fmt.Errorf("cannot read the host key: %w", err)
	}
	if _, err := ssh.ParsePrivateKey(text); err != nil {
		return nil, fmt.Errorf("%s is no host key (%w). Remove it, then a new one is made", path, err)
	}
	return text, nil
}

func makeHostKey(path string) ([]byte, error) {
	_, private, err := ed25519.GenerateKey(rand.Reader)
	if err != nil {
		return nil, err
	}
	block, err := ssh.MarshalPrivateKey(private, "shedbell host key")
	if err != nil {
		return nil, err
	}
	text := pem.EncodeToMemory(block)
	temp := path + ".new"
	f, err := os.OpenFile(temp, os.O_WRONLY|os.O_CREATE|os.O_TRUNC, 0o600)
	if err != nil {
		return nil, fmt.Errorf("cannot keep a host key: %w", err)
	}
	_, err = f.Write(text)
	if err = errors.Join(err, f.Chmod(0o600), f.Sync(), f.Close()); err != nil {
		return nil, fmt.Errorf("cannot keep a host key: %w", err)
	}
	return text, os.Rename(temp, path)
}
