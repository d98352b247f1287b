package transport

import (
	"context"
	"fmt"
	"strings"
	"sync"
	"sync/atomic"

	"foreplane/kernel/wire"
)

// Memory is the in-memory twin of [Server]: same methods, same order and concurrency of the handlers, no sockets. Messages are framed and parsed on
// their way, so what passes here also passes a socket.
type Memory struct {
	codec    *wire.Codec
	handlers Handlers
	inboxes  [wire.IOPub + 1]*queue[func()] // work of each channel, done one by one; on IOPub the subscriptions
	closed   atomic.Bool

	mu      sync.Mutex
	clients map[string]*Client
}

// NewMemory returns a twin without clients. Like a server it delivers nothing before Serve.
func NewMemory() *Memory {
	codec, err := wire.NewCodec("", "")
	if err != nil {
		panic("transport: " + err.Error())
	}
	m := &Memory{codec: codec, clients: map[string]*Client{}}
	for ch := range m.inboxes {
		m.inboxes[ch] = newQueue[func()]()
	}
	return m
}

// Serve starts to deliver messages, and returns at once.
func (m *Memory) Serve(h Handlers) {
	m.handlers = h
	for _, inbox := range m.inboxes {
		go func() {
			for {
				work, err := inbox.take(context.Background())
				if err != nil || m.closed.Load() {
					return
				}
				work()
			}
		}()
	}
}

// Send is [Server.Send].
func (m *Memory) Send(ch wire.Channel, msg *wire.Message) error {
	if len(msg.Identities) == 0 {
		return fmt.Errorf("message %s for %s has no routing prefix", msg.Header.Type, ch)
	}
	m.mu.Lock()
	defer m.mu.Unlock()
	if ch == wire.IOPub {
		for _, c := range m.clients {
			if c.wants(string(msg.Identities[0])) {
				c.put(ch, m.codec.Encode(msg))
			}
		}
		return nil
	}
	c, ok := m.clients[string(msg.Identities[0])]
	if !ok {
		return ErrGone
	}
	c.put(ch, m.codec.Encode(msg)[1:])
	return nil
}

// Close takes no more messages. Clients can still read what they were sent.
func (m *Memory) Close() error {
	m.closed.Store(true)
	for _, inbox := range m.inboxes {
		inbox.close()
	}
	m.mu.Lock()
	defer m.mu.Unlock()
	for identity, c := range m.clients {
		c.hangUp()
		delete(m.clients, identity)
	}
	return nil
}

// Dial connects a client. The identity must not be in use.
func (m *Memory) Dial(identity string) *Client {
	m.mu.Lock()
	defer m.mu.Unlock()
	if _, taken := m.clients[identity]; taken || identity == "" {
		panic(fmt.Sprintf("transport: client identity %q is empty or taken", identity))
	}
	c := &Client{identity: identity, memory: m}
	for ch := range c.inboxes {
		c.inboxes[ch] = newQueue[*wire.Message]()
	}
	m.clients[identity] = c
	return c
}

// Client is a peer of a [Memory].
type Client struct {
	identity string
	memory   *Memory
	inboxes  [wire.IOPub + 1]*queue[*wire.Message]
	topics   []string // guarded by memory.mu
}

// Send sends a message to the kernel.
func (c *Client) Send(ch wire.Channel, m *wire.Message) error {
	frames := append([][]byte{[]byte(c.identity)}, c.memory.codec.Encode(m)...)
	decoded, err := c.memory.codec.Decode(frames)
	if err != nil {
		return err
	}
	c.memory.inboxes[ch].put(func() { c.memory.handlers.Message(ch, decoded) })
	return nil
}

// Receive returns the next message on a channel, waiting for it until ctx ends. After the last one of a closed connection it returns [ErrGone].
func (c *Client) Receive(ctx context.Context, ch wire.Channel) (*wire.Message, error) {
	return c.inboxes[ch].take(ctx)
}

// Subscribe asks for the IOPub messages whose topic starts with topic.
func (c *Client) Subscribe(topic string) {
	c.memory.mu.Lock()
	c.topics = append(c.topics, topic)
	c.memory.mu.Unlock()
	c.memory.inboxes[wire.IOPub].put(func() {
		if c.memory.handlers.Subscribed != nil {
			c.memory.handlers.Subscribed(topic)
		}
	})
}

// Close disconnects the client.
func (c *Client) Close() {
	c.memory.mu.Lock()
	c.hangUp()
	delete(c.memory.clients, c.identity)
	c.memory.mu.Unlock()
	if gone := c.memory.handlers.Gone; gone != nil {
		gone(c.identity)
	}
}

func (c *Client) hangUp() {
	for _, inbox := range c.inboxes {
		inbox.close()
	}
}

func (c *Client) wants(topic string) bool {
	for _, t := range c.topics {
		if strings.HasPrefix(topic, t) {
			return true
		}
	}
	return false
}

// put takes frames without the client's own identity.
func (c *Client) put(ch wire.Channel, frames [][]byte) {
	m, err := c.memory.codec.Decode(frames)
	if err != nil {
		panic("transport: the kernel sent a message that clients cannot read: " + err.Error())
	}
	c.inboxes[ch].put(m)
}

// queue is an unbounded list with one reader. What was put before close can still be taken.
type queue[T any] struct {
	mu     sync.Mutex
	items  []T
	closed bool
	ready  chan struct{}
}

func newQueue[T any]() *queue[T] { return &queue[T]{ready: make(chan struct{}, 1)} }

func (q *queue[T]) put(item T) {
	q.mu.Lock()
	if !q.closed {
		q.items = append(q.items, item)
	}
	q.mu.Unlock()
	q.wake()
}

func (q *queue[T]) close() {
	q.mu.Lock()
	q.closed = true
	q.mu.Unlock()
	q.wake()
}

func (q *queue[T]) wake() {
	select {
	case q.ready <- struct{}{}:
	default:
	}
}

func (q *queue[T]) take(ctx context.Context) (item T, err error) {
	for {
		q.mu.Lock()
		if len(q.items) > 0 {
			item, q.items = q.items[0], q.items[1:]
			q.mu.Unlock()
			return item, nil
		}
		closed := q.closed
		q.mu.Unlock()
		if closed {
			return item, ErrGone
		}
		select {
		case <-q.ready:
		case <-ctx.Done():
			return item, ctx.Err()
		}
	}
}
