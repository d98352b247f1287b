package worker

import (
	"fmt"
	"os"
	"runtime/debug"
	"runtime/metrics"
	"time"

	"foreplane/kernel/cell"
)

// Main is the worker: it serves the machine that open makes, until its supervisor has gone, and then ends everything the cells started. Only a
// [Supervisor] can start it; the result is an exit code for when it cannot begin.
func Main(open func() (cell.Runner, error)) int {
	link := newLink(inherited(0), inherited(1))
	m, err := link.receive()
	if err != nil || m.Kind != kindSetup {
		fmt.Fprintln(os.Stderr, "the worker is started by the kernel, not by hand")
		return 2
	}
	ignoreSignals()
	go watch(link, m.Memory)
	if err := serve(link, m, open); err != nil {
		link.send(message{Kind: kindFault, Error: err.Error()})
	}
	killSelf()
	return 1
}

// serve sets the worker up and runs programs until the supervisor has gone.
func serve(link *link, m message, open func() (cell.Runner, error)) error {
	std, err := takeStdio(inherited(2))
	if err != nil {
		return err
	}
	if err := limit(m); err != nil {
		return err
	}
	at, err := inheritedPlace(inherited(3))
	if err != nil {
		return err
	}
	machine, err := open()
	if err != nil {
		return err
	}
	if m, ok := machine.(interface{ TellPlaces(*int) }); ok {
		m.TellPlaces(at)
	}
	s := &server{link: link, machine: machine, out: &output{link: link, key: m.Key, std: std}, questions: map[uint64]chan message{}}
	if err := link.send(message{Kind: kindReady}); err != nil {
		return err
	}
	s.serve()
	return nil
}

func limit(m message) error {
	debug.SetMaxStack(m.Stack)
	debug.SetMemoryLimit(int64(m.Memory) / 10 * 9) // from here on the collector works harder
	if err := limitFiles(m.Files); err != nil {
		return err
	}
	return limitData(m.Memory)
}

// watch ends the worker when it uses too much memory, or when its supervisor has gone and somebody else holds the pipe open. It warns once before, and again
// only when there has been room meanwhile.
func watch(link *link, limit uint64) {
	parent, warned := os.Getppid(), false
	for range time.Tick(100 * time.Millisecond) {
		if used := memoryUsed(); used > limit {
			link.send(message{Kind: kindMemory, Memory: used})
			killSelf()
		}
		switch kept := memoryKept(); {
		case kept > limit/4*3 && !warned:
			link.send(message{Kind: kindLow, Memory: kept})
			warned = true
		case kept < limit/2:
			warned = false
		}
		if os.Getppid() != parent {
			killSelf()
		}
	}
}

// memoryUsed returns what the Go runtime has mapped and not given back, in bytes: what the limit of package debug counts.
func memoryUsed() uint64 {
	m := measure("/memory/classes/total:bytes", "/memory/classes/heap/released:bytes")
	return m[0].Value.Uint64() - m[1].Value.Uint64()
}

// memoryKept returns what the last garbage collection has kept, and the stacks, in bytes.
func memoryKept() uint64 {
	m := measure("/gc/heap/live:bytes", "/memory/classes/heap/stacks:bytes")
	return m[0].Value.Uint64() + m[1].Value.Uint64()
}

func measure(names ...string) []metrics.Sample {
	samples := make([]metrics.Sample, len(names))
	for i, name := range names {
		samples[i].Name = name
	}
	metrics.Read(samples)
	return samples
}
