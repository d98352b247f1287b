package transport

import (
	"bytes"
	"errors"
	"fmt"
	"runtime"
	"strings"
	"sync"
	"sync/atomic"
	"testing"

	"foreplane/kernel/wire"
)

// fixture is one kind of endpoint under test, served, with a way to connect clients.
type fixture struct {
	endpoint
	dial func(identity string) client
}

// TestConformance holds that sockets and their in-memory twin cannot be told apart by what the kernel core and its clients do with them.
func TestConformance(t *testing.T) {
	kinds := map[string]func(*testing.T) fixture{
		"tcp":    func(t *testing.T) fixture { return serverFixture(t, tcpConnection()) },
		"ipc":    func(t *testing.T) fixture { return serverFixture(t, ipcConnection(t)) },
		"memory": memoryFixture,
	}
	tests := map[string]func(*testing.T, fixture){
		"request and reply": testRequestReply, "identities": testIdentities, "order": testOrder, "welcome": testWelcome, "topics": testTopics,
		"ten megabytes": testBig, "question": testQuestion, "gone": testGone, "channels are independent": testIndependence,
		"close": testClose, "one at a time": testOneAtATime,
	}
	for kind, fixture := range kinds {
		for name, test := range tests {
			t.Run(kind+"/"+name, func(t *testing.T) { test(t, fixture(t)) })
		}
	}
}

func serverFixture(t *testing.T, c Connection) fixture {
	s, err := Listen(t.Context(), c, nil)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { s.Close() })
	return fixture{s, func(identity string) client { return dial(t, s.Connection(), identity) }}
}

func memoryFixture(t *testing.T) fixture {
	m := NewMemory()
	t.Cleanup(func() { m.Close() })
	return fixture{m, func(identity string) client { return m.Dial(identity) }}
}

func (f fixture) serveEcho(t *testing.T) { f.Serve(echoes(t, func() endpoint { return f })) }

func request(t *testing.T, a *wire.Author, content any) *wire.Message {
	t.Helper()
	return must[*wire.Message](t)(a.Request("execute_request", content))
}

func testRequestReply(t *testing.T, f fixture) {
	f.serveEcho(t)
	c, author := f.dial("peer"), newAuthor(t)
	for _, ch := range []wire.Channel{wire.Shell, wire.Control, wire.Stdin} {
		m := request(t, author, map[string]string{"code": "1+1"})
		m.Buffers = [][]byte{{0, 255}, {}}
		if err := c.Send(ch, m); err != nil {
			t.Fatal(err)
		}
		reply := receive(t, c, ch)
		if reply.Header.Type != "execute_reply" || !strings.Contains(string(reply.Parent), m.Header.ID) || string(reply.Content) != `{"code":"1+1"}` ||
			len(reply.Identities) != 0 || len(reply.Buffers) != 2 || !bytes.Equal(reply.Buffers[0], []byte{0, 255}) {
			t.Errorf("%s: reply %+v", ch, reply)
		}
	}
}

func testIdentities(t *testing.T, f fixture) {
	f.serveEcho(t)
	author := newAuthor(t)
	var clients []client
	for i := range 5 {
		clients = append(clients, f.dial(fmt.Sprint("peer", i)))
	}
	for i, c := range clients {
		if err := c.Send(wire.Shell, request(t, author, map[string]int{"n": i})); err != nil {
			t.Fatal(err)
		}
	}
	for i, c := range clients {
		if got := string(receive(t, c, wire.Shell).Content); got != fmt.Sprintf(`{"n":%d}`, i) {
			t.Errorf("client %d got the reply %s", i, got)
		}
	}
}

func testOrder(t *testing.T, f fixture) {
	f.serveEcho(t)
	c, author := f.dial("peer"), newAuthor(t)
	const n = 200
	for i := range n {
		if err := c.Send(wire.Shell, request(t, author, map[string]int{"n": i})); err != nil {
			t.Fatal(err)
		}
	}
	for i := range n {
		if got := string(receive(t, c, wire.Shell).Content); got != fmt.Sprintf(`{"n":%d}`, i) {
			t.Fatalf("message %d has content %s", i, got)
		}
	}
}

// testWelcome holds that what the Subscribed handler publishes reaches the new subscriber.
func testWelcome(t *testing.T, f fixture) {
	author := newAuthor(t)
	f.Serve(Handlers{Subscribed: func(topic string) {
		f.Send(wire.IOPub, must[*wire.Message](t)(author.Publish(topic, nil, "iopub_welcome", map[string]string{"subscription": topic})))
	}})
	for _, topic := range []string{"", "kernel.42", "Größe"} {
		c := f.dial("peer" + topic)
		c.Subscribe(topic)
		m := receive(t, c, wire.IOPub)
		if m.Header.Type != "iopub_welcome" || string(m.Identities[0]) != topic || string(m.Content) != fmt.Sprintf(`{"subscription":%q}`, topic) {
			t.Errorf("%q: welcome %+v", topic, m)
		}
	}
}

func testTopics(t *testing.T, f fixture) {
	subscribed := make(chan string, 3)
	f.Serve(Handlers{Subscribed: func(topic string) { subscribed <- topic }})
	all, some, none, author := f.dial("all"), f.dial("some"), f.dial("none"), newAuthor(t)
	all.Subscribe("")
	some.Subscribe("status")
	none.Subscribe("zzz")
	for range 3 {
		<-subscribed
	}
	for i := range 100 {
		for _, topic := range []string{"stream.stdout", "status.x"} {
			if err := f.Send(wire.IOPub, must[*wire.Message](t)(author.Publish(topic, nil, "stream", map[string]int{"n": i}))); err != nil {
				t.Fatal(err)
			}
		}
	}
	f.Send(wire.IOPub, must[*wire.Message](t)(author.Publish("zzz", nil, "stream", nil)))
	for i := range 100 {
		a, b, c := receive(t, all, wire.IOPub), receive(t, all, wire.IOPub), receive(t, some, wire.IOPub)
		want := fmt.Sprintf(`{"n":%d}`, i)
		if string(a.Content) != want || string(b.Content) != want || string(c.Content) != want || string(a.Identities[0]) != "stream.stdout" || string(c.Identities[0]) != "status.x" {
			t.Fatalf("round %d: %s %s %s", i, a.Content, b.Content, c.Content)
		}
	}
	if m := receive(t, none, wire.IOPub); string(m.Identities[0]) != "zzz" {
		t.Errorf("a subscriber to zzz got topic %s", m.Identities[0])
	}
}

func testBig(t *testing.T, f fixture) {
	f.serveEcho(t)
	c := f.dial("peer")
	m := request(t, newAuthor(t), map[string]string{"code": strings.Repeat("x", 2<<20)})
	m.Buffers = [][]byte{bytes.Repeat([]byte{7}, 10<<20)}
	if err := c.Send(wire.Shell, m); err != nil {
		t.Fatal(err)
	}
	reply := receive(t, c, wire.Shell)
	if !bytes.Equal(reply.Content, m.Content) || !bytes.Equal(reply.Buffers[0], m.Buffers[0]) {
		t.Errorf("content of %d bytes, buffer of %d bytes came back changed", len(reply.Content), len(reply.Buffers[0]))
	}
}

// testQuestion asks on stdin whoever sent a request on shell, as a cell that reads input does.
func testQuestion(t *testing.T, f fixture) {
	author, answers := newAuthor(t), make(chan string, 1)
	f.Serve(Handlers{Message: func(ch wire.Channel, m *wire.Message) {
		if ch == wire.Stdin {
			answers <- string(m.Content)
			return
		}
		if err := f.Send(wire.Stdin, must[*wire.Message](t)(author.Reply(m, "input_request", map[string]string{"prompt": "?"}))); err != nil {
			t.Error(err)
		}
	}})
	other, c, clientAuthor := f.dial("other"), f.dial("peer"), newAuthor(t)
	defer other.Close()
	if err := c.Send(wire.Shell, request(t, clientAuthor, nil)); err != nil {
		t.Fatal(err)
	}
	question := receive(t, c, wire.Stdin)
	answer := must[*wire.Message](t)(clientAuthor.Reply(question, "input_reply", map[string]string{"value": "42"}))
	answer.Identities = nil
	if err := c.Send(wire.Stdin, answer); err != nil {
		t.Fatal(err)
	}
	if got := <-answers; got != `{"value":"42"}` {
		t.Errorf("answer %s", got)
	}
}

func testGone(t *testing.T, f fixture) {
	f.Serve(Handlers{})
	m := must[*wire.Message](t)(newAuthor(t).Publish("nobody", nil, "execute_reply", nil))
	if err := f.Send(wire.Shell, m); err != ErrGone {
		t.Errorf("sending to an unknown peer: %v", err)
	}
	if err := f.Send(wire.IOPub, m); err != nil {
		t.Errorf("publishing without subscribers: %v", err)
	}
	m.Identities = nil
	if f.Send(wire.Shell, m) == nil || f.Send(wire.IOPub, m) == nil {
		t.Error("a message without routing prefix was taken")
	}
}

// testIndependence holds that control is served while the handler of shell is busy.
func testIndependence(t *testing.T, f fixture) {
	release, entered := make(chan struct{}), make(chan struct{})
	author := newAuthor(t)
	f.Serve(Handlers{Message: func(ch wire.Channel, m *wire.Message) {
		if ch == wire.Shell {
			close(entered)
			<-release
		}
		f.Send(ch, must[*wire.Message](t)(author.Reply(m, "reply", nil)))
	}})
	c, clientAuthor := f.dial("peer"), newAuthor(t)
	c.Send(wire.Shell, request(t, clientAuthor, nil))
	<-entered
	c.Send(wire.Control, request(t, clientAuthor, nil))
	receive(t, c, wire.Control)
	close(release)
	receive(t, c, wire.Shell)
}

// testClose holds that clients read what was sent before Close, and then learn that there is no more.
func testClose(t *testing.T, f fixture) {
	subscribed := make(chan string, 1)
	f.Serve(Handlers{Subscribed: func(topic string) { subscribed <- topic }})
	c, author := f.dial("peer"), newAuthor(t)
	c.Subscribe("")
	<-subscribed
	for range 10 {
		if err := f.Send(wire.IOPub, must[*wire.Message](t)(author.Publish("status", nil, "status", nil))); err != nil {
			t.Fatal(err)
		}
	}
	if err := f.Close(); err != nil {
		t.Fatal(err)
	}
	for range 10 {
		receive(t, c, wire.IOPub)
	}
	if m, err := c.Receive(t.Context(), wire.IOPub); err != ErrGone {
		t.Errorf("after the last message: %v, %v", m, err)
	}
	if err := f.Close(); err != nil {
		t.Errorf("closing again: %v", err)
	}
}

// testOneAtATime holds that the handler of a channel is never called twice at once, however many clients there are.
func testOneAtATime(t *testing.T, f fixture) {
	const clients, each = 4, 50
	var inside atomic.Int32
	var handled sync.WaitGroup
	handled.Add(clients * each)
	f.Serve(Handlers{Message: func(wire.Channel, *wire.Message) {
		if n := inside.Add(1); n > 1 {
			t.Errorf("%d calls at once", n)
		}
		runtime.Gosched()
		inside.Add(-1)
		handled.Done()
	}})
	var senders sync.WaitGroup // a client may still be returning from Send when its last message is handled
	for i := range clients {
		c, author := f.dial(fmt.Sprint("peer", i)), newAuthor(t)
		senders.Go(func() {
			for range each {
				m, err := author.Request("execute_request", nil)
				if err = errors.Join(err, c.Send(wire.Shell, m)); err != nil {
					t.Error(err)
				}
			}
		})
	}
	senders.Wait()
	handled.Wait()
}
