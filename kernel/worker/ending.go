package worker

import (
	"errors"
	"fmt"
	"os"
	"path"
	"regexp"
	"strings"
	"syscall"

	"foreplane/kernel"
	"foreplane/kernel/cell"
)

// endKind says who ended a worker.
type endKind int

const (
	endItself  endKind = iota
	endStopped         // we did: it did not obey a stop
	endClosed          // we did: the kernel closes
)

// ending is all that is known about how a worker ended.
type ending struct {
	kind    endKind
	ready   bool    // it had a machine
	last    message // of kind fault or memory, if it sent one
	report  string  // what it wrote to the report stream since its last mark
	status  *os.ProcessState
	options Options
	at      int           // the place that the cell has left last
	program *cell.Program // the one that ran, if one did
}

// maxReport bounds how much of a report is kept; the cause comes first.
const maxReport = 64 << 10

// lost describes the ending to the owner of a cell: the one that ran, or if none did, the last one before.
func (e *ending) lost(number int, ran bool) *cell.LostError {
	name, format := "WorkerLost", "after cell %d the process that runs the cells ended: %s; this cell was not run"
	switch {
	case e.kind == endStopped:
		name, format = "Interrupted", "cell %d was interrupted and %s"
	case e.kind == endClosed:
		format = "cell %d was given up: %s"
	case !e.ready:
		return notStarted(number, errors.New(e.reason()))
	case ran:
		format = "cell %d ended the process that runs the cells: %s"
	}
	err := newLost(name, fmt.Sprintf(format, number, e.reason())+e.line(), e.frames()...)
	err.Began = ran
	return err
}

// line words the last place of the statements of the cell that is known. They leave one before each statement that calls something or may fail.
func (e *ending) line() string {
	if e.program == nil || e.at <= 0 || e.at >= len(e.program.Places) || e.program.Places[e.at].Line == 0 {
		return ""
	}
	return fmt.Sprintf("; the last that is known of it is line %d", e.program.Places[e.at].Line)
}

func notStarted(number int, err error) *cell.LostError {
	return newLost("WorkerLost", fmt.Sprintf("cell %d was not run: the process that runs the cells cannot be started: %v", number, err))
}

func newLost(name, message string, frames ...string) *cell.LostError {
	return &cell.LostError{Cause: kernel.CellError{
		Name: name, Message: message, Traceback: append([]string{name + ": " + message}, frames...),
	}}
}

// reason says in words why the worker ended.
func (e *ending) reason() string {
	switch {
	case e.kind == endStopped:
		return fmt.Sprintf("did not stop within %v, so the process that runs the cells was ended", e.options.Grace)
	case e.kind == endClosed:
		return "the kernel is closing"
	case e.last.Kind == kindMemory:
		return fmt.Sprintf("out of memory, %s in use, the limit is %s", size(e.last.Memory), size(e.options.Memory))
	case e.last.Kind == kindFault:
		return e.last.Error
	}
	if why := e.runtimeReason(); why != "" {
		return why
	}
	if s, ok := signalled(e.status); ok {
		return signalReason(s)
	}
	if !e.ready {
		return fmt.Sprintf("it ended with exit code %d", e.status.ExitCode())
	}
	return fmt.Sprintf("os.Exit(%d) was called", e.status.ExitCode())
}

func signalReason(s syscall.Signal) string {
	if s == syscall.SIGKILL {
		return "killed from outside, perhaps by the system because memory was short, or because it had closed its connection to the kernel"
	}
	return fmt.Sprintf("ended by a signal from outside: %v", s)
}

// fatal finds the line of the runtime's report that names the cause.
var fatal = regexp.MustCompile(`(?m)^(fatal error: |panic: |SIG[A-Z]+: )(.*?)( \[recovered.*\])?$`)

// lastWords finds where a report of the Go runtime begins.
var lastWords = regexp.MustCompile(`(?m)^(runtime: |runtime/cgo: |fatal error: |panic: |SIG[A-Z]+: |unexpected fault address )`)

// cutReport splits text at the beginning of the runtime's report in it.
func cutReport(text string) (before, report string) {
	if at := lastWords.FindStringIndex(text); at != nil {
		return text[:at[0]], text[at[0]:]
	}
	return text, ""
}

// noMemory finds the words for memory that was refused, be it for the heap, for the stack of a thread or for the queue of the garbage collector, which does not
// look at what it gets (Go 1.26, runtime.spanQueue).
var noMemory = regexp.MustCompile(`out of memory|[Cc]annot allocate memory|cannot map pages|failed to create new OS thread|pthread_create failed|addr=0x0\n(?:.*\n){0,3}runtime\.\(\*spanQueue\)`)

// runtimeReason explains the report of the Go runtime; it is empty if there is none.
func (e *ending) runtimeReason() string {
	found := fatal.FindStringSubmatch(e.report)
	if found == nil {
		return ""
	}
	what := found[2]
	switch {
	case found[1] == "panic: ":
		return "panic in a goroutine: " + what
	case strings.Contains(what, "stack overflow"):
		return fmt.Sprintf("stack overflow, a function went on calling itself until the stack of %s was full", size(uint64(e.options.Stack)))
	case noMemory.MatchString(e.report):
		return "out of memory, the limit is " + size(e.options.Memory)
	case strings.HasPrefix(what, "concurrent map"):
		return what + ", two goroutines used a map at the same time: guard it with a sync.Mutex"
	}
	return what
}

// frame finds a call in the runtime's report: the function, then file and line.
var frame = regexp.MustCompile(`(?m)^(\S+)\(.*\)\n\t\S*?([^/\s]+\.go:\d+)`)

// hidden finds the functions that tell nothing about a cell.
var hidden = regexp.MustCompile(`^(runtime|internal|reflect|sync|syscall|os|panic$|github\.com/traefik/yaegi|foreplane/kernel)\b`)

// frames lists where in compiled code the goroutine at fault was, innermost first.
func (e *ending) frames() []string {
	_, stack, _ := strings.Cut(e.report, " [running]:\n")
	stack, _, _ = strings.Cut(stack, "\n\n") // the other goroutines
	var list []string
	for _, f := range frame.FindAllStringSubmatch(stack, -1) {
		if !hidden.MatchString(f[1]) && len(list) < 5 {
			list = append(list, fmt.Sprintf("in %s (%s)", path.Base(f[1]), f[2]))
		}
	}
	return list
}

// size formats a number of bytes.
func size(bytes uint64) string {
	if bytes < 1<<30 {
		return fmt.Sprintf("%d MiB", bytes>>20)
	}
	return fmt.Sprintf("%.1f GiB", float64(bytes)/(1<<30))
}
