package serve

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"golang.org/x/crypto/ssh"

	"shedbell/line"
	"shedbell/line/live"
)

func TestOperatorRunsAStep(t *testing.T) {
	s := serveShed(t, Limits{})
	b := s.open(s.operator)
	b.shows("Cut PEA 1")
	b.press("\r")
	b.shows("PEA 1 started at the cutting table")
	until(t, "the step is on the line", func() bool {
		for _, x := range s.line.State().Batches {
			if x.Fate == line.OnLine {
				return true
			}
		}
		return false
	})
	last := s.line.History()[len(s.line.History())-1]
	if last.By != "Ash" {
		t.Errorf("recorded for %q", last.By)
	}
	b.press("q")
	if err := b.Wait(); err != nil {
		t.Errorf("the session ended with %v", err)
	}
	s.logged("screen closed", ssh.FingerprintSHA256(s.operator.PublicKey()))
}

// What a client's terminal answers is no key, however late and in whatever pieces.
func TestAnswersOfAClientAreNoKeys(t *testing.T) {
	s := serveShed(t, Limits{})
	b := s.open(s.operator)
	b.shows("Cut PEA 1")
	for _, step := range []string{"PEA 1 started at the cutting table", "Begun only"} {
		for _, piece := range []string{"\x1b]11;rgb:0000/", "0000/0000\x1b", "\\\x1b[24;80R", "\x1bP1$r0 q\x1b\\\r"} {
			b.press(piece)
		}
		b.shows(step)
	}
	for _, r := range s.line.History() {
		if _, undone := r.Event.(line.Corrected); undone {
			t.Error("an answer has undone something")
		}
	}
}

func TestViewerOnlyWatches(t *testing.T) {
	s := serveShed(t, Limits{})
	seat := s.line.Sit(live.SeatOptions{Name: "the board in the shed", Acts: true, Home: true})
	if _, _, no := seat.Do(line.Prompts(s.line.State(), s.line.Now(), nil)[0].Command); no != nil {
		t.Fatal(no)
	}
	before := s.line.State().Seq
	b := s.open(s.viewer)
	b.shows("The line went to the board in the shed")
	refused := func(keys string) {
		b.forget()
		b.press(keys)
		b.shows("Not from here. Watching only. The line went to the board in the shed")
	}
	refused("\r")
	b.press("\x1b")
	b.shows("no station is chosen")
	refused("1+.")
	b.press("/")
	b.shows("other screens")
	refused("u19\r") // takes back the step that runs
	b.forget()
	b.press("00/")
	b.shows("other screens") // looking around works
	if s.line.State().Seq != before {
		t.Error("a viewer changed the line")
	}
	if _, _, mine := seat.Holder(); !mine {
		t.Error("a viewer took the line")
	}
}

func TestHandOver(t *testing.T) {
	s := serveShed(t, Limits{})
	seat := s.line.Sit(live.SeatOptions{Name: "the board in the shed", Acts: true, Home: true})
	b := s.open(s.operator)
	b.shows("Enter on the board takes over")
	before := s.line.State().Seq
	b.press("\r")
	b.shows("This screen runs the line now")
	if s.line.State().Seq != before {
		t.Error("the key that takes the line did something else too")
	}
	home := Place{Seat: seat}
	if w := home.Watching(); !strings.Contains(w.Says.String(), "Ash over SSH") || !w.Offer {
		t.Errorf("the board in the shed shows %+v", w)
	}
	if _, _, no := seat.Do(line.AddNote{Text: "x"}); no == nil || no.Rule != live.RuleWatching {
		t.Errorf("two screens have the line: %v", no)
	}
	b.press("\r")
	b.shows("PEA 1 started at the cutting table")

	if _, _, err := home.Take(); err != nil {
		t.Fatal(err)
	}
	b.shows("The line went to the board in the shed")
	if _, _, err := home.Take(); err != nil || home.Watching().On() {
		t.Errorf("taking what one has: %v, %+v", err, home.Watching())
	}
}

// The line goes back to the shed when the operator's connection ends, however.
func TestLineFallsHome(t *testing.T) {
	s := serveShed(t, Limits{})
	seat := s.line.Sit(live.SeatOptions{Name: "the board in the shed", Acts: true, Home: true})
	b := s.open(s.operator)
	b.shows("Enter on the board takes over")
	b.press("\r")
	b.shows("This screen runs the line now")
	b.client.Close()
	until(t, "the shed has the line", func() bool { _, _, mine := seat.Holder(); return mine })
	seat.Leave()
	if name, _, _ := seat.Holder(); name != "" {
		t.Errorf("%q has the line and nobody is there", name)
	}
	if err := seat.Take(); err == nil {
		t.Error("a seat that was left took the line")
	}
}

func TestViewerSeatCannotTake(t *testing.T) {
	s := serveShed(t, Limits{})
	seat := s.line.Sit(live.SeatOptions{Name: "a viewer"})
	if err := seat.Take(); !errors.Is(err, live.ErrMayNotAct) {
		t.Errorf("took the line: %v", err)
	}
}

// A key that is taken out of the file is turned away, also in the middle of a
// session, and one whose word has changed comes in again.
func TestKeyTakenAway(t *testing.T) {
	limits := Usual
	limits.Alive = 50_000_000 // 50 ms
	s := serveShed(t, limits)
	b := s.open(s.operator)
	b.shows("Cut PEA 1")
	s.allow(fmt.Sprintf("viewer %s\n", public(s.viewer)))
	_ = b.Wait()
	s.logged("dropped", "no longer in the file")
	if _, err := s.dial(ssh.PublicKeys(s.operator)); err == nil {
		t.Error("it came in again")
	}
	s.allow("viewer nonsense\n") // a fault lets nobody in
	if _, err := s.dial(ssh.PublicKeys(s.viewer)); err == nil {
		t.Error("a file with a fault let somebody in")
	}
	s.logged("refused", "key file", "no public key")
	s.unharmed()
}

func TestSizes(t *testing.T) {
	s := serveShed(t, Limits{})
	for _, size := range [][2]int{{0, 0}, {1, 1}, {1 << 30, 1 << 30}, {80, 0}} {
		c := s.login(s.viewer)
		x, err := c.NewSession()
		if err != nil {
			t.Fatal(err)
		}
		b := &board{t: t, shed: s, client: c, Session: x}
		x.Stdout = &b.out
		if err := x.RequestPty("xterm", size[1], size[0], nil); err != nil {
			t.Fatalf("%v: %v", size, err)
		}
		if err := x.Shell(); err != nil {
			t.Fatalf("%v: %v", size, err)
		}
		for _, next := range [][2]int{{1 << 31, 1}, {0, 0}, {3, 1 << 29}, {100, 30}} {
			if err := x.WindowChange(next[1], next[0]); err != nil {
				t.Fatal(err)
			}
		}
		b.shows("Cut PEA 1, 3 trays")
		c.Close()
	}
	s.unharmed()
}

// Sizes that no terminal has, as numbers below zero and the largest, leave the board
// as it was or at its bounds. RFC 4254, 6.2 and 6.7: the numbers are uint32.
func TestSizesOfNoTerminal(t *testing.T) {
	s := serveShed(t, Limits{})
	b := s.open(s.viewer)
	b.shows("Cut PEA 1")
	below := -1
	for _, w := range []window{{uint32(below), uint32(below), 0, 0}, {1 << 31, 1, 0, 0}, {0, 0, 0, 0}, {1, 1<<32 - 1, 0, 0}, {80, 24, 0, 0}} {
		if ok, err := b.SendRequest("window-change", true, ssh.Marshal(w)); err != nil || !ok {
			t.Errorf("%+v: %t, %v", w, ok, err)
		}
	}
	if ok, err := b.SendRequest("window-change", true, []byte{1, 2, 3}); err != nil || ok {
		t.Errorf("a request that is cut short: %t, %v", ok, err)
	}
	b.forget()
	b.press("?")
	b.shows("help")
	s.unharmed()
}
