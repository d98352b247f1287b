package transport

import (
	"context"
	"errors"
	"fmt"
	"net"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"github.com/go-zeromq/zmq4"

	"foreplane/kernel/wire"
)

// TestCloseFlushes holds that what was sent before Close arrives, however slowly it is taken.
func TestCloseFlushes(t *testing.T) {
	for _, c := range []Connection{tcpConnection(), ipcConnection(t)} {
		t.Run(c.Transport, func(t *testing.T) {
			subscribed := make(chan string, 1)
			author, asked := newAuthor(t), make(chan *wire.Message, 1)
			s, _ := start(t, c, defaultLimits, Handlers{
				Message:    func(_ wire.Channel, m *wire.Message) { asked <- m },
				Subscribed: func(topic string) { subscribed <- topic },
			})
			peer := dial(t, s.Connection(), "peer")
			peer.Subscribe("")
			<-subscribed
			if err := peer.Send(wire.Control, request(t, author, nil)); err != nil {
				t.Fatal(err)
			}
			shutdown := <-asked
			const n = 1000
			for i := range n {
				if err := s.Send(wire.IOPub, publication(t, author, i, 10_000)); err != nil {
					t.Fatal(err)
				}
			}
			if err := s.Send(wire.Control, must[*wire.Message](t)(author.Reply(shutdown, "shutdown_reply", nil))); err != nil {
				t.Fatal(err)
			}
			if err := s.Close(); err != nil {
				t.Fatal(err)
			}
			for i := range n {
				if m := receive(t, peer, wire.IOPub); string(m.Content) != fmt.Sprintf(`{"n":%d}`, i) {
					t.Fatalf("message %d is %s", i, m.Content)
				}
			}
			if m := receive(t, peer, wire.Control); m.Header.Type != "shutdown_reply" {
				t.Errorf("on control: %+v", m)
			}
		})
	}
}

// TestCloseIsBounded holds that a peer that takes nothing does not keep Close for longer than it lingers.
func TestCloseIsBounded(t *testing.T) {
	lim := defaultLimits
	lim.linger, lim.room = 50*time.Millisecond, lim.backlog
	subscribed := make(chan string, 1)
	s, _ := start(t, tcpConnection(), lim, Handlers{Subscribed: func(topic string) { subscribed <- topic }})
	conn := rawDial(t, s.Connection(), s.Connection().IOPub)
	fmt.Fprint(conn, greeting+ready("SUB", "")+"\x00\x01\x01")
	<-subscribed
	author := newAuthor(t)
	for i := range 20 { // more than the system buffers
		if err := s.Send(wire.IOPub, publication(t, author, i, 1<<20)); err != nil {
			t.Fatal(err)
		}
	}
	before := time.Now()
	if err := s.Close(); err != nil {
		t.Error(err)
	}
	if d := time.Since(before); d < lim.linger || d > patience {
		t.Errorf("Close took %v", d)
	}
}

// TestCloseInHandler holds that a handler may close the server, and that nothing is delivered afterwards.
func TestCloseInHandler(t *testing.T) {
	var s *Server
	closed := make(chan error, 2)
	s, _ = start(t, tcpConnection(), defaultLimits, Handlers{Message: func(wire.Channel, *wire.Message) { closed <- s.Close() }})
	peer := dial(t, s.Connection(), "peer")
	for range 2 {
		peer.Send(wire.Control, request(t, newAuthor(t), nil)) // the second may find the connection closed
	}
	if err := <-closed; err != nil {
		t.Error(err)
	}
	if _, err := peer.Receive(t.Context(), wire.Control); err != ErrGone {
		t.Errorf("after Close the client read %v", err)
	}
	if len(closed) != 0 {
		t.Error("a message was delivered after Close")
	}
}

// TestRestart holds that a successor can bind the same ports at once, with clients still connected to the predecessor.
func TestRestart(t *testing.T) {
	for _, c := range []Connection{tcpConnection(), ipcConnection(t)} {
		t.Run(c.Transport, func(t *testing.T) {
			for range 3 {
				var s *Server
				s, _ = start(t, c, defaultLimits, echoes(t, func() endpoint { return s }))
				c = s.Connection()
				peer := dial(t, c, "peer")
				if err := peer.Send(wire.Shell, request(t, newAuthor(t), nil)); err != nil {
					t.Fatal(err)
				}
				receive(t, peer, wire.Shell)
				if err := s.Close(); err != nil {
					t.Fatal(err)
				}
			}
		})
	}
}

func TestPortsInUse(t *testing.T) {
	for _, c := range []Connection{tcpConnection(), ipcConnection(t)} {
		s, _ := start(t, c, defaultLimits, Handlers{})
		want := fmt.Sprintf("shell socket: port %d at %s is in use", s.Connection().Shell, c.IP)
		if _, err := Listen(t.Context(), s.Connection(), nil); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("error %v, want %s", err, want)
		}
	}
}

// TestFailedListenReleases holds that the sockets bound before the one that failed are free again.
func TestFailedListenReleases(t *testing.T) {
	c := ipcConnection(t)
	c.Shell, c.Control, c.Stdin, c.IOPub, c.Heartbeat = 1, 2, 3, 4, 4
	if _, err := Listen(t.Context(), c, nil); err == nil || !strings.Contains(err.Error(), "heartbeat socket: port 4") {
		t.Errorf("error %v", err)
	}
	if left, err := filepath.Glob(c.IP + "-*"); err != nil || len(left) != 0 {
		t.Errorf("left behind: %v, %v", left, err)
	}
}

// TestAbandonedFiles holds that socket files of a killed process are replaced, and files that are no sockets are not.
func TestAbandonedFiles(t *testing.T) {
	c := ipcConnection(t)
	c.Shell, c.Control, c.Stdin, c.IOPub, c.Heartbeat = 1, 2, 3, 4, 5
	l, err := net.Listen("unix", c.IP+"-1")
	if err != nil {
		t.Fatal(err)
	}
	l.(*net.UnixListener).SetUnlinkOnClose(false)
	l.Close()
	s, err := Listen(t.Context(), c, nil)
	if err != nil {
		t.Fatal(err)
	}
	s.Close()
	if err := os.WriteFile(c.IP+"-1", []byte("precious"), 0o600); err != nil {
		t.Fatal(err)
	}
	if s, err := Listen(t.Context(), c, nil); err == nil {
		s.Close()
		t.Error("bound over a regular file")
	}
	if text, _ := os.ReadFile(c.IP + "-1"); string(text) != "precious" {
		t.Error("a regular file was replaced")
	}
}

// TestOnlyGivenAddress holds that the sockets cannot be reached at another address of this machine.
func TestOnlyGivenAddress(t *testing.T) {
	s, _ := start(t, tcpConnection(), defaultLimits, Handlers{})
	for _, port := range ports(s.Connection()) {
		if conn, err := net.Dial("tcp", net.JoinHostPort("127.0.0.2", strconv.Itoa(port))); err == nil {
			conn.Close()
			t.Errorf("port %d answers at 127.0.0.2", port)
		}
	}
}

// TestHeartbeat holds that the heartbeat echoes, whatever the handlers are busy with.
func TestHeartbeat(t *testing.T) {
	busy := make(chan struct{})
	defer close(busy)
	s, _ := start(t, tcpConnection(), defaultLimits, Handlers{Message: func(wire.Channel, *wire.Message) { <-busy }})
	peer := dial(t, s.Connection(), "peer")
	for _, ch := range []wire.Channel{wire.Shell, wire.Control} {
		if err := peer.Send(ch, request(t, newAuthor(t), nil)); err != nil {
			t.Fatal(err)
		}
	}
	ctx, cancel := context.WithTimeout(t.Context(), patience)
	defer cancel()
	heart := zmq4.NewReq(ctx)
	defer heart.Close()
	if err := heart.Dial(endpointOf(s.Connection(), s.Connection().Heartbeat)); err != nil {
		t.Fatal(err)
	}
	for i := range 10 {
		beat := fmt.Sprint("beat", i)
		if err := heart.Send(zmq4.NewMsgString(beat)); err != nil {
			t.Fatal(err)
		}
		if m, err := heart.Recv(); err != nil || string(m.Bytes()) != beat {
			t.Fatalf("echo %v, %v", m, err)
		}
	}
}

// TestQuestionComesFirst holds that a question waits for the stdin connection of a client that has only reached shell, but not for ever.
func TestQuestionComesFirst(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		r := newRouter("stdin", nil, 0, time.Second, nil)
		found := make(chan *link)
		find := func() { found <- r.find("late") }
		before := time.Now()
		go find()
		if <-found != nil || time.Since(before) != r.arrival {
			t.Errorf("found a peer that never came, or did so after %v", time.Since(before))
		}
		go find()
		synctest.Wait()
		other, late := &link{identity: "other"}, &link{identity: "late"}
		for _, l := range []*link{other, late} {
			if err := r.join(l); err != nil {
				t.Fatal(err)
			}
		}
		if l := <-found; l != late {
			t.Errorf("found %+v", l)
		}
	})
}

// TestConcurrentSend holds that messages sent from many goroutines arrive whole, and in one order for all subscribers.
func TestConcurrentSend(t *testing.T) {
	subscribed := make(chan string, 2)
	s, _ := start(t, tcpConnection(), defaultLimits, Handlers{Subscribed: func(topic string) { subscribed <- topic }})
	a, b := dial(t, s.Connection(), "a"), dial(t, s.Connection(), "b")
	a.Subscribe("")
	b.Subscribe("")
	<-subscribed
	<-subscribed
	const senders, each = 8, 50
	author := newAuthor(t)
	var wait sync.WaitGroup
	for range senders {
		wait.Go(func() {
			for range each {
				m, err := author.Publish("stream", nil, "stream", nil)
				if err = errors.Join(err, s.Send(wire.IOPub, m)); err != nil {
					t.Error(err)
				}
			}
		})
	}
	wait.Wait()
	for i := range senders * each {
		if x, y := receive(t, a, wire.IOPub), receive(t, b, wire.IOPub); x.Header.ID != y.Header.ID {
			t.Fatalf("message %d is %s for one and %s for the other", i, x.Header.ID, y.Header.ID)
		}
	}
}
