package serve

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"runtime"
	"strings"
	"unicode/utf8"

	"golang.org/x/crypto/ssh"

	"shedbell/recipes/strictfile"
)

// Person is what a key may do.
type Person struct {
	Operator bool   // may have the line
	By       string // who an operator's actions are recorded for; empty: as on the board
}

// Keys are the public keys that may come in, by what ssh.PublicKey.Marshal gives.
type Keys map[string]Person

const (
	maxKeyFile = 1 << 20
	maxBy      = 40
)

// ReadKeys reads a key file: a public key a line as OpenSSH's authorized_keys has
// it, with "operator" or "viewer" in front, and by="NAME". A key without a word
// may only watch. All faults are reported at once.
func ReadKeys(name string, data []byte) (Keys, error) {
	keys := Keys{}
	var faults []error
	fault := func(row int, format string, args ...any) {
		faults = append(faults, fmt.Errorf("%s:%d: %s", name, row, strictfile.Printable(fmt.Sprintf(format, args...))))
	}
	lines := bufio.NewScanner(bytes.NewReader(data))
	lines.Buffer(nil, maxKeyFile)
	for row := 1; lines.Scan(); row++ {
		text := strings.TrimSpace(lines.Text())
		if text == "" || strings.HasPrefix(text, "#") {
			continue
		}
		key, _, options, rest, err := ssh.ParseAuthorizedKey([]byte(text))
		switch {
		case err != nil || len(rest) > 0:
			fault(row, "no public key. One looks like: operator ssh-ed25519 AAAA... a phone")
			continue
		case strings.Contains(key.Type(), "-cert-"):
			fault(row, "a certificate. Give the plain public key")
			continue
		}
		who, err := person(options)
		if err != nil {
			fault(row, "%v", err)
			continue
		}
		if _, twice := keys[string(key.Marshal())]; twice {
			fault(row, "this key is already there. Remove one of the two lines")
			continue
		}
		keys[string(key.Marshal())] = who
	}
	if err := lines.Err(); err != nil {
		faults = append(faults, fmt.Errorf("%s: a line is too long for a key", name))
	}
	if len(faults) > 0 {
		return nil, errors.Join(faults...)
	}
	return keys, nil
}

// person reads what stands before a key. What is not known is a fault: an option
// that was meant to keep somebody out must not be passed over.
func person(options []string) (p Person, err error) {
	role := ""
	for _, o := range options {
		word, value, valued := strings.Cut(o, "=")
		switch {
		case (o == "operator" || o == "viewer") && role == "":
			role = o
		case o == "operator" || o == "viewer":
			return p, fmt.Errorf("both %q and %q come before the key. Keep one", role, o)
		case word == "by" && valued:
			p.By = strings.Trim(value, `"`)
			if p.By == "" || utf8.RuneCountInString(p.By) > maxBy || strictfile.Printable(p.By) != p.By {
				return p, fmt.Errorf(`%s can't be right. Give a name, as in by="Ash"`, o)
			}
		default:
			return p, fmt.Errorf(`%q is not known here. There are operator, viewer and by="NAME"`, o)
		}
	}
	p.Operator = role == "operator"
	if p.By != "" && !p.Operator {
		return p, errors.New(`by="..." is for an operator: a viewer does nothing that is recorded`)
	}
	return p, nil
}

// loadKeys reads the key file from the disk.
func loadKeys(path string) (Keys, error) {
	f, err := os.Open(path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, fmt.Errorf("there's no key file %s, so nobody could come in. Make a key on the other machine with "+
			"ssh-keygen -t ed25519, and put the line from its .pub file there with the word operator or viewer in front", path)
	}
	if err != nil {
		return nil, fmt.Errorf("cannot read the key file: %w", err)
	}
	defer f.Close()
	info, err := f.Stat()
	if err != nil {
		return nil, fmt.Errorf("cannot read the key file: %w", err)
	}
	if runtime.GOOS != "windows" && info.Mode().Perm()&0o022 != 0 {
		return nil, fmt.Errorf("others on this machine can change the key file %s. Close it with: chmod go-w %s", path, path)
	}
	data, err := io.ReadAll(io.LimitReader(f, maxKeyFile+1))
	if err != nil || len(data) > maxKeyFile {
		return nil, fmt.Errorf("cannot read the key file %s, or it is larger than 1 MB", path)
	}
	return ReadKeys(path, data)
}
