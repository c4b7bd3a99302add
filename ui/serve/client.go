package serve

import (
	"net"
	"sync"
	"time"

	"github.com/charmbracelet/ssh"
)

// client is one connection.
type client struct {
	net.Conn
	srv  *Server
	once sync.Once

	mu       sync.Mutex
	login    *time.Timer // ends a connection that comes to no screen
	refusals int
	session  bool // it has, or had, its one session
}

type clientKey struct{}

// maxRefusals is how often a client may ask for what there is not.
const maxRefusals = 20

// connected admits a connection, or returns nil where there are too many.
func (s *Server) connected(ctx ssh.Context, conn net.Conn) net.Conn {
	c := &client{Conn: conn, srv: s}
	s.mu.Lock()
	full := len(s.clients) >= s.opt.Limits.Connections || s.ctx.Err() != nil
	if !full {
		s.clients[c] = struct{}{}
	}
	s.mu.Unlock()
	if full {
		s.opt.Log.Warn("refused", "what", "connection", "why", "too many at once")
		return nil
	}
	c.mu.Lock()
	defer c.mu.Unlock()
	c.login = time.AfterFunc(s.opt.Limits.Login, func() {
		s.opt.Log.Warn("refused", "what", "connection", "why", "no screen was asked for in time")
		c.Close()
	})
	ctx.SetValue(clientKey{}, c)
	return c
}

// Close forgets the connection.
func (c *client) Close() error {
	c.once.Do(func() {
		c.arrived()
		c.srv.mu.Lock()
		delete(c.srv.clients, c)
		c.srv.mu.Unlock()
	})
	return c.Conn.Close()
}

// arrived says that the connection has come to a screen, or to its end.
func (c *client) arrived() {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.login.Stop()
}

// refused logs a refusal and drops a client that does not stop asking.
func (s *Server) refused(ctx ssh.Context, what string, args ...any) {
	c, ok := ctx.Value(clientKey{}).(*client)
	if !ok {
		return
	}
	c.mu.Lock()
	c.refusals++
	n := c.refusals
	c.mu.Unlock()
	if n <= maxRefusals {
		s.opt.Log.Warn("refused", append([]any{"what", what}, args...)...)
	}
	if n == maxRefusals {
		s.opt.Log.Warn("dropped", "why", "it does not stop asking for what there is not")
		c.Close()
	}
}

// first says whether this is the connection's first session; it gets no other.
func (c *client) first() bool {
	c.mu.Lock()
	defer c.mu.Unlock()
	was := c.session
	c.session = true
	return !was
}
