package transport

import (
	"context"
	"errors"
	"log/slog"
	"net"
	"sync"
	"time"

	"github.com/go-zeromq/zmq4"
)

// socket is one of the five: a listener and the peers that came through it. What happens with messages is up to its pattern.
type socket struct {
	name     string
	kind     zmq4.SocketType
	listener net.Listener
	pattern  pattern
	lim      limits
	notes    *notes

	ctx    context.Context // ends when the socket closes
	cancel context.CancelFunc
	mu     sync.Mutex
	links  map[*link]chan struct{} // closed when the link's reader ended
}

// pattern is what makes a socket a router, a publisher or an echo.
type pattern interface {
	join(*link) error // may refuse
	leave(*link)
	receive(*link, [][]byte)
	moved() // some peer took bytes
}

func newSocket(name string, kind zmq4.SocketType, listener net.Listener, p pattern, lim limits, n *notes) *socket {
	s := &socket{name: name, kind: kind, listener: listener, pattern: p, lim: lim, notes: n, links: map[*link]chan struct{}{}}
	s.ctx, s.cancel = context.WithCancel(context.Background())
	return s
}

// accept takes peers until the socket closes. Each shakes hands on its own goroutine, so a silent one holds up nobody.
func (s *socket) accept() {
	for {
		conn, err := s.listener.Accept()
		switch {
		case err == nil:
			go s.attend(conn)
		case s.ctx.Err() != nil || errors.Is(err, net.ErrClosed):
			return
		default: // out of file descriptors, for one
			s.notes.once("cannot accept connections", "socket", s.name, "error", err)
			time.Sleep(50 * time.Millisecond)
		}
	}
}

// attend serves one peer until it leaves.
func (s *socket) attend(conn net.Conn) {
	stop := context.AfterFunc(s.ctx, func() { conn.Close() })
	l, err := connect(conn, s.kind, true, s.lim, s.pattern.moved)
	if err != nil {
		s.notes.once("refused a connection", "socket", s.name, "error", err)
		return
	}
	ended := make(chan struct{})
	defer close(ended)
	if !stop() || !s.add(l, ended) {
		l.out.abort(net.ErrClosed)
		return
	}
	defer s.remove(l)
	if err := s.pattern.join(l); err != nil {
		s.notes.once("refused a peer", "socket", s.name, "error", err)
		return
	}
	defer s.pattern.leave(l)
	for {
		message, err := l.receive()
		if err != nil {
			return
		}
		if s.ctx.Err() == nil {
			s.pattern.receive(l, message)
		}
	}
}

func (s *socket) add(l *link, ended chan struct{}) bool {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.ctx.Err() != nil {
		return false
	}
	s.links[l] = ended
	return true
}

func (s *socket) remove(l *link) {
	s.mu.Lock()
	delete(s.links, l)
	s.mu.Unlock()
	l.out.abort(net.ErrClosed)
}

// close stops taking peers and messages, and parts with every peer once it has taken what is queued, or at the deadline.
func (s *socket) close(deadline time.Time) {
	s.mu.Lock()
	s.cancel()
	s.mu.Unlock()
	s.listener.Close()
	var wait sync.WaitGroup
	for l, ended := range s.current() {
		wait.Go(func() { l.close(deadline, ended) })
	}
	wait.Wait()
}

func (s *socket) current() map[*link]chan struct{} {
	s.mu.Lock()
	defer s.mu.Unlock()
	links := make(map[*link]chan struct{}, len(s.links))
	for l, ended := range s.links {
		links[l] = ended
	}
	return links
}

// drop disconnects a peer to which sending failed because it does not keep up; after any other failure its connection is closed already.
func (n *notes) drop(socket string, l *link, err error) {
	backlog := l.out.backlog()
	if errors.Is(err, errBehind) && l.out.abort(err) {
		n.log.Warn("disconnected a peer that did not take its messages", "socket", socket, "peer", l.identity, "bytes", backlog)
	}
}

// notes is the log, with a way to say a thing once: whoever can reach a port must not be able to fill a disk.
type notes struct {
	log  *slog.Logger
	said sync.Map
}

func (n *notes) once(kind string, args ...any) {
	if _, again := n.said.LoadOrStore(kind, true); !again {
		n.log.Warn(kind+" (further ones are not logged)", args...)
	}
}
