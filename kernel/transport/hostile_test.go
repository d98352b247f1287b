package transport

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"net"
	"runtime"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"github.com/go-zeromq/zmq4"

	"foreplane/kernel/wire"
)

// greeting is a whole ZMTP 3.0 greeting of the NULL mechanism.
var greeting = "\xff\x00\x00\x00\x00\x00\x00\x00\x01\x7f\x03\x00NULL" + strings.Repeat("\x00", 48)

// ready frames a READY command with socket type kind and an identity.
func ready(kind, identity string) string {
	body := "\x05READY" + property("Socket-Type", kind) + property("Identity", identity)
	return "\x04" + string(rune(len(body))) + body
}

func property(name, value string) string {
	return string(rune(len(name))) + name + string(binary.BigEndian.AppendUint32(nil, uint32(len(value)))) + value
}

func ports(c Connection) []int { return []int{c.Shell, c.Control, c.Stdin, c.IOPub, c.Heartbeat} }

// hungUp waits until the other side closes conn, and reports what it sent before.
func hungUp(t *testing.T, conn net.Conn) []byte {
	t.Helper()
	got, err := io.ReadAll(conn)
	var timeout net.Error
	if errors.As(err, &timeout) && timeout.Timeout() {
		t.Errorf("the connection stayed open; got %q", got)
	}
	return got
}

// TestSilentPeers holds that peers that connect and say nothing, or stop in the middle of shaking hands, are in nobody's way.
func TestSilentPeers(t *testing.T) {
	var s *Server
	h := echoes(t, func() endpoint { return s })
	h.Subscribed = func(topic string) {
		s.Send(wire.IOPub, must[*wire.Message](t)(newAuthor(t).Publish(topic, nil, "iopub_welcome", nil)))
	}
	s, _ = start(t, tcpConnection(), defaultLimits, h)
	for _, port := range ports(s.Connection()) {
		for _, first := range []string{"", greeting[:1], greeting[:10], greeting, greeting + ready("DEALER", "x")[:9]} {
			if _, err := rawDial(t, s.Connection(), port).Write([]byte(first)); err != nil {
				t.Fatal(err)
			}
		}
	}
	c := dial(t, s.Connection(), "peer")
	c.Subscribe("")
	receive(t, c, wire.IOPub)
	if err := c.Send(wire.Shell, request(t, newAuthor(t), nil)); err != nil {
		t.Fatal(err)
	}
	receive(t, c, wire.Shell)
}

// TestStrangers holds that what is not a ZMTP 3 peer of the right kind is hung up on, logged once, and harms nobody.
func TestStrangers(t *testing.T) {
	lim := defaultLimits
	lim.message, lim.handshake = 1<<20, time.Hour
	var s *Server
	s, book := start(t, tcpConnection(), lim, echoes(t, func() endpoint { return s }))
	long := binary.BigEndian.AppendUint64([]byte{flagLong}, 1<<62)
	for name, text := range map[string]string{
		"HTTP":                  "GET / HTTP/1.1\r\nHost: x\r\n\r\n",
		"ZMTP 1":                "\x01\x00\x03\x00abc",
		"no signature":          "\xff\x00\x00\x00\x00\x00\x00\x00\x01\x00",
		"ZMTP 2":                greeting[:10] + "\x01\x00" + greeting[12:],
		"PLAIN":                 strings.Replace(greeting, "NULL\x00", "PLAIN", 1),
		"wrong kind":            greeting + ready("PUB", ""),
		"unknown kind":          greeting + ready("XYZ", ""),            // zmq4 alone panics
		"metadata cut short":    greeting + "\x04\x0b\x05READY\x04Sock", // zmq4 alone panics
		"no READY":              greeting + "\x04\x06\x05HELLO",
		"message first":         greeting + "\x00\x01x",
		"huge READY":            greeting + "\x06\x7f" + strings.Repeat("\xff", 7), // zmq4 alone panics
		"huge frame":            greeting + ready("DEALER", "") + string(long),
		"too many empty frames": greeting + ready("DEALER", "") + strings.Repeat("\x01\x00", 20_000),
		"reserved flags":        greeting + ready("DEALER", "") + "\x08\x01x",
	} {
		t.Run(name, func(t *testing.T) {
			conn := rawDial(t, s.Connection(), s.Connection().Shell)
			conn.Write([]byte(text)) // may fail: the server need not read it all
			hungUp(t, conn)
		})
	}
	c := dial(t, s.Connection(), "peer")
	if err := c.Send(wire.Shell, request(t, newAuthor(t), nil)); err != nil {
		t.Fatal(err)
	}
	receive(t, c, wire.Shell)
	if n := book.count("refused a connection"); n != 1 {
		t.Errorf("%d log lines for refused connections", n)
	}
}

// TestHandshakeIsBounded holds that half a handshake ends by itself, and that the bound is gone once it is complete.
func TestHandshakeIsBounded(t *testing.T) {
	lim := defaultLimits
	lim.handshake = 50 * time.Millisecond
	var s *Server
	s, _ = start(t, tcpConnection(), lim, echoes(t, func() endpoint { return s }))
	c := dial(t, s.Connection(), "peer")
	for _, first := range []string{"", greeting[:10], greeting} {
		conn := rawDial(t, s.Connection(), s.Connection().Shell)
		conn.Write([]byte(first))
		hungUp(t, conn)
	}
	if err := c.Send(wire.Shell, request(t, newAuthor(t), nil)); err != nil {
		t.Fatal(err)
	}
	receive(t, c, wire.Shell)
}

// TestCloseDuringHandshake holds that Close hangs up on peers that are still shaking hands.
func TestCloseDuringHandshake(t *testing.T) {
	lim := defaultLimits
	lim.handshake = time.Hour
	s, _ := start(t, tcpConnection(), lim, Handlers{})
	conn := rawDial(t, s.Connection(), s.Connection().Shell)
	io.WriteString(conn, greeting)
	if _, err := io.ReadFull(conn, make([]byte, 64)); err != nil { // the server has taken the connection
		t.Fatal(err)
	}
	s.Close()
	hungUp(t, conn)
}

// TestPing holds that a peer's heartbeat on the ZMTP level is answered, between messages and between the frames of one.
func TestPing(t *testing.T) {
	var s *Server
	s, _ = start(t, tcpConnection(), defaultLimits, echoes(t, func() endpoint { return s }))
	conn := rawDial(t, s.Connection(), s.Connection().Heartbeat)
	io.WriteString(conn, greeting+ready("REQ", "")+"\x01\x00"+"\x04\x0b\x04PING\x00\x64ctx!"+"\x00\x02hb")
	io.WriteString(conn, "\x04\x05\x04PING\x00") // cut short: ignored
	want := "\x04\x09\x04PONGctx!" + "\x01\x00\x00\x02hb"
	got := make([]byte, 1024)
	n, err := io.ReadAtLeast(conn, got, 64+len(want)+40)
	if err != nil || !strings.HasSuffix(string(got[:n]), want) {
		t.Errorf("got %q, %v", got[:n], err)
	}
}

// TestForgery holds that unsigned, replayed and mangled messages are dropped without an answer, logged once each, and change nothing.
func TestForgery(t *testing.T) {
	var s *Server
	s, book := start(t, tcpConnection(), defaultLimits, echoes(t, func() endpoint { return s }))
	c, author := dial(t, s.Connection(), "peer"), newAuthor(t)
	send := func(frames [][]byte) {
		if err := c.sockets[wire.Shell].SendMulti(zmq4.NewMsgFrom(frames...)); err != nil {
			t.Fatal(err)
		}
	}
	other := must[*wire.Codec](t)(wire.NewCodec("hmac-sha256", "another key"))
	once := c.codec.Encode(request(t, author, map[string]string{"n": "first"}))
	for range 3 {
		send(other.Encode(request(t, author, nil)))
		send(once)
		send([][]byte{[]byte("no delimiter")})
		send([][]byte{{}})
	}
	last := request(t, author, map[string]string{"n": "last"})
	if err := c.Send(wire.Shell, last); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{`{"n":"first"}`, `{"n":"last"}`} {
		if got := string(receive(t, c, wire.Shell).Content); got != want {
			t.Errorf("got the answer to %s, want %s", got, want)
		}
	}
	for _, reason := range []error{wire.ErrSignature, wire.ErrReplay, wire.ErrFormat} {
		if n := book.count("dropped a message: " + reason.Error()); n != 1 {
			t.Errorf("%d log lines for %v", n, reason)
		}
	}
}

// TestDuplicateIdentity holds that a second peer of the same identity is refused and sees nothing of the first one's replies, and that the identity is
// free again once the first one left.
func TestDuplicateIdentity(t *testing.T) {
	var s *Server
	s, book := start(t, tcpConnection(), defaultLimits, echoes(t, func() endpoint { return s }))
	first, author := dial(t, s.Connection(), "twin"), newAuthor(t)
	ask := func(c *zmqClient) {
		t.Helper()
		if err := c.Send(wire.Shell, request(t, author, nil)); err != nil {
			t.Fatal(err)
		}
		receive(t, c, wire.Shell)
	}
	ask(first)
	conn := rawDial(t, s.Connection(), s.Connection().Shell)
	io.WriteString(conn, greeting+ready("DEALER", "twin"))
	ask(first)
	if got := hungUp(t, conn); bytes.Contains(got, []byte(wire.Delimiter)) {
		t.Errorf("the second peer was sent %q", got)
	}
	ask(first)
	if n := book.count("refused a peer"); n != 1 {
		t.Errorf("%d log lines", n)
	}
	first.Close()
	ask(dial(t, s.Connection(), "twin"))
}

// TestHolderLeaves holds that a newcomer gets the identity of a connection that ends while it waits, and none of one that stays.
func TestHolderLeaves(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		r := newRouter("shell", nil, time.Hour, 0, nil)
		old, newcomer := &link{identity: "twin"}, &link{identity: "twin"}
		if err := r.join(old); err != nil {
			t.Fatal(err)
		}
		joined := make(chan error)
		go func() { joined <- r.join(newcomer) }()
		synctest.Wait()
		before := time.Now()
		r.leave(old)
		if err := <-joined; err != nil || r.members["twin"].link != newcomer || time.Since(before) != 0 {
			t.Errorf("%v after %v, members %v", err, time.Since(before), r.members)
		}
		if err := r.join(old); err == nil || r.members["twin"].link != newcomer || time.Since(before) != r.grace {
			t.Errorf("%v after %v, members %v", err, time.Since(before), r.members)
		}
	})
}

// TestNameless holds that peers without an identity get their own replies.
func TestNameless(t *testing.T) {
	var s *Server
	s, _ = start(t, tcpConnection(), defaultLimits, echoes(t, func() endpoint { return s }))
	codec, author := newCodec(t), newAuthor(t)
	var peers []*link
	for range 3 {
		conn := rawDial(t, s.Connection(), s.Connection().Shell)
		peers = append(peers, must[*link](t)(connect(conn, zmq4.Dealer, false, defaultLimits, func() {})))
	}
	for i, l := range peers {
		if err := l.send(codec.Encode(request(t, author, map[string]int{"n": i}))); err != nil {
			t.Fatal(err)
		}
	}
	for i, l := range peers {
		reply := must[*wire.Message](t)(codec.Decode(must[[][]byte](t)(l.receive())))
		if string(reply.Content) != fmt.Sprintf(`{"n":%d}`, i) {
			t.Errorf("peer %d got %s", i, reply.Content)
		}
		l.out.abort(net.ErrClosed)
	}
}

// TestSubscriptions holds what counts as one: not junk, not the end of one, and nothing to tell if the topic is not text.
func TestSubscriptions(t *testing.T) {
	subscribed := make(chan string, 9)
	s, _ := start(t, tcpConnection(), defaultLimits, Handlers{Subscribed: func(topic string) { subscribed <- topic }})
	conn := rawDial(t, s.Connection(), s.Connection().IOPub)
	l := must[*link](t)(connect(conn, zmq4.Sub, false, defaultLimits, func() {}))
	defer l.out.abort(net.ErrClosed)
	for _, frames := range [][][]byte{{{}}, {[]byte("\x02junk")}, {[]byte("\x01a"), []byte("junk")}, {[]byte("\x01\xff")}, {[]byte("\x01b")}, {[]byte("\x00b")}, {[]byte("\x01c")}} {
		if err := l.send(frames); err != nil {
			t.Fatal(err)
		}
	}
	for _, want := range []string{"b", "c"} {
		if got := <-subscribed; got != want {
			t.Errorf("subscribed %q, want %q", got, want)
		}
	}
	for _, topic := range []string{"a", "junk", "b", "\xff", "c"} {
		if err := s.Send(wire.IOPub, &wire.Message{Identities: [][]byte{[]byte(topic)}}); err != nil {
			t.Fatal(err)
		}
	}
	for _, want := range []string{"\xff", "c"} {
		if frames, err := l.receive(); err != nil || string(frames[0]) != want {
			t.Errorf("received topic %q, %v, want %q", frames, err, want)
		}
	}
}

// TestStalledSubscriber holds that one subscriber that stops reading costs the others nothing, and itself the connection.
func TestStalledSubscriber(t *testing.T) {
	lim := defaultLimits
	lim.stall = time.Hour // waiting for the stalled one would show
	subscribed := make(chan string, 4)
	s, book := start(t, tcpConnection(), lim, Handlers{Subscribed: func(topic string) { subscribed <- topic }})
	conn := rawDial(t, s.Connection(), s.Connection().IOPub)
	io.WriteString(conn, greeting+ready("SUB", "")+"\x00\x01\x01")
	c := dial(t, s.Connection(), "peer")
	c.Subscribe("")
	<-subscribed
	<-subscribed
	const n, size = 3000, 100_000
	author := newAuthor(t)
	start := time.Now()
	go func() {
		for i := range n {
			if err := s.Send(wire.IOPub, publication(t, author, i, size)); err != nil {
				t.Error(err)
			}
		}
	}()
	for i := range n {
		m := receive(t, c, wire.IOPub)
		if string(m.Content) != fmt.Sprintf(`{"n":%d}`, i) || len(m.Buffers[0]) != size {
			t.Fatalf("message %d is %s with %d bytes", i, m.Content, len(m.Buffers[0]))
		}
	}
	t.Logf("%d x %d bytes in %v", n, size, time.Since(start))
	if n := book.count("did not take its messages"); n != 1 {
		t.Errorf("%d log lines for the stalled subscriber", n)
	}
	late := dial(t, s.Connection(), "late")
	late.Subscribe("")
	<-subscribed
}

// TestOnlySubscriberStalls holds that publishing goes on after a while when nobody takes anything.
func TestOnlySubscriberStalls(t *testing.T) {
	lim := defaultLimits
	lim.stall = 50 * time.Millisecond
	subscribed := make(chan string, 1)
	s, book := start(t, tcpConnection(), lim, Handlers{Subscribed: func(topic string) { subscribed <- topic }})
	conn := rawDial(t, s.Connection(), s.Connection().IOPub)
	io.WriteString(conn, greeting+ready("SUB", "")+"\x00\x01\x01")
	<-subscribed
	author := newAuthor(t)
	for i := range 40 {
		if err := s.Send(wire.IOPub, publication(t, author, i, 1<<20)); err != nil {
			t.Fatal(err)
		}
	}
	if n := book.count("did not take its messages"); n != 1 {
		t.Errorf("%d log lines", n)
	}
}

// TestOnlySubscriberLeaves holds that publishing does not go on waiting for the room of a subscriber that is gone.
func TestOnlySubscriberLeaves(t *testing.T) {
	lim := defaultLimits
	lim.stall = time.Hour
	subscribed := make(chan string, 1)
	s, _ := start(t, tcpConnection(), lim, Handlers{Subscribed: func(topic string) { subscribed <- topic }})
	conn := rawDial(t, s.Connection(), s.Connection().IOPub)
	io.WriteString(conn, greeting+ready("SUB", "")+"\x00\x01\x01")
	<-subscribed
	author, sent := newAuthor(t), make(chan bool)
	go func() {
		defer close(sent)
		for i := range 40 {
			if err := s.Send(wire.IOPub, publication(t, author, i, 1<<20)); err != nil {
				t.Error(err)
			}
		}
	}()
	l := s.publisher.subscribers("")[0]
	for l.out.backlog() <= lim.room {
		runtime.Gosched()
	}
	conn.Close()
	<-sent
}

// TestStalledRequester holds that a client that asks and never reads is disconnected, and others are served meanwhile.
func TestStalledRequester(t *testing.T) {
	lim := defaultLimits
	lim.backlog = 1 << 20
	var s *Server
	author, sendErr := newAuthor(t), make(chan error, 1)
	s, _ = start(t, tcpConnection(), lim, Handlers{Message: func(ch wire.Channel, m *wire.Message) {
		text := strings.Repeat("x", 1<<20)
		if string(m.Identities[0]) == "well" {
			text = ""
		}
		for range 30 {
			err := s.Send(ch, must[*wire.Message](t)(author.Reply(m, "reply", map[string]string{"text": text})))
			if err != nil {
				sendErr <- err
				return
			}
		}
	}})
	conn := rawDial(t, s.Connection(), s.Connection().Shell)
	io.WriteString(conn, greeting+ready("DEALER", "ill"))
	for i, f := range newCodec(t).Encode(request(t, author, nil)) {
		flags := byte(flagMore)
		if i == 5 {
			flags = 0
		}
		conn.Write(append([]byte{flags, byte(len(f))}, f...))
	}
	if err := <-sendErr; !errors.Is(err, errBehind) {
		t.Errorf("sending to the stalled client: %v", err)
	}
	c := dial(t, s.Connection(), "well")
	if err := c.Send(wire.Shell, request(t, author, nil)); err != nil {
		t.Fatal(err)
	}
	for range 30 {
		receive(t, c, wire.Shell)
	}
}
