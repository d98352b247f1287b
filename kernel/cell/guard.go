package cell

import (
	"bytes"
	"runtime"
	"strconv"
	"sync"
)

// Guard runs a function that defers calls, and these calls, as compiled Go does.
type Guard struct {
	deferred []deferred
	current  *thrown // the panic that deferred calls may recover
}

type deferred struct {
	call       func()
	recovering bool // what it calls may call recover itself
}

// thrown is a panic on its way up.
type thrown struct {
	value     any
	recovered bool
}

// runGuard runs body and then the calls that it has deferred, last first.
func (m *Machine) runGuard(g *Guard, body func()) {
	m.guards.Add(1)
	defer m.guards.Add(-1)
	finished := false
	defer func() { // after runtime.Goexit
		for !finished && len(g.deferred) > 0 {
			m.runDeferred(g)
		}
	}()
	t := m.catch(body)
	for len(g.deferred) > 0 {
		g.current = t
		again := m.catch(func() { m.runDeferred(g) })
		switch {
		case again != nil:
			t = again
		case t != nil && t.recovered:
			t = nil
		}
	}
	finished, g.current = true, nil
	if t != nil {
		panic(t.value)
	}
}

// catch calls f and returns its panic.
func (m *Machine) catch(f func()) (t *thrown) {
	returned := false
	defer func() {
		if r := recover(); r != nil {
			t = &thrown{value: m.translate(r)}
		} else if !returned {
			t = nil // runtime.Goexit goes on by itself
		}
	}()
	f()
	returned = true
	return nil
}

// runDeferred runs the last deferred call.
func (m *Machine) runDeferred(g *Guard) {
	d := g.deferred[len(g.deferred)-1]
	g.deferred = g.deferred[:len(g.deferred)-1]
	if d.recovering && (g.current != nil || m.pending.any()) { // otherwise there is nothing to recover, and telling goroutines apart is dear in deep calls
		m.pending.set(g)
		defer m.pending.take()
	}
	d.call()
}

// recoverFrom implements recover for a deferred call of g.
func (m *Machine) recoverFrom(g *Guard) any {
	if g == nil || g.current == nil || g.current.recovered {
		return nil
	}
	if _, ok := g.current.value.(unwinding); ok {
		return nil
	}
	g.current.recovered = true
	m.trace.reset()
	return g.current.value
}

// pending holds, for each goroutine, the guard that is about to call a function that may call recover itself.
type pending struct {
	mu     sync.Mutex
	guards map[uint64]*Guard
}

func (p *pending) any() bool {
	p.mu.Lock()
	defer p.mu.Unlock()
	return len(p.guards) > 0
}

func (p *pending) set(g *Guard) {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.guards == nil {
		p.guards = map[uint64]*Guard{}
	}
	p.guards[goroutine()] = g
}

// take returns the guard that has just called the function that asks, or nil.
func (p *pending) take() *Guard {
	p.mu.Lock()
	defer p.mu.Unlock()
	if len(p.guards) == 0 {
		return nil
	}
	id := goroutine()
	g := p.guards[id]
	delete(p.guards, id)
	return g
}

// goroutine returns the number of the current goroutine.
func goroutine() uint64 {
	var buf [64]byte
	text := bytes.TrimPrefix(buf[:runtime.Stack(buf[:], false)], []byte("goroutine "))
	digits, _, _ := bytes.Cut(text, []byte(" "))
	n, _ := strconv.ParseUint(string(digits), 10, 64)
	return n
}
