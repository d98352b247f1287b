package worker

import (
	"context"
	"errors"
	"os"
	"os/exec"
	"sync"
	"time"

	"foreplane/kernel"
	"foreplane/kernel/cell"
)

// remembered is how many finished programs keep their Output for what their goroutines still write.
const remembered = 100

// drainTime is how long the pipes of a dead worker are read on if a process that left its group holds them open.
const drainTime = 200 * time.Millisecond

// child is one worker process, as the supervisor sees it.
type child struct {
	options Options
	cmd     *exec.Cmd
	pipes   *pipes
	link    *link
	order   *turnstile
	alive   context.Context // until the process has ended
	dead    context.CancelFunc
	report  string        // text of the report stream since the last mark; its pump's alone
	gone    chan struct{} // closed when the process has ended and all it wrote was delivered
	ended   ending        // how, once gone is closed

	mu      sync.Mutex
	outputs map[uint64]kernel.Output // by run
	owner   kernel.Output            // of stream text
	active  *running
	last    int // cell number of the last program
	asked   map[uint64]context.CancelFunc
	reaped  bool
}

// running is a program in a worker.
type running struct {
	number  uint64
	cell    int
	ctx     context.Context // ends when it is to stop
	outcome chan cell.Outcome
	over    chan struct{}
}

// stopping reports whether it was told to stop and has not yet ended.
func (r *running) stopping() bool {
	select {
	case <-r.over:
		return false
	default:
		return r.ctx.Err() != nil
	}
}

func startChild(o Options) (*child, error) {
	if len(o.Argv) == 0 {
		return nil, errors.New("no command line is set for the worker")
	}
	cmd := exec.Command(o.Argv[0], o.Argv[1:]...)
	cmd.Env = append(os.Environ(), o.Env...)
	cmd.Env = append(cmd.Env, "GOTRACEBACK=single")
	cmd.Dir = o.Dir
	lead(cmd)
	p, err := openPipes(cmd)
	if err != nil {
		return nil, err
	}
	err = cmd.Start()
	p.closeTheirs()
	if err != nil {
		p.closeOurs()
		p.at.take()
		return nil, err
	}
	c := &child{
		options: o, cmd: cmd, pipes: p, link: newLink(p.up, p.down), order: newTurnstile(),
		gone: make(chan struct{}), outputs: map[uint64]kernel.Output{}, asked: map[uint64]context.CancelFunc{},
	}
	c.alive, c.dead = context.WithCancel(context.Background())
	key := newKey()
	go c.watch(key)
	c.link.send(message{Kind: kindSetup, Key: key, Memory: o.Memory, Stack: o.Stack, Files: o.Files})
	return c, nil
}

// run gives a program to the worker and waits for its outcome.
func (c *child) run(ctx context.Context, number uint64, p *cell.Program, out kernel.Output) (cell.Outcome, error) {
	if c.isGone() {
		return cell.Outcome{}, c.ended.lost(c.last, false)
	}
	frame, err := encode(message{Kind: kindRun, Run: number, Program: p})
	if err != nil {
		return cell.Outcome{Err: &kernel.CellError{Name: "Error", Message: err.Error()}}, nil
	}
	r := &running{number: number, cell: p.Cell, ctx: ctx, outcome: make(chan cell.Outcome, 1), over: make(chan struct{})}
	c.enter(r, out)
	defer close(r.over)
	defer context.AfterFunc(ctx, func() { c.stop(r) })()
	c.link.write(frame) // a failure shows as the end of the process
	select {
	case outcome := <-r.outcome:
		return outcome, nil
	case <-c.gone:
	}
	select {
	case outcome := <-r.outcome: // it ended just before its worker did
		return outcome, nil
	default:
		c.ended.program = p
		return cell.Outcome{}, c.ended.lost(p.Cell, true)
	}
}

func (c *child) enter(r *running, out kernel.Output) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.outputs[r.number] = out
	delete(c.outputs, r.number-remembered)
	if c.owner == nil {
		c.owner = out
	}
	c.active, c.last = r, r.cell
}

// stop asks a program to stop, and ends the worker if it does not.
func (c *child) stop(r *running) {
	go c.link.send(message{Kind: kindStop, Run: r.number}) // must not delay the deadline if the worker does not read
	deadline := time.NewTimer(c.options.Grace)
	defer deadline.Stop()
	select {
	case <-r.over:
	case <-deadline.C:
		c.end(endStopped)
	}
}

// spare reports whether no program was given to the worker yet.
func (c *child) spare() bool {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.active == nil
}

func (c *child) isGone() bool {
	select {
	case <-c.gone:
		return true
	default:
		return false
	}
}

// end kills the worker's process group for the given reason.
func (c *child) end(why endKind) {
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.reaped {
		return
	}
	if c.ended.kind == endItself {
		c.ended.kind = why
	}
	kill(c.cmd.Process)
}

// watch follows the worker from its start to its end.
func (c *child) watch(key []byte) {
	var texts sync.WaitGroup
	for stream, from := range c.pipes.texts {
		texts.Go(func() { c.pump(stream, from, key) })
	}
	c.receive()
	c.order.open()
	c.end(endItself) // what it started goes with it; and it must be gone before its number can be used again
	c.mu.Lock()
	c.reaped = true
	c.mu.Unlock()
	c.cmd.Wait()
	c.dead()
	c.pipes.expire(drainTime)
	texts.Wait()
	c.pipes.closeOurs()
	c.conclude()
	close(c.gone)
}

// conclude notes how the worker ended.
func (c *child) conclude() {
	var rest string
	rest, c.ended.report = cutReport(c.report)
	if rest != "" {
		c.stream("stderr", rest)
	}
	c.ended.status, c.ended.options, c.ended.at = c.cmd.ProcessState, c.options, c.pipes.at.take()
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.ended.kind != endClosed {
		c.options.Log.Info("worker ended", "cell", c.last, "reason", c.ended.reason(), "report", c.ended.report)
	}
}
