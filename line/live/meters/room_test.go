package meters_test

import (
	"context"
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/pem"
	"fmt"
	"math/big"
	"net"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"golang.org/x/crypto/bcrypt"

	"shedbell/line"
	"shedbell/line/linetest"
	"shedbell/line/live"
	"shedbell/line/live/meters"
	"shedbell/line/meter"
)

// shed is a line with a broker beside it, on a clock that the test moves.
type shed struct {
	t     *testing.T
	pub   string // mosquitto's client
	clock *linetest.Manual
	store *linetest.Memory
	line  *live.Line
	room  *meters.Room
	port  string
}

func newShed(t *testing.T, cfg meter.Config, folder string) *shed {
	t.Helper()
	s := &shed{t: t, pub: linetest.Tool(t, "mosquitto_pub"), clock: linetest.NewManual(linetest.Morning), store: &linetest.Memory{}}
	l, _, err := live.Open(s.store, linetest.Site(), linetest.Book(), s.clock, "Ash")
	if err != nil {
		t.Fatal(err)
	}
	hash, err := bcrypt.GenerateFromPassword([]byte("secret"), bcrypt.MinCost)
	if err != nil {
		t.Fatal(err)
	}
	cfg.Address, cfg.Users = "127.0.0.1:0", map[string]string{"plug": string(hash)}
	for _, load := range []string{"spinner", "tub-blower"} {
		cfg.Meters = append(cfg.Meters, meter.Meter{Kind: meter.Load, Of: load, Topic: "shed/" + load, Unit: "A", Factor: 1, Fresh: 30 * time.Second})
	}
	room, err := meters.Open(cfg, folder, l)
	if err != nil {
		t.Fatal(err)
	}
	s.line, s.room, s.port = l, room, room.Address()[strings.LastIndexByte(room.Address(), ':')+1:]
	t.Cleanup(func() { room.Close(); l.Close() })
	return s
}

// mosquitto runs a client of mosquitto's; args come after those for address and time.
func (s *shed) mosquitto(tool string, args ...string) (string, error) {
	ctx, stop := context.WithTimeout(context.Background(), 30*time.Second)
	defer stop()
	out, err := exec.CommandContext(ctx, tool, append([]string{"-h", "127.0.0.1", "-p", s.port}, args...)...).CombinedOutput()
	return string(out), err
}

// send publishes as somebody who may; it returns once the broker has acknowledged.
func (s *shed) send(version, topic, payload string, args ...string) {
	s.t.Helper()
	s.clock.Advance(time.Second)
	if out, err := s.mosquitto(s.pub, append([]string{"-V", version, "-q", "1", "-u", "plug", "-P", "secret", "-t", topic, "-m", payload}, args...)...); err != nil {
		s.t.Fatalf("%v: %s", err, out)
	}
}

func (s *shed) drawing(load int) bool {
	state := s.line.State()
	return state.Power.Drawing(&state.Site.Panel, load, s.line.Now())
}

func (s *shed) row(topic string) meter.Row {
	s.t.Helper()
	for _, r := range s.room.Rows() {
		if r.Meter.Topic == topic {
			return r
		}
	}
	s.t.Fatalf("no meter has %s", topic)
	return meter.Row{}
}

// MQTT 3.1.1 and 5 by a client of others: Eclipse mosquitto's.
func TestReadingsBecomeFacts(t *testing.T) {
	for _, version := range []string{"311", "5"} {
		t.Run(version, func(t *testing.T) {
			s := newShed(t, meter.Config{}, "")
			s.send(version, "shed/spinner", "6.4")
			s.send(version, "shed/spinner", "6.4", "-r")
			if s.drawing(linetest.Spinner) {
				t.Error("a message with the mark of a kept one was counted")
			}
			s.send(version, "shed/spinner", "6.5")
			if !s.drawing(linetest.Spinner) {
				t.Fatal("it does not count as on")
			}
			if r, ok := s.room.Load("spinner", s.line.Now()); !ok || r.Verdict != meter.On || r.AmpsA != 6.5 {
				t.Errorf("%+v", r)
			}
			s.clock.Advance(10 * time.Second)
			s.send(version, "shed/spinner", "0")
			s.send(version, "shed/spinner", "0.0")
			if s.drawing(linetest.Spinner) {
				t.Error("it does not count as off")
			}
			if err := s.line.Wait(t.Context(), s.line.State().Seq); err != nil {
				t.Fatal(err)
			}
			var told []string
			s.store.Replay(0, func(r line.Record) error {
				switch r.Event.(type) {
				case line.FoundOn, line.FoundOff:
					told = append(told, line.EventName(r.Event)+" "+r.By+r.Undo)
				}
				return nil
			})
			if fmt.Sprint(told) != "[found-on meter found-off meter]" {
				t.Errorf("recorded %v", told)
			}
		})
	}
}

func TestWhoMaySpeakAndOfWhat(t *testing.T) {
	s := newShed(t, meter.Config{}, "")
	for what, args := range map[string][]string{
		"nobody":         {},
		"wrong password": {"-u", "plug", "-P", "wrong"},
		"no password":    {"-u", "plug"},
		"unknown":        {"-u", "other", "-P", "secret"},
	} {
		for _, version := range []string{"311", "5"} {
			if out, err := s.mosquitto(s.pub, append(args, "-V", version, "-q", "1", "-t", "shed/spinner", "-m", "6.4")...); err == nil {
				t.Errorf("%s got in: %s", what, out)
			}
		}
	}
	if !s.row("shed/spinner").At.IsZero() {
		t.Error("what nobody may send was read")
	}
	// Its own words for a refusal: MQTT 5, 3.4.2.1, reason code 0x87.
	out, err := s.mosquitto(s.pub, "-V", "5", "-q", "1", "-u", "plug", "-P", "secret", "-t", "shed/other\x1b[2J", "-m", "1", "-d")
	if !strings.Contains(out, "RC:135") && err == nil {
		t.Errorf("another topic was not refused: %s", out)
	}
	for _, filter := range []string{"#", "shed/spinner", "$SYS/#"} {
		out, err := s.mosquitto(linetest.Tool(t, "mosquitto_sub"), "-V", "5", "-u", "plug", "-P", "secret", "-t", filter, "-C", "1", "-W", "5")
		if err == nil && !strings.Contains(out, "All subscription requests were denied") || strings.Contains(out, "6.") {
			t.Errorf("%s may be read: %s", filter, out)
		}
	}
}

// What is too long ends its connection, and the others go on.
func TestAMessageOfAMegabyte(t *testing.T) {
	s := newShed(t, meter.Config{}, "")
	big := filepath.Join(t.TempDir(), "big")
	if err := os.WriteFile(big, []byte(strings.Repeat("7", 1<<20)), 0o600); err != nil {
		t.Fatal(err)
	}
	if out, err := s.mosquitto(s.pub, "-V", "311", "-q", "1", "-u", "plug", "-P", "secret", "-t", "shed/spinner", "-f", big); err == nil && s.row("shed/spinner").Problem == nil {
		t.Errorf("it was taken: %s", out)
	}
	s.send("311", "shed/spinner", "6.4")
	if r := s.row("shed/spinner"); r.Value != 6.4 || r.Problem != nil {
		t.Errorf("after it: %+v", r)
	}
}

// certificate makes one for 127.0.0.1 that vouches for itself.
func certificate(t *testing.T, folder, name string) {
	t.Helper()
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	of := &x509.Certificate{SerialNumber: big.NewInt(1), Subject: pkix.Name{CommonName: name}, NotBefore: time.Now().Add(-time.Hour), NotAfter: time.Now().Add(time.Hour),
		IPAddresses: []net.IP{net.IPv4(127, 0, 0, 1)}, IsCA: true, BasicConstraintsValid: true, KeyUsage: x509.KeyUsageDigitalSignature | x509.KeyUsageCertSign}
	der, err := x509.CreateCertificate(rand.Reader, of, of, key.Public(), key)
	if err != nil {
		t.Fatal(err)
	}
	secret, err := x509.MarshalPKCS8PrivateKey(key)
	if err != nil {
		t.Fatal(err)
	}
	for file, block := range map[string]*pem.Block{name + ".crt": {Type: "CERTIFICATE", Bytes: der}, name + ".key": {Type: "PRIVATE KEY", Bytes: secret}} {
		if err := os.WriteFile(filepath.Join(folder, file), pem.EncodeToMemory(block), 0o600); err != nil {
			t.Fatal(err)
		}
	}
}

func TestTLS(t *testing.T) {
	folder := t.TempDir()
	certificate(t, folder, "shed")
	certificate(t, folder, "other")
	s := newShed(t, meter.Config{Cert: "shed.crt", Key: "shed.key"}, folder)
	args := func(ca string) []string {
		return []string{"--cafile", filepath.Join(folder, ca), "-u", "plug", "-P", "secret", "-q", "1", "-t", "shed/spinner", "-m", "6.4"}
	}
	if out, err := s.mosquitto(s.pub, args("other.crt")...); err == nil {
		t.Errorf("a wrong certificate was taken: %s", out)
	}
	if out, err := s.mosquitto(s.pub, args("other.crt")[2:]...); err == nil {
		t.Errorf("it spoke without TLS: %s", out)
	}
	if !s.row("shed/spinner").At.IsZero() {
		t.Error("something was read")
	}
	if out, err := s.mosquitto(s.pub, args("shed.crt")...); err != nil || s.row("shed/spinner").Value != 6.4 {
		t.Errorf("%v: %s", err, out)
	}
	if _, err := meters.Open(meter.Config{Address: "127.0.0.1:0", Cert: "none.crt", Key: "none.key"}, folder, s.line); err == nil {
		t.Error("it listens without its certificate")
	}
}

// A mosquitto of one's own bridges to the program, with the lines of DEVELOPERS.md. What
// it had kept from before is no live reading.
func TestABridge(t *testing.T) {
	broker := linetest.Tool(t, "mosquitto")
	s := newShed(t, meter.Config{}, "")
	free, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	own := free.Addr().String()
	free.Close()
	page, err := os.ReadFile("../../../DEVELOPERS.md")
	if err != nil {
		t.Fatal(err)
	}
	_, lines, _ := strings.Cut(string(page), "```mosquitto\n")
	lines, _, _ = strings.Cut(lines, "```")
	lines = strings.NewReplacer("127.0.0.1:1883", s.room.Address(), "PASSWORD", "secret").Replace(lines)
	conf := filepath.Join(t.TempDir(), "mosquitto.conf")
	port := own[strings.LastIndexByte(own, ':')+1:]
	if err := os.WriteFile(conf, []byte("listener "+port+" 127.0.0.1\nallow_anonymous true\n"+lines), 0o600); err != nil {
		t.Fatal(err)
	}
	run := exec.Command(broker, "-c", conf)
	if err := run.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { run.Process.Kill(); run.Wait() })
	publish := func(args ...string) error {
		return exec.Command(s.pub, append([]string{"-h", "127.0.0.1", "-p", port, "-q", "1", "-t", "shed/spinner"}, args...)...).Run()
	}
	until := time.Now().Add(time.Minute)
	for publish("-m", "6.1", "-r") != nil && time.Now().Before(until) {
	}
	for s.row("shed/spinner").At.IsZero() && time.Now().Before(until) {
		publish("-m", "6.1", "-r")
	}
	if r := s.row("shed/spinner"); r.Value != 6.1 || !r.Kept {
		t.Fatalf("the kept message came as %+v", r)
	}
	for !s.drawing(linetest.Spinner) && time.Now().Before(until) {
		s.clock.Advance(time.Second)
		publish("-m", "6.2")
	}
	if r := s.row("shed/spinner"); r.Value != 6.2 || r.Kept || !s.drawing(linetest.Spinner) {
		t.Errorf("live ones came as %+v", r)
	}
}

// 10,000 messages, as many as a mad meter sends in a second: the line answers meanwhile
// and none is lost.
func TestAFloodOfMessages(t *testing.T) {
	s := newShed(t, meter.Config{}, "")
	cmd := exec.Command(s.pub, "-h", "127.0.0.1", "-p", s.port, "-u", "plug", "-P", "secret", "-q", "1", "-t", "shed/spinner", "-l")
	cmd.Stdin = strings.NewReader(strings.Repeat("0.01\n", 9999) + "0.02\n")
	done := make(chan error, 1)
	go func() { done <- cmd.Run() }()
	for n := 0; ; n++ {
		select {
		case err := <-done:
			if err != nil || s.row("shed/spinner").Value != 0.02 {
				t.Errorf("%v, the last is %+v", err, s.row("shed/spinner"))
			}
			return
		default:
			if _, _, no := s.line.Do(line.AddNote{Text: "still here"}); no != nil {
				t.Fatal(no)
			}
		}
	}
}

func TestTheReport(t *testing.T) {
	s := newShed(t, meter.Config{}, "")
	s.send("5", "shed/spinner", "6.4")
	s.send("5", "shed/spinner", "6.5")
	s.send("5", "shed/tub-blower", "NaN")
	dir := t.TempDir()
	report := s.room.Report(s.line.Now())
	if err := report.Keep(dir); err != nil {
		t.Fatal(err)
	}
	got, err := meters.LastReport(dir)
	if err != nil || len(got.Meters) != 2 {
		t.Fatalf("%+v %v", got, err)
	}
	if e := got.Meters[0]; e.State != "on" || *e.Value != 6.5 || *e.AgeS != 1 || *e.EveryS != 1 || !e.Fresh {
		t.Errorf("%+v", e)
	}
	if e := got.Meters[1]; e.Value != nil || e.Problem == "" || e.Says.IsZero() || e.Fresh {
		t.Errorf("%+v", e)
	}
}
