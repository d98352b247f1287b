package transport

import (
	"errors"
	"net"
	"sync"
	"time"
)

// errBehind ends a connection whose peer does not take what it is sent.
var errBehind = errors.New("peer does not keep up")

// outbox holds what one peer has yet to take, so that nobody ever waits for that peer: a goroutine of its own writes it out.
type outbox struct {
	conn  net.Conn
	moved func()        // called after bytes left
	ready chan struct{} // there is something to do
	done  chan struct{} // the writer ended: all is written, or never will be

	mu      sync.Mutex
	pending [][]byte // accepted, not yet with the writer
	spare   []byte   // a block to use again
	size    int      // bytes pending or with the writer
	ending  bool     // the writer ends once nothing is pending
	failed  bool     // the connection is closed
	err     error    // why nothing more is accepted
}

func newOutbox(conn net.Conn, moved func()) *outbox {
	o := &outbox{conn: conn, moved: moved, ready: make(chan struct{}, 1), done: make(chan struct{})}
	go o.run()
	return o
}

// Write accepts p; it never blocks. The writer learns of it at the next flush.
func (o *outbox) Write(p []byte) (int, error) {
	o.mu.Lock()
	defer o.mu.Unlock()
	if o.err != nil {
		return 0, o.err
	}
	o.size += len(p)
	last := len(o.pending) - 1
	if last < 0 || len(p) > cap(o.pending[last])-len(o.pending[last]) {
		o.pending, last = append(o.pending, o.block(len(p))), last+1
	}
	o.pending[last] = append(o.pending[last], p...)
	return len(p), nil
}

// blockSize is the least size of a block; longer writes get one to measure.
const blockSize = 16 << 10

func (o *outbox) block(size int) []byte {
	if b := o.spare; size <= cap(b) {
		o.spare = nil
		return b[:0]
	}
	return make([]byte, 0, max(size, blockSize))
}

// backlog returns how many bytes the peer has yet to take.
func (o *outbox) backlog() int {
	o.mu.Lock()
	defer o.mu.Unlock()
	if o.failed {
		return 0
	}
	return o.size
}

func (o *outbox) flush() {
	select {
	case o.ready <- struct{}{}:
	default:
	}
}

// end lets the writer finish; nothing more is accepted. When done is closed, everything was handed to the system or the connection failed.
func (o *outbox) end() {
	o.mu.Lock()
	o.ending = true
	if o.err == nil {
		o.err = net.ErrClosed
	}
	o.mu.Unlock()
	o.flush()
}

// abort drops what is pending and closes the connection. It reports whether it was the first to do so.
func (o *outbox) abort(err error) bool {
	o.mu.Lock()
	first := !o.failed
	o.pending, o.ending, o.failed, o.err = nil, true, true, err
	o.mu.Unlock()
	o.conn.Close()
	o.flush()
	return first
}

func (o *outbox) run() {
	defer o.moved()
	defer close(o.done)
	for {
		blocks := o.take()
		if len(blocks) == 0 {
			return
		}
		for _, b := range blocks {
			if err := o.writeOut(b); err != nil {
				o.abort(err)
				return
			}
		}
	}
}

// take waits for pending blocks and hands them to the writer; none come once the outbox ends.
func (o *outbox) take() [][]byte {
	for {
		o.mu.Lock()
		blocks, ending := o.pending, o.ending
		o.pending = nil
		o.mu.Unlock()
		if len(blocks) > 0 || ending {
			return blocks
		}
		<-o.ready
	}
}

// writeOut writes a block in pieces, so that progress of a slow peer shows.
func (o *outbox) writeOut(block []byte) error {
	const piece = 256 << 10
	for rest := block; len(rest) > 0; {
		n, err := o.conn.Write(rest[:min(len(rest), piece)])
		if err != nil {
			return err
		}
		rest = rest[n:]
		o.mu.Lock()
		o.size -= n
		o.mu.Unlock()
		o.moved()
	}
	if cap(block) == blockSize {
		o.mu.Lock()
		o.spare = block
		o.mu.Unlock()
	}
	return nil
}

// drain lets the writer finish until deadline, then drops the rest.
func (o *outbox) drain(deadline time.Time) {
	o.end()
	timer := time.NewTimer(time.Until(deadline))
	defer timer.Stop()
	select {
	case <-o.done:
	case <-timer.C:
		o.abort(errBehind)
	}
}
