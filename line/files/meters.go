package files

import (
	"fmt"
	"net/netip"
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode"

	"golang.org/x/crypto/bcrypt"

	"shedbell/line"
	"shedbell/line/meter"
	"shedbell/line/say"
	"shedbell/recipes/strictfile"
)

const (
	mostMeters   = 100
	longestTopic = 200
	usualFresh   = 30 * time.Second
	usualEvery   = 30 * time.Minute
)

// BrokerEntry is [meters] of a line file: where meters speak to the program, and who may.
type BrokerEntry struct {
	Address   string            `toml:"address"`
	Users     map[string]string `toml:"users"`
	Anonymous bool              `toml:"anonymous"`
	Cert      string            `toml:"cert"`
	Key       string            `toml:"key"`
}

// MeterEntry is one [[meter]] of a line file.
type MeterEntry struct {
	Load    string              `toml:"load"`
	Circuit string              `toml:"circuit"`
	Room    string              `toml:"room"`
	Fridge  string              `toml:"fridge"`
	Balance string              `toml:"balance"`
	Topic   string              `toml:"topic" need:"topic = \"shed/spinner\""`
	Pointer string              `toml:"pointer"`
	Unit    string              `toml:"unit" need:"unit = \"A\""`
	Factor  float64             `toml:"factor"`
	Fresh   strictfile.Duration `toml:"fresh"`
	Every   strictfile.Duration `toml:"record_every"`
}

// ReadMeters is what a line file that has no faults says about meters; nil: nothing.
func ReadMeters(name string, data []byte) *meter.Config {
	var file LineFile
	where, faults := strictfile.Decode(name, data, &file)
	c := newChecker(where, faults)
	cfg := c.meters(&file)
	if !where.Has("meters") || len(c.faults) > 0 {
		return nil
	}
	return &cfg
}

// meters checks what the file says about meters.
func (c *checker) meters(file *LineFile) meter.Config {
	b := &file.Broker
	cfg := meter.Config{Address: b.Address, Users: b.Users, Anonymous: b.Anonymous, Cert: b.Cert, Key: b.Key}
	switch {
	case c.where.Has("meters"):
		c.broker(b)
	case len(file.Meters) > 0:
		c.fault("meter", say.New("fault.meters-none"), say.New("fault.meters-add"))
	}
	if !c.fewEnough("meter", len(file.Meters), mostMeters) {
		return cfg
	}
	seen := map[string]bool{}
	for i := range file.Meters {
		path, e := fmt.Sprintf("meter[%d]", i), &file.Meters[i]
		cfg.Meters = append(cfg.Meters, c.meter(path, e, file))
		value := e.Topic + "\x00" + e.Pointer
		if seen[value] && c.given(path+".topic") {
			c.fault(path+".topic", say.New("fault.meter-twice"), say.New("fault.meter-twice-mend"))
		}
		seen[value] = true
	}
	return cfg
}

func (c *checker) broker(b *BrokerEntry) {
	alone, ok := loopback(b.Address)
	if !ok && !c.blamed["meters.address"] {
		c.fault("meters.address", say.New("fault.address-not"), say.New("fault.address-give"))
	}
	if b.Anonymous && ok && !alone {
		c.fault("meters.anonymous", say.New("fault.anonymous-far"), say.New("fault.anonymous-mend"))
	}
	if len(b.Users) == 0 && !b.Anonymous {
		c.fault("meters.users", say.New("fault.users-none"), say.New("fault.users-add"))
	}
	for name, hash := range b.Users {
		path := keyPath("meters.users", name)
		c.text(path, name)
		if _, err := bcrypt.Cost([]byte(hash)); err != nil && c.given(path) {
			c.fault(path, say.New("fault.hash-not"), say.New("fault.hash-give"))
			c.faults[len(c.faults)-1].Value = `"..."` // it may be the password
		}
	}
	if (b.Cert == "") != (b.Key == "") {
		path := "meters.cert"
		if b.Cert == "" {
			path = "meters.key"
		}
		c.fault(path, say.New("fault.tls-half"), say.New("fault.tls-mend"))
	}
}

// loopback says whether only this machine reaches an address; ok: it is one with a port.
func loopback(address string) (alone, ok bool) {
	i := strings.LastIndexByte(address, ':')
	if i < 0 {
		return false, false
	}
	host := strings.TrimSuffix(strings.TrimPrefix(address[:i], "["), "]")
	if port, err := strconv.Atoi(address[i+1:]); err != nil || port < 1 || port > 65535 {
		return false, false
	}
	if host == "localhost" {
		return true, true
	}
	ip, err := netip.ParseAddr(host)
	return ip.IsLoopback(), err == nil
}

func (c *checker) meter(path string, e *MeterEntry, file *LineFile) meter.Meter {
	m := meter.Meter{Topic: e.Topic, Unit: e.Unit, Factor: 1, Fresh: usualFresh, Every: usualEvery}
	m.Kind, m.Of = c.measures(path, e, file)
	if c.given(path+".topic") && !topicName(e.Topic) {
		c.fault(path+".topic", say.New("fault.topic-not"), say.New("fault.topic-give"))
	}
	var err error
	if m.Pointer, err = meter.ParsePointer(e.Pointer); err != nil && c.given(path+".pointer") {
		c.fault(path+".pointer", say.New("fault.pointer-not"), say.New("fault.pointer-give"))
	}
	if m.Kind != "" {
		c.index(path+".unit", e.Unit, say.New("fault.meter-unit"), m.Kind.Units())
	}
	c.number(path+".factor", e.Factor, 1e-6, 1e6, "fault.unit-meter-factor")
	c.span(path+".fresh", e.Fresh, time.Second, time.Hour)
	c.span(path+".record_every", e.Every, time.Minute, 24*time.Hour)
	if c.given(path+".record_every") && m.Kind != meter.Room && m.Kind != meter.Fridge {
		c.fault(path+".record_every", say.New("fault.every-not"), say.New("fault.every-mend"))
	}
	if c.given(path + ".factor") {
		m.Factor = e.Factor
	}
	if c.given(path + ".fresh") {
		m.Fresh = time.Duration(e.Fresh)
	}
	if c.given(path + ".record_every") {
		m.Every = time.Duration(e.Every)
	}
	return m
}

// measures finds the one thing that a meter is on.
func (c *checker) measures(path string, e *MeterEntry, file *LineFile) (kind meter.Kind, of string) {
	places := func(k line.Kind) (out []string) {
		for i := range file.Stations {
			if file.Stations[i].Kind == k.String() {
				out = append(out, file.Stations[i].Name)
			}
		}
		return out
	}
	names := map[meter.Kind]string{meter.Load: e.Load, meter.Circuit: e.Circuit, meter.Room: e.Room, meter.Fridge: e.Fridge, meter.Balance: e.Balance}
	n := 0
	for _, k := range meter.Kinds() {
		if c.where.Has(path + "." + string(k)) {
			n, kind, of = n+1, k, names[k]
		}
	}
	if n != 1 {
		c.fault(path, say.New("fault.meter-of"), say.New("fault.meter-of-mend"))
		return "", ""
	}
	switch at := path + "." + string(kind); kind {
	case meter.Load:
		c.index(at, of, say.New("fault.unknown-load"), namesOf(file.Loads, func(f *LoadEntry) string { return f.Name }))
	case meter.Circuit:
		c.index(at, of, say.New("fault.unknown-circuit"), namesOf(file.Circuits, func(f *CircuitEntry) string { return f.Name }))
	case meter.Fridge:
		c.index(at, of, say.New("fault.unknown-fridge"), places(line.Chill))
	case meter.Balance:
		c.index(at, of, say.New("fault.unknown-balance"), places(line.Pack))
	default:
		c.text(at, of)
	}
	return kind, of
}

// topicName says whether a text is a topic that a meter can send to: MQTT 5, 4.7.
func topicName(s string) bool {
	return s != "" && len(s) <= longestTopic && s[0] != '$' && !strings.ContainsAny(s, "+#") &&
		!slices.ContainsFunc([]rune(s), unicode.IsControl)
}
