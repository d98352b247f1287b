package cell

import (
	"bytes"
	"context"
	"crypto/rand"
	"fmt"
	"os"
	"sync"

	"foreplane/kernel"
)

// Local is a Runner in this process: a machine whose standard streams go to the output of the cell that runs. Nothing protects the process from what a cell
// does, so it is for tests and for tools that run what they know.
type Local struct {
	*Machine
	pumps []*pump
}

// NewLocal returns a runner with a fresh machine.
func NewLocal(lib Library) (*Local, error) {
	l := &Local{}
	for _, name := range []string{"stdout", "stderr"} {
		p, err := newPump(name)
		if err != nil {
			return nil, err
		}
		l.pumps = append(l.pumps, p)
	}
	m, err := NewMachine(lib, MachineOptions{Stdout: l.pumps[0].in, Stderr: l.pumps[1].in})
	l.Machine = m
	return l, err
}

// Run implements Runner. All that the program has printed has reached out when it returns.
func (l *Local) Run(ctx context.Context, p *Program, out kernel.Output) (Outcome, error) {
	for _, p := range l.pumps {
		p.direct(out)
	}
	o, err := l.Machine.Run(ctx, p, out)
	for _, p := range l.pumps {
		p.drain()
	}
	return o, err
}

// Close implements Runner.
func (l *Local) Close() error {
	for _, p := range l.pumps {
		p.in.Close()
	}
	return l.Machine.Close()
}

// pump moves what is written to a pipe to an output.
type pump struct {
	name    string
	in      *os.File
	marker  []byte
	drained chan struct{}
	mu      sync.Mutex
	out     kernel.Output
}

func newPump(name string) (*pump, error) {
	r, w, err := os.Pipe()
	if err != nil {
		return nil, err
	}
	p := &pump{name: name, in: w, marker: fmt.Appendf(nil, "\x00%s\x00", rand.Text()), drained: make(chan struct{})}
	go p.move(r)
	return p, nil
}

func (p *pump) direct(out kernel.Output) {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.out = out
}

// drain waits until everything that is written so far has been moved.
func (p *pump) drain() {
	if _, err := p.in.Write(p.marker); err == nil {
		<-p.drained
	}
}

func (p *pump) move(r *os.File) {
	defer r.Close()
	defer close(p.drained)
	var pending []byte
	buf := make([]byte, 64<<10)
	for {
		n, err := r.Read(buf)
		if err != nil {
			return
		}
		pending = append(pending, buf[:n]...)
		for {
			before, after, found := bytes.Cut(pending, p.marker)
			if !found {
				break
			}
			p.send(before)
			p.drained <- struct{}{}
			pending = after
		}
		keep := partial(pending, p.marker)
		p.send(pending[:len(pending)-keep])
		pending = append([]byte(nil), pending[len(pending)-keep:]...)
	}
}

// partial returns how many bytes at the end of text may be the start of marker.
func partial(text, marker []byte) int {
	for n := min(len(text), len(marker)-1); n > 0; n-- {
		if bytes.HasPrefix(marker, text[len(text)-n:]) {
			return n
		}
	}
	return 0
}

func (p *pump) send(text []byte) {
	if len(text) == 0 {
		return
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	p.out.Stream(p.name, string(text))
}
