//go:build unix

package worker_test

import (
	"context"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"

	"foreplane/kernel"
	"foreplane/kernel/worker"
)

func init() {
	steps["signal"] = plain(stepSignal)
	steps["hold"] = plain(stepHold)
	steps["start"] = plain(func(command string, _ kernel.Output) { launch(command, nil) })
	steps["escape"] = plain(func(command string, _ kernel.Output) { launch(command, &syscall.SysProcAttr{Setsid: true}) })
	roles["supervisor"] = superviseForever
}

func stepSignal(signal string, _ kernel.Output) {
	syscall.Kill(os.Getpid(), syscall.Signal(number(signal)))
	select {}
}

// stepHold opens a file and never closes it.
func stepHold(path string, _ kernel.Output) {
	f, err := os.OpenFile(path, os.O_WRONLY, 0)
	if err != nil {
		panic(err)
	}
	held = append(held, f)
}

var held []*os.File

// launch leaves a process behind that writes to the worker's stdout.
func launch(command string, how *syscall.SysProcAttr) {
	c := exec.Command("sh", "-c", command)
	c.Stdout = os.Stdout
	c.SysProcAttr = how
	if err := c.Start(); err != nil {
		panic(err)
	}
}

// superviseForever is a supervisor whose worker and a child of it hold the file named by an environment variable.
func superviseForever() int {
	s := worker.New(options("script"))
	fifo := os.Getenv("FOREPLANE_TEST_FIFO")
	for i, step := range []string{"hold " + fifo, sleeper(fifo)} {
		if _, err := s.Run(context.Background(), program(i, step), discard{}); err != nil {
			panic(err)
		}
	}
	select {}
}

// sleeper is a step that leaves a process behind which holds the fifo open, and writes a byte to it at first.
func sleeper(fifo string) string { return "start exec 3>" + fifo + "; echo >&3; exec sleep 1000" }

// fifo tells when the last process that has it open for writing is gone: reading it ends then.
type fifo struct {
	path string
	file *os.File
}

func newFifo(t *testing.T) fifo {
	t.Helper()
	path := filepath.Join(t.TempDir(), "fifo")
	if err := syscall.Mkfifo(path, 0o600); err != nil {
		t.Fatal(err)
	}
	f, err := os.OpenFile(path, os.O_RDWR, 0) // for writing too, so that opening does not wait
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { f.Close() })
	return fifo{path, f}
}

// mustBegin waits until a byte was written.
func (f fifo) mustBegin(t *testing.T) {
	t.Helper()
	if _, err := f.file.Read(make([]byte, 1)); err != nil {
		t.Fatal(err)
	}
}

// mustEnd waits until all writers are gone.
func (f fifo) mustEnd(t *testing.T) {
	t.Helper()
	reader, err := os.OpenFile(f.path, os.O_RDONLY|syscall.O_NONBLOCK, 0)
	if err != nil {
		t.Fatal(err)
	}
	defer reader.Close()
	f.file.Close()
	reader.SetReadDeadline(time.Now().Add(10 * time.Second))
	if _, err := reader.Read(make([]byte, 1)); err != io.EOF {
		t.Fatalf("a process is left: %v", err)
	}
}

func TestSignals(t *testing.T) {
	for signal, want := range map[syscall.Signal]string{
		syscall.SIGKILL: "killed from outside, perhaps by the system because memory was short, or because it had closed its connection to the kernel",
		syscall.SIGTERM: "ended by a signal from outside: terminated",
		syscall.SIGSEGV: "segmentation violation",
	} {
		s := start(t, options("script"))
		step := "signal " + strconv.Itoa(int(signal))
		if got := mustLose(t, s, 1, step).Cause.Message; !strings.Contains(got, want) {
			t.Errorf("%v: got %q, want it to contain %q", signal, got, want)
		}
	}
}

// TestInterruptSignal checks that an interrupt sent to the worker or its group is left to the supervisor.
func TestInterruptSignal(t *testing.T) {
	s := start(t, options("script"))
	pid := number(mustRun(t, s, 1, "pid", discard{}))
	for _, target := range []int{pid, -pid} {
		if err := syscall.Kill(target, syscall.SIGINT); err != nil {
			t.Fatal(err)
		}
	}
	if got := mustRun(t, s, 2, "pid", discard{}); got != strconv.Itoa(pid) {
		t.Errorf("the worker was %d and is %s", pid, got)
	}
}

// TestFlood checks that a process that a cell left behind, and that never stops writing, holds up nobody.
func TestFlood(t *testing.T) {
	s := start(t, options("script"))
	f := newFifo(t)
	mustRun(t, s, 1, "start exec 3>"+f.path+"; echo >&3; exec yes", discard{})
	f.mustBegin(t)
	for i := range 20 {
		out := newRecorder()
		if got := mustRun(t, s, i, "alternate 20", out); got != "" {
			t.Errorf("got %q", got)
		}
	}
	s.Close()
	f.mustEnd(t)
}

// TestNoOrphans checks that what a cell started goes with the worker, however that ends.
func TestNoOrphans(t *testing.T) {
	for name, end := range map[string]func(t *testing.T, s *worker.Supervisor){
		"close": func(_ *testing.T, s *worker.Supervisor) { s.Close() },
		"exit":  func(t *testing.T, s *worker.Supervisor) { mustLose(t, s, 2, "exit 3") },
		"kill":  func(t *testing.T, s *worker.Supervisor) { mustLose(t, s, 2, "signal 9") },
		"hog":   func(t *testing.T, s *worker.Supervisor) { mustLose(t, s, 2, "hog") },
	} {
		t.Run(name, func(t *testing.T) {
			o := options("script")
			o.Memory = 100 << 20
			s := start(t, o)
			f := newFifo(t)
			mustRun(t, s, 1, sleeper(f.path), discard{})
			f.mustBegin(t)
			end(t, s)
			f.mustEnd(t)
		})
	}
}

// TestEscaped checks that a process which left the worker's group, and holds its stdout open, does not hold up the end of the worker.
func TestEscaped(t *testing.T) {
	s := start(t, options("script"))
	out := newRecorder()
	mustRun(t, s, 1, "escape echo $$; exec sleep 1000", out)
	out.until(t, "\n")
	pid := number(strings.TrimSpace(strings.TrimPrefix(out.String(), "stdout:")))
	defer syscall.Kill(pid, syscall.SIGKILL)
	mustLose(t, s, 2, "exit 1")
	mustRun(t, s, 3, "recall", discard{})
}

// TestSupervisorKilled checks that nothing is left when the supervisor could not end anything itself.
func TestSupervisorKilled(t *testing.T) {
	f := newFifo(t)
	c := exec.Command(os.Args[0])
	c.Env = append(os.Environ(), roleVariable+"=supervisor", "FOREPLANE_TEST_FIFO="+f.path)
	if err := c.Start(); err != nil {
		t.Fatal(err)
	}
	f.mustBegin(t)
	c.Process.Kill()
	f.mustEnd(t)
	c.Wait()
}
