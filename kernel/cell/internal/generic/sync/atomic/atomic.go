// Package atomic has the generic types of package sync/atomic of the standard library.
package atomic

import "sync"

// A Pointer is an atomic pointer of type *T. The zero value is a nil *T.
type Pointer[T any] struct {
	mu sync.Mutex
	p  *T
}

// Load atomically loads and returns the value stored in x.
func (x *Pointer[T]) Load() *T {
	x.mu.Lock()
	defer x.mu.Unlock()
	return x.p
}

// Store atomically stores val into x.
func (x *Pointer[T]) Store(val *T) {
	x.mu.Lock()
	defer x.mu.Unlock()
	x.p = val
}

// Swap atomically stores new into x and returns the previous value.
func (x *Pointer[T]) Swap(new *T) (old *T) {
	x.mu.Lock()
	defer x.mu.Unlock()
	old, x.p = x.p, new
	return old
}

// CompareAndSwap executes the compare-and-swap operation for x.
func (x *Pointer[T]) CompareAndSwap(old, new *T) (swapped bool) {
	x.mu.Lock()
	defer x.mu.Unlock()
	if x.p != old {
		return false
	}
	x.p = new
	return true
}
