package transport

import (
	"encoding/binary"
	"errors"
	"fmt"
	"slices"
	"strings"
	"sync"
	"time"
)

// ErrGone is returned by Send when the addressee of a message is not connected.
var ErrGone = errors.New("peer is not connected")

// router passes messages with the sender's identity in front, and sends to the peer that a message names in front.
type router struct {
	name    string
	notes   *notes
	grace   time.Duration // for a holder to leave
	arrival time.Duration // for an addressee to come, or to come back
	deliver func(frames [][]byte)
	gone    func(identity string) // told of a member that has not come back for arrival; may be nil

	mu      sync.Mutex
	members map[string]member
	news    chan struct{} // closed, and made anew, when a member comes
	last    uint32        // names given to peers without an identity
}

func newRouter(name string, n *notes, grace, arrival time.Duration, deliver func([][]byte)) *router {
	return &router{name: name, notes: n, grace: grace, arrival: arrival, deliver: deliver, members: map[string]member{}, news: make(chan struct{})}
}

// member is the holder of an identity.
type member struct {
	link *link
	left chan struct{} // closed when it leaves
}

// join gives a nameless peer a name, and refuses one whose name is taken: the first holder keeps its replies to itself. A newcomer waits a moment for the
// first holder to be found gone.
func (r *router) join(l *link) error {
	timer := time.NewTimer(r.grace)
	defer timer.Stop()
	for {
		holder := r.enter(l)
		if holder.link == l {
			return nil
		}
		select {
		case <-holder.left:
		case <-timer.C:
			return fmt.Errorf("identity %q is taken by another connection", l.identity)
		}
	}
}

// enter makes l the holder of its identity if there is none, and returns the holder.
func (r *router) enter(l *link) member {
	r.mu.Lock()
	defer r.mu.Unlock()
	if l.identity == "" {
		r.last++
		l.identity = string(binary.BigEndian.AppendUint32([]byte{0}, r.last))
	}
	if holder, taken := r.members[l.identity]; taken {
		return holder
	}
	m := member{l, make(chan struct{})}
	r.members[l.identity] = m
	close(r.news)
	r.news = make(chan struct{})
	return m
}

func (r *router) leave(l *link) {
	r.mu.Lock()
	defer r.mu.Unlock()
	close(r.members[l.identity].left)
	delete(r.members, l.identity)
	if r.gone != nil {
		time.AfterFunc(r.arrival, func() {
			if !r.has(l.identity) {
				r.gone(l.identity)
			}
		})
	}
}

func (r *router) has(identity string) bool {
	r.mu.Lock()
	defer r.mu.Unlock()
	_, is := r.members[identity]
	return is
}

func (r *router) receive(l *link, message [][]byte) {
	r.deliver(slices.Insert(message, 0, []byte(l.identity)))
}

func (*router) moved() {}

func (r *router) send(frames [][]byte) error {
	l := r.find(string(frames[0]))
	if l == nil {
		return ErrGone
	}
	err := l.send(frames[1:])
	if err != nil {
		r.notes.drop(r.name, l, err)
	}
	return err
}

// find returns the holder of an identity, nil if none has come when r.arrival is over.
func (r *router) find(identity string) *link {
	timer := time.NewTimer(r.arrival)
	defer timer.Stop()
	for {
		r.mu.Lock()
		l, news := r.members[identity].link, r.news
		r.mu.Unlock()
		if l != nil || r.arrival == 0 {
			return l
		}
		select {
		case <-news:
		case <-timer.C:
			return nil
		}
	}
}

// publisher sends each message to the peers that subscribed to a prefix of its first frame, and tells of new subscriptions.
type publisher struct {
	notes      *notes
	lim        limits
	subscribed func(topic string)
	room       chan struct{} // a subscriber took bytes

	sending sync.Mutex // one message at a time, so all see the same order
	mu      sync.Mutex
	topics  map[*link]map[string]bool
}

func (p *publisher) join(l *link) error {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.topics[l] = map[string]bool{}
	return nil
}

func (p *publisher) leave(l *link) {
	p.mu.Lock()
	defer p.mu.Unlock()
	delete(p.topics, l)
}

// receive takes subscriptions: one frame of 1 and the topic, or 0 and the topic to end one.
func (p *publisher) receive(l *link, message [][]byte) {
	if len(message) != 1 || len(message[0]) == 0 {
		return
	}
	on, topic := message[0][0] == 1, string(message[0][1:])
	if message[0][0] > 1 {
		return
	}
	p.mu.Lock()
	if on {
		p.topics[l][topic] = true
	} else {
		delete(p.topics[l], topic)
	}
	p.mu.Unlock()
	if on {
		p.subscribed(topic)
	}
}

// send hands a message to every subscriber. It never waits for one that lags behind the others, and returns nil if nobody listens.
func (p *publisher) send(frames [][]byte) error {
	p.sending.Lock()
	defer p.sending.Unlock()
	to := p.subscribers(string(frames[0]))
	p.awaitRoom(to)
	for _, l := range to {
		if err := l.send(frames); err != nil {
			p.notes.drop("iopub", l, err)
		}
	}
	return nil
}

func (p *publisher) subscribers(topic string) []*link {
	p.mu.Lock()
	defer p.mu.Unlock()
	var to []*link
	for l, topics := range p.topics {
		for t := range topics {
			if strings.HasPrefix(topic, t) {
				to = append(to, l)
				break
			}
		}
	}
	return to
}

// awaitRoom holds publishing to the pace of the fastest of to; slower ones pile up a backlog until it costs them the connection. When none of them
// takes a byte for lim.stall, all are disconnected.
func (p *publisher) awaitRoom(to []*link) {
	full := func(l *link) bool { return l.out.backlog() > p.lim.room }
	for len(to) > 0 && !slices.ContainsFunc(to, func(l *link) bool { return !full(l) }) {
		timer := time.NewTimer(p.lim.stall)
		select {
		case <-p.room:
		case <-timer.C:
			for _, l := range to {
				p.notes.drop("iopub", l, errBehind)
			}
		}
		timer.Stop()
	}
}

func (p *publisher) moved() {
	select {
	case p.room <- struct{}{}:
	default:
	}
}

// echo sends everything back: the heartbeat.
type echo struct{ notes *notes }

func (echo) join(*link) error { return nil }
func (echo) leave(*link)      {}
func (echo) moved()           {}

func (e echo) receive(l *link, message [][]byte) {
	if err := l.send(message); err != nil {
		e.notes.drop("heartbeat", l, err)
	}
}
