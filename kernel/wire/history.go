package wire

import "sync"

// historySize is how many digests are remembered, as the reference client does.
const historySize = 1 << 16

// history remembers the newest historySize digests. The zero value is empty and ready.
type history struct {
	mu   sync.Mutex
	seen map[mark]struct{}
	ring []mark // in order of arrival; full, the oldest is at next
	next int
}

// mark is enough of a digest to tell it from all others: 128 bits, the length of the shortest kind.
type mark [16]byte

// add remembers a mark, and reports whether it was new.
func (h *history) add(m mark) bool {
	h.mu.Lock()
	defer h.mu.Unlock()
	if _, old := h.seen[m]; old {
		return false
	}
	if h.seen == nil {
		h.seen = map[mark]struct{}{}
	}
	h.seen[m] = struct{}{}
	if len(h.ring) < historySize {
		h.ring = append(h.ring, m)
		return true
	}
	delete(h.seen, h.ring[h.next])
	h.ring[h.next] = m
	h.next = (h.next + 1) % historySize
	return true
}
