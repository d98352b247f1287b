package worker

import (
	"context"
	"errors"
	"io"
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
	gone    chan struct{} // closed when the process has ended and all it wrote was delivered
	ended   ending        // how, once gone is closed

	mu      sync.Mutex
	outputs map[uint64]kernel.Output // by run
	owner   kernel.Output            // of stream text
	active  *running
	last    int    // cell number of the last program
	report  string // text of the report stream since the last mark
	asked   map[uint64]context.CancelFunc
	reaped  bool
}

// running is a program in a worker.
type running struct {
	number  uint64
	cell    int
	outcome chan cell.Outcome
	over    chan struct{}
}

func startChild(o Options) (*child, error) {
	if len(o.Argv) == 0 {
		return nil, errors.New("no command line is set for the worker")
	}
	cmd := exec.Command(o.Argv[0], o.Argv[1:]...)
	cmd.Env = append(os.Environ(), o.Env...)
	cmd.Env = append(cmd.Env, "GOTRACEBACK=single")
	cmd.Dir = o.Dir
	p, err := openPipes(cmd)
	if err != nil {
		return nil, err
	}
	lead(cmd)
	err = cmd.Start()
	p.closeTheirs()
	if err != nil {
		p.closeOurs()
		return nil, err
	}
	c := &child{
		options: o, cmd: cmd, pipes: p, link: newLink(p.up, p.down), order: newTurnstile(),
		gone: make(chan struct{}), outputs: map[uint64]kernel.Output{}, asked: map[uint64]context.CancelFunc{},
	}
	c.alive, c.dead = context.WithCancel(context.Background())
	key := newKey()
	go c.watch(key)
	c.link.send(message{Kind: kindSetup, Key: key, Memory: o.Memory, Stack: o.stack()}) // a failure shows as the end of the process
	return c, nil
}

// run gives a program to the worker and waits for its outcome.
func (c *child) run(ctx context.Context, number uint64, p *cell.Program, out kernel.Output) (cell.Outcome, error) {
	if c.isGone() {
		return cell.Outcome{}, c.ended.lost(c.last, false)
	}
	r := &running{number: number, cell: p.Cell, outcome: make(chan cell.Outcome, 1), over: make(chan struct{})}
	c.enter(r, out)
	defer close(r.over)
	defer context.AfterFunc(ctx, func() { c.stop(r) })()
	c.link.send(message{Kind: kindRun, Run: number, Program: p})
	select {
	case outcome := <-r.outcome:
		return outcome, nil
	case <-c.gone:
	}
	select {
	case outcome := <-r.outcome: // it ended just before its worker did
		return outcome, nil
	default:
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
	c.ended.options, c.ended.status, c.ended.report = c.options, c.cmd.ProcessState, c.report
	close(c.gone)
}

func (c *child) pump(stream int, from *os.File, key []byte) {
	p := pump{from: from, key: key, arrive: func(mark uint64) { c.order.arrive(stream, mark) }}
	switch stream {
	case stdout:
		p.deliver = func(text string) { c.stream("stdout", text) }
	case stderr:
		p.deliver = func(text string) { c.stream("stderr", text) }
	case report:
		p.deliver = c.hold
		p.arrive = func(mark uint64) { c.flush(); c.order.arrive(stream, mark) }
	}
	p.run()
	c.order.leave(stream)
}

func (c *child) stream(name, text string) {
	c.mu.Lock()
	owner := c.owner
	c.mu.Unlock()
	if owner != nil {
		owner.Stream(name, text)
	}
}

// hold keeps text of the report stream: it may be the beginning of the runtime's last words.
func (c *child) hold(text string) {
	c.mu.Lock()
	defer c.mu.Unlock()
	if len(c.report) < maxReport {
		c.report += text
	}
}

// flush shows the held text: a worker that sends marks is alive.
func (c *child) flush() {
	c.mu.Lock()
	text := c.report
	c.report = ""
	c.mu.Unlock()
	if text != "" {
		c.stream("stderr", text)
	}
}

// receive delivers messages until the worker has closed its end.
func (c *child) receive() {
	for {
		m, err := c.link.receive()
		if err != nil {
			if !errors.Is(err, io.EOF) {
				c.ended.last = message{Kind: kindFault, Error: err.Error()}
			}
			return
		}
		if m.Mark == 0 {
			c.deliver(m)
			continue
		}
		c.order.await(m.Mark)
		c.deliver(m)
		c.order.pass(m.Mark)
	}
}

func (c *child) deliver(m message) {
	r, out := c.belongs(m)
	switch m.Kind {
	case kindShow:
		out.Show(*m.Bundle, m.ID)
	case kindUpdate:
		out.Update(*m.Bundle, m.ID)
	case kindClear:
		out.Clear(m.Wait)
	case kindAsk:
		c.ask(m, out)
	case kindForget:
		c.forget(m.Question)
	case kindDone:
		r.outcome <- *m.Outcome
	case kindReady:
		c.ended.ready = true
	case kindFault, kindMemory:
		c.ended.last = m
	}
}

// belongs returns the present program and the output that a message is for.
func (c *child) belongs(m message) (*running, kernel.Output) {
	c.mu.Lock()
	defer c.mu.Unlock()
	out, known := c.outputs[m.Run]
	if !known {
		out = c.owner
	}
	if m.Kind == kindBegin {
		c.owner = out
	}
	return c.active, out
}

// ask passes a question on without waiting for its answer.
func (c *child) ask(m message, out kernel.Output) {
	ctx, cancel := context.WithCancel(c.alive)
	c.mu.Lock()
	c.asked[m.Question] = cancel
	c.mu.Unlock()
	go func() {
		defer c.forget(m.Question)
		answer := message{Kind: kindReply, Question: m.Question}
		text, err := out.Input(ctx, m.Text, m.Password)
		if answer.Text = text; err != nil {
			answer.Error = err.Error()
		}
		c.link.send(answer)
	}()
}

func (c *child) forget(question uint64) {
	c.mu.Lock()
	defer c.mu.Unlock()
	if cancel, ok := c.asked[question]; ok {
		cancel()
		delete(c.asked, question)
	}
}
