package transport

import (
	"bytes"
	"errors"
	"io"
	"log/slog"
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

// TestDrop holds that a failed Send costs a peer its connection only if the peer is to blame: during Close, Send fails while the outbox still empties.
func TestDrop(t *testing.T) {
	mine, theirs := net.Pipe()
	defer theirs.Close()
	l := &link{out: newOutbox(mine, func() {})}
	if _, err := l.out.Write([]byte("queued")); err != nil {
		t.Fatal(err)
	}
	book := &logBook{}
	n := &notes{log: slog.New(slog.NewTextHandler(book, nil))}
	n.drop("iopub", l, net.ErrClosed)
	if l.out.backlog() != 6 || book.count("\n") != 0 {
		t.Errorf("backlog %d, %d log lines", l.out.backlog(), book.count("\n"))
	}
	n.drop("iopub", l, errBehind)
	n.drop("iopub", l, errBehind)
	if l.out.backlog() != 0 || book.count("did not take its messages") != 1 {
		t.Errorf("backlog %d, %d log lines", l.out.backlog(), book.count("\n"))
	}
}
