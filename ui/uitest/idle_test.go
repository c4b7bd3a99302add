package uitest_test

import (
	"fmt"
	"testing"
	"time"

	"github.com/charmbracelet/x/ansi"

	"shedbell/line/linetest"
	"shedbell/ui/canvas"
	"shedbell/ui/theme"
	"shedbell/ui/uitest"
)

// link counts the bytes that go to a terminal, and what they are.
type link struct {
	bytes, cells, cleared int
}

func (l *link) Write(p []byte) (int, error) {
	l.bytes += len(p)
	state := byte(0)
	for rest := p; len(rest) > 0; {
		seq, w, n, next := ansi.DecodeSequence(rest, state, nil)
		if rest, state = rest[n:], next; w > 0 {
			l.cells += w
		}
		if s := string(seq); s == ansi.EraseEntireScreen || s == ansi.EraseScreenBelow {
			l.cleared++
		}
	}
	return len(p), nil
}

// mostBytes is what a second without a key may send: 2 kB, for a poor link.
const mostBytes = 2000

// A board that nobody touches sends only what has changed, with three countdowns
// running, at every size and in large letters: nothing is cleared or drawn again, so
// nothing flickers.
func TestIdleBoardSendsLittle(t *testing.T) {
	for _, letters := range []bool{false, true} {
		for _, size := range append(uitest.Sizes, [2]int{300, 90}) {
			t.Run(fmt.Sprintf("%dx%d letters %v", size[0], size[1], letters), func(t *testing.T) {
				sheet := linetest.Sheet()
				d := uitest.New(t, uitest.Options{Sheet: &sheet, W: size[0], H: size[1], Theme: theme.Dark})
				d.Work(20)
				if letters {
					d.Press("f")
				}
				var sent link
				s := canvas.NewTerminal(&sent)
				s.Resize(size[0], size[1])
				s.Paint(d.Raw())
				sent = link{}
				const seconds = 60
				for range seconds {
					d.Pass(time.Second)
					s.Paint(d.Raw())
				}
				if sent.bytes > seconds*mostBytes || sent.bytes == 0 || sent.cleared > 0 {
					t.Errorf("%d bytes a second, %d times cleared", sent.bytes/seconds, sent.cleared)
				}
				if most := size[0] * size[1] / 10; sent.cells/seconds > most {
					t.Errorf("%d cells drawn a second, more than %d", sent.cells/seconds, most)
				}
				t.Logf("%d bytes and %d cells a second", sent.bytes/seconds, sent.cells/seconds)
			})
		}
	}
}
