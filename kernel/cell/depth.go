package cell

import (
	"runtime"
	"runtime/debug"
	"runtime/metrics"
	"strings"
	"sync"
	"sync/atomic"
	"time"
)

// A stack that is full ends the process. So while a program runs, the memory of all stacks is looked at. Stacks grow by doubling: once they take as much as
// the largest that one may have, some goroutine has filled half of that, and the flag goes up that loops and functions that may call themselves test. A
// goroutine that then finds itself deep is ended. That costs nothing where it is not needed, and counts what matters: an interpreted call takes 0.6 kB of
// the stack, 5 kB if the function defers something.

const (
	stackTick     = 40 * time.Microsecond // for each MiB that a stack may have: how often the memory of stacks is looked at. A fast recursion fills 1 MiB in 0.5 ms
	bytesPerFrame = 2048                  // more than a frame of compiled code takes on average
)

// stackWatch finds goroutines that are about to fill their stacks.
type stackWatch struct {
	largest  int // bytes that one stack may have
	pressure atomic.Bool

	mu      sync.Mutex
	running bool
}

func newStackWatch() *stackWatch {
	limit := debug.SetMaxStack(1 << 30)
	debug.SetMaxStack(limit)
	w := &stackWatch{largest: 1 << 15}
	for 2*w.largest <= limit {
		w.largest *= 2
	}
	return w
}

// watchStacks raises the flag while stacks are too large, as long as programs or goroutines of them run.
func (m *Machine) watchStacks() {
	w := m.stacks
	w.mu.Lock()
	defer w.mu.Unlock()
	if w.running {
		return
	}
	w.running = true
	go func() {
		for range time.Tick(time.Duration(w.largest>>20) * stackTick) {
			w.pressure.Store(!w.pressure.Load() && stackMemory() >= uint64(w.largest)) // down every other time: most loops are not to blame
			m.signal()
			if m.resting() {
				return
			}
		}
	}()
}

// resting reports whether nothing runs, and ends the watch if so.
func (m *Machine) resting() bool {
	w := m.stacks
	w.mu.Lock()
	defer w.mu.Unlock()
	if w.pressure.Load() || m.busy.Load() || m.goroutines.alive.Load() > 0 {
		return false
	}
	w.running = false
	return true
}

// stackMemory returns what all stacks take, in bytes.
func stackMemory() uint64 {
	sample := []metrics.Sample{{Name: "/memory/classes/heap/stacks:bytes"}}
	metrics.Read(sample)
	return sample[0].Value.Uint64()
}

// checkDepth ends the current goroutine if it is so deep that it may be the one that fills its stack.
func (m *Machine) checkDepth(innermost *call) {
	if isDeeper(m.stacks.largest / bytesPerFrame) {
		m.unwindFrom(tooDeep{}, innermost)
	}
}

// isDeeper reports whether the current goroutine's stack has more frames of compiled code.
func isDeeper(frames int) bool {
	var next [1]uintptr
	return runtime.Callers(frames, next[:]) > 0
}

// interpretedCalls counts the calls of interpreted functions that the current goroutine is in.
func interpretedCalls() int {
	pcs := make([]uintptr, 1<<20)
	for {
		if n := runtime.Callers(0, pcs); n < len(pcs) {
			return countCalls(pcs[:n])
		}
		pcs = make([]uintptr, 2*len(pcs))
	}
}

func countCalls(pcs []uintptr) int {
	n, isCall := 0, map[uintptr]bool{}
	for _, pc := range pcs {
		is, known := isCall[pc]
		if !known {
			is = strings.HasSuffix(runtime.FuncForPC(pc-1).Name(), "interp.runCfg")
			isCall[pc] = is
		}
		if is {
			n++
		}
	}
	return n
}
