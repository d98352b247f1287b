package cell

import "sync"

// witness runs the checks that repeat what a function did last before it panicked, and keeps what the first that fails panics with.
func (m *Machine) witness(checks func()) {
	unmute := m.trace.mute()
	defer func() {
		if e, ok := recover().(boundsError); ok {
			m.testimony.set(e)
		}
		unmute()
	}()
	checks()
}

// testimony holds, for each goroutine, what a witness has found out last.
type testimony struct {
	mu    sync.Mutex
	found map[uint64]error
}

func (t *testimony) set(e error) {
	t.mu.Lock()
	defer t.mu.Unlock()
	if t.found == nil {
		t.found = map[uint64]error{}
	}
	t.found[goroutine()] = e
}

// take returns what is held for the current goroutine, or nil, and forgets it.
func (t *testimony) take() error {
	t.mu.Lock()
	defer t.mu.Unlock()
	if len(t.found) == 0 {
		return nil
	}
	id := goroutine()
	e := t.found[id]
	delete(t.found, id)
	return e
}
