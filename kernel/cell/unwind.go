package cell

import (
	"runtime"
	"sync"
)

// How a program is ended early. The interpreter passes a panic on by a new panic in each function, on top of the stack that it unwinds, which takes a time
// that grows with the square of the depth: 50 ms at 1000 calls, minutes at 100 000. A panic leaves a trace, so it is what ends a program that is not deep. A
// deep one is ended by the end of its goroutine.

// deepFrames is how many frames of compiled code make a stack deep. An interpreted call has two, one through a function value a dozen.
const deepFrames = 5000

// unwinding is what ends a program: recover does not see it.
type unwinding interface{ unwinding() }

// halted ends a program that is interrupted.
type halted struct{}

// failed ends a program because of an error that must was given.
type failed struct{ err error }

// stale ends a program that calls a function which no longer fits what has been declared since.
type stale struct{ why string }

// exited ends a program that calls os.Exit.
type exited struct{ code int }

// tooDeep ends a program whose calls are nested too deeply; it is deep.
type tooDeep struct{}

func (halted) unwinding()  {}
func (failed) unwinding()  {}
func (stale) unwinding()   {}
func (exited) unwinding()  {}
func (tooDeep) unwinding() {}

// unwind ends the program, or the goroutine of it, that calls it.
func (m *Machine) unwind(u unwinding) { m.unwindFrom(u, nil) }

// unwindFrom is unwind where it is known which function calls it.
func (m *Machine) unwindFrom(u unwinding, innermost *call) {
	if !m.goroutines.knows() { // nobody would recover from a panic there
		runtime.Goexit()
	}
	if isDeeper(deepFrames) {
		m.leave(u, innermost)
	}
	m.leaving.set(goroutine(), &ended{thrown: u}) // in case that compiled code is in the way
	panic(u)
}

// leave ends the goroutine.
func (m *Machine) leave(thrown any, innermost *call) {
	m.leaving.set(goroutine(), &ended{thrown: thrown, innermost: innermost, calls: interpretedCalls()})
	runtime.Goexit()
}

// raise panics for a cell. If nothing can recover from that, a deep stack need not be unwound by it.
func (m *Machine) raise(v any, lowered string, index int) {
	if m.guards.Load() == 0 && isDeeper(deepFrames) {
		m.leave(v, m.callOf(lowered, index))
	}
	panic(v)
}

// passOn is deferred where interpreted code was called by compiled code that may recover from panics.
func (m *Machine) passOn() {
	switch r := recover().(type) {
	case nil:
	case unwinding:
		runtime.Goexit()
	default:
		panic(m.translate(r))
	}
}

// ended is how a goroutine of a program has ended.
type ended struct {
	thrown    any // what it panicked with or was ended by; nil if it came to its end
	trace     trace
	cut       bool  // the trace lacks functions around the last of it
	innermost *call // of a deep goroutine: the function that it was in, or nil if that is not known,
	calls     int   // and how many calls it was in
	entry     *call // the statements of the cell, if they were the outermost
}

// call runs f, and gives how it ended to then, also when the goroutine ends with it.
func (m *Machine) call(f func(), then func(*ended)) {
	returned := false
	defer func() {
		e := &ended{thrown: m.translate(recover())}
		if left := m.leaving.take(); left != nil && e.thrown == nil && !returned {
			e = left
			e.cut = true
		}
		if e.thrown != nil {
			e.trace = m.trace.take()
		}
		m.testimony.take()
		then(e)
	}()
	f()
	returned = true
}

// leaving holds how goroutines are being ended.
type leaving struct {
	mu   sync.Mutex
	ends map[uint64]*ended
}

func (l *leaving) set(goroutine uint64, e *ended) {
	l.mu.Lock()
	defer l.mu.Unlock()
	if l.ends == nil {
		l.ends = map[uint64]*ended{}
	}
	l.ends[goroutine] = e
}

// leaves reports whether the current goroutine is being ended, and runs its deferred calls.
func (l *leaving) leaves() bool {
	l.mu.Lock()
	defer l.mu.Unlock()
	return len(l.ends) > 0 && l.ends[goroutine()] != nil
}

// take returns how the current goroutine is being ended, or nil, and forgets it.
func (l *leaving) take() *ended {
	l.mu.Lock()
	defer l.mu.Unlock()
	if len(l.ends) == 0 {
		return nil
	}
	id := goroutine()
	e := l.ends[id]
	delete(l.ends, id)
	return e
}
