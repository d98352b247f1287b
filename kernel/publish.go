package kernel

import (
	"fmt"
	"log/slog"
	"sync"
	"time"
	"unicode/utf8"

	"foreplane/kernel/wire"
)

// Stream text is gathered until batchTime has passed or minBatch bytes are there; while a cell floods, batches double up to maxBatch. Servers of front
// ends drop output beyond 1000 messages a second: this stays below it up to about 1 GB/s.
const (
	batchTime = 20 * time.Millisecond
	minBatch  = 64 << 10
	maxBatch  = 1 << 20
	maxTurns  = 16 // changes between streams in a batch time, each of which is a message; who writes more waits
)

// publisher puts what goes out on iopub, and the replies that have to follow it, into one order.
type publisher struct {
	author *wire.Author
	sender Sender
	log    *slog.Logger
	kept   journal

	mu     sync.Mutex
	cause  *wire.Message // of the pending text
	name   string        // stream of the pending text
	text   []byte        // pending text
	batch  int           // bytes that end waiting
	armed  bool          // tick will be called
	turns  int           // changes between streams since the last tick
	room   sync.Cond     // after a tick
	closed bool
}

func newPublisher(author *wire.Author, sender Sender, log *slog.Logger) *publisher {
	p := &publisher{author: author, sender: sender, log: log, batch: minBatch}
	p.room.L = &p.mu
	return p
}

// publish sends a message on iopub, after all stream text that was written before.
func (p *publisher) publish(cause *wire.Message, kind string, content fields) {
	p.publishRaw(cause, kind, content, nil, nil)
}

// publishRaw is publish with metadata and buffers.
func (p *publisher) publishRaw(cause *wire.Message, kind string, content any, metadata []byte, buffers [][]byte) {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.flush()
	p.emit(p.topic(kind), cause, kind, content, func(m *wire.Message) {
		m.Buffers = buffers
		if metadata != nil {
			m.Metadata = metadata
		}
	})
}

// welcome tells a new subscriber that what is sent from here on will reach it.
func (p *publisher) welcome(topic string) {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.flush()
	p.emit(topic, nil, "iopub_welcome", fields{"subscription": topic}, nil)
}

// sendAfterText sends a message on another channel, after all stream text that was written before.
func (p *publisher) sendAfterText(ch wire.Channel, m *wire.Message) error {
	p.mu.Lock()
	p.flush()
	p.mu.Unlock()
	return p.sender.Send(ch, m)
}

// stream writes text. Text that follows text of the same cause and stream joins it.
func (p *publisher) stream(cause *wire.Message, name, text string) {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.turn(cause, name)
	p.text = append(p.text, text...)
	if len(p.text) >= p.batch {
		p.sendText(intact(p.text))
		p.batch = min(2*p.batch, maxBatch)
	}
	p.arm()
}

// turn makes the text to come that of a stream. Who changes between streams too often is held up, not its messages dropped by a server.
func (p *publisher) turn(cause *wire.Message, name string) {
	for (p.cause != cause || p.name != name) && p.turns >= maxTurns && !p.closed {
		p.arm()
		p.room.Wait()
	}
	if p.cause != cause || p.name != name {
		p.flush()
		p.cause, p.name = cause, name
		p.turns++
	}
}

// arm sees to it that pending text is sent soon.
func (p *publisher) arm() {
	if (len(p.text) > 0 || p.turns > 0) && !p.armed {
		p.armed = true
		time.AfterFunc(batchTime, p.tick)
	}
}

// tick sends what is pending. A character that is cut off may be completed by the text to come, and waits once more.
func (p *publisher) tick() {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.armed, p.batch, p.turns = false, minBatch, 0
	p.room.Broadcast()
	if n := intact(p.text); n > 0 {
		p.sendText(n)
	} else {
		p.flush()
	}
	p.arm()
}

// flush sends all pending text.
func (p *publisher) flush() { p.sendText(len(p.text)) }

// sendText sends the first n bytes of the pending text.
func (p *publisher) sendText(n int) {
	if n == 0 {
		return
	}
	p.emit("stream."+p.name, p.cause, "stream", fields{"name": p.name, "text": string(p.text[:n])}, nil)
	p.text = append(p.text[:0], p.text[n:]...)
	if cap(p.text) > maxBatch {
		p.text = append([]byte(nil), p.text...) // one huge line must not keep its memory
	}
}

func (p *publisher) topic(kind string) string { return "kernel." + p.author.Session() + "." + kind }

// emit makes and sends one message. What cannot be encoded, such as a NaN in JSON data, is replaced by a line on stderr that says so.
func (p *publisher) emit(topic string, cause *wire.Message, kind string, content any, finish func(*wire.Message)) {
	if p.closed {
		return
	}
	m, err := p.author.Publish(topic, cause, kind, content)
	if err != nil {
		p.log.Error("message not encoded", "type", kind, "reason", err)
		p.emit("stream.stderr", cause, "stream", fields{"name": "stderr", "text": fmt.Sprintf("output lost: %v\n", err)}, nil)
		return
	}
	if finish != nil {
		finish(m)
	}
	p.kept.note(cause, m)
	if err := p.sender.Send(wire.IOPub, m); err != nil {
		p.log.Warn("message not sent", "type", kind, "reason", err)
	}
}

// close sends what is pending; later output is dropped.
func (p *publisher) close() {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.flush()
	p.closed = true
	p.room.Broadcast()
}

// intact returns how many bytes of text come before a character that is cut off at its end.
func intact(text []byte) int {
	for n := 1; n < utf8.UTFMax && n <= len(text); n++ {
		tail := text[len(text)-n:]
		if utf8.RuneStart(tail[0]) {
			if !utf8.FullRune(tail) {
				return len(text) - n
			}
			break
		}
	}
	return len(text)
}
