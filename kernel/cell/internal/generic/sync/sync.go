// Package sync has the generic functions of package sync of the standard library.
package sync

import "sync"

// OnceValue returns a function that invokes f only once and returns the value returned by f. The returned function may be called concurrently.
//
// If f panics, the returned function will panic with the same value on every call.
func OnceValue[T any](f func() T) func() T {
	var result T
	once := sync.OnceFunc(func() { result = f() })
	return func() T {
		once()
		return result
	}
}

// OnceValues returns a function that invokes f only once and returns the values returned by f. The returned function may be called concurrently.
//
// If f panics, the returned function will panic with the same value on every call.
func OnceValues[T1, T2 any](f func() (T1, T2)) func() (T1, T2) {
	var r1 T1
	var r2 T2
	once := sync.OnceFunc(func() { r1, r2 = f() })
	return func() (T1, T2) {
		once()
		return r1, r2
	}
}
