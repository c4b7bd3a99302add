package serve

import (
	"context"
	"io"
	"strings"
	"sync"
	"time"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/ssh"
	gossh "golang.org/x/crypto/ssh"

	"shedbell/line/live"
	"shedbell/ui/app"
	"shedbell/ui/canvas"
	"shedbell/ui/screen"
)

// session is one screen over SSH.
type session struct {
	srv    *Server
	ctx    ssh.Context
	conn   *gossh.ServerConn
	client *client
	ch     gossh.Channel
	key    ssh.PublicKey
	print  string // of the key
	who    Person

	term  string
	env   map[string]string
	pty   bool
	size  screen.Size
	sizes chan screen.Size // the newest one that the screen has not seen
	shown bool             // the screen runs, or ran
	once  sync.Once
}

// session answers a client that opens a session.
func (s *Server) session(_ *ssh.Server, conn *gossh.ServerConn, offered gossh.NewChannel, ctx ssh.Context) {
	c, _ := ctx.Value(clientKey{}).(*client)
	key, _ := ctx.Value(ssh.ContextKeyPublicKey).(ssh.PublicKey)
	if c == nil || key == nil || !c.first() {
		s.refused(ctx, "second session")
		_ = offered.Reject(gossh.ResourceShortage, "one screen for each connection")
		return
	}
	who, ok := s.person(ctx, key)
	if !ok || !s.admit() {
		s.refused(ctx, "session", "why", "no room", "key", gossh.FingerprintSHA256(key))
		_ = offered.Reject(gossh.ResourceShortage, "there are as many screens as there may be")
		return
	}
	defer s.leave()
	ch, reqs, err := offered.Accept()
	if err != nil {
		return
	}
	x := &session{srv: s, ctx: ctx, conn: conn, client: c, ch: ch, key: key, print: gossh.FingerprintSHA256(key), who: who,
		env: map[string]string{}, size: usual, sizes: make(chan screen.Size, 1)}
	defer x.contain()
	x.requests(reqs)
}

// contain ends a session whose own goroutine panics, so that the server and the line
// go on. It is deferred.
func (x *session) contain() {
	if r := recover(); r != nil {
		x.drop("a fault in its session: " + describe(r))
	}
}

// admit counts a session; false: there are too many, or the server ends.
func (s *Server) admit() bool {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.screens >= s.opt.Limits.Screens || s.ctx.Err() != nil {
		return false
	}
	s.screens++
	s.busy.Add(1)
	return true
}

func (s *Server) leave() {
	s.mu.Lock()
	s.screens--
	s.mu.Unlock()
	s.busy.Done()
}

// requests answers what is asked of the session until it is closed. Everything but
// one terminal with the board on it is refused.
func (x *session) requests(reqs <-chan *gossh.Request) {
	ctx, stop := context.WithCancel(x.srv.ctx)
	ended := make(chan struct{})
	for req := range reqs {
		ok := false
		switch req.Type {
		case "pty-req":
			ok = x.terminal(req.Payload)
		case "window-change":
			ok = x.resize(req.Payload)
		case "env":
			ok = x.variable(req.Payload)
		case "shell":
			if ok = x.pty && !x.shown; ok {
				x.shown = true
				x.client.arrived()
				go x.alive(ctx)
				go func() {
					defer close(ended)
					defer x.contain()
					x.show(ctx)
				}()
			}
		}
		if req.WantReply {
			_ = req.Reply(ok, nil)
		}
		if !ok && !quiet[req.Type] {
			x.srv.refused(x.ctx, "request", "type", clip(req.Type), "key", x.print)
			if fatal[req.Type] && !x.shown {
				x.bye(x.srv.words.Say("seat.needs-terminal"))
			}
		}
	}
	stop()
	if x.shown {
		<-ended
	}
}

// quiet are requests that every client makes and that need no word in the log;
// fatal are those without which its session has no purpose.
var (
	quiet = map[string]bool{"env": true, "signal": true, "break": true, keepAlive: true, "eow@openssh.com": true}
	fatal = map[string]bool{"exec": true, "subsystem": true, "shell": true}
)

func (x *session) terminal(payload []byte) bool {
	term, size, ok := ptyRequest(payload)
	if !ok || x.pty {
		return false
	}
	x.pty, x.term, x.size = true, term, size
	x.sizes <- size
	return true
}

func (x *session) resize(payload []byte) bool {
	size, ok := windowSize(payload, x.size)
	if !ok || !x.pty {
		return false
	}
	x.size = size
	select { // only the newest counts
	case <-x.sizes:
	default:
	}
	x.sizes <- size
	return true
}

func (x *session) variable(payload []byte) bool {
	var v struct{ Name, Value string }
	if x.shown || gossh.Unmarshal(payload, &v) != nil || len(v.Value) > maxEnvValue {
		return false
	}
	for _, name := range known {
		if v.Name == name {
			x.env[name] = v.Value
			return true
		}
	}
	return false
}

// drop ends the connection at once.
func (x *session) drop(why string) {
	x.once.Do(func() { x.srv.opt.Log.Warn("dropped", "why", clip(why), "key", x.print) })
	x.client.Close()
}

// bye ends the session with a word for the person.
func (x *session) bye(words string) {
	_, _ = io.WriteString(x.ch.Stderr(), words+"\r\n")
	_, _ = x.ch.SendRequest("exit-status", false, gossh.Marshal(struct{ Status uint32 }{1}))
	_ = x.ch.Close()
}

// alive asks the client again and again whether it is there, and whether its key
// still is. It goes with the session.
func (x *session) alive(ctx context.Context) {
	defer x.contain()
	every := time.NewTicker(x.srv.opt.Limits.Alive)
	defer every.Stop()
	for {
		select {
		case <-ctx.Done():
			return
		case <-every.C:
		}
		if who, ok := x.srv.person(x.ctx, x.key); !ok || who != x.who {
			x.drop("its key is no longer in the file as it was")
			return
		}
		late := time.AfterFunc(2*x.srv.opt.Limits.Alive, func() { x.drop("it does not answer") })
		_, _, err := x.conn.SendRequest(keepAlive, true, nil)
		if late.Stop(); err != nil {
			return
		}
	}
}

// name is what the other screens read.
func (x *session) name() string {
	if x.who.By != "" {
		return x.who.By + " over SSH"
	}
	return "an operator over SSH (key " + x.print[:min(len(x.print), 15)] + ")"
}

// show runs the screen until the client leaves or is dropped.
func (x *session) show(ctx context.Context) {
	s := x.srv
	seat := s.opt.Line.Sit(live.SeatOptions{Name: x.name(), By: x.who.By, Acts: x.who.Operator})
	defer seat.Leave()
	s.opt.Log.Info("screen opened", "key", x.print, "operator", x.who.Operator)
	defer s.opt.Log.Info("screen closed", "key", x.print)
	defer x.client.Close()

	out := newOutput(x.ch, s.opt.Limits, x.drop)
	frame := &guard{
		fault: func(what string) { x.drop("a fault in a screen: " + what) },
		model: app.Guarded(app.Options{Line: Place{Seat: seat, Leaves: true}, Theme: look(s.opt.Theme, x.term, x.env), Faults: s.opt.Faults,
			Speed: s.opt.Speed, Prefs: s.opt.Prefs, Suggest: s.opt.Suggest, Past: s.opt.Past, Forecast: s.Forecast, Measured: s.opt.Measured}),
	}
	screen := canvas.NewTerminal(out)
	p := tea.NewProgram(screen.Model(frame), append(screen.Options(), tea.WithContext(ctx), tea.WithInput(canvas.Keys(ctx, &input{from: x.ch, drop: x.drop}, nil)),
		tea.WithoutSignalHandler(), tea.WithEnvironment([]string{"TERM=" + strings.ToLower(x.term)}))...)
	over := make(chan struct{})
	go x.follow(p, over)
	_, _ = p.Run()
	close(over)
	_ = out.Close()
	_, _ = x.ch.SendRequest("exit-status", false, gossh.Marshal(struct{ Status uint32 }{0}))
	_ = x.ch.Close()
}

// follow tells the screen its size, now and whenever it changes.
func (x *session) follow(p *tea.Program, over <-chan struct{}) {
	defer x.contain()
	for {
		select {
		case <-over:
			return
		case size := <-x.sizes:
			p.Send(tea.WindowSizeMsg{Width: size.W, Height: size.H})
		}
	}
}
