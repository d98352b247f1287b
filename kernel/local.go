package kernel

import (
	"context"
	"crypto/rand"
	"encoding/json"
	"errors"
	"fmt"
	"sync"
	"time"

	"foreplane/kernel/display"
	"foreplane/kernel/wire"
)

// Local is a kernel and its only client in one process.
type Local struct {
	Kernel *Kernel

	author *wire.Author
	inbox  *queue[outgoing]
	gone   chan struct{} // the kernel has ended and all it sent was delivered

	mu    sync.Mutex
	calls map[string]*call
}

// outgoing is a message on its way from the kernel.
type outgoing struct {
	channel wire.Channel
	message *wire.Message
}

var errClosed = errors.New("the kernel was closed")

// call is a request and what is to become of its consequences.
type call struct {
	handle func(Event)
	input  func(prompt string, password bool) (string, error)
	reply  *wire.Message
	busy   chan struct{} // closed when the kernel serves it
	idle   chan struct{} // closed when the kernel has served it
}

// NewLocal starts a kernel whose messages go to the Local alone; the options' Sender is not used.
func NewLocal(o Options) (*Local, error) {
	author, err := wire.NewAuthor("local", rand.Reader, time.Now)
	if err != nil {
		return nil, err
	}
	l := &Local{author: author, inbox: newQueue[outgoing](), gone: make(chan struct{}), calls: map[string]*call{}}
	o.Sender = l
	if l.Kernel, err = New(o); err != nil {
		return nil, err
	}
	go l.deliverAll()
	return l, nil
}

// Close ends the kernel. When it returns, no handler runs and none will; so a handler must not call it.
func (l *Local) Close() error {
	err := l.Kernel.Close()
	l.inbox.push(outgoing{}) // the end mark: what was sent before it is still delivered
	<-l.gone
	return err
}

// Call is a cell to execute. The zero value of everything but Code is what a notebook does: the cell counts, and a failure aborts the queue.
type Call struct {
	Code            string
	ID              string // the notebook's cell id
	Silent          bool
	NoHistory       bool
	KeepQueue       bool // a failure does not abort what is queued
	UserExpressions map[string]string
	Input           func(prompt string, password bool) (string, error) // answers questions; if nil, cells cannot ask
}

// Event is one iopub message, decoded. Which fields are set depends on Type, as in the protocol.
type Event struct {
	Type    string        `json:"-"` // message type: status, execute_input, stream, display_data, update_display_data, execute_result, error, clear_output, …
	Message *wire.Message `json:"-"` // as it would have travelled

	State          string         `json:"execution_state"` // status
	Code           string         `json:"code"`            // execute_input
	ExecutionCount int            `json:"execution_count"` // execute_input, execute_result
	Name           string         `json:"name"`            // stream: stdout or stderr
	Text           string         `json:"text"`            // stream
	Wait           bool           `json:"wait"`            // clear_output
	Bundle         display.Bundle `json:"-"`               // display_data, update_display_data, execute_result
	DisplayID      string         `json:"-"`               // display_data, update_display_data
	Err            *CellError     `json:"-"`               // error
}

// Reply is the reply to a [Call].
type Reply struct {
	Status          string // ok, error, aborted
	ExecutionCount  int
	UserExpressions map[string]Result
	Err             *CellError // if Status is error
}

// Execute runs a cell and waits until it has ended. Each iopub message that the cell causes is passed to on, in order and for one message at a time, also
// after Execute has returned if goroutines of the cell are still at work; on may be nil, and must not wait for another request. When ctx ends, the cell is
// interrupted; Execute still waits for its end and returns its reply. The error is not nil if the kernel was closed meanwhile.
func (l *Local) Execute(ctx context.Context, c Call, on func(Event)) (Reply, error) {
	content := fields{
		"code": c.Code, "silent": c.Silent, "store_history": !c.NoHistory, "stop_on_error": !c.KeepQueue,
		"user_expressions": c.UserExpressions, "allow_stdin": c.Input != nil,
	}
	m, err := l.author.Request("execute_request", content)
	if err != nil {
		return Reply{}, err
	}
	if m.Metadata, err = json.Marshal(fields{"cellId": c.ID}); err != nil {
		return Reply{}, err
	}
	var raw rawReply
	err = l.do(ctx, wire.Shell, m, &call{handle: on, input: c.Input}, &raw)
	return raw.reply(), err
}

// Request sends any other request on a channel and waits until it has been served. The content of the reply is decoded into reply, if that is not nil.
func (l *Local) Request(ctx context.Context, ch wire.Channel, kind string, content, reply any) error {
	m, err := l.author.Request(kind, content)
	if err != nil {
		return err
	}
	return l.do(ctx, ch, m, &call{}, reply)
}

func (l *Local) do(ctx context.Context, ch wire.Channel, m *wire.Message, c *call, reply any) error {
	if c.handle == nil {
		c.handle = func(Event) {}
	}
	if c.input == nil {
		c.input = func(string, bool) (string, error) { return "", errNoAnswers }
	}
	c.busy, c.idle = make(chan struct{}), make(chan struct{})
	l.mu.Lock()
	l.calls[m.Header.ID] = c
	l.mu.Unlock()
	l.Kernel.Handle(ch, m)
	if !l.await(c.busy) {
		return errClosed
	}
	defer context.AfterFunc(ctx, l.Kernel.Interrupt)() // not before it is busy: an interrupt stops what runs, not what waits
	if !l.await(c.idle) {
		return errClosed
	}
	if reply == nil || c.reply == nil {
		return nil
	}
	return json.Unmarshal(c.reply.Content, reply)
}

// await waits for something the kernel does. It returns false if the kernel was closed instead.
func (l *Local) await(event chan struct{}) bool {
	select {
	case <-event:
		return true
	case <-l.gone:
		return false
	}
}

// Send takes a message from the kernel: a Local is its [Sender].
func (l *Local) Send(ch wire.Channel, m *wire.Message) error {
	l.inbox.push(outgoing{ch, m})
	return nil
}

func (l *Local) deliverAll() {
	defer close(l.gone)
	for {
		out, ok := l.inbox.pop()
		if !ok || out.message == nil {
			return
		}
		if c := l.callOf(out.message); c != nil {
			l.deliver(c, out)
		}
	}
}

// callOf finds the request that caused a message.
func (l *Local) callOf(m *wire.Message) *call {
	var parent wire.Header
	if json.Unmarshal(m.Parent, &parent) != nil {
		return nil
	}
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.calls[parent.ID]
}

func (l *Local) deliver(c *call, out outgoing) {
	m := out.message
	switch out.channel {
	case wire.IOPub:
		e := readEvent(m)
		c.handle(e)
		switch e.State {
		case "busy":
			close(c.busy)
		case "idle":
			close(c.idle)
		}
	case wire.Stdin:
		go l.answer(c, m)
	default:
		c.reply = m
	}
}

func readEvent(m *wire.Message) Event {
	e := Event{Type: m.Header.Type, Message: m}
	mustDecode(m, &e)
	switch e.Type {
	case "display_data", "update_display_data", "execute_result":
		var in struct {
			Transient struct {
				DisplayID string `json:"display_id"`
			} `json:"transient"`
		}
		mustDecode(m, &e.Bundle)
		mustDecode(m, &in)
		e.DisplayID = in.Transient.DisplayID
	case "error":
		e.Err = &CellError{}
		mustDecode(m, e.Err)
	}
	return e
}

// mustDecode reads the content of a message that this package made.
func mustDecode(m *wire.Message, into any) {
	if err := json.Unmarshal(m.Content, into); err != nil {
		panic(fmt.Sprintf("kernel: %s made here does not decode: %v", m.Header.Type, err))
	}
}

// rawReply is an execute reply as it travels: values and errors are flattened into it.
type rawReply struct {
	Status          string                `json:"status"`
	ExecutionCount  int                   `json:"execution_count"`
	UserExpressions map[string]flatResult `json:"user_expressions"`
	CellError
}

type flatResult struct {
	Status string `json:"status"`
	display.Bundle
	CellError
}

func (r *rawReply) reply() Reply {
	reply := Reply{Status: r.Status, ExecutionCount: r.ExecutionCount, UserExpressions: map[string]Result{}}
	if r.Status == "error" {
		reply.Err = &r.CellError
	}
	for name, x := range r.UserExpressions {
		if x.Status == "error" {
			reply.UserExpressions[name] = Result{Err: &x.CellError}
		} else {
			reply.UserExpressions[name] = Result{Value: &x.Bundle}
		}
	}
	return reply
}

// answer puts a cell's question to the caller. Without an answer the cell is interrupted: nobody else could end its wait.
func (l *Local) answer(c *call, question *wire.Message) {
	var q struct {
		Prompt   string `json:"prompt"`
		Password bool   `json:"password"`
	}
	err := json.Unmarshal(question.Content, &q)
	var text string
	if err == nil {
		text, err = c.input(q.Prompt, q.Password)
	}
	var m *wire.Message
	if err == nil {
		m, err = l.author.Reply(question, "input_reply", fields{"value": text})
	}
	if err != nil {
		l.Kernel.Interrupt()
		return
	}
	l.Kernel.Handle(wire.Stdin, m)
}
