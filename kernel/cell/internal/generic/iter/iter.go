// Package iter stands in for package iter of the standard library, whose coroutines cells do not have.
package iter

import "runtime"

// Seq is an iterator over sequences of individual values. When called as seq(yield), seq calls yield(v) for each value v in the sequence, stopping early if
// yield returns false.
type Seq[V any] func(yield func(V) bool)

// Seq2 is an iterator over sequences of pairs of values, most commonly key-value pairs. When called as seq(yield), seq calls yield(k, v) for each pair
// (k, v) in the sequence, stopping early if yield returns false.
type Seq2[K, V any] func(yield func(K, V) bool)

// coroutine runs a function in turns with its caller.
type coroutine struct {
	run       func()
	resume    chan bool
	suspended chan bool
	name      string // in panics
	begun     bool
	done      bool
	yieldNext bool
	seqDone   bool // the sequence has ended by itself
	panicked  bool
	value     any // of the panic
}

func newCoroutine(name string) *coroutine {
	return &coroutine{name: name, resume: make(chan bool), suspended: make(chan bool)}
}

// body is what the other goroutine does.
func (c *coroutine) body() {
	defer func() {
		if p := recover(); p != nil {
			c.panicked, c.value = true, p
		}
		c.done = true
		c.suspended <- true
	}()
	c.run()
	c.seqDone = true
}

// enter goes on with the sequence until it yields or ends.
func (c *coroutine) enter() {
	if !c.begun {
		c.begun = true
		if c.done {
			return
		}
		go c.body()
	} else {
		c.resume <- true
	}
	<-c.suspended
	switch {
	case c.panicked:
		panic(c.value)
	case c.done && !c.seqDone:
		runtime.Goexit()
	}
}

// advance prepares a call of next.
func (c *coroutine) advance() {
	if c.yieldNext {
		panic(c.name + ": next called again before yield")
	}
	c.yieldNext = true
	c.enter()
}

// mayYield reports whether the sequence may go on with a value.
func (c *coroutine) mayYield() bool {
	if c.done {
		return false
	}
	if !c.yieldNext {
		panic(c.name + ": yield called again before next")
	}
	c.yieldNext = false
	return true
}

// leave hands a value over and waits until the next is wanted.
func (c *coroutine) leave() bool {
	c.suspended <- true
	<-c.resume
	return !c.done
}

func (c *coroutine) stop() {
	if !c.done {
		c.done = true
		c.enter()
	}
}

// Pull converts the “push-style” iterator sequence seq into a “pull-style” iterator accessed by the two functions next and stop.
//
// Next returns the next value in the sequence and a boolean indicating whether the value is valid. Stop ends the iteration. It must be called when the
// caller is no longer interested in next values and next has not yet signaled that the sequence is over.
func Pull[V any](seq Seq[V]) (next func() (V, bool), stop func()) {
	c := newCoroutine("iter.Pull")
	var v V
	var ok bool
	c.run = func() {
		seq(func(v1 V) bool {
			if !c.mayYield() {
				return false
			}
			v, ok = v1, true
			return c.leave()
		})
		var none V
		v, ok = none, false
	}
	next = func() (v1 V, ok1 bool) {
		if c.done {
			return
		}
		c.advance()
		return v, ok
	}
	return next, c.stop
}

// Pull2 converts the “push-style” iterator sequence seq into a “pull-style” iterator accessed by the two functions next and stop, as [Pull] does for
// individual values.
func Pull2[K, V any](seq Seq2[K, V]) (next func() (K, V, bool), stop func()) {
	c := newCoroutine("iter.Pull2")
	var k K
	var v V
	var ok bool
	c.run = func() {
		seq(func(k1 K, v1 V) bool {
			if !c.mayYield() {
				return false
			}
			k, v, ok = k1, v1, true
			return c.leave()
		})
		var noKey K
		var none V
		k, v, ok = noKey, none, false
	}
	next = func() (k1 K, v1 V, ok1 bool) {
		if c.done {
			return
		}
		c.advance()
		return k, v, ok
	}
	return next, c.stop
}
