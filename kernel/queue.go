package kernel

import "sync"

// queue is an unbounded first-in, first-out list with one reader.
type queue[T any] struct {
	mu     sync.Mutex
	filled sync.Cond
	items  []T
	closed bool
}

func newQueue[T any]() *queue[T] {
	q := &queue[T]{}
	q.filled.L = &q.mu
	return q
}

// push appends an item; a closed queue drops it.
func (q *queue[T]) push(item T) {
	q.mu.Lock()
	defer q.mu.Unlock()
	if q.closed {
		return
	}
	q.items = append(q.items, item)
	q.filled.Signal()
}

// pop waits for the first item. It returns false once the queue is closed.
func (q *queue[T]) pop() (item T, ok bool) {
	q.mu.Lock()
	defer q.mu.Unlock()
	for len(q.items) == 0 && !q.closed {
		q.filled.Wait()
	}
	if q.closed {
		return item, false
	}
	item, q.items[0] = q.items[0], item // the list keeps no reference to what left it
	q.items = q.items[1:]
	return item, true
}

// each calls f for every item that waits.
func (q *queue[T]) each(f func(T)) {
	q.mu.Lock()
	defer q.mu.Unlock()
	for _, item := range q.items {
		f(item)
	}
}

// close drops what waits and ends pop.
func (q *queue[T]) close() {
	q.mu.Lock()
	defer q.mu.Unlock()
	q.items, q.closed = nil, true
	q.filled.Broadcast()
}
