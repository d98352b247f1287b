package worker

import (
	"errors"
	"io"
	"os"
	"sync"
)

// stdio are the descriptors of the text streams, kept from the cells, which get duplicates of the first two.
type stdio [streams]*os.File

// takeStdio keeps descriptors 1 and 2 and gives os.Stdout and os.Stderr others. Both stay the same variables, so that who copied them earlier
// (package log has) follows.
func takeStdio(text *os.File) (*stdio, error) {
	one, two := *os.Stdout, *os.Stderr
	s := &stdio{stdout: &one, stderr: text, report: &two}
	return s, errors.Join(s.give(stdout, os.Stdout), s.give(stderr, os.Stderr))
}

func (s *stdio) give(stream int, to *os.File) error {
	d, err := duplicate(s[stream])
	if err == nil {
		*to = *d
	}
	return err
}

// reopen replaces what a cell has closed.
func (s *stdio) reopen() error {
	for stream, f := range []*os.File{stdout: os.Stdout, stderr: os.Stderr} {
		if _, err := f.Stat(); errors.Is(err, os.ErrClosed) {
			if err := s.give(stream, f); err != nil {
				return err
			}
		}
	}
	return nil
}

// output writes text and messages in an order that the supervisor can restore.
type output struct {
	link *link
	key  []byte
	std  *stdio

	mu   sync.Mutex
	mark uint64
	run  uint64 // to which unordered text belongs
	last int    // the stream last written by text
}

// none is no stream: whichever is written next needs no mark.
const none = -1

// begin makes text that is written from here on belong to a run.
func (o *output) begin(run uint64) error {
	o.mu.Lock()
	defer o.mu.Unlock()
	if err := o.std.reopen(); err != nil {
		return err
	}
	o.run = run
	return o.put(message{Kind: kindBegin, Run: run})
}

// emit sends a message behind all text written so far.
func (o *output) emit(m message) error {
	o.mu.Lock()
	defer o.mu.Unlock()
	return o.put(m)
}

// put marks the streams and sends m. The caller holds the lock.
func (o *output) put(m message) error {
	m.Mark = o.mark + 1
	frame, err := encode(m)
	if err != nil {
		return err
	}
	o.mark, o.last = m.Mark, none
	mark := appendMark(nil, o.key, m.Mark)
	for _, f := range o.std {
		f.Write(mark) // it fails if nobody reads the stream, and then nobody waits for its mark
	}
	return o.link.write(frame)
}

// text writes to a stream for a run. Where the stream or the run changes it leaves a mark, so that the order holds between the streams.
func (o *output) text(run uint64, name, text string) {
	stream := stdout
	if name == "stderr" {
		stream = stderr
	}
	o.mu.Lock()
	defer o.mu.Unlock()
	if run != o.run || o.last != none && o.last != stream {
		o.put(message{Kind: kindBegin, Run: run})
	}
	io.WriteString(o.std[stream], text)
	o.last = stream
	if run != o.run {
		o.put(message{Kind: kindBegin, Run: o.run})
	}
}
