package kernel_test

import (
	"testing"

	"foreplane/kernel"
	"foreplane/kernel/kerneltest"
)

// BenchmarkExecute is what the core adds to a cell: from request to idle: six messages.
func BenchmarkExecute(b *testing.B) {
	l, err := kernel.NewLocal(kernel.Options{Engine: kerneltest.NewScript()})
	if err != nil {
		b.Fatal(err)
	}
	defer l.Close()
	for b.Loop() {
		if _, err := l.Execute(b.Context(), kernel.Call{Code: "print x\nvalue 42"}, nil); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkStream is what the core adds to a line of output.
func BenchmarkStream(b *testing.B) {
	l, err := kernel.NewLocal(kernel.Options{Engine: kerneltest.NewScript()})
	if err != nil {
		b.Fatal(err)
	}
	defer l.Close()
	for b.Loop() {
		if _, err := l.Execute(b.Context(), kernel.Call{Code: "repeat 100000 line"}, nil); err != nil {
			b.Fatal(err)
		}
	}
}
