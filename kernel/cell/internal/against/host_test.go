package against

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"runtime"
	"runtime/debug"
	"strings"
	"sync"
	"testing"
	"time"

	"foreplane/kernel"
	"foreplane/kernel/cell"
	"foreplane/kernel/display"
	"foreplane/kernel/symbols"
)

// hostVariable makes the test binary a host: a process that runs cells for the tests.
const hostVariable = "FOREPLANE_AGAINST_HOST"

func TestMain(m *testing.M) {
	if os.Getenv(hostVariable) != "" {
		serve(os.NewFile(3, "orders"), os.NewFile(4, "answers"))
		return
	}
	os.Exit(m.Run())
}

// order asks a host to run a cell.
type order struct {
	Fresh  bool // in a new session
	Code   string
	Number int
	Stop   time.Duration // when to interrupt it; 0 lets it run
}

// answer is what became of a cell.
type answer struct {
	Shown   []string          // displayed while it ran, as text
	Value   string            // of its last expression, as text
	Err     *kernel.CellError // nil if it ran to its end
	Stopped time.Duration     // from the interrupt to the end
	Left    int               // goroutines that are still there
	Stdout  string
	Stderr  string
}

// serve runs cells in order until there are no more.
func serve(orders io.Reader, answers io.Writer) {
	debug.SetMaxStack(256 << 20)
	in, out := json.NewDecoder(orders), json.NewEncoder(answers)
	var engine *cell.Engine
	idle := runtime.NumGoroutine()
	for {
		var o order
		if in.Decode(&o) != nil {
			return
		}
		if o.Fresh {
			machine, err := cell.NewMachine(symbols.Library, cell.MachineOptions{})
			if err != nil {
				panic(err)
			}
			engine = cell.NewEngine(cell.NewFront(symbols.Library), machine)
		}
		a := runCell(engine, o)
		a.Left = runtime.NumGoroutine() - idle
		out.Encode(a)
	}
}

func runCell(engine *cell.Engine, o order) (a answer) {
	ctx, cancel := context.WithCancel(context.Background())
	defer cancel()
	var stopped time.Time
	if o.Stop > 0 {
		defer time.AfterFunc(o.Stop, func() { stopped = time.Now(); cancel() }).Stop()
	}
	shown := &shows{silent: o.Stop > 0}
	r := engine.Run(ctx, kernel.Cell{Code: o.Code, Number: o.Number}, shown)
	a.Shown, a.Err = shown.texts, r.Err
	if r.Value != nil {
		a.Value = r.Value.Text()
	}
	if ctx.Err() != nil {
		a.Stopped = time.Since(stopped)
	}
	return a
}

// shows is an output that keeps what is displayed.
type shows struct {
	silent bool // questions are not answered, instead of refused
	mu     sync.Mutex
	texts  []string
}

func (s *shows) Show(b display.Bundle, _ string) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.texts = append(s.texts, b.Text())
}
func (*shows) Stream(name, text string) {
	to := os.Stdout
	switch {
	case strings.HasPrefix(text, "note: "): // of the checker
		return
	case name == "stderr":
		to = os.Stderr
	}
	io.WriteString(to, text)
}
func (*shows) Update(display.Bundle, string) {}
func (*shows) Clear(bool)                    {}
func (*shows) Page(display.Bundle)           {}
func (s *shows) Input(ctx context.Context, _ string, _ bool) (string, error) {
	if s.silent {
		<-ctx.Done()
	}
	return "", errors.New("no questions here")
}

// host is the other side of serve: a process, started when it is needed and again after it was lost.
type host struct {
	process  *exec.Cmd
	orders   *os.File
	answers  *os.File
	stdout   *os.File
	stderr   *os.File
	joined   bool // both streams go to stdout, in the order in which they are written
	sessions int
	dirty    bool
}

const (
	patience    = 60 * time.Second // what a cell that hangs is given
	maxSessions = 100              // of one process, which keeps the memory of each
)

// run has a cell run, and returns an error if the process ended or had to be ended.
func (h *host) run(o order) (answer, error) {
	if o.Fresh {
		if h.sessions++; h.dirty || h.sessions%maxSessions == 0 {
			h.end()
		}
	}
	if h.process == nil {
		if err := h.start(); err != nil {
			return answer{}, err
		}
	}
	killed := time.AfterFunc(patience+o.Stop, func() { h.process.Process.Kill() })
	var a answer
	err := json.NewEncoder(h.orders).Encode(o)
	if err == nil {
		err = json.NewDecoder(h.answers).Decode(&a)
	}
	inTime := killed.Stop()
	a.Stdout = unread(h.stdout)
	a.Stderr = unread(h.stderr) // nothing, if it is the same file
	h.dirty = a.Left > 0
	if err != nil {
		h.end()
		if !inTime {
			return a, fmt.Errorf("hangs")
		}
		return a, fmt.Errorf("crashes: %.200s", crash(a.Stderr))
	}
	return a, nil
}

func (h *host) start() error {
	orders, toHost, err := os.Pipe()
	if err != nil {
		return err
	}
	fromHost, answers, err := os.Pipe()
	if err != nil {
		return err
	}
	h.stdout, h.stderr = stream(), stream()
	if h.joined {
		h.stderr.Close()
		h.stderr = h.stdout
	}
	h.process = exec.Command(os.Args[0])
	h.process.Env = append(os.Environ(), hostVariable+"=1")
	h.process.Stdout, h.process.Stderr = h.stdout, h.stderr
	h.process.ExtraFiles = []*os.File{orders, answers}
	h.orders, h.answers = toHost, fromHost
	err = h.process.Start()
	orders.Close()
	answers.Close()
	return err
}

// stream is a file without a name that a process writes to, so that nothing is lost when it crashes.
func stream() *os.File {
	f, err := os.CreateTemp("", "against")
	if err != nil {
		panic(err)
	}
	os.Remove(f.Name())
	return f
}

// unread returns what has been written since the last call. The process writes at the offset that both share.
func unread(f *os.File) string {
	end, _ := f.Seek(0, io.SeekCurrent)
	b := make([]byte, end)
	f.ReadAt(b, 0)
	f.Truncate(0)
	f.Seek(0, io.SeekStart)
	return string(b)
}

// crash is the line that says why a Go process ended.
func crash(stderr string) string {
	for line := range strings.Lines(stderr) {
		if strings.HasPrefix(line, "panic: ") || strings.HasPrefix(line, "fatal error: ") {
			return strings.TrimSpace(line)
		}
	}
	return strings.TrimSpace(stderr)
}

func (h *host) end() {
	if h.process == nil {
		return
	}
	h.process.Process.Kill()
	h.process.Wait()
	for _, f := range []*os.File{h.orders, h.answers, h.stdout, h.stderr} {
		f.Close()
	}
	h.process, h.dirty = nil, false
}

// each calls do for 0 to n-1, on as many hosts as there are processors.
func each(n int, do func(h *host, i int)) {
	var next, done = make(chan int), sync.WaitGroup{}
	for range min(runtime.GOMAXPROCS(0), n) {
		done.Go(func() {
			h := new(host)
			defer h.end()
			for i := range next {
				do(h, i)
			}
		})
	}
	for i := range n {
		next <- i
	}
	close(next)
	done.Wait()
}
