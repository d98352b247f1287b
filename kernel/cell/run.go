package cell

import (
	"context"
	"fmt"
	"sync"
	"sync/atomic"
	"time"

	"foreplane/kernel"
	"foreplane/kernel/answer"
)

// run is one run of a program, with the goroutines that it has started. These may outlive it.
type run struct {
	program  *Program
	loaded   loaded
	out      kernel.Output
	ctx      context.Context
	values   []any
	live     sync.WaitGroup   // its goroutines
	stopped  time.Time        // when stopping was closed
	pitfalls []answer.Pitfall // of a question
	derived  derived          // of a cell that is typeset
	stopping chan struct{}    // closed when the run is to stop: it was interrupted, or a goroutine of it has failed

	mu      sync.Mutex
	over    bool
	failure *kernel.CellError // of a goroutine
}

// isStopping reports whether the run is to stop.
func (r *run) isStopping() bool {
	select {
	case <-r.stopping:
		return true
	default:
		return false
	}
}

// fail makes a goroutine's failure that of the run, and reports false if the run is over.
func (r *run) fail(err *kernel.CellError) bool {
	r.mu.Lock()
	defer r.mu.Unlock()
	if r.over {
		return false
	}
	if r.failure == nil {
		r.failure = err
	}
	r.stopLocked()
	return true
}

// stop makes the run stop.
func (r *run) stop() {
	r.mu.Lock()
	defer r.mu.Unlock()
	r.stopLocked()
}

func (r *run) stopLocked() {
	if !r.isStopping() {
		r.stopped = time.Now()
		close(r.stopping)
	}
}

func (r *run) isOver() bool {
	r.mu.Lock()
	defer r.mu.Unlock()
	return r.over
}

// finish ends the run and returns what a goroutine of it has failed with.
func (r *run) finish() *kernel.CellError {
	r.mu.Lock()
	defer r.mu.Unlock()
	r.over = true
	return r.failure
}

// straggling is how long the end of a stopped run waits for its goroutines; one that is in a compiled call by then goes on.
const straggling = time.Second

// await waits for the goroutines of a stopped run, and tells if one goes on.
func (r *run) await() {
	ended := make(chan struct{})
	go func() {
		r.live.Wait()
		close(ended)
	}()
	t := time.NewTimer(straggling)
	defer t.Stop()
	select {
	case <-ended:
	case <-t.C:
		r.out.Stream("stderr", fmt.Sprintf("a goroutine of cell %d is in a compiled call, and goes on\n", r.program.Cell))
	}
}

// goroutines tells which run a goroutine belongs to: to the latest, unless it was started by an earlier one.
type goroutines struct {
	latest atomic.Pointer[run]
	early  atomic.Int64 // how many belong to other runs than the latest
	alive  atomic.Int64 // how many there are that programs have started

	mu   sync.Mutex
	runs map[uint64]*run // by the numbers of the goroutines of programs
}

// begin makes r the latest run.
func (g *goroutines) begin(r *run) {
	g.mu.Lock()
	defer g.mu.Unlock()
	g.early.Store(int64(len(g.runs)))
	g.latest.Store(r)
}

// enter notes that the current goroutine belongs to r.
func (g *goroutines) enter(r *run) {
	g.mu.Lock()
	defer g.mu.Unlock()
	if g.runs == nil {
		g.runs = map[uint64]*run{}
	}
	g.runs[goroutine()] = r
	if r != g.latest.Load() {
		g.early.Add(1)
	}
}

// leave notes that the current goroutine ends.
func (g *goroutines) leave(r *run) {
	g.mu.Lock()
	defer g.mu.Unlock()
	delete(g.runs, goroutine())
	if r != g.latest.Load() {
		g.early.Add(-1)
	}
}

// knows reports whether the current goroutine is one of a program, and not one that compiled code has started.
func (g *goroutines) knows() bool {
	g.mu.Lock()
	defer g.mu.Unlock()
	return g.runs[goroutine()] != nil
}

// current returns the run of the current goroutine. Finding out takes microseconds, so it is asked only if there is a doubt.
func (g *goroutines) current() *run {
	if g.early.Load() == 0 {
		return g.latest.Load()
	}
	g.mu.Lock()
	defer g.mu.Unlock()
	if r := g.runs[goroutine()]; r != nil {
		return r
	}
	return g.latest.Load()
}

// current is the run that the current goroutine belongs to.
func (m *Machine) current() *run { return m.goroutines.current() }

// start runs a go statement. What ends it early is told as the failure of its run, or on the standard error if that is over.
func (m *Machine) start(f func()) { m.startIn(m.current(), f) }

func (m *Machine) startIn(r *run, f func()) {
	r.live.Add(1)
	m.goroutines.alive.Add(1)
	go func() {
		defer r.live.Done()
		defer m.goroutines.alive.Add(-1)
		m.callIn(r, f, func(e *ended) { m.report(r, e) })
	}()
}

// callIn is call in a goroutine that belongs to r.
func (m *Machine) callIn(r *run, f func(), then func(*ended)) {
	m.goroutines.enter(r)
	defer m.goroutines.leave(r)
	m.call(f, then)
}

// report tells how a goroutine of r ended, if that was early.
func (m *Machine) report(r *run, e *ended) {
	switch e.thrown.(type) {
	case nil, halted:
		return
	}
	err := m.failure(e)
	if err == nil || r.fail(err) {
		return
	}
	text := "a goroutine ended early: " + err.Message + "\n"
	for _, line := range err.Traceback[1:] {
		text += "\t" + line + "\n"
	}
	r.out.Stream("stderr", text)
}
