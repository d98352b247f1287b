package kernel

import (
	"cmp"
	"context"
	"crypto/rand"
	"errors"
	"fmt"
	"log/slog"
	"runtime/debug"
	"sync"
	"sync/atomic"
	"time"
	"unicode/utf8"

	"foreplane/kernel/wire"
)

// Sender takes the messages of a kernel to its clients: replies and questions to the client their routing prefix names, iopub messages to all. It is
// called by one goroutine at a time for iopub, by several for the other channels. While it waits, cells that print wait too.
type Sender interface {
	Send(ch wire.Channel, m *wire.Message) error
}

// Options says what a kernel is made of. Engine and Sender are required.
type Options struct {
	Engine  Engine
	Sender  Sender
	Info    Info
	Texts   string        // what the names of files begin with that hold the full text of cells that print too much; if empty, Close removes them
	History string        // file that keeps the inputs of all sessions; empty keeps them in memory only
	Fold    int64         // bytes of text of one cell from which on it is folded; 0 is 16 MiB
	Time    time.Duration // most time that a cell may take; one that takes more is interrupted; 0 is no limit
	Pager   bool          // clients have a pager for what cells page; if not, it is shown among their outputs
	Log     *slog.Logger  // nil is silent
}

// Kernel serves the requests of clients. All methods are safe for concurrent use.
type Kernel struct {
	engine  Engine
	info    Info
	pager   bool
	log     *slog.Logger
	author  *wire.Author
	iopub   *publisher
	prompts *prompts
	comms   *comms
	history *history

	shell, aside, control *queue[*request]
	loops                 sync.WaitGroup
	done                  chan struct{}
	shutdown              func() // closes done, once
	closing               func() error

	limit    time.Duration // of a cell; 0 is none
	presence presence
	folder   folder
	cells    atomic.Int64 // execute requests that run or wait

	count int // execution counter; touched by the shell goroutine only

	mu        sync.Mutex
	interrupt context.CancelFunc // of the shell request being served; never nil
}

// New starts a kernel: it publishes "starting" and is ready to serve. End it with [Kernel.Close].
func New(o Options) (*Kernel, error) {
	if o.Engine == nil || o.Sender == nil {
		return nil, errors.New("a kernel needs an engine and a sender")
	}
	if o.Log == nil {
		o.Log = slog.New(slog.DiscardHandler)
	}
	author, err := wire.NewAuthor("kernel", rand.Reader, time.Now)
	if err != nil {
		return nil, err
	}
	k := &Kernel{
		engine: o.Engine, info: o.Info, pager: o.Pager, log: o.Log, author: author,
		history: openHistory(o.History, time.Now(), o.Log),
		shell:   newQueue[*request](), aside: newQueue[*request](), control: newQueue[*request](),
		done: make(chan struct{}), interrupt: func() {},
	}
	k.iopub = newPublisher(author, o.Sender, o.Log)
	k.prompts = newPrompts(author, k.iopub)
	k.comms = newComms(k.iopub)
	k.RegisterPrompt(JournalTarget, k.iopub.kept.open)
	k.presence.iopub = k.iopub
	k.folder.keep, k.folder.from, k.limit = o.Texts, cmp.Or(o.Fold, foldHead), o.Time
	k.shutdown = sync.OnceFunc(func() { close(k.done) })
	k.closing = sync.OnceValue(k.close)
	k.iopub.publish(nil, "status", fields{"execution_state": "starting"})
	k.loops.Go(func() { k.loop(k.shell, shellHandlers, k.serveShell) })
	k.loops.Go(func() { k.loop(k.aside, shellHandlers, k.serveAside) })
	k.loops.Go(func() { k.loop(k.control, controlHandlers, k.serve) })
	return k, nil
}

// Handle takes one verified message from a channel. It never waits for a cell.
func (k *Kernel) Handle(ch wire.Channel, m *wire.Message) {
	switch ch {
	case wire.Shell:
		k.pushShell(m)
	case wire.Control:
		if m.Header.Type == "interrupt_request" {
			k.Interrupt() // at once: iopub, where its own "busy" has to go first, may be held up by the very cell that is to end
		}
		k.control.push(newRequest(ch, m))
	case wire.Stdin:
		if err := k.prompts.deliver(m); err != nil {
			k.log.Warn("stdin message dropped", "type", m.Header.Type, "reason", err)
		}
	default:
		k.log.Warn("message dropped: clients send nothing on this channel", "channel", ch, "type", m.Header.Type)
	}
}

// Subscribed greets a new subscription to iopub. Topics that are not text are ignored.
func (k *Kernel) Subscribed(topic string) {
	if utf8.ValidString(topic) {
		k.iopub.welcome(topic)
	}
}

// Gone takes word that a client has gone: a cell that waits for its answer is interrupted.
func (k *Kernel) Gone(identity string) { k.prompts.left(identity) }

// Interrupt stops the cell that runs, if any; also one that waits for input.
func (k *Kernel) Interrupt() {
	k.mu.Lock()
	defer k.mu.Unlock()
	k.interrupt()
}

// Session identifies this life of the kernel in all its messages.
func (k *Kernel) Session() string { return k.author.Session() }

// Done is closed when a shutdown request has been answered. Whoever made the kernel then closes it and lets the transport send what is left.
func (k *Kernel) Done() <-chan struct{} { return k.done }

// Close interrupts the cell that runs, drops what waits, closes the engine, and returns when all that has ended.
func (k *Kernel) Close() error { return k.closing() }

func (k *Kernel) close() error {
	k.shell.close()
	k.aside.close()
	k.control.close()
	k.Interrupt()
	err := k.engine.Close()
	k.loops.Wait()
	k.iopub.close()
	k.folder.remove()
	return err
}

func (k *Kernel) loop(requests *queue[*request], handlers map[string]handler, serve func(*request, handler)) {
	for {
		r, ok := requests.pop()
		if !ok {
			return
		}
		serve(r, handlers[r.Header.Type])
	}
}

// handler answers one type of request. It returns the content of the reply, or an error that [Kernel.refusal] makes one of.
type handler func(k *Kernel, ctx context.Context, r *request) (fields, error)

var (
	shellHandlers = map[string]handler{
		"kernel_info_request": (*Kernel).kernelInfo,
		"execute_request":     (*Kernel).execute,
		"complete_request":    (*Kernel).complete,
		"inspect_request":     (*Kernel).inspect,
		"is_complete_request": (*Kernel).isComplete,
		"history_request":     (*Kernel).recall,
		"comm_info_request":   (*Kernel).commInfo,
		"comm_open":           (*Kernel).commOpen,
		"comm_msg":            (*Kernel).commMessage,
		"comm_close":          (*Kernel).commClose,
		"shutdown_request":    (*Kernel).shutDown, // deprecated here, but clients before 5.4 do it
	}
	controlHandlers = map[string]handler{
		"kernel_info_request": (*Kernel).kernelInfo,
		"interrupt_request":   (*Kernel).interruptRequest,
		"shutdown_request":    (*Kernel).shutDown,
	}
)

// serveShell serves a request on shell, which an interrupt ends.
func (k *Kernel) serveShell(r *request, h handler) {
	ctx, cancel := context.WithCancel(context.Background())
	defer cancel()
	k.setInterrupt(cancel)
	k.comms.causedBy(r.cause)
	k.life(ctx, r, h, false)
	if r.Header.Type == "execute_request" {
		k.cells.Add(-1)
	}
}

func (k *Kernel) serveAside(r *request, h handler) { k.life(context.Background(), r, h, true) }

func (k *Kernel) serve(r *request, h handler) { k.life(context.Background(), r, h, false) }

// life is that of one request: busy, work, reply, idle.
func (k *Kernel) life(ctx context.Context, r *request, h handler, aside bool) {
	k.presence.begin(r, aside)
	if h == nil {
		k.log.Warn("no such request", "channel", r.channel, "type", r.Header.Type)
	} else {
		k.answer(ctx, r, h)
	}
	k.presence.end(r, aside)
	r.after()
}

func (k *Kernel) setInterrupt(f context.CancelFunc) {
	k.mu.Lock()
	defer k.mu.Unlock()
	k.interrupt = f
}

func (k *Kernel) answer(ctx context.Context, r *request, h handler) {
	content, err := k.guarded(ctx, r, h)
	switch {
	case err != nil && !r.wantsReply():
		k.log.Warn("request refused", "type", r.Header.Type, "reason", err)
	case err != nil:
		k.reply(r, k.refusal(r, err))
	case content != nil:
		k.reply(r, content)
	}
}

// reply answers a request. If the content cannot be encoded, such as a NaN in JSON data, the answer is that error: every client waits for an answer.
func (k *Kernel) reply(r *request, content fields) {
	m, err := k.author.Reply(r.cause, r.replyType(), content)
	if err != nil {
		m, err = k.author.Reply(r.cause, r.replyType(), k.refusal(r, err))
	}
	if err == nil {
		err = k.iopub.sendAfterText(r.channel, m)
	}
	if err != nil {
		k.log.Warn("reply not sent", "type", r.replyType(), "reason", err)
	}
}

// guarded calls a handler and makes an error of its panic.
func (k *Kernel) guarded(ctx context.Context, r *request, h handler) (content fields, err error) {
	defer func() {
		if p := recover(); p != nil {
			content, err = nil, k.internal(r.Header.Type, p)
		}
	}()
	return h(k, ctx, r)
}

// internal reports a panic of the kernel or its engine.
func (k *Kernel) internal(what string, p any) *CellError {
	k.log.Error("panic", "in", what, "value", p, "stack", string(debug.Stack()))
	return &CellError{Name: "Internal", Message: fmt.Sprintf("the kernel failed in %s and goes on; this is a mistake of the kernel, not yours: %v", what, p)}
}

// refusal is the content of a reply to a request that could not be served: an error, and what the type of reply must always have.
func (k *Kernel) refusal(r *request, err error) fields {
	e := &CellError{Name: "Error", Message: err.Error()}
	errors.As(err, &e)
	content := e.fields()
	content["status"] = "error"
	switch r.Header.Type {
	case "execute_request":
		content["execution_count"] = k.count
	case "is_complete_request":
		content["status"] = "unknown" // this reply knows no "error"
	case "comm_info_request":
		content["comms"] = fields{}
	case "shutdown_request":
		content["restart"] = false
	}
	return content
}

// fields is the error as error messages and replies carry it.
func (e *CellError) fields() fields {
	traceback := e.Traceback
	if traceback == nil {
		traceback = []string{e.Error()}
	}
	return fields{"ename": e.Name, "evalue": e.Message, "traceback": traceback}
}
