package worker

import (
	"bytes"
	"crypto/rand"
	"encoding/binary"
	"math"
	"sync"
)

// The text streams of a worker.
const (
	stdout = iota
	stderr
	report // descriptor 2: what the Go runtime, and compiled code past os.Stderr, have to say
	streams
)

// A mark is a key known only to the two processes, followed by eight bytes of number. Its first byte never occurs in UTF-8 text.
const (
	keySize  = 16
	markSize = keySize + 8
	markByte = 0xFF
)

func newKey() []byte {
	key := make([]byte, keySize)
	rand.Read(key) // never fails
	key[0] = markByte
	return key
}

func appendMark(b, key []byte, number uint64) []byte {
	return binary.BigEndian.AppendUint64(append(b, key...), number)
}

// cutMark splits text at its first mark. Without one, before is all that cannot be the beginning of a mark.
func cutMark(text, key []byte) (before []byte, number uint64, after []byte, found bool) {
	at := bytes.Index(text, key)
	if at >= 0 && len(text) >= at+markSize {
		return text[:at], binary.BigEndian.Uint64(text[at+keySize:]), text[at+markSize:], true
	}
	if at < 0 {
		at = partialKey(text, key)
	}
	return text[:at], 0, text[at:], false
}

// partialKey returns where text ends in the beginning of key, or its length.
func partialKey(text, key []byte) int {
	for at := max(0, len(text)-keySize+1); at < len(text); at++ {
		if bytes.HasPrefix(key, text[at:]) {
			return at
		}
	}
	return len(text)
}

// turnstile keeps the streams and the messages of a worker in order: a message waits for all streams to come to its mark, and they wait there until
// it has been delivered.
type turnstile struct {
	mu     sync.Mutex
	moved  sync.Cond
	come   [streams]uint64 // the last mark each stream has come to
	passed uint64          // the last mark whose message was delivered
}

func newTurnstile() *turnstile {
	t := new(turnstile)
	t.moved.L = &t.mu
	return t
}

// arrive reports that a stream has come to a mark, and waits for the mark's message to be delivered.
func (t *turnstile) arrive(stream int, mark uint64) {
	t.mu.Lock()
	defer t.mu.Unlock()
	t.come[stream] = mark
	t.moved.Broadcast()
	for t.passed < mark {
		t.moved.Wait()
	}
}

// leave reports that a stream has ended: nothing waits for it any more.
func (t *turnstile) leave(stream int) {
	t.mu.Lock()
	defer t.mu.Unlock()
	t.come[stream] = math.MaxUint64
	t.moved.Broadcast()
}

// await returns when all streams have come to the mark.
func (t *turnstile) await(mark uint64) {
	t.mu.Lock()
	defer t.mu.Unlock()
	for _, stream := range []int{stdout, stderr, report} {
		for t.come[stream] < mark {
			t.moved.Wait()
		}
	}
}

// pass lets the streams go on behind the mark.
func (t *turnstile) pass(mark uint64) {
	t.mu.Lock()
	defer t.mu.Unlock()
	t.passed = mark
	t.moved.Broadcast()
}

// open lets the streams run freely: no message will come any more.
func (t *turnstile) open() { t.pass(math.MaxUint64) }
