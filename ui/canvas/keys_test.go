package canvas

import (
	"bytes"
	"io"
	"os"
	"strings"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"
	"pgregory.net/rapid"

	"shedbell/recipes/strictfile/fuzztest"
)

// strangers is what terminals send that nobody has pressed: answers to questions and
// reports, in the forms of ECMA-48 and of xterm's "Control Sequences" (from memory).
var strangers = []string{
	"\x1b]11;rgb:0000/0000/0000\x1b\\", "\x1b]11;rgb:0000/0000/0000\a", "\x9d11;rgb:0000/0000/0000\x9c", "\x1b]4;0;rgba:00/00/00/00\x1b\\",
	"\x1b]10;rgb:ffff/ffff/ffff\x1b\\", "\x1b]52;c;MDAwMA==\x1b\\", "\x1b]lA title, ü€✓, 0 and q\x1b\\", "\x1b]8;;\x1b\\", "\x1b]\x1b\\", "\x1b]0\r0\r\a",
	"\x1bP1$r0 q\x1b\\", "\x1bP>|term 00.0\x1b\\", "\x1bP1+r544e=00\x1b\\", "\x90!|00000000\x9c", "\x1bP\x1b\\",
	"\x1b_Gi=0;OK\x1b\\", "\x9fG0\x9c", "\x1b^000\x1b\\", "\x9e000\x9c", "\x1bX000\x1b\\", "\x98000\x9c",
	"\x1b[0;0R", "\x1b[24;80R", "\x1b[?1;1R", "\x1b[0n", "\x1b[?13n", "\x1b[?62;0;22c", "\x1b[>0;276;0c", "\x1b[8;24;80t", "\x1b[3;0;0t", "\x1b[?0u", "\x1b[?2026;0$y", "\x1b[4;1$y",
	"\x1b[48;24;80;0;0t", "\x1b[?997;1n", "\x9b0;0R", "\x1b[57;0u", "\x1b[27;5;48~", "\x1b[1;1:3A",
	"\x1b[I", "\x1b[O", "\x1b[M 00", "\x1b[M\xff\xff\xff", "\x1b[<0;10;10M", "\x1b[<0;10;10m", "\x1b[32;10;10M",
	"\x1b\\", "\x1b[" + strings.Repeat("0;", 300) + "R", "\x1b]" + strings.Repeat("0", 5000) + "\a", "\x80", "\xff0"[:1], "\x1bO5A",
}

// pressed is what keys send.
var pressed = []string{
	"0", "q", "\r", "\t", " ", "\x7f", "\x08", "\x03", "\x1a", "ü", "€", "✓", "🌾", "\x1bx", "\x1b0", "\x1b\r", "\x1bü",
	"\x1b[A", "\x1b[B", "\x1b[C", "\x1b[D", "\x1b[H", "\x1b[F", "\x1b[1;2A", "\x1b[1;8F", "\x1b[Z", "\x1b[a", "\x1bOA", "\x1bOP", "\x1bOS", "\x1b[1;2P", "\x1b[1;3S",
	"\x1b[1~", "\x1b[2~", "\x1b[3~", "\x1b[5~", "\x1b[6~", "\x1b[3;5~", "\x1b[15~", "\x1b[24~", "\x1b[34~", "\x1b[15;2~", "\x1b[7^", "\x1b[8$", "\x1b[5@", "\x1b[[A", "\x1b[[E",
	"\x1b[200~0\r\x1b]11;rgb:0/0/0\a\x1b[201~", "\x1b[200~\x1b[201~",
}

// filtered gives what goes through of pieces that come one soon after the other.
func filtered(f *keyFilter, now time.Time, pieces ...string) string {
	var out []byte
	for _, p := range pieces {
		now = now.Add(time.Millisecond)
		out = f.feed(out, []byte(p), now)
	}
	return string(out)
}

// eachSplit calls fn with a text in two and in three pieces, parted everywhere.
func eachSplit(s string, fn func(pieces ...string)) {
	for i := range len(s) + 1 {
		fn(s[:i], s[i:])
		for k := i + 1; k < len(s) && len(s) < 100; k++ {
			fn(s[:i], s[i:k], s[k:])
		}
	}
}

func TestNothingOfAStrangerComesThrough(t *testing.T) {
	for _, s := range strangers {
		eachSplit("1"+s+"2", func(pieces ...string) {
			if got := filtered(&keyFilter{}, time.Time{}, pieces...); got != "12" {
				t.Fatalf("%q lets %q through", pieces, got)
			}
		})
		eachSplit(s+s+"\x1b[A", func(pieces ...string) {
			if got := filtered(&keyFilter{}, time.Time{}, pieces...); got != "\x1b[A" {
				t.Fatalf("%q lets %q through", pieces, got)
			}
		})
	}
}

func TestKeysComeThroughUntouched(t *testing.T) {
	for _, s := range pressed {
		eachSplit("1"+s+"2", func(pieces ...string) {
			if got := filtered(&keyFilter{}, time.Time{}, pieces...); got != "1"+s+"2" {
				t.Fatalf("%q became %q", pieces, got)
			}
		})
		if got := filtered(&keyFilter{}, time.Time{}, s, strangers[0], s); got != s+s {
			t.Errorf("%q with an answer between became %q", s, got)
		}
	}
	for s, want := range map[string]string{"\x1bOH": "\x1b[H", "\x1bOF": "\x1b[F", "\x1bOp\x1bOM\x1bOk\x1bOm\x1bOn\x1bOo\x1bOj": "0\r+-./*"} {
		if got := filtered(&keyFilter{}, time.Time{}, s); got != want {
			t.Errorf("%q became %q, want %q", s, got, want)
		}
	}
}

// A string without its end is over when nothing more comes; a key after that is one. So
// is a paste that never ends.
func TestStringsWithoutAnEnd(t *testing.T) {
	for _, s := range strangers {
		whole := s
		for cut := 1; cut <= min(len(whole), 100); cut++ {
			f := &keyFilter{}
			s := whole[:cut]
			now := time.Unix(0, 0)
			var out []byte
			if out = f.feed(out, []byte(s), now); f.waits() {
				out = f.flush(out, now.Add(escapeWait))
			}
			esc := strings.TrimSuffix(string(out), "\x1b")
			now = now.Add(stringQuiet + time.Millisecond)
			if got := string(f.feed(nil, []byte("2"), now)); esc != "" || got != "2" {
				t.Fatalf("after %q came %q, and of a key %q", s, out, got)
			}
		}
	}
	f := &keyFilter{}
	filtered(f, time.Unix(0, 0), "\x1b[200~pas")
	if got := filtered(f, time.Unix(2, 0), "2"); got != "\x1b[201~2" {
		t.Errorf("after a paste without an end: %q", got)
	}
	long := filtered(&keyFilter{}, time.Time{}, "\x1b[200~"+strings.Repeat("x", 10*maxPaste)+"\x1b[201~", "2")
	if len(long) != maxPaste+len(pasteBegin)+len(pasteEnd)+1 || !strings.HasSuffix(long, "x\x1b[201~2") {
		t.Errorf("of a long paste %d bytes come through", len(long))
	}
}

// The rest of a string whose Esc came alone and was taken for the key is none, and
// neither is an end that comes late.
func TestALateRest(t *testing.T) {
	for _, s := range []string{strangers[0], "\x1bP1$r0\x1b\\", "\x1b[0;0R"} {
		f := &keyFilter{}
		out := f.feed(nil, []byte(s[:1]), time.Unix(0, 0))
		out = f.flush(out, time.Unix(0, 0))
		if out = f.feed(out, []byte(s[1:]+"2"), time.Unix(0, 5e8)); string(out) != "\x1b2" {
			t.Errorf("%q lets %q through", s, out)
		}
	}
	f := &keyFilter{}
	out := f.feed(nil, []byte("\x1b]11;rgb:0/0/0\x1b"), time.Unix(0, 0))
	if out = f.feed(out, []byte("\\2"), time.Unix(9, 0)); string(out) != "2" {
		t.Errorf("a late end lets %q through", out)
	}
	f = &keyFilter{}
	out = f.flush(f.feed(nil, []byte("\x1b"), time.Unix(0, 0)), time.Unix(0, 0))
	for _, key := range []string{"[", "0", "]", "1"} { // typed, each by itself
		out = f.feed(out, []byte(key), time.Unix(0, 3e8))
	}
	if string(out) != "\x1b[0]1" {
		t.Errorf("Esc and keys after it came through as %q", out)
	}
}

func TestAnswersAreTold(t *testing.T) {
	for _, s := range strangers[:3] {
		var told []string
		eachSplit(s, func(pieces ...string) {
			f := &keyFilter{told: func(osc string) { told = append(told, osc) }}
			filtered(f, time.Time{}, pieces...)
			if len(told) != 1 || told[0] != "11;rgb:0000/0000/0000" {
				t.Fatalf("%q told %q", pieces, told)
			}
			told = nil
		})
	}
}

// typist reads keys as bubbletea does and sends the next piece once the key of the one
// before is there.
type typist struct {
	to     io.Writer
	pieces []string
	keys   []string
}

func (m *typist) next() tea.Msg {
	if len(m.pieces) == 0 {
		return tea.Quit()
	}
	piece := m.pieces[0]
	m.pieces = m.pieces[1:]
	_, _ = io.WriteString(m.to, piece)
	return nil
}

func (m *typist) Init() tea.Cmd { return m.next }
func (m *typist) View() string  { return "" }
func (m *typist) Update(msg tea.Msg) (tea.Model, tea.Cmd) {
	if k, ok := msg.(tea.KeyMsg); ok {
		m.keys = append(m.keys, k.String())
		return m, m.next
	}
	return m, nil
}

// A lone Esc is the key Esc, from a file as from a session, and what comes after it is
// not drawn into it.
func TestALoneEscIsTheKey(t *testing.T) {
	run := func(from io.Reader, to io.WriteCloser) {
		t.Helper()
		defer to.Close()
		m := &typist{to: to, pieces: []string{"1", "\x1b", "2", strangers[0] + "\x1b[A", "\x1b", strangers[0][1:] + "3"}}
		p := tea.NewProgram(m, tea.WithInput(Keys(t.Context(), from, nil)), tea.WithOutput(io.Discard), tea.WithoutSignalHandler())
		if _, err := p.Run(); err != nil {
			t.Fatal(err)
		}
		if got := strings.Join(m.keys, " "); got != "1 esc 2 up esc 3" {
			t.Errorf("keys from a %T: %s", from, got)
		}
	}
	r, w, err := os.Pipe()
	if err != nil {
		t.Fatal(err)
	}
	run(r, w)
	from, to := io.Pipe()
	run(from, to)
}

// Whatever comes, in whatever pieces: the same goes through, and nothing of it would be
// held back a second time; and soon a key is a key again.
func FuzzKeys(f *testing.F) {
	for _, s := range append(strangers, pressed...) {
		f.Add([]byte(s+"2"), uint16(3), uint16(5))
	}
	f.Fuzz(func(t *testing.T, in []byte, a, b uint16) {
		defer fuzztest.Bound(t)()
		whole := filtered(&keyFilter{}, time.Time{}, string(in))
		i := int(a) % (len(in) + 1)
		k := i + int(b)%(len(in)-i+1)
		f := &keyFilter{}
		if got := filtered(f, time.Time{}, string(in[:i]), string(in[i:k]), string(in[k:])); got != whole {
			t.Fatalf("in pieces %q, whole %q", got, whole)
		}
		second := &keyFilter{}
		again := filtered(second, time.Time{}, whole)
		if second.state == inPaste { // what may be the beginning of its end
			again += string(second.held)
		}
		if again != whole {
			t.Fatalf("%q went through, and of that %q", whole, again)
		}
		if !bytes.Contains(in, []byte("\x1b[200~")) {
			for _, s := range strangers[:14] {
				if strings.Contains(whole, s) {
					t.Fatalf("%q went through", s)
				}
			}
		}
		if got := string(f.feed(nil, []byte("2"), time.Time{}.Add(time.Hour))); !strings.HasSuffix(got, "2") {
			t.Fatalf("an hour later a key came through as %q", got)
		}
	})
}

// Strangers among keys, in random pieces.
func TestKeysAmongStrangers(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var in, want string
		for range rapid.IntRange(1, 20).Draw(t, "n") {
			if rapid.Bool().Draw(t, "pressed") {
				s := rapid.SampledFrom(pressed).Draw(t, "key")
				in, want = in+s, want+s
			} else {
				in += rapid.SampledFrom(strangers).Draw(t, "stranger")
			}
		}
		var pieces []string
		for in != "" {
			n := rapid.IntRange(1, min(len(in), 40)).Draw(t, "piece")
			pieces, in = append(pieces, in[:n]), in[n:]
		}
		if got := filtered(&keyFilter{}, time.Time{}, pieces...); got != want {
			t.Fatalf("%q became %q, want %q", pieces, got, want)
		}
	})
}
