package main

import (
	"strings"
	"testing"
	"time"

	"github.com/go-zeromq/zmq4"

	"foreplane/kernel/wire"
)

// parts are the signed frames of a message: header, parent, metadata, content.
type parts [4]string

func (c *client) parts(kind, content string) parts {
	c.t.Helper()
	m, err := c.author.Request(kind, nil)
	if err != nil {
		c.t.Fatal(err)
	}
	frames := c.codec.Encode(m)
	return parts{string(frames[2]), "{}", "{}", content}
}

// raw signs and sends frames as they are.
func (c *client) raw(ch wire.Channel, p parts) [][]byte {
	c.t.Helper()
	frames := [][]byte{[]byte(wire.Delimiter), nil}
	for _, part := range p {
		frames = append(frames, []byte(part))
	}
	frames[1] = c.codec.Sign(frames[2:]...)
	c.sendFrames(ch, frames)
	return frames
}

func (c *client) sendFrames(ch wire.Channel, frames [][]byte) {
	c.t.Helper()
	if err := c.sockets[ch].SendMulti(zmq4.NewMsgFrom(frames...)); err != nil {
		c.t.Fatal(err)
	}
}

// answered holds that a client is answered on control and by a cell, each within a second.
func (c *client) answered(after string) {
	c.t.Helper()
	began := time.Now()
	c.send(wire.Control, "kernel_info_request", nil)
	c.next(wire.Control)
	control := time.Since(began)
	began = time.Now()
	if r := c.execute("6 * 7", nil, nil); r.value != "42" {
		c.t.Errorf("after %s: %+v", after, r)
	}
	if cell := time.Since(began); control > time.Second || cell > time.Second {
		c.t.Errorf("after %s: answered after %v on control, %v by a cell", after, control, cell)
	}
}

var questioned = []wire.Channel{wire.Shell, wire.Control, wire.Stdin}

// TestHostileMessages sends messages that no front end sends, on every channel that takes any, with the right key where that matters. Each is refused, and
// logged once for its reason; another client is answered within a second all the time.
func TestHostileMessages(t *testing.T) {
	k := startKernel(t)
	foe, friend := k.dial(t, "foe"), k.dial(t, "friend")
	friend.answered("the start")
	deep := strings.Repeat(`{"a":`, 100_000) + "1" + strings.Repeat("}", 100_000)
	attacks := map[string]func(wire.Channel){
		"deep JSON": func(ch wire.Channel) {
			for i := range 4 {
				p := foe.parts("execute_request", `{"code":"1"}`)
				p[i] = deep
				foe.raw(ch, p)
			}
		},
		"no JSON": func(ch wire.Channel) {
			for i := range 4 {
				for _, text := range []string{"", "null", "[]", "{", "{}x", "\xff", `{"msg_id":5}`} {
					p := foe.parts("execute_request", `{"code":"1"}`)
					if p[i] = text; text != `{"msg_id":5}` || i == 0 {
						foe.raw(ch, p)
					}
				}
			}
		},
		"malformed frames": func(ch wire.Channel) {
			for _, frames := range [][][]byte{{{}}, {[]byte("x")}, {[]byte(wire.Delimiter)}, {[]byte(wire.Delimiter), {}, {}}, {[]byte("x"), {}, {}, {}, {}, {}, {}}} {
				foe.sendFrames(ch, frames)
			}
		},
		"wrong signatures": func(ch wire.Channel) {
			for _, signature := range []string{"", "00", "zz", strings.Repeat("0", 64), strings.Repeat("f", 1<<20)} {
				p := foe.parts("execute_request", `{"code":"os.Exit(1)"}`)
				foe.sendFrames(ch, [][]byte{[]byte(wire.Delimiter), []byte(signature), []byte(p[0]), []byte(p[1]), []byte(p[2]), []byte(p[3])})
			}
		},
	}
	for name, attack := range attacks {
		for _, ch := range questioned {
			attack(ch)
		}
		friend.answered(name)
	}
	for _, reason := range []error{wire.ErrFormat, wire.ErrSignature} {
		if n := k.log.count("dropped a message: " + reason.Error()); n != 1 {
			t.Errorf("%d log lines for %v", n, reason)
		}
	}
	select {
	case m := <-foe.inboxes[wire.Shell]:
		t.Errorf("answered: %s %s", m.Header.Type, m.Content)
	default:
	}
	foe.answered("its attacks") // it is still a client
}

// TestInvalidText holds that text that is no UTF-8 is served, in whatever part, with the bytes replaced that are none.
func TestInvalidText(t *testing.T) {
	k := startKernel(t)
	c, friend := k.dial(t, "peer"), k.dial(t, "friend")
	p := c.parts("execute_request", "{\"code\":\"len([]rune(`a\xff`))\"}")
	p[0] = strings.Replace(p[0], `{`, "{\"x\":\"\xff\",", 1)
	p[1], p[2] = "{\"x\xc0\":1}", "{\"cellId\":\"\xed\xa0\x80\"}"
	c.raw(wire.Shell, p)
	if m := c.next(wire.Shell); content(m).Status != "ok" {
		t.Errorf("got %s", m.Content)
	}
	friend.answered("invalid text")
}

// TestReplay holds that a message that is sent again, on whatever channel, is not obeyed again, and logged once.
func TestReplay(t *testing.T) {
	k := startKernel(t)
	c := k.dial(t, "peer")
	c.execute("n := 0", nil, nil)
	frames := c.raw(wire.Shell, c.parts("execute_request", `{"code":"n++"}`))
	c.next(wire.Shell)
	for _, ch := range questioned {
		c.sendFrames(ch, frames)
	}
	if r := c.execute("n", nil, nil); r.value != "1" {
		t.Errorf("got %+v", r)
	}
	c.answered("replays")
	if n := k.log.count("dropped a message: " + wire.ErrReplay.Error()); n != 1 {
		t.Errorf("%d log lines", n)
	}
}

// TestBigCells runs cells of 10 MB, which is not what a notebook has: mostly comment, and one string. Another client is answered on control meanwhile.
func TestBigCells(t *testing.T) {
	k := startKernel(t)
	c, friend := k.dial(t, "peer"), k.dial(t, "friend")
	for name, code := range map[string]string{
		"comment": "/*" + strings.Repeat("all work and no play\n", 500_000) + "*/\n6 * 7",
		"string":  "len(`" + strings.Repeat("all work and no play\n", 500_000) + "`) / 250_000",
	} {
		began := time.Now()
		slowest := time.Duration(0)
		r := c.execute(code, func() {
			asked := time.Now()
			friend.send(wire.Control, "kernel_info_request", nil)
			friend.next(wire.Control)
			slowest = time.Since(asked)
		}, nil)
		if r.value != "42" || slowest > time.Second {
			t.Errorf("%s: %+v; another client was answered after %v", name, r.failure, slowest)
		}
		t.Logf("%s: %v, another client answered after %v", name, time.Since(began), slowest)
	}
	friend.answered("big cells")
}

// TestTwins holds that of two clients with the same identity at once the first is served, and the second gets nothing of it.
func TestTwins(t *testing.T) {
	k := startKernel(t)
	first := k.dial(t, "twin")
	first.answered("the start")
	second := k.dial(t, "twin")
	for range 3 {
		first.answered("a twin")
	}
	for _, ch := range questioned {
		if m, ok := <-second.inboxes[ch]; ok {
			t.Errorf("%s: the second client got %s", ch, m.Header.Type)
		}
	}
	k.dial(t, "another").answered("twins")
	if n := k.log.count("refused a peer"); n != 1 {
		t.Errorf("%d log lines", n)
	}
}
