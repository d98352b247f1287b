package worker

import (
	"bufio"
	"bytes"
	"encoding/binary"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"sync"

	"foreplane/kernel/cell"
	"foreplane/kernel/display"
)

// kind names a message and thereby which of its fields count.
type kind string

const (
	// Down.
	kindSetup kind = "setup" // Key, Memory, Stack, Files
	kindRun   kind = "run"   // Run, Program
	kindStop  kind = "stop"  // Run
	kindReply kind = "reply" // Question, Text or Error

	// Up, with a mark.
	kindBegin  kind = "begin"  // from here on stream text belongs to Run
	kindShow   kind = "show"   // Run, Bundle, ID
	kindUpdate kind = "update" // Run, Bundle, ID
	kindPage   kind = "page"   // Run, Bundle
	kindClear  kind = "clear"  // Run, Wait
	kindAsk    kind = "ask"    // Run, Question, Text, Password
	kindDone   kind = "done"   // Run, Outcome

	// Up, without a mark.
	kindReady  kind = "ready"
	kindForget kind = "forget" // Question: the answer is no longer waited for
	kindFault  kind = "fault"  // Error: the machine cannot go on
	kindMemory kind = "memory" // Memory: in use when the worker gave up
	kindLow    kind = "low"    // Memory: in use, which is close to the limit
)

// message is what crosses the pipes, in either direction.
type message struct {
	Kind     kind            `json:"kind"`
	Run      uint64          `json:"run,omitempty"` // numbered by the supervisor, from 1
	Mark     uint64          `json:"mark,omitempty"`
	Program  *cell.Program   `json:"program,omitempty"`
	Outcome  *cell.Outcome   `json:"outcome,omitempty"`
	Bundle   *display.Bundle `json:"bundle,omitempty"`
	ID       string          `json:"id,omitempty"`
	Wait     bool            `json:"wait,omitempty"`
	Question uint64          `json:"question,omitempty"`
	Password bool            `json:"password,omitempty"`
	Text     string          `json:"text,omitempty"`
	Error    string          `json:"error,omitempty"`
	Key      []byte          `json:"key,omitempty"`
	Memory   uint64          `json:"memory,omitempty"` // bytes
	Stack    int             `json:"stack,omitempty"`  // bytes
	Files    int             `json:"files,omitempty"`
}

// encode returns m as one frame: four bytes of length, then JSON.
func encode(m message) ([]byte, error) {
	frame := bytes.NewBuffer(make([]byte, 4, 512))
	encoder := json.NewEncoder(frame)
	encoder.SetEscapeHTML(false)
	if err := encoder.Encode(m); err != nil {
		return nil, err
	}
	size := frame.Len() - 4
	if size > math.MaxInt32 {
		return nil, fmt.Errorf("%s message of %d bytes: at most %d can be sent", m.Kind, size, math.MaxInt32)
	}
	binary.BigEndian.PutUint32(frame.Bytes(), uint32(size))
	return frame.Bytes(), nil
}

// link sends messages on one pipe and receives them from another.
type link struct {
	in  *bufio.Reader
	mu  sync.Mutex // guards out
	out io.Writer
}

func newLink(in io.Reader, out io.Writer) *link {
	return &link{in: bufio.NewReader(in), out: out}
}

// send is safe for concurrent use.
func (l *link) send(m message) error {
	frame, err := encode(m)
	if err != nil {
		return err
	}
	return l.write(frame)
}

func (l *link) write(frame []byte) error {
	l.mu.Lock()
	defer l.mu.Unlock()
	_, err := l.out.Write(frame)
	return err
}

// receive reads the next frame. Numbers in bundles stay as they were written.
func (l *link) receive() (message, error) {
	var m message
	var size [4]byte
	if _, err := io.ReadFull(l.in, size[:]); err != nil {
		return m, err
	}
	body := io.LimitReader(l.in, int64(binary.BigEndian.Uint32(size[:])))
	decoder := json.NewDecoder(body)
	decoder.UseNumber()
	if err := decoder.Decode(&m); err != nil {
		return m, fmt.Errorf("malformed message: %w", err)
	}
	_, err := io.Copy(io.Discard, body) // the newline after the value
	return m, err
}
