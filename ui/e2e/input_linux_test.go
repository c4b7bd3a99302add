package e2e

import (
	"math/rand/v2"
	"os"
	"os/exec"
	"slices"
	"strings"
	"testing"

	"github.com/creack/pty"
	"golang.org/x/sys/unix"

	"shedbell/line"
)

// answers are what a terminal may send at any moment without a key: answers that come
// late, reports, and strings of a program that has hung there before.
var answers = []string{
	"\x1b]11;rgb:0000/0000/0000\x1b\\", "\x1b]11;rgb:0000/0000/0000\a", "\x1b]10;rgb:ffff/ffff/ffff\x1b\\", "\x1b]0;..00\r\r\x1b\\",
	"\x1bP1$r0 q\x1b\\", "\x1b_G0;0\x1b\\", "\x1b^0.\x1b\\", "\x1b[1;1R", "\x1b[?62;22c", "\x1b[0n", "\x1b[I", "\x1b[O", "\x1b[<0;3;3M", "\x1b[M 00", "\x9d11;rgb:0/0/0\x9c",
}

// kinds are the events of a folder's journal.
func kinds(t *testing.T, dir string) (all []string) {
	t.Helper()
	for _, r := range records(t, dir) {
		all = append(all, line.EventName(r.Event))
	}
	return all
}

// TestAnswersAreNoKeys plays a batch while the terminal sends answers and reports
// before every key, whole and in pieces: the journal is that of the same keys alone,
// and each key acts at once.
func TestAnswersAreNoKeys(t *testing.T) {
	random := rand.New(rand.NewPCG(11, 7))
	play := func(noise func(x *terminal) func() string) []string {
		dir := t.TempDir()
		quickFiles(t, dir)
		x := start(t, 100, 30, "--data", dir)
		if x.noise = noise(x); x.noise != nil {
			x.expect("No day is open")
			x.send("\x1b[200~\r\r.0\x1b[201~") // what is pasted is not typed
		}
		x.oneBatch()
		if x.noise != nil {
			x.send("\x1b[200~0\x1b[201~" + answers[0])
		}
		x.noise = nil
		x.quit()
		return kinds(t, dir)
	}
	want := play(func(*terminal) func() string { return nil })
	got := play(func(x *terminal) func() string {
		return func() string {
			for range random.IntN(3) {
				s := answers[random.IntN(len(answers))]
				cut := 1 + random.IntN(len(s)-1)
				x.send(s[:cut])
				x.send(s[cut:])
			}
			return answers[random.IntN(len(answers))]
		}
	})
	for _, list := range []*[]string{&got, &want} { // a forecast is kept when it is worked out, whatever is pressed meanwhile
		*list = slices.DeleteFunc(*list, func(kind string) bool { return kind == "promised" })
	}
	if !slices.Equal(got, want) {
		t.Errorf("with answers\n%s\nwithout\n%s", strings.Join(got, " "), strings.Join(want, " "))
	}
}

// TestNothingIsAskedBeforehand: no command asks the terminal before it does what it is
// for, so none waits for a terminal that does not answer. The board asks once, when it
// has the terminal, and leaves that as it was.
func TestNothingIsAskedBeforehand(t *testing.T) {
	path, err := binary()
	if err != nil {
		t.Fatal(err)
	}
	silent := exec.Command(path, "--data", t.TempDir(), "check")
	silent.Env = append(os.Environ(), "TERM=xterm-256color", "CI=")
	tty, err := pty.Start(silent)
	if err != nil {
		t.Fatal(err)
	}
	defer tty.Close()
	out := make([]byte, 4096)
	n, _ := tty.Read(out) // a question would come first, and the rest only after its time
	if got := string(out[:n]); !strings.HasPrefix(got, "line ") {
		t.Errorf("check begins with %q", got)
	}
	_ = silent.Process.Kill()
	_ = silent.Wait()

	x := start(t, 100, 30, "--data", t.TempDir())
	x.expect("No day is open")
	during, err := unix.IoctlGetTermios(int(x.tty.Fd()), unix.TCGETS)
	if err != nil {
		t.Fatal(err)
	}
	x.quit()
	after, err := unix.IoctlGetTermios(int(x.tty.Fd()), unix.TCGETS)
	if err != nil {
		t.Fatal(err)
	}
	const cooked = unix.ICANON | unix.ECHO | unix.ISIG
	if during.Lflag&cooked != 0 || after.Lflag&cooked != cooked || after.Iflag&unix.ICRNL == 0 || after.Oflag&unix.OPOST == 0 {
		t.Errorf("terminal flags %x with the board, %x after", during.Lflag, after.Lflag)
	}
	sent := x.sent()
	asked, board := strings.Index(sent, "\x1b]11;?"), strings.Index(sent, "\x1b[?1049h")
	if strings.Count(sent, "\x1b]11;?") != 1 || strings.Contains(sent, "\x1b[6n") || board < 0 || asked < board {
		t.Errorf("asked at %d, the board's screen at %d of %q", asked, board, sent[:min(len(sent), 400)])
	}
}
