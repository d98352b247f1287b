//go:build soak

package main

import (
	"flag"
	"fmt"
	"math/rand/v2"
	"net"
	"os"
	"os/signal"
	"path/filepath"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"

	"foreplane/kernel/wire"
)

var soakCells = flag.Int("cells", 20_000, "how many cells the soak runs")

// A process that a soak has started writes its number of goroutines to a file when it gets a signal.
func init() {
	dir := os.Getenv("SOAK_DIR")
	if dir == "" {
		return
	}
	asked := make(chan os.Signal, 1)
	signal.Notify(asked, syscall.SIGUSR1)
	go func() {
		for range asked {
			path := filepath.Join(dir, strconv.Itoa(os.Getpid()))
			os.WriteFile(path+".new", []byte(strconv.Itoa(runtime.NumGoroutine())), 0o600)
			os.Rename(path+".new", path)
		}
	}()
}

// TestSoak runs a kernel for many cells, as notebooks and consoles do, over ZeroMQ: in the first half one cell in a hundred is interrupted, 50 end the
// process that runs the cells, and 20 clients come and go; the second half has no deaths, so that one worker lives through it. It holds that each message
// comes once and in its place, for all clients, that no goroutine stays, and that memory does not grow.
//
// Memory is what both processes have resident, the least of the measurements (every 20 cells) in a window of 5 % of the cells: garbage comes and goes.
// For the supervisor the first window ends at a tenth of the cells and the last one at their end; for the worker the first one begins 5 % after its start.
func TestSoak(t *testing.T) {
	dir := t.TempDir()
	s := &soak{t: t, dir: dir, kernel: startKernel(t, "SOAK_DIR="+dir), random: rand.New(rand.NewPCG(1, 2))}
	s.main = s.kernel.dial(t, "main")
	s.run()
	s.report()
}

// soak is the work on one kernel.
type soak struct {
	t      *testing.T
	dir    string
	kernel *process
	main   *client
	random *rand.Rand

	n                            int // cells so far
	interrupts, deaths, visitors int
	goroutines                   []int // of the supervisor, while it idles
	supervisor, worker           []int // resident kilobytes, every 20 cells
	visiting                     *visitor
	published                    []string // numbers of the messages on iopub, as the main client has got them
}

// kinds are the cells of the soak with what they print or fail with; %d is the number of the cell.
var kinds = []struct{ code, text, value, failure string }{
	{code: "%d + 1 - 1", value: "%d"},
	{code: "fmt.Println(%d)", text: "%d\n"},
	{code: "x = %d\nfor i := range 20 { x += float64(i) }\nfmt.Println(x - 190)", text: "%d\n"},
	{code: "y := %d\ny", value: "%d"},
	{code: "y := %d.0\nint(y)", value: "%d"},
	{code: "func f(a float64) float64 { return a + %d }\nint(f(0))", value: "%d"},
	{code: "g := func() int { return %d }\ng()", value: "%d"},
	{code: "h(%d)", value: "%d"},
	{code: "m := map[string]int{\"a\": %d}\nm[\"a\"]", value: "%d"},
	{code: "c := make(chan int)\ngo func() { c <- %d }()\n<-c", value: "%d"},
	{code: "air := must(atmos.Standard(1000 * Metre))\nfmt.Println(%d, air.Density > 1*KilogramPerCubicMetre)", text: "%d true\n"},
	{code: "import \"strings\"\nstrings.Repeat(\"a\", 2) + fmt.Sprint(%d)", value: "aa%d"},
	{code: "undefined%d", failure: "Check: cell"},
	{code: "var z []int\nz[%d]", failure: "Panic: cell"},
	{code: "must(0, errors.New(\"no %d\"))", failure: "Error: cell"},
	{code: "defer fmt.Println(\"after\")\nfmt.Println(%d)", text: "%d\nafter\n"},
}

// deaths end the worker.
var deaths = []struct{ code, says string }{
	{"p, _ := os.FindProcess(os.Getpid())\np.Kill()", "killed"},
	{"import \"sync\"\nvar mu sync.Mutex\nmu.Unlock()", "unlock of unlocked mutex"},
	{"m := map[int]int{}\nfor range 4 {\n\tgo func() {\n\t\tfor {\n\t\t\tm[1]++\n\t\t}\n\t}()\n}\nselect {}", "concurrent map"},
}

const preparation = "x := 0.0\nfunc h(n int) int { return n }"

func (s *soak) run() {
	s.cell(preparation, "", "", "")
	for s.n < *soakCells {
		switch {
		case s.deaths < 50 && s.n >= (2*s.deaths+1)**soakCells/200:
			s.die()
		case s.n >= s.interrupts*100+50:
			s.interrupt()
		default:
			k := kinds[s.random.IntN(len(kinds))]
			fill := func(text string) string { return strings.ReplaceAll(text, "%d", strconv.Itoa(s.n)) }
			s.cell(fill(k.code), fill(k.text), fill(k.value), k.failure)
		}
		s.between()
	}
}

// cell runs a cell and holds what comes of it.
func (s *soak) cell(code, text, value, failure string) {
	s.n++
	r := s.main.execute(code, nil, s.note)
	if r.text != text || r.value != value || !strings.HasPrefix(r.failure, failure) || (failure == "") != (r.failure == "") {
		s.t.Fatalf("cell %d, %q: got %+v", s.n, code, r)
	}
	want := []string{"status", "execute_input"}
	if text != "" {
		want = append(want, "stream")
	}
	if value != "" {
		want = append(want, "execute_result")
	}
	if failure != "" {
		want = append(want, "error")
	}
	if want = append(want, "status"); !slices.Equal(slices.Compact(slices.Clone(r.types)), want) {
		s.t.Fatalf("cell %d, %q: messages %v, want %v", s.n, code, r.types, want)
	}
}

func (s *soak) note(m *wire.Message) { s.published = append(s.published, m.Header.ID) }

func (s *soak) interrupt() {
	s.n++
	s.interrupts++
	code := []string{"for {}", "select {}", "time.Sleep(time.Hour)", "for { fmt.Sprint(x) }"}[s.interrupts%4]
	r := s.main.execute(code, func() { s.main.send(wire.Control, "interrupt_request", nil) }, s.note)
	if !strings.HasPrefix(r.failure, "Interrupted: cell") || strings.Contains(r.failure, "lost") {
		s.t.Fatalf("cell %d, %q: got %+v", s.n, code, r)
	}
	s.main.next(wire.Control)
}

// die runs a cell that ends the worker, and makes anew what the other cells use; early in the soak by a rebuild.
func (s *soak) die() {
	s.n++
	d := deaths[s.deaths%len(deaths)]
	s.deaths++
	if r := s.main.execute(d.code, nil, s.note); !strings.HasPrefix(r.failure, "WorkerLost: cell") || !strings.Contains(r.failure, d.says) {
		s.t.Fatalf("cell %d, %q: got %+v", s.n, d.code, r)
	}
	if s.deaths <= 3 {
		if r := s.main.execute("rebuild()", nil, s.note); r.failure != "" {
			s.t.Fatalf("cell %d: got %+v", s.n, r)
		}
		s.n++
		return
	}
	s.cell(preparation, "", "", "")
}

// between asks what front ends ask between cells, measures, and lets clients come and go.
func (s *soak) between() {
	switch s.n % 20 {
	case 5:
		s.ask("complete_request", map[string]any{"code": "atmos.St", "cursor_pos": 8})
	case 10:
		s.ask("inspect_request", map[string]any{"code": "h", "cursor_pos": 1, "detail_level": 0})
	case 15:
		s.supervisor = append(s.supervisor, resident(s.t, s.kernel.cmd.Process.Pid))
		s.worker = append(s.worker, resident(s.t, childOf(s.t, s.kernel.cmd.Process.Pid)))
	}
	switch stay := *soakCells / 20; s.n % stay {
	case stay / 10:
		s.visitors++
		s.visiting = s.visit(s.visitors)
	case stay / 2:
		if s.visiting != nil {
			s.visiting.leave()
			s.visiting = nil
		}
	case stay * 3 / 4:
		s.goroutines = append(s.goroutines, s.countGoroutines(s.kernel.cmd.Process.Pid))
	}
}

func (s *soak) ask(kind string, content any) {
	id := s.main.send(wire.Shell, kind, content)
	if m := s.main.next(wire.Shell); parentOf(m) != id {
		s.t.Fatalf("after %s: %s", kind, m.Header.Type)
	}
}

// visitor is a client that comes and goes. Some subscribe and stop reading, some say nothing at all.
type visitor struct {
	s      *soak
	client *client
	silent []net.Conn
}

func (s *soak) visit(number int) *visitor {
	v := &visitor{s: s, client: s.kernel.dial(s.t, "visitor"+strconv.Itoa(number))}
	for _, port := range []int{s.kernel.connection.Shell, s.kernel.connection.IOPub, s.kernel.connection.Heartbeat} {
		conn, err := net.Dial("tcp", net.JoinHostPort(s.kernel.connection.IP, strconv.Itoa(port)))
		if err != nil {
			s.t.Fatal(err)
		}
		v.silent = append(v.silent, conn)
	}
	if r := v.client.execute("// a visitor", nil, nil); r.failure != "" {
		s.t.Fatalf("visitor %d: %+v", number, r)
	}
	return v
}

// leave holds that the visitor has got what the main client got, in the same order.
func (v *visitor) leave() {
	v.s.cell("// good bye", "", "", "")
	last := v.s.published[len(v.s.published)-1]
	var got []string
	for m := v.client.next(wire.IOPub); ; m = v.client.next(wire.IOPub) {
		got = append(got, m.Header.ID)
		if m.Header.ID == last {
			break
		}
	}
	from := slices.Index(v.s.published, got[0])
	if from < 0 || !slices.Equal(v.s.published[from:], got) {
		v.s.t.Fatalf("a visitor got %d messages, not those of the main client", len(got))
	}
	v.client.close()
	for _, conn := range v.silent {
		conn.Close()
	}
}

// report holds what the measurements come to.
func (s *soak) report() {
	per := *soakCells / 20 / 20 // measurements in a window
	least := func(list []int, from int) int { return slices.Min(list[from:min(from+per, len(list))]) }
	end := len(s.supervisor)
	half := end / 2
	before, after := least(s.supervisor, per), least(s.supervisor, end-per)
	young, old := least(s.worker, half+per), least(s.worker, end-per)
	s.t.Logf("%d cells, %d interrupts, %d deaths, %d visitors", s.n, s.interrupts, s.deaths, s.visitors)
	s.t.Logf("supervisor %d kB, then %d kB; worker %d kB, then %d kB; both together %+.1f %%", before, after, young, old,
		100*(float64(after+old)/float64(before+young)-1))
	s.t.Logf("goroutines of the idle supervisor: %v; of the worker at the end: %d", s.goroutines,
		s.countGoroutines(childOf(s.t, s.kernel.cmd.Process.Pid)))
	for _, m := range []struct {
		what          string
		before, after int
	}{{"supervisor", before, after}, {"worker", young, old}} {
		if float64(m.after) > 1.2*float64(m.before) {
			s.t.Errorf("the %s has grown from %d to %d kB", m.what, m.before, m.after)
		}
	}
	if first, last := s.goroutines[0], s.goroutines[len(s.goroutines)-1]; last > first {
		s.t.Errorf("%d goroutines have become %d", first, last)
	}
}

// countGoroutines asks a process of the soak.
func (s *soak) countGoroutines(pid int) int {
	path := filepath.Join(s.dir, strconv.Itoa(pid))
	os.Remove(path)
	if err := syscall.Kill(pid, syscall.SIGUSR1); err != nil {
		s.t.Fatal(err)
	}
	for deadline := time.Now().Add(patience); time.Now().Before(deadline); time.Sleep(time.Millisecond) {
		if text, err := os.ReadFile(path); err == nil {
			n, _ := strconv.Atoi(string(text))
			return n
		}
	}
	s.t.Fatal("the number of goroutines is not told")
	return 0
}

// resident returns how many kilobytes a process has in memory.
func resident(t *testing.T, pid int) int {
	t.Helper()
	text, err := os.ReadFile(fmt.Sprintf("/proc/%d/status", pid))
	if err != nil {
		t.Fatal(err)
	}
	var kilobytes int
	_, rest, _ := strings.Cut(string(text), "VmRSS:")
	fmt.Sscan(rest, &kilobytes)
	return kilobytes
}

// childOf returns the process that another one has started.
func childOf(t *testing.T, pid int) int {
	t.Helper()
	for range 1000 {
		files, _ := filepath.Glob(fmt.Sprintf("/proc/%d/task/*/children", pid))
		for _, file := range files {
			text, _ := os.ReadFile(file)
			var child int
			if _, err := fmt.Sscan(string(text), &child); err == nil {
				return child
			}
		}
		time.Sleep(time.Millisecond)
	}
	t.Fatal("there is no worker")
	return 0
}
