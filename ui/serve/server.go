// Package serve shows a line on other screens. Over SSH each session is a screen of its
// own at the same line, for the public keys that are allowed and for nothing else; a
// Watch is a second screen on the same machine.
package serve

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"net"
	"path/filepath"
	"sync"
	"time"

	"github.com/charmbracelet/ssh"
	"github.com/charmbracelet/wish"
	gossh "golang.org/x/crypto/ssh"

	"shedbell/line"
	"shedbell/line/live"
	"shedbell/ui/app"
	"shedbell/ui/screen"
	"shedbell/ui/theme"
	"shedbell/ui/words"
)

// Limits bound what clients can take of the machine.
type Limits struct {
	Connections int           // open at once, also those that have not proved who they are
	Screens     int           // sessions at once
	Login       time.Duration // from the connection to the first screen
	Alive       time.Duration // between two questions to a client whether it is there
	Write       time.Duration // how long a write to a client may hang
	Pending     int           // bytes that may wait for a client
}

// Usual are the limits unless told otherwise.
var Usual = Limits{Connections: 64, Screens: 24, Login: 20 * time.Second, Alive: 15 * time.Second, Write: 10 * time.Second,
	Pending: 512 << 10}

// Options say what is served.
type Options struct {
	Line     *live.Line
	HostKey  string // file; made where there is none
	Keys     string // key file
	Log      *slog.Logger
	Limits   Limits // zero: Usual
	Speed    float64
	Prefs    screen.Prefs
	Theme    theme.Name
	Suggest  *line.Sheet
	Past     app.Past        // the whole journal; read by one screen at a time
	Recent   app.Past        // the records of the last days; nil: none
	Forecast app.Forecast    // nil: by rehearsing the day
	Faults   string          // folder for reports of faults in screens; empty: none are written
	Measured screen.Measured // what meters say; nil: there are none
}

// Server serves a line.
type Server struct {
	opt      Options
	words    *words.Speaker
	ssh      *ssh.Server
	print    string
	forecast sharedForecast
	ctx      context.Context
	stop     context.CancelFunc
	busy     sync.WaitGroup // sessions

	mu       sync.Mutex
	clients  map[*client]struct{}
	screens  int
	listener net.Listener
}

// New prepares a server. The key file has to be good by now; later it is read again
// for each client.
func New(o Options) (*Server, error) {
	if o.Limits == (Limits{}) {
		o.Limits = Usual
	}
	if o.Forecast == nil {
		o.Forecast = app.NewForecast(o.Line, o.Recent)
	}
	if _, err := loadKeys(o.Keys); err != nil {
		return nil, err
	}
	pem, err := hostKey(o.HostKey)
	if err != nil {
		return nil, err
	}
	if o.Past != nil {
		o.Past = inTurn(o.Past)
	}
	s := &Server{opt: o, words: o.Prefs.Speaker(), clients: map[*client]struct{}{}, forecast: sharedForecast{work: o.Forecast}}
	s.ctx, s.stop = context.WithCancel(context.Background())
	s.ssh, err = wish.NewServer(
		wish.WithHostKeyPEM(pem),
		wish.WithVersion("shedbell"),
		wish.WithPublicKeyAuth(s.allowed),
		func(srv *ssh.Server) error {
			srv.ConnCallback = s.connected
			srv.ConnectionFailedCallback = s.failed
			srv.ServerConfigCallback = s.config
			srv.ChannelHandlers = map[string]ssh.ChannelHandler{"session": s.session, "default": s.refuseChannel}
			srv.RequestHandlers = map[string]ssh.RequestHandler{"default": s.refuseRequest}
			srv.SubsystemHandlers = map[string]ssh.SubsystemHandler{}
			return nil
		})
	if err != nil {
		return nil, fmt.Errorf("cannot make an SSH server: %w", err)
	}
	s.print = gossh.FingerprintSHA256(s.ssh.HostSigners[0].PublicKey())
	return s, nil
}

// Fingerprint is the host key's, which clients ask about at their first visit.
func (s *Server) Fingerprint() string { return s.print }

// Forecast works the day's end out, once for all screens.
func (s *Server) Forecast(state *line.State, now time.Time) screen.Forecast {
	return s.forecast.get(state, now)
}

// Serve serves until Close.
func (s *Server) Serve(l net.Listener) error {
	s.mu.Lock()
	s.listener = l
	over := s.ctx.Err() != nil
	s.mu.Unlock()
	if over {
		return l.Close()
	}
	err := s.ssh.Serve(l)
	if errors.Is(err, ssh.ErrServerClosed) || s.ctx.Err() != nil {
		return nil
	}
	return fmt.Errorf("the SSH server has stopped: %w", err)
}

// Close ends all sessions and waits until none of them can reach the line.
func (s *Server) Close() error {
	s.stop()
	err := s.ssh.Close()
	s.mu.Lock()
	if s.listener != nil {
		_ = s.listener.Close() // the library does not know it yet when it has just begun
	}
	for c := range s.clients {
		c.Conn.Close()
	}
	s.mu.Unlock()
	s.busy.Wait()
	return err
}

// config bounds the attempts to log in and has the refused ones logged.
func (s *Server) config(ctx ssh.Context) *gossh.ServerConfig {
	return &gossh.ServerConfig{
		MaxAuthTries: 6, // as OpenSSH's MaxAuthTries, sshd_config(5)
		AuthLogCallback: func(_ gossh.ConnMetadata, method string, err error) {
			if err != nil && method != "none" && method != "publickey" {
				s.refused(ctx, "login", "method", method)
			}
		},
	}
}

// allowed says whether a key may come in.
func (s *Server) allowed(ctx ssh.Context, key ssh.PublicKey) bool {
	_, ok := s.person(ctx, key)
	if !ok {
		s.refused(ctx, "unknown key", "key", gossh.FingerprintSHA256(key))
	}
	return ok
}

// person looks a key up in the file as it is now. A file with a fault lets nobody
// in: the fault may be in the line that was to keep somebody out.
func (s *Server) person(ctx ssh.Context, key ssh.PublicKey) (Person, bool) {
	keys, err := loadKeys(s.opt.Keys)
	if err != nil {
		s.refused(ctx, "key file", "why", err.Error())
		return Person{}, false
	}
	p, ok := keys[string(key.Marshal())]
	return p, ok
}

// failed logs what was no SSH at all or did not get through the login.
func (s *Server) failed(_ net.Conn, err error) {
	s.opt.Log.Warn("refused", "what", "connection", "why", clip(withoutAddresses(err)))
}

// withoutAddresses keeps the addresses that a network error carries out of the log.
func withoutAddresses(err error) string {
	var op *net.OpError
	if errors.As(err, &op) && op.Err != nil {
		return op.Op + ": " + op.Err.Error()
	}
	return err.Error()
}

// refuseChannel refuses port forwarding and everything else that is no session.
func (s *Server) refuseChannel(_ *ssh.Server, _ *gossh.ServerConn, ch gossh.NewChannel, ctx ssh.Context) {
	s.refused(ctx, "channel", "type", clip(ch.ChannelType()))
	_ = ch.Reject(gossh.Prohibited, "only the board is served here")
}

// refuseRequest refuses listening for others and everything else that is asked of
// the connection. A client's own question whether the server is there is none.
func (s *Server) refuseRequest(ctx ssh.Context, _ *ssh.Server, req *gossh.Request) (bool, []byte) {
	if req.Type != keepAlive {
		s.refused(ctx, "request", "type", clip(req.Type))
	}
	return false, nil
}

const keepAlive = "keepalive@openssh.com"

// clip bounds what a client can write into the log.
func clip(s string) string {
	const most = 120
	if len(s) > most {
		return s[:most] + "..."
	}
	return s
}

// HostKeyFile is where a data folder keeps the host key.
func HostKeyFile(dir string) string { return filepath.Join(dir, "ssh_host_key") }

// LogFile is where a data folder keeps the log.
func LogFile(dir string) string { return filepath.Join(dir, "serve.log") }
