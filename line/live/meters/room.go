// Package meters is the broker that meters speak MQTT to, beside the line. It listens
// where the line file has [meters], takes what is sent to the topics of the file from
// those who may, and enters what follows in the line. Nothing can be read from it, and it
// sends nothing to anybody: the program switches nothing.
package meters

import (
	"crypto/tls"
	"log/slog"
	"path/filepath"
	"slices"
	"sync"
	"time"

	mqtt "github.com/mochi-mqtt/server/v2"
	"github.com/mochi-mqtt/server/v2/listeners"
	"github.com/mochi-mqtt/server/v2/packets"
	"golang.org/x/crypto/bcrypt"

	"shedbell/line"
	"shedbell/line/meter"
)

// Line is what the broker stands beside.
type Line interface {
	State() *line.State
	Now() time.Time
	DoAs(by string, c line.Command) (*line.State, []line.Record, *line.Refusal)
}

// What one broker takes: a shed has a dozen meters and perhaps a bridge.
const (
	mostClients = 100
	mostPacket  = 2 * meter.MaxPayload // a longer one ends its connection
	mostFlight  = 256                  // of messages that are not acknowledged yet
)

// Room is a broker that listens.
type Room struct {
	cfg    meter.Config
	line   Line
	server *mqtt.Server
	at     string

	mu    sync.Mutex
	board *meter.Board
	heard func(topic string, payload []byte) // instead of the board, while topics are looked for

	checking sync.Mutex // one password at a time: whoever tries many gets one core at most
}

// Open listens where the configuration says. The names of files are those in folder.
func Open(cfg meter.Config, folder string, l Line) (*Room, error) {
	r := &Room{cfg: cfg, line: l, board: meter.NewBoard(cfg.Meters)}
	return r, r.open(folder)
}

// Hear listens for whatever those send who may, under any topic, and hands it over, one
// at a time. Nothing is entered in a line.
func Hear(cfg meter.Config, folder string, heard func(topic string, payload []byte)) (*Room, error) {
	r := &Room{cfg: cfg, board: meter.NewBoard(nil), heard: heard}
	return r, r.open(folder)
}

func (r *Room) open(folder string) error {
	cfg := &r.cfg
	at := listeners.Config{ID: "meters", Type: listeners.TypeTCP, Address: cfg.Address}
	if cfg.Cert != "" {
		pair, err := tls.LoadX509KeyPair(inFolder(folder, cfg.Cert), inFolder(folder, cfg.Key))
		if err != nil {
			return err
		}
		at.TLSConfig = &tls.Config{Certificates: []tls.Certificate{pair}, MinVersion: tls.VersionTLS12}
	}
	can := mqtt.NewDefaultServerCapabilities()
	can.MaximumClients, can.MaximumPacketSize = mostClients, mostPacket
	can.ReceiveMaximum, can.MaximumInflight, can.MaximumSessionExpiryInterval = mostFlight, mostFlight, 0
	r.server = mqtt.New(&mqtt.Options{Capabilities: can, Logger: slog.New(slog.DiscardHandler)})
	if err := r.server.AddHook(&hook{room: r}, nil); err != nil {
		return err
	}
	listener := listeners.NewTCP(at)
	if err := r.server.AddListener(listener); err != nil {
		return err
	}
	r.at = listener.Address()
	return r.server.Serve()
}

func inFolder(folder, name string) string {
	if filepath.IsAbs(name) {
		return name
	}
	return filepath.Join(folder, name)
}

// Address is where it listens.
func (r *Room) Address() string { return r.at }

// Close stops listening and ends every connection.
func (r *Room) Close() error { return r.server.Close() }

// Load is what the meters of a load say at an instant; false: it has none.
func (r *Room) Load(name string, now time.Time) (meter.Reading, bool) {
	r.mu.Lock()
	defer r.mu.Unlock()
	return r.board.Load(name, now)
}

// Weighs is what stands still on the balance of a station, in grams.
func (r *Room) Weighs(station string, now time.Time) (grams float64, ok bool) {
	r.mu.Lock()
	defer r.mu.Unlock()
	return r.board.Weighs(station, now)
}

// Rows lists the meters with their last readings.
func (r *Room) Rows() []meter.Row {
	r.mu.Lock()
	defer r.mu.Unlock()
	return r.board.Rows()
}

// take enters what follows from a message.
func (r *Room) take(m meter.Message) {
	r.mu.Lock()
	defer r.mu.Unlock()
	if r.heard != nil {
		r.heard(m.Topic, m.Payload)
		return
	}
	for _, c := range r.board.Take(m, r.line.State(), r.line.Now()) {
		r.line.DoAs(meter.By, c) // a refusal is in the journal
	}
}

// nobody is a hash that no password has, so that an unknown name takes as long as a known
// one.
var nobody = sync.OnceValue(func() []byte {
	hash, _ := bcrypt.GenerateFromPassword([]byte("nobody"), bcrypt.DefaultCost)
	return hash
})

// mayIn says whether somebody may speak to the broker.
func (r *Room) mayIn(name string, password []byte) bool {
	if name == "" && len(password) == 0 {
		return r.cfg.Anonymous
	}
	r.checking.Lock()
	defer r.checking.Unlock()
	hash, known := r.cfg.Users[name]
	if !known {
		_ = bcrypt.CompareHashAndPassword(nobody(), password)
		return false
	}
	return bcrypt.CompareHashAndPassword([]byte(hash), password) == nil
}

// hook is what the broker asks and tells.
type hook struct {
	mqtt.HookBase
	room *Room
}

func (h *hook) ID() string { return "meters" }

func (h *hook) Provides(b byte) bool {
	return slices.Contains([]byte{mqtt.OnConnectAuthenticate, mqtt.OnACLCheck, mqtt.OnPublish, mqtt.OnWill}, b)
}

func (h *hook) OnConnectAuthenticate(_ *mqtt.Client, pk packets.Packet) bool {
	return h.room.mayIn(string(pk.Connect.Username), pk.Connect.Password)
}

// OnACLCheck lets clients send to the topics of the line file, or to any while topics are
// looked for, and read nothing.
func (h *hook) OnACLCheck(_ *mqtt.Client, topic string, write bool) bool {
	return write && (h.room.heard != nil || h.room.board.Known(topic)) // neither ever changes
}

// OnPublish takes a message in before it is acknowledged. One with the mark of a kept
// message may be one that a bridge has from before, and one that was sent a second time
// has been counted: neither is live. Nothing is kept here.
func (h *hook) OnPublish(_ *mqtt.Client, pk packets.Packet) (packets.Packet, error) {
	h.room.take(meter.Message{Topic: pk.TopicName, Payload: pk.Payload, Live: !pk.FixedHeader.Retain && !pk.FixedHeader.Dup})
	pk.FixedHeader.Retain = false
	return pk, nil
}

// OnWill keeps nothing of a client that is gone. Its last will is no reading: it was
// written before.
func (h *hook) OnWill(_ *mqtt.Client, will mqtt.Will) (mqtt.Will, error) {
	will.Retain = false
	return will, nil
}
