package worker

import "testing"

// The collector of Go 1.26 reads what it was refused when memory is short: seen in about one of two hundred runs at the limit.
func TestCollectorWithoutMemory(t *testing.T) {
	e := ending{report: "SIGSEGV: segmentation violation\nPC=0x43a95d m=7 sigcode=1 addr=0x0\n\ngoroutine 0 gp=0x3628073c21e0 m=7 mp=0x3628071df008 [idle]:\n" +
		"runtime.(*spanQueue).tryDrain(0x7f7f00000400?, 0x43b4c5?, 0x700e5e0?)\n", options: Options{Memory: 1 << 30}}
	if got, want := e.runtimeReason(), "out of memory, the limit is 1.0 GiB"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
	e.report = "SIGSEGV: segmentation violation\nPC=0x43a95d m=7 sigcode=1 addr=0x0\n\ngoroutine 1:\nmain.f(0x0)\n"
	if got, want := e.runtimeReason(), "segmentation violation"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
}
