package cell

import (
	"sync"
	"sync/atomic"
	"time"
)

// What waits in compiled code waits beside a program that can be interrupted.

// waiting are the methods that wait, and the helpers that do it in their place.
var waiting = map[string]string{
	"(*sync.Mutex).Lock": "Lock", "(*sync.RWMutex).Lock": "Lock", "(*sync.RWMutex).RLock": "RLock", "(sync.Locker).Lock": "Lock",
	"(*sync.WaitGroup).Wait": "Wait", "(*sync.WaitGroup).Go": "GoIn", "(*sync.Cond).Wait": "WaitCond",
}

// wait runs f, which may wait, and returns when it has; if the program is stopped first, undo takes back what f comes to later.
func (m *Machine) wait(f, undo func()) {
	r := m.current()
	var over atomic.Bool // one side has gone
	done := make(chan *thrown, 1)
	go func() {
		t := m.catch(f)
		switch {
		case over.CompareAndSwap(false, true):
			done <- t
		case t == nil:
			undo()
		}
	}()
	select {
	case t := <-done:
		if t != nil {
			panic(t.value)
		}
	case <-r.stopping:
		if !over.CompareAndSwap(false, true) && <-done == nil {
			undo()
		}
		m.unwind(halted{})
	}
}

func (m *Machine) lock(l sync.Locker) {
	if t, ok := l.(interface{ TryLock() bool }); !ok {
		l.Lock() // of a cell's own type, which waits for something in here
	} else if !t.TryLock() {
		m.wait(l.Lock, l.Unlock)
	}
}

func (m *Machine) rlock(l *sync.RWMutex) {
	if !l.TryRLock() {
		m.wait(l.RLock, l.RUnlock)
	}
}

func (m *Machine) waitFor(g *sync.WaitGroup) { m.wait(g.Wait, func() {}) }

func (m *Machine) goIn(g *sync.WaitGroup, f func()) {
	g.Add(1)
	m.start(func() {
		defer g.Done()
		f()
	})
}

// waitCond wakes all who wait when the program is stopped: whoever waits has to have the lock again when it ends.
func (m *Machine) waitCond(c *sync.Cond) {
	r, woken := m.current(), make(chan struct{})
	go func() {
		select {
		case <-r.stopping:
			c.Broadcast()
		case <-woken:
		}
	}()
	c.Wait()
	close(woken)
	if r.isStopping() {
		m.unwind(halted{})
	}
}

// sleep is time.Sleep, but ends with the program.
func (m *Machine) sleep(d time.Duration) {
	t := time.NewTimer(d)
	defer t.Stop()
	select {
	case <-t.C:
	case <-m.current().stopping:
		m.unwind(halted{})
	}
}

// afterFunc is time.AfterFunc, with a goroutine of the program.
func (m *Machine) afterFunc(d time.Duration, f func()) *time.Timer {
	r := m.current()
	return time.AfterFunc(d, func() { m.startIn(r, f) })
}
