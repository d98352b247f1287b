package transport

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"sync"
	"time"
	"unicode/utf8"

	"github.com/go-zeromq/zmq4"

	"foreplane/kernel/wire"
)

// Handlers receive what peers send. Message must be set. It is called for one message at a time on each channel, but for several channels at once; while it
// runs, its channel takes no further messages, so it should not block.
type Handlers struct {
	Message    func(ch wire.Channel, m *wire.Message)
	Subscribed func(topic string) // a peer subscribed to iopub; what is sent from here on reaches it
	// Gone is told the identity of a peer that has left stdin, where it was to answer questions, and has not come back for a moment.
	Gone func(identity string)
}

// Server is the five sockets of a kernel.
type Server struct {
	conn      Connection
	codec     *wire.Codec
	notes     *notes
	lim       limits
	handlers  Handlers
	routers   [wire.IOPub]*router    // of the channels before IOPub: shell, control, stdin
	delivery  [wire.IOPub]sync.Mutex // held while the handler runs
	publisher *publisher
	sockets   []*socket
	closing   sync.Once
	cleanup   func() error // what to do once all is closed; may be nil
}

// Listen binds the sockets of c; ports that are 0 are chosen freely. Nothing is received before Serve. A nil log is silent. ctx bounds the binding only.
func Listen(ctx context.Context, c Connection, log *slog.Logger) (*Server, error) {
	return listen(ctx, c, log, defaultLimits)
}

func listen(ctx context.Context, c Connection, log *slog.Logger, lim limits) (*Server, error) {
	codec, err := wire.NewCodec(c.Scheme, c.Key)
	if err != nil {
		return nil, err
	}
	if log == nil {
		log = slog.New(slog.DiscardHandler)
	}
	s := &Server{conn: c, codec: codec, notes: &notes{log: log}, lim: lim}
	if err := s.bindAll(ctx); err != nil {
		s.Close()
		return nil, err
	}
	return s, nil
}

func (s *Server) bindAll(ctx context.Context) error {
	s.publisher = &publisher{notes: s.notes, lim: s.lim, subscribed: s.subscribed, room: make(chan struct{}, 1), topics: map[*link]map[string]bool{}}
	for ch := range wire.IOPub {
		s.routers[ch] = newRouter(ch.String(), s.notes, s.lim.grace, 0, func(frames [][]byte) { s.deliver(ch, frames) })
	}
	s.routers[wire.Stdin].arrival, s.routers[wire.Stdin].gone = s.lim.arrival, s.gone
	for _, b := range []struct {
		name    string
		port    *int
		kind    zmq4.SocketType
		pattern pattern
	}{
		{"shell", &s.conn.Shell, zmq4.Router, s.routers[wire.Shell]},
		{"control", &s.conn.Control, zmq4.Router, s.routers[wire.Control]},
		{"stdin", &s.conn.Stdin, zmq4.Router, s.routers[wire.Stdin]},
		{"iopub", &s.conn.IOPub, zmq4.XPub, s.publisher},
		{"heartbeat", &s.conn.Heartbeat, zmq4.Rep, echo{s.notes}},
	} {
		l, port, err := bind(ctx, b.name, s.conn.Transport, s.conn.IP, *b.port)
		if err != nil {
			return err
		}
		*b.port = port
		s.sockets = append(s.sockets, newSocket(b.name, b.kind, l, b.pattern, s.lim, s.notes))
	}
	return nil
}

// Connection returns where the sockets are, with the ports that were bound.
func (s *Server) Connection() Connection { return s.conn }

// Serve starts to take peers and their messages, and returns at once.
func (s *Server) Serve(h Handlers) {
	s.handlers = h
	for _, socket := range s.sockets {
		go socket.accept()
	}
}

func (s *Server) deliver(ch wire.Channel, frames [][]byte) {
	m, err := s.codec.Decode(frames)
	if err != nil {
		s.notes.refused(ch, err)
		return
	}
	s.delivery[ch].Lock()
	defer s.delivery[ch].Unlock()
	s.handlers.Message(ch, m)
}

// refused logs a dropped message, once for each reason. The sender gets no answer: it may not be entitled to one.
func (n *notes) refused(ch wire.Channel, err error) {
	kind := wire.ErrFormat
	for _, k := range []error{wire.ErrSignature, wire.ErrReplay} {
		if errors.Is(err, k) {
			kind = k
		}
	}
	n.once("dropped a message: "+kind.Error(), "channel", ch, "error", err)
}

func (s *Server) subscribed(topic string) {
	if s.handlers.Subscribed != nil && utf8.ValidString(topic) {
		s.handlers.Subscribed(topic)
	}
}

func (s *Server) gone(identity string) {
	if s.handlers.Gone != nil {
		s.handlers.Gone(identity)
	}
}

// Send queues m for its addressee, or on IOPub for all subscribers to its topic, in the order of the calls. It returns [ErrGone] if the addressee is not
// connected; on Stdin it first waits a moment, because a client may ask on shell before its other connections stand. It never waits for a single peer that
// lags; on IOPub it does wait while every subscriber lags.
func (s *Server) Send(ch wire.Channel, m *wire.Message) error {
	if len(m.Identities) == 0 {
		return fmt.Errorf("message %s for %s has no routing prefix", m.Header.Type, ch)
	}
	frames := s.codec.Encode(m)
	if ch == wire.IOPub {
		return s.publisher.send(frames)
	}
	return s.routers[ch].send(frames)
}

// Close takes no more messages, lets the peers take what was sent (for a few seconds at most) and closes the sockets. A handler may call it.
func (s *Server) Close() (err error) {
	s.closing.Do(func() {
		deadline := time.Now().Add(s.lim.linger)
		var wait sync.WaitGroup
		for _, socket := range s.sockets {
			wait.Go(func() { socket.close(deadline) })
		}
		wait.Wait()
		if s.cleanup != nil {
			err = s.cleanup()
		}
	})
	return err
}
