package worker

import (
	"slices"
	"testing"
)

// dump is how the runtime reports a panic, shortened.
const dump = `panic: runtime error: index out of range [7] with length 3 [recovered, repanicked]

goroutine 23 [running]:
foreplane/aerolib/lattice.(*Mesh).panel(...)
	/home/someone/src/foreplane/aerolib/lattice/mesh.go:88
foreplane/aerolib/lattice.Solve({0xc000012000, 0x3, 0x3}, 0x7)
	/home/someone/src/foreplane/aerolib/lattice/solve.go:41 +0x1d
reflect.Value.call({0x51e0c0?, 0x53c0b8?, 0x10?}, {0x53a4f5, 0x4}, {0xc00005ef58, 0x1, 0x1?})
	/usr/local/go/src/reflect/value.go:581 +0xca6
github.com/traefik/yaegi/interp.callBin.func10(0xc0002c0160)
	/home/someone/go/pkg/mod/github.com/traefik/yaegi@v0.16.1/interp/run.go:1800 +0x1b5
foreplane/kernel/cell.(*Machine).execute.func1()
	/home/someone/src/foreplane/kernel/cell/machine.go:99 +0x4f
created by main.start in goroutine 1
	/home/someone/src/main.go:9 +0x25

goroutine 1 [chan receive]:
main.main()
	/home/someone/src/main.go:12 +0x1d
`

func TestFrames(t *testing.T) {
	e := ending{report: dump}
	want := []string{"in lattice.(*Mesh).panel (mesh.go:88)", "in lattice.Solve (solve.go:41)"}
	if got := e.frames(); !slices.Equal(got, want) {
		t.Errorf("got %q, want %q", got, want)
	}
	if got, want := e.runtimeReason(), "panic in a goroutine: runtime error: index out of range [7] with length 3"; got != want {
		t.Errorf("got %q, want %q", got, want)
	}
}

func TestMemoryRefused(t *testing.T) {
	for _, report := range []string{
		"runtime: out of memory: cannot allocate 4194304-byte block (1048576 in use)\nfatal error: out of memory\n",
		"fatal error: runtime: cannot map pages in arena address space\n",
		"runtime: failed to create new OS thread (have 9 already; errno=11)\nfatal error: newosproc\n",
		"runtime/cgo: pthread_create failed: Resource temporarily unavailable\nSIGABRT: abort\nPC=0x7f m=0 sigcode=18446744073709551610\n",
	} {
		before, last := cutReport("told\n" + report)
		e := ending{report: last, options: Options{Memory: 1 << 30}}
		if got, want := e.runtimeReason(), "out of memory, the limit is 1.0 GiB"; got != want || before != "told\n" {
			t.Errorf("%q: got %q after %q, want %q", report, got, before, want)
		}
	}
}

func TestSize(t *testing.T) {
	for bytes, want := range map[uint64]string{0: "0 MiB", 512 << 20: "512 MiB", 1<<30 - 1: "1023 MiB", 4<<30 + 300<<20: "4.3 GiB"} {
		if got := size(bytes); got != want {
			t.Errorf("%d: got %s, want %s", bytes, got, want)
		}
	}
}
