package transport

import (
	"bufio"
	"bytes"
	"strings"
	"testing"
)

// TestLongFrames holds that frames around the sizes where reading changes come out as they went in.
func TestLongFrames(t *testing.T) {
	for _, size := range []int{0, 1, 255, 256, 1 << 20, 1<<20 + 1, 3 << 20} {
		body := bytes.Repeat([]byte{'x'}, size)
		head := []byte{flagLong, 0, 0, 0, 0, byte(size >> 24), byte(size >> 16), byte(size >> 8), byte(size)}
		r := bufio.NewReader(bytes.NewReader(append(append(head, body...), 0, 1, 'y')))
		if f, err := readFrame(r, size); err != nil || !bytes.Equal(f.body, body) {
			t.Errorf("%d bytes: got %d, %v", size, len(f.body), err)
		}
		if f, err := readFrame(r, 1); err != nil || string(f.body) != "y" {
			t.Errorf("after %d bytes: %q, %v", size, f.body, err)
		}
	}
	if f, err := readFrame(bufio.NewReader(strings.NewReader("\x00\x02xy")), 1); err == nil {
		t.Errorf("over the limit: %q", f.body)
	}
	if f, err := readFrame(bufio.NewReader(strings.NewReader("\x02\x00\x00\x00\x00\x00\x20\x00\x00xy")), 4<<20); err == nil {
		t.Errorf("cut short: %d bytes", len(f.body))
	}
}

// FuzzReadFrame holds that no bytes make reading fail otherwise than by an error, or yield more than the limit.
func FuzzReadFrame(f *testing.F) {
	for _, seed := range []string{"", "\x00\x01x", "\x01\x00", "\x02\x00\x00\x00\x00\x00\x00\x00\x01x", "\x04\x05\x04PING", "\x04\x01\xff", "\x04\x00", "\x06\xff\xff\xff\xff\xff\xff\xff\xff"} {
		f.Add([]byte(seed))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		const limit = 1000
		r := bufio.NewReader(bytes.NewReader(data))
		for {
			got, err := readFrame(r, limit)
			if err != nil {
				return
			}
			name, rest, ok := got.command()
			if len(got.body) > limit || ok && len(name)+len(rest)+1 != len(got.body) {
				t.Fatalf("%q, command %q %q", got.body, name, rest)
			}
		}
	})
}
