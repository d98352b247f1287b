package main

import (
	"context"
	"crypto/rand"
	"encoding/json"
	"io"
	"log"
	"net"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/go-zeromq/zmq4"

	"foreplane/kernel/transport"
	"foreplane/kernel/wire"
)

// patience is how long a test waits for what should come soon; it passes in full only when the test fails.
const patience = 60 * time.Second

const clientKey = "e64ffc8a-4e1b-46cd-bb29-d4b8ac8c7b70"

// process is a kernel in a process of its own, as front ends start it.
type process struct {
	cmd        *exec.Cmd
	connection transport.Connection
	file       string
	log        logged
}

// logged is what a kernel has written to its log.
type logged struct {
	mu   sync.Mutex
	text strings.Builder
}

func (l *logged) Write(p []byte) (int, error) {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.text.Write(p)
}

func (l *logged) count(what string) int {
	l.mu.Lock()
	defer l.mu.Unlock()
	return strings.Count(l.text.String(), what)
}

// startKernel starts a kernel on free ports of this machine.
func startKernel(t testing.TB, env ...string) *process {
	t.Helper()
	return startKernelWith(t, nil, env...)
}

// startKernelWith starts a kernel with settings.
func startKernelWith(t testing.TB, settings []string, env ...string) *process {
	t.Helper()
	p := &process{file: filepath.Join(t.TempDir(), "connection.json")}
	p.connection = transport.Connection{Transport: "tcp", IP: "127.0.0.1", Key: clientKey, Scheme: "hmac-sha256"}
	for _, port := range []*int{&p.connection.Shell, &p.connection.Control, &p.connection.Stdin, &p.connection.IOPub, &p.connection.Heartbeat} {
		*port = freePort(t)
	}
	text, err := json.Marshal(p.connection)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(p.file, text, 0o600); err != nil {
		t.Fatal(err)
	}
	p.cmd = exec.Command(os.Args[0], append([]string{"kernel", p.file}, settings...)...)
	p.cmd.Env = append(os.Environ(), append(env, "XDG_CONFIG_HOME="+t.TempDir())...)
	p.cmd.Stderr = io.MultiWriter(os.Stderr, &p.log)
	if err := p.cmd.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		p.cmd.Process.Kill()
		p.cmd.Wait()
	})
	return p
}

func freePort(t testing.TB) int {
	t.Helper()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer l.Close()
	return l.Addr().(*net.TCPAddr).Port
}

// client is a client on sockets of zmq4.
type client struct {
	t       testing.TB
	codec   *wire.Codec
	author  *wire.Author
	sockets [wire.IOPub + 1]zmq4.Socket
	inboxes [wire.IOPub + 1]chan *wire.Message // closed when the connection is
	cancel  context.CancelFunc
}

// dial connects a client, and waits until what is published reaches it.
func (p *process) dial(t testing.TB, identity string) *client {
	t.Helper()
	codec, err := wire.NewCodec("hmac-sha256", clientKey)
	if err != nil {
		t.Fatal(err)
	}
	author, err := wire.NewAuthor(identity, rand.Reader, time.Now)
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	c := &client{t: t, codec: codec, author: author, cancel: cancel}
	for ch, port := range []int{p.connection.Shell, p.connection.Control, p.connection.Stdin, p.connection.IOPub} {
		c.connect(ctx, wire.Channel(ch), net.JoinHostPort(p.connection.IP, strconv.Itoa(port)), identity)
	}
	t.Cleanup(c.close)
	if m := c.next(wire.IOPub); m.Header.Type != "iopub_welcome" && m.Header.Type != "status" {
		t.Fatalf("a new subscriber is sent %s", m.Header.Type)
	}
	return c
}

func (c *client) connect(ctx context.Context, ch wire.Channel, addr, identity string) {
	options := []zmq4.Option{zmq4.WithLogger(log.New(io.Discard, "", 0)), zmq4.WithID([]byte(identity))}
	s := zmq4.NewDealer(ctx, options...)
	if ch == wire.IOPub {
		s = zmq4.NewSub(ctx, options...)
	}
	if err := s.Dial("tcp://" + addr); err != nil {
		c.t.Fatal(err)
	}
	if ch == wire.IOPub {
		if err := s.SetOption(zmq4.OptionSubscribe, ""); err != nil {
			c.t.Fatal(err)
		}
	}
	c.sockets[ch], c.inboxes[ch] = s, make(chan *wire.Message, 1<<16)
	go c.read(ch)
}

func (c *client) read(ch wire.Channel) {
	defer close(c.inboxes[ch])
	for {
		m, err := c.sockets[ch].Recv()
		if err != nil {
			return
		}
		decoded, err := c.codec.Decode(m.Frames)
		if err != nil {
			c.t.Errorf("%s: %q: %v", ch, m.Frames, err)
			return
		}
		c.inboxes[ch] <- decoded
	}
}

func (c *client) close() {
	c.cancel()
	for _, s := range c.sockets {
		s.Close()
	}
}

// send sends a request and returns its number.
func (c *client) send(ch wire.Channel, kind string, content any) string {
	c.t.Helper()
	m, err := c.author.Request(kind, content)
	if err != nil {
		c.t.Fatal(err)
	}
	c.sendMessage(ch, m)
	return m.Header.ID
}

func (c *client) sendMessage(ch wire.Channel, m *wire.Message) {
	c.t.Helper()
	if err := c.sockets[ch].SendMulti(zmq4.NewMsgFrom(c.codec.Encode(m)...)); err != nil {
		c.t.Fatal(err)
	}
}

// next waits for a message.
func (c *client) next(ch wire.Channel) *wire.Message {
	c.t.Helper()
	select {
	case m, ok := <-c.inboxes[ch]:
		if !ok {
			c.t.Fatalf("%s: the connection has ended", ch)
		}
		return m
	case <-time.After(patience):
		c.t.Fatalf("%s: nothing came", ch)
	}
	return nil
}

// parentOf returns the number of the request that caused a message.
func parentOf(m *wire.Message) string {
	var h wire.Header
	json.Unmarshal(m.Parent, &h)
	return h.ID
}

// fields are what tests read of the content of messages.
type fields struct {
	Status string         `json:"status"`
	State  string         `json:"execution_state"`
	Text   string         `json:"text"`
	EName  string         `json:"ename"`
	EValue string         `json:"evalue"`
	CommID string         `json:"comm_id"`
	Data   map[string]any `json:"data"`
}

func content(m *wire.Message) (f fields) {
	json.Unmarshal(m.Content, &f)
	return f
}

// ran is what became of a cell.
type ran struct {
	text, value, failure string
	types                []string // of what was published, in order
}

// execute runs a cell and returns when its idle and its reply are there. The other messages of iopub are given to others, which may be nil; begun is called
// when the cell was begun.
func (c *client) execute(code string, begun func(), others func(*wire.Message)) ran {
	c.t.Helper()
	id := c.send(wire.Shell, "execute_request", map[string]any{"code": code, "allow_stdin": false})
	var r ran
	for idle := false; !idle; {
		m := c.next(wire.IOPub)
		if others != nil {
			others(m)
		}
		if parentOf(m) != id {
			continue
		}
		in := content(m)
		if in.State != "busy" || len(r.types) == 0 { // it is said again when a question was answered meanwhile
			r.types = append(r.types, m.Header.Type)
		}
		switch m.Header.Type {
		case "execute_input":
			if begun != nil {
				begun()
			}
		case "stream":
			r.text += in.Text
		case "execute_result":
			r.value, _ = in.Data["text/plain"].(string)
		case "status":
			idle = in.State == "idle"
		}
	}
	reply := c.next(wire.Shell)
	for parentOf(reply) != id {
		reply = c.next(wire.Shell)
	}
	if in := content(reply); in.Status != "ok" {
		r.failure = in.EName + ": " + in.EValue
	}
	return r
}
