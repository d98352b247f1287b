package transport

import (
	"bytes"
	"errors"
	"io"
	"net"
	"testing"
	"time"
)

// TestOutbox holds that what is written comes out once and in order, in whatever pieces, and that the backlog is what has not come out.
func TestOutbox(t *testing.T) {
	mine, theirs := net.Pipe()
	o := newOutbox(mine, func() {})
	var want []byte
	for i := range 200 {
		p := bytes.Repeat([]byte{byte(i)}, i*i)
		want = append(want, p...)
		if n, err := o.Write(p); n != len(p) || err != nil {
			t.Fatal(n, err)
		}
		if i%7 == 0 {
			o.flush()
		}
	}
	if o.backlog() != len(want) {
		t.Errorf("backlog %d, want %d", o.backlog(), len(want))
	}
	go func() {
		o.drain(time.Now().Add(patience))
		mine.Close()
	}()
	if got, err := io.ReadAll(theirs); err != nil || !bytes.Equal(got, want) {
		t.Errorf("%d bytes came out, want %d; %v", len(got), len(want), err)
	}
	if n, err := o.Write([]byte("late")); n != 0 || !errors.Is(err, net.ErrClosed) {
		t.Errorf("after its end the outbox took %d bytes, %v", n, err)
	}
}

func TestOutboxAborts(t *testing.T) {
	mine, theirs := net.Pipe()
	o := newOutbox(mine, func() {})
	if _, err := o.Write(make([]byte, 1<<20)); err != nil {
		t.Fatal(err)
	}
	o.flush()
	if !o.abort(errBehind) || o.abort(errBehind) {
		t.Error("not only the first abort counts")
	}
	<-o.done
	if _, err := io.ReadAll(theirs); err != nil {
		t.Error(err)
	}
	if _, err := o.Write([]byte("late")); err == nil || o.backlog() != 0 {
		t.Errorf("after abort: %v, backlog %d", err, o.backlog())
	}
}

// BenchmarkOutbox is the path of a small message's frames.
func BenchmarkOutbox(b *testing.B) {
	mine, theirs := net.Pipe()
	go io.Copy(io.Discard, theirs)
	o := newOutbox(mine, func() {})
	defer o.abort(net.ErrClosed)
	p := make([]byte, 100)
	b.ReportAllocs()
	for b.Loop() {
		o.Write(p)
		o.flush()
	}
}
