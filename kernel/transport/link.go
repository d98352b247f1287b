package transport

import (
	"bufio"
	"fmt"
	"net"
	"sync"
	"time"

	"github.com/go-zeromq/zmq4"
	"github.com/go-zeromq/zmq4/security/null"
)

// limits bounds what a peer can make this process wait or pay for.
type limits struct {
	handshake time.Duration // from connecting to being a peer
	grace     time.Duration // for the previous holder of an identity to be found gone
	arrival   time.Duration // for the addressee of a question on stdin to connect, or to connect again
	message   int           // bytes of one received message
	room      int           // backlog from which publishing slows down to the pace of the fastest subscriber
	backlog   int           // backlog at which a peer is disconnected
	stall     time.Duration // how long publishing waits when no subscriber takes a byte
	linger    time.Duration // how long Close waits for the backlogs to empty
}

var defaultLimits = limits{
	handshake: 5 * time.Second,
	grace:     250 * time.Millisecond,
	arrival:   2 * time.Second,
	message:   256 << 20,
	room:      8 << 20,
	backlog:   64 << 20,
	stall:     5 * time.Second,
	linger:    2 * time.Second,
}

// link is one peer's connection to one socket. zmq4 shakes hands and frames what is sent; receiving is done here, because zmq4 trusts the peer.
type link struct {
	lim      limits
	conn     net.Conn
	in       *bufio.Reader
	out      *outbox
	zmtp     *zmq4.Conn
	identity string // what the peer calls itself; may be empty

	sending sync.Mutex // one message or command at a time
}

// connect turns a fresh connection into a link, as socket type kind, or closes it. moved is called whenever the peer took bytes.
func connect(conn net.Conn, kind zmq4.SocketType, server bool, lim limits, moved func()) (l *link, err error) {
	defer func() {
		if r := recover(); r != nil { // zmq4 panics at unknown socket types and at metadata cut short
			err = fmt.Errorf("%v", r)
		}
		if err != nil {
			conn.Close()
		}
	}()
	conn.SetDeadline(time.Now().Add(lim.handshake))
	in := bufio.NewReaderSize(conn, 64<<10)
	if server { // a client speaks first
		if err := checkGreeting(in); err != nil {
			return nil, err
		}
	}
	plug := &plug{Conn: conn, in: in}
	zmtp, err := zmq4.Open(plug, handshake{null.Security(), in}, kind, nil, server, nil)
	if err != nil {
		return nil, err
	}
	conn.SetDeadline(time.Time{})
	plug.out = newOutbox(conn, moved)
	return &link{lim: lim, conn: conn, in: in, out: plug.out, zmtp: zmtp, identity: zmtp.Peer.Meta["Identity"]}, nil
}

// checkGreeting refuses other protocols at their first byte, and ZMTP before 2.0, without waiting for a whole greeting. zmq4 checks the rest.
func checkGreeting(in *bufio.Reader) error {
	if first, err := in.Peek(1); err != nil || first[0] != 0xFF {
		return fmt.Errorf("not a ZMTP 3 peer: first byte %#x, %v", first, err)
	}
	if sign, err := in.Peek(10); err != nil || sign[9] != 0x7F {
		return fmt.Errorf("not a ZMTP 3 peer: greeting %#x, %v", sign, err)
	}
	return nil
}

// plug is the connection as zmq4 sees it: reads are buffered; writes go straight out during the handshake and to the outbox afterwards.
type plug struct {
	net.Conn
	in  *bufio.Reader
	out *outbox
}

func (p *plug) Read(b []byte) (int, error) { return p.in.Read(b) }

func (p *plug) Write(b []byte) (int, error) {
	if p.out != nil {
		return p.out.Write(b)
	}
	return p.Conn.Write(b)
}

// handshake is ZMTP's NULL mechanism, with a bound on the size of the peer's metadata.
type handshake struct {
	zmq4.Security
	in *bufio.Reader
}

func (h handshake) Handshake(conn *zmq4.Conn, server bool) error {
	const maxMetadata = 8 << 10
	meta, err := conn.Meta.MarshalZMTP()
	if err != nil {
		return err
	}
	if err := conn.SendCmd(zmq4.CmdReady, meta); err != nil {
		return err
	}
	f, err := readFrame(h.in, maxMetadata)
	if err != nil {
		return err
	}
	name, data, ok := f.command()
	if !ok || name != zmq4.CmdReady {
		return fmt.Errorf("peer sent %.20q instead of READY", name)
	}
	return conn.Peer.Meta.UnmarshalZMTP(data)
}

// send queues one message; it never waits for the peer, and fails with errBehind if the peer left too much untaken.
func (l *link) send(frames [][]byte) error {
	l.sending.Lock()
	defer l.sending.Unlock()
	if l.out.backlog() > l.lim.backlog {
		return errBehind
	}
	defer l.out.flush()
	return l.zmtp.SendMsg(zmq4.NewMsgFrom(frames...))
}

// receive returns the next message, answering pings on the way.
func (l *link) receive() ([][]byte, error) {
	var message [][]byte
	left := l.lim.message
	for {
		f, err := readFrame(l.in, left)
		if err != nil {
			return nil, err
		}
		if f.flags&flagCommand != 0 {
			l.obey(f)
			continue
		}
		if left -= len(f.body) + frameCost; left < 0 {
			return nil, fmt.Errorf("message of more than %d bytes", l.lim.message)
		}
		message = append(message, f.body)
		if f.flags&flagMore == 0 {
			return message, nil
		}
	}
}

// obey answers PING with its context, as ZMTP 3.1 asks, and ignores other commands.
func (l *link) obey(f frame) {
	name, data, _ := f.command()
	if name != zmq4.CmdPing || len(data) < 2 {
		return
	}
	l.sending.Lock()
	defer l.sending.Unlock()
	if l.out.backlog() <= l.lim.backlog {
		l.zmtp.SendCmd(zmq4.CmdPong, data[2:])
		l.out.flush()
	}
}

// close lets the peer take what is queued, until deadline; then says that no more will come and waits, a moment at most, for the peer to hang up:
// closing over unread input would make the system throw away what it has not delivered yet.
func (l *link) close(deadline time.Time, ended <-chan struct{}) {
	const farewell = 200 * time.Millisecond
	l.out.drain(deadline)
	if half, ok := l.conn.(interface{ CloseWrite() error }); ok && half.CloseWrite() == nil {
		timer := time.NewTimer(farewell)
		defer timer.Stop()
		select {
		case <-ended:
		case <-timer.C:
		}
	}
	l.conn.Close()
}
