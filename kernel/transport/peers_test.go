package transport

import (
	"bytes"
	"context"
	"crypto/rand"
	"io"
	"log"
	"log/slog"
	"net"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"github.com/go-zeromq/zmq4"

	"foreplane/kernel/wire"
)

const testKey = "a0436f6c-1916-498b-8eb9-e81ab9368e84"

// patience is how long a test waits for what should come at once; it passes in full only when the test fails.
const patience = 10 * time.Second

// endpoint is what Server and Memory have in common.
type endpoint interface {
	Serve(Handlers)
	Send(wire.Channel, *wire.Message) error
	Close() error
}

// client is a peer of an endpoint.
type client interface {
	Send(wire.Channel, *wire.Message) error
	Receive(context.Context, wire.Channel) (*wire.Message, error)
	Subscribe(topic string)
	Close()
}

// zmqClient is a client on zmq4's own sockets, with one identity on all of them.
type zmqClient struct {
	t       testing.TB
	codec   *wire.Codec
	sockets [wire.IOPub + 1]zmq4.Socket
	inboxes [wire.IOPub + 1]*queue[*wire.Message]
}

func dial(t testing.TB, c Connection, identity string) *zmqClient {
	t.Helper()
	z := &zmqClient{t: t, codec: newCodec(t)}
	quiet := []zmq4.Option{zmq4.WithLogger(log.New(io.Discard, "", 0)), zmq4.WithID([]byte(identity)), zmq4.WithDialerMaxRetries(0)}
	for ch, port := range []int{c.Shell, c.Control, c.Stdin, c.IOPub} {
		var s zmq4.Socket
		if wire.Channel(ch) == wire.IOPub {
			s = zmq4.NewSub(t.Context(), quiet...)
		} else {
			s = zmq4.NewDealer(t.Context(), quiet...)
		}
		if err := s.Dial(endpointOf(c, port)); err != nil {
			t.Fatal(err)
		}
		z.sockets[ch], z.inboxes[ch] = s, newQueue[*wire.Message]()
		go z.read(wire.Channel(ch))
	}
	t.Cleanup(z.Close)
	return z
}

func endpointOf(c Connection, port int) string {
	network, addr := address(c.Transport, c.IP, port)
	return map[string]string{"tcp": "tcp", "unix": "ipc"}[network] + "://" + addr
}

func (z *zmqClient) read(ch wire.Channel) {
	for {
		m, err := z.sockets[ch].Recv()
		if err != nil {
			z.inboxes[ch].close()
			return
		}
		decoded, err := z.codec.Decode(m.Frames)
		if err != nil {
			z.t.Errorf("%s: client got %q: %v", ch, m.Frames, err)
			return
		}
		z.inboxes[ch].put(decoded)
	}
}

func (z *zmqClient) Send(ch wire.Channel, m *wire.Message) error {
	return z.sockets[ch].SendMulti(zmq4.NewMsgFrom(z.codec.Encode(m)...))
}

func (z *zmqClient) Receive(ctx context.Context, ch wire.Channel) (*wire.Message, error) {
	return z.inboxes[ch].take(ctx)
}

func (z *zmqClient) Subscribe(topic string) {
	if err := z.sockets[wire.IOPub].SetOption(zmq4.OptionSubscribe, topic); err != nil {
		z.t.Error(err)
	}
}

func (z *zmqClient) Close() {
	for _, s := range z.sockets {
		s.Close()
	}
}

func newCodec(t testing.TB) *wire.Codec {
	t.Helper()
	c, err := wire.NewCodec("hmac-sha256", testKey)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func newAuthor(t testing.TB) *wire.Author {
	t.Helper()
	a, err := wire.NewAuthor("test", rand.Reader, time.Now)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

func must[T any](t testing.TB) func(T, error) T {
	return func(v T, err error) T {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
}

// publication is message n of a stream, with a buffer of size bytes.
func publication(t testing.TB, a *wire.Author, n, size int) *wire.Message {
	t.Helper()
	m := must[*wire.Message](t)(a.Publish("stream", nil, "stream", map[string]int{"n": n}))
	m.Buffers = [][]byte{make([]byte, size)}
	return m
}

func receive(t testing.TB, c client, ch wire.Channel) *wire.Message {
	t.Helper()
	ctx, cancel := context.WithTimeout(t.Context(), patience)
	defer cancel()
	m, err := c.Receive(ctx, ch)
	if err != nil {
		t.Fatalf("nothing on %s: %v", ch, err)
	}
	return m
}

// tcpConnection asks for free ports on the loopback address.
func tcpConnection() Connection {
	return Connection{Transport: "tcp", IP: "127.0.0.1", Key: testKey, Scheme: "hmac-sha256"}
}

func ipcConnection(t testing.TB) Connection {
	return Connection{Transport: "ipc", IP: filepath.Join(t.TempDir(), "k"), Key: testKey, Scheme: "hmac-sha256"}
}

func start(t testing.TB, c Connection, lim limits, h Handlers) (*Server, *logBook) {
	t.Helper()
	book := &logBook{}
	s, err := listen(t.Context(), c, slog.New(slog.NewTextHandler(book, nil)), lim)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { s.Close() })
	s.Serve(h)
	return s, book
}

// echoes answers every message on its channel, after the reply's own author's fashion.
func echoes(t testing.TB, e func() endpoint) Handlers {
	author := newAuthor(t)
	return Handlers{Message: func(ch wire.Channel, m *wire.Message) {
		reply := must[*wire.Message](t)(author.Reply(m, strings.TrimSuffix(m.Header.Type, "request")+"reply", m.Content))
		reply.Buffers = m.Buffers
		if err := e().Send(ch, reply); err != nil {
			t.Errorf("reply on %s: %v", ch, err)
		}
	}}
}

// logBook collects log lines.
type logBook struct {
	mu    sync.Mutex
	lines bytes.Buffer
}

func (b *logBook) Write(p []byte) (int, error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.lines.Write(p)
}

func (b *logBook) count(text string) int {
	b.mu.Lock()
	defer b.mu.Unlock()
	return strings.Count(b.lines.String(), text)
}

// rawDial opens a connection that speaks only what the test makes it speak.
func rawDial(t testing.TB, c Connection, port int) net.Conn {
	t.Helper()
	network, addr := address(c.Transport, c.IP, port)
	conn, err := net.Dial(network, addr)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { conn.Close() })
	conn.SetDeadline(time.Now().Add(patience))
	return conn
}

// TestGoneForGood holds that one who leaves and comes back within the time of arrival is not told to be gone, and one who stays away is, at its end.
func TestGoneForGood(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		told := make(chan string, 3)
		r := newRouter("stdin", nil, 0, 2*time.Second, nil)
		r.gone = func(identity string) { told <- identity }
		stays, leaves, returns := &link{identity: "stays"}, &link{identity: "leaves"}, &link{identity: "returns"}
		for _, l := range []*link{stays, leaves, returns} {
			if err := r.join(l); err != nil {
				t.Fatal(err)
			}
		}
		r.leave(leaves)
		r.leave(returns)
		time.Sleep(1999 * time.Millisecond)
		if err := r.join(&link{identity: "returns"}); err != nil || len(told) > 0 {
			t.Fatalf("%v, %d gone before their time", err, len(told))
		}
		time.Sleep(time.Millisecond)
		synctest.Wait()
		if first := <-told; first != "leaves" || len(told) > 0 {
			t.Errorf("gone: %q and %d more", first, len(told))
		}
	})
}
