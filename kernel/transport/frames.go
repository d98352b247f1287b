package transport

import (
	"bufio"
	"bytes"
	"encoding/binary"
	"fmt"
	"io"
)

// The flag bits of a ZMTP 3 frame (ZeroMQ RFC 23).
const (
	flagMore    = 1
	flagLong    = 2
	flagCommand = 4
)

// frameCost is charged against the message limit for each frame beside its bytes, so that a message of empty frames is bounded too.
const frameCost = 64

type frame struct {
	flags byte
	body  []byte
}

// command splits a command frame into its name and data.
func (f frame) command() (name string, data []byte, ok bool) {
	if f.flags&flagCommand == 0 || len(f.body) == 0 {
		return "", nil, false
	}
	n := 1 + int(f.body[0])
	if n > len(f.body) {
		return "", nil, false
	}
	return string(f.body[1:n]), f.body[n:], true
}

// readFrame reads one frame whose body is at most limit bytes. zmq4 reads frames too, but makes room for whatever size a peer announces.
func readFrame(r *bufio.Reader, limit int) (frame, error) {
	flags, err := r.ReadByte()
	if err != nil {
		return frame{}, err
	}
	width := 1
	if flags&flagLong != 0 {
		width = 8
	}
	var head [8]byte
	if _, err := io.ReadFull(r, head[8-width:]); err != nil {
		return frame{}, err
	}
	size := binary.BigEndian.Uint64(head[:])
	if flags > flagMore|flagLong|flagCommand || size > uint64(limit) {
		return frame{}, fmt.Errorf("frame of %d bytes with flags %#02x: more than %d bytes, or not ZMTP 3", size, flags, limit)
	}
	body, err := readBody(r, int(size))
	return frame{flags, body}, err
}

// readBody reads size bytes. Memory for a large body grows with what arrives, not with what was announced.
func readBody(r io.Reader, size int) ([]byte, error) {
	const trusted = 1 << 20
	if size <= trusted {
		body := make([]byte, size)
		_, err := io.ReadFull(r, body)
		return body, err
	}
	var b bytes.Buffer
	b.Grow(trusted)
	_, err := io.CopyN(&b, r, int64(size))
	return b.Bytes(), err
}
