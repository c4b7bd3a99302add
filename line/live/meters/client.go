package meters

import (
	"bufio"
	"bytes"
	"errors"
	"io"

	"github.com/mochi-mqtt/server/v2/packets"
)

// Client speaks to a broker as a meter does (MQTT 3.1.1), for a shed that is made up. The
// program itself sends nothing to any other broker.
type Client struct {
	to   io.ReadWriter
	from *bufio.Reader
	id   uint16
}

var errRefused = errors.New("the broker refused it")

// Greet comes in over a connection.
func Greet(to io.ReadWriter, id, user, password string) (*Client, error) {
	c := &Client{to: to, from: bufio.NewReader(to)}
	hello := packets.Packet{FixedHeader: packets.FixedHeader{Type: packets.Connect}, ProtocolVersion: 4, Connect: packets.ConnectParams{
		ProtocolName: []byte("MQTT"), ClientIdentifier: id, Clean: true, Keepalive: 60,
		UsernameFlag: user != "", Username: []byte(user), PasswordFlag: user != "", Password: []byte(password)}}
	body, err := c.ask(hello.ConnectEncode, packets.Connack)
	if err == nil && (len(body) < 2 || body[1] != 0) {
		err = errRefused
	}
	return c, err
}

// Send sends a reading and returns once it is acknowledged.
func (c *Client) Send(topic, payload string) error {
	c.id = max(1, c.id+1)
	p := packets.Packet{FixedHeader: packets.FixedHeader{Type: packets.Publish, Qos: 1}, ProtocolVersion: 4,
		TopicName: topic, Payload: []byte(payload), PacketID: c.id}
	_, err := c.ask(p.PublishEncode, packets.Puback)
	return err
}

// ask sends a packet and reads the answer, which is short.
func (c *Client) ask(encode func(*bytes.Buffer) error, answer byte) ([]byte, error) {
	var out bytes.Buffer
	if err := encode(&out); err != nil {
		return nil, err
	}
	if _, err := c.to.Write(out.Bytes()); err != nil {
		return nil, err
	}
	var head [2]byte
	if _, err := io.ReadFull(c.from, head[:]); err != nil {
		return nil, err
	}
	if head[0]>>4 != answer || head[1] > 127 {
		return nil, errRefused
	}
	body := make([]byte, head[1])
	_, err := io.ReadFull(c.from, body)
	return body, err
}
