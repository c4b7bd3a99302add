package serve

import (
	"context"
	"errors"
	"io"
	"net"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"
	"shedbell/line"
	"shedbell/line/live"
)

// stuck is a writer that hangs until it is let go.
type stuck struct{ free chan struct{} }

func (s stuck) Write([]byte) (int, error) {
	<-s.free
	return 0, io.ErrClosedPipe
}

func TestOutputNeverWaits(t *testing.T) {
	to := stuck{make(chan struct{})}
	var once sync.Once
	dropped := ""
	o := newOutput(to, Limits{Write: time.Hour, Pending: 1000}, func(why string) {
		once.Do(func() { dropped = why; close(to.free) })
	})
	var err error
	for range 100 { // returns, or the test never ends
		if _, err = o.Write(make([]byte, 100)); err != nil {
			break
		}
	}
	if !errors.Is(err, io.ErrClosedPipe) || !strings.Contains(dropped, "does not read") {
		t.Errorf("%v, dropped: %q", err, dropped)
	}
	o.Close()
}

func TestHangingWriteDropsTheClient(t *testing.T) {
	to := stuck{make(chan struct{})}
	var once sync.Once
	o := newOutput(to, Limits{Write: time.Millisecond, Pending: 1000}, func(string) { once.Do(func() { close(to.free) }) })
	if _, err := o.Write([]byte("a frame")); err != nil {
		t.Fatal(err)
	}
	o.Close() // returns only when the client was dropped
}

// There is no terminal driver behind the output.
func TestOutputEndsLinesWithReturns(t *testing.T) {
	var got text
	o := newOutput(&got, Usual, func(string) {})
	in := "a\r\nb\nc"
	if n, err := o.Write([]byte(in)); n != len(in) || err != nil {
		t.Errorf("%d, %v", n, err)
	}
	o.Close()
	if got.String() != "a\r\nb\r\nc" {
		t.Errorf("wrote %q", got.String())
	}
}

// deaf is a connection whose end here stops reading.
type deaf struct {
	net.Conn
	stop chan struct{}
	gone chan struct{}
	once sync.Once
}

func (d *deaf) Read(p []byte) (int, error) {
	select {
	case <-d.stop:
		<-d.gone
		return 0, io.EOF
	default:
		return d.Conn.Read(p)
	}
}

func (d *deaf) Close() error {
	d.once.Do(func() { close(d.gone) })
	return d.Conn.Close()
}

// hang opens a board on a large terminal and never reads its socket again.
func (s *shed) hang() {
	s.t.Helper()
	conn, err := net.Dial("tcp", s.addr)
	if err != nil {
		s.t.Fatal(err)
	}
	d := &deaf{Conn: conn, stop: make(chan struct{}), gone: make(chan struct{})}
	s.t.Cleanup(func() { d.Close() })
	s.raw(d, 300, 90)
	close(d.stop)
}

// Twenty viewers look on, seven of them hanging, while the line's own board works.
// Its commands finish, and the hanging ones are dropped.
func TestTwentyViewers(t *testing.T) {
	limits := Usual
	limits.Pending = 64 << 10
	limits.Alive = 1500 * time.Millisecond
	s := serveShed(t, limits)
	seat := s.line.Sit(live.SeatOptions{Name: "the board in the shed", Acts: true, Home: true})
	var viewers []*board
	for range 13 {
		viewers = append(viewers, s.open(s.viewer))
	}
	for range 7 {
		s.hang()
	}
	for _, v := range viewers {
		v.shows("Cut PEA 1")
	}
	until(t, "twenty screens", func() bool { s.srv.mu.Lock(); defer s.srv.mu.Unlock(); return s.srv.screens == 20 })

	work := func(steps int) {
		for range steps {
			p := line.Prompts(s.line.State(), s.line.Now(), nil)
			if len(p) == 0 {
				t.Fatal("nothing to do")
			}
			if _, _, no := seat.Do(p[0].Command); no != nil {
				if _, _, no := seat.Do(line.AddNote{Text: no.Error()}); no != nil {
					t.Fatal(no.Error())
				}
			}
		}
	}
	work(50)
	if err := s.line.Wait(t.Context(), s.line.State().Seq); err != nil {
		t.Fatal(err)
	}
	until(t, "the hanging ones are dropped", func() bool { return strings.Count(s.log.String(), "dropped") == 7 })
	for _, v := range viewers[:7] { // half of the others go without a word
		v.client.Close()
	}
	work(50)
	until(t, "the closed ones are gone", func() bool { s.srv.mu.Lock(); defer s.srv.mu.Unlock(); return s.srv.screens == 6 })
	for _, v := range viewers[7:] {
		v.forget()
		v.press("?")
		v.shows("help")
	}
}

// A client that does not answer the question whether it is there is dropped.
func TestSilentClientIsDropped(t *testing.T) {
	limits := Usual
	limits.Alive = 30 * time.Millisecond
	s := serveShed(t, limits)
	conn, err := net.Dial("tcp", s.addr)
	if err != nil {
		t.Fatal(err)
	}
	c := s.raw(conn, 80, 24)
	s.logged("dropped", "does not answer")
	_ = c.Wait()
	s.unharmed()
}

// A fault in one screen leaves a plain board in its session, where the line can still
// be worked; the other screen and the line take no notice.
func TestAFaultInOneScreen(t *testing.T) {
	faults := t.TempDir()
	s := serveShed(t, Limits{}, func(o *Options) {
		o.Faults = faults
		o.Past = func(context.Context, func(line.Record) error) error { panic("Juniper's pea") }
	})
	viewer, operator := s.open(s.viewer), s.open(s.operator)
	viewer.shows("Cut PEA 1")
	operator.shows("Cut PEA 1")
	operator.press("/4") // the records, which read the whole journal
	operator.shows("The full board failed")
	operator.press("\r")
	operator.shows("PEA 1 started at the cutting table")
	viewer.shows("inish cutting PEA 1")
	viewer.press("?")
	viewer.shows("help")
	reports, err := filepath.Glob(filepath.Join(faults, "fault-*.txt"))
	if err != nil || len(reports) != 1 {
		t.Fatalf("%d reports, %v", len(reports), err)
	}
	if text, err := os.ReadFile(reports[0]); err != nil || strings.Contains(string(text), "Juniper") {
		t.Errorf("the report tells who was there: %v\n%s", err, text)
	}
	operator.press("q")
	if err := operator.Wait(); err != nil {
		t.Errorf("the session ended with %v", err)
	}
	s.unharmed()
}

// What a session's own goroutines let through ends its connection and nothing else.
func TestAFaultInASession(t *testing.T) {
	s := serveShed(t, Limits{})
	lost := s.open(s.operator)
	lost.shows("Cut PEA 1")
	s.srv.mu.Lock()
	x := &session{srv: s.srv, print: "its key"}
	for x.client = range s.srv.clients {
	}
	s.srv.mu.Unlock()
	viewer := s.open(s.viewer)
	viewer.shows("Cut PEA 1")
	func() {
		defer x.contain()
		panic(errors.New("Juniper's pea"))
	}()
	_ = lost.Wait()
	s.logged("dropped", "a fault in its session: a *errors.errorString", "its key")
	if strings.Contains(s.log.String(), "Juniper") {
		t.Error("the log tells who was there")
	}
	viewer.press("?")
	viewer.shows("help")
	s.unharmed()
}

// A fault that the plain board lets through too ends its session.
func TestGuard(t *testing.T) {
	faults := 0
	g := &guard{model: faulty{}, fault: func(string) { faults++ }}
	g.View()
	if _, cmd := g.Update(nil); cmd == nil {
		t.Error("the session goes on")
	}
	if msg := g.safe(func() tea.Msg { panic("in a command") })(); msg != (tea.QuitMsg{}) {
		t.Errorf("the session goes on with %v", msg)
	}
	batch := g.safe(func() tea.Msg { return tea.BatchMsg{func() tea.Msg { panic("in a batch") }} })().(tea.BatchMsg)
	batch[0]()
	if faults != 4 {
		t.Errorf("%d faults were kept, want 4", faults)
	}
}

type faulty struct{}

func (faulty) Init() tea.Cmd                       { return nil }
func (faulty) Update(tea.Msg) (tea.Model, tea.Cmd) { panic("in an update") }
func (faulty) View() string                        { panic("in a view") }
