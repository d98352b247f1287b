package worker

import (
	"context"
	"errors"
	"log/slog"
	"sync"
	"time"

	"foreplane/kernel"
	"foreplane/kernel/cell"
)

// Options says how to run a worker.
type Options struct {
	// Argv is the command line of the worker, a program that calls [Main].
	Argv []string
	// Env is added to the worker's environment, as "name=value".
	Env []string
	// Dir is the directory cells run in; empty is the supervisor's own.
	Dir string
	// Memory is how many bytes the worker may use; 0 is 4 GiB, but no more than three quarters of what the machine has. The worker is ended when it
	// passes them; from three quarters on it warns.
	Memory uint64
	// Stack is how many bytes the stack of one goroutine may take; 0 is 512 MiB, but no more than an eighth of Memory: a stack that grows is copied to one
	// of twice the size. An interpreted call takes 0.6 kB of it, 5 kB if the function defers something, and the machine ends what fills half of it.
	Stack int
	// Files is how many files the worker may have open; 0 is 4096, but no more than the system allows.
	Files int
	// Grace is how long a program may take to stop before its worker is ended; 0 is 2 s.
	Grace time.Duration
	// Log is told when a worker ends, with the full report of the Go runtime; nil logs nothing.
	Log *slog.Logger
}

// Defaults of limits.
const (
	maxStack = 512 << 20 // a recursion that the machine misses fills it in 3 to 10 s
	maxFiles = 4096
)

func (o Options) withDefaults() Options {
	if o.Memory == 0 {
		o.Memory = min(4<<30, installedMemory()/4*3)
	}
	if o.Stack == 0 {
		o.Stack = int(min(maxStack, o.Memory/8))
	}
	if o.Grace == 0 {
		o.Grace = 2 * time.Second
	}
	if o.Log == nil {
		o.Log = slog.New(slog.DiscardHandler)
	}
	return o
}

// Supervisor runs programs in a worker process and replaces the process when it is lost. It is a [cell.Runner].
type Supervisor struct {
	options Options
	running sync.Mutex // held while a program runs
	runs    uint64     // guarded by running

	mu     sync.Mutex
	start  func() (*child, error) // the present worker, started in the background
	closed bool
}

var _ cell.Runner = (*Supervisor)(nil)

var errClosed = errors.New("the kernel is closing")

// New returns a Supervisor whose first worker is already being started.
func New(options Options) *Supervisor {
	s := &Supervisor{options: options.withDefaults()}
	s.renew()
	return s
}

// renew starts a worker in the background.
func (s *Supervisor) renew() {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.closed {
		return
	}
	s.start = sync.OnceValues(func() (*child, error) { return startChild(s.options) })
	go s.start()
}

func (s *Supervisor) child() (*child, error) {
	s.mu.Lock()
	start, closed := s.start, s.closed
	s.mu.Unlock()
	if closed {
		return nil, errClosed
	}
	return start()
}

// Run runs a program in the worker. If ctx is cancelled and the program does not stop within [Options.Grace], the worker is ended. The error is a
// [*cell.LostError] if the worker was lost, also if that was noticed only now; the next Run has a new worker.
func (s *Supervisor) Run(ctx context.Context, p *cell.Program, out kernel.Output) (cell.Outcome, error) {
	s.running.Lock()
	defer s.running.Unlock()
	c, err := s.child()
	if err == nil && c.spare() && c.isGone() {
		s.renew() // nothing was lost with it
		c, err = s.child()
	}
	if err != nil {
		s.renew()
		return cell.Outcome{}, notStarted(p.Cell, err)
	}
	s.runs++
	outcome, err := c.run(ctx, s.runs, p, out)
	if err != nil {
		s.renew()
	}
	return outcome, err
}

// Close ends the worker, and a program that is running in it.
func (s *Supervisor) Close() error {
	s.mu.Lock()
	start := s.start
	s.closed = true
	s.mu.Unlock()
	c, err := start()
	if err != nil {
		return nil // there is no process
	}
	c.end(endClosed)
	<-c.gone
	return nil
}
