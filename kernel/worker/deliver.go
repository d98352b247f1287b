package worker

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"

	"foreplane/kernel"
)

// pump delivers one of the text streams.
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
	c.report += text
	if len(c.report) < maxReport {
		return
	}
	if before, last := cutReport(c.report); last == "" {
		c.flush()
	} else {
		c.report = before + last[:min(len(last), maxReport)]
	}
}

// flush shows the held text: a worker that sends marks is alive.
func (c *child) flush() {
	if c.report != "" {
		c.stream("stderr", c.report)
		c.report = ""
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
	case kindPage:
		out.Page(*m.Bundle)
	case kindClear:
		out.Clear(m.Wait)
	case kindAsk:
		c.ask(m, r, out)
	case kindForget:
		c.forget(m.Question)
	case kindDone:
		r.outcome <- *m.Outcome
	case kindReady:
		c.ended.ready = true
	case kindLow:
		c.stream("stderr", fmt.Sprintf("the values of this session take %s of memory; beyond %s, the limit that is set by --memory, they are lost\n", size(m.Memory), size(c.options.Memory)))
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

// ask passes a question on without waiting for its answer. A program that is to stop gets none: the stop ends its wait, and is what it then tells of.
func (c *child) ask(m message, active *running, out kernel.Output) {
	ctx, cancel := context.WithCancel(c.alive)
	c.mu.Lock()
	c.asked[m.Question] = cancel
	c.mu.Unlock()
	go func() {
		defer c.forget(m.Question)
		answer := message{Kind: kindReply, Question: m.Question}
		text, err := out.Input(ctx, m.Text, m.Password)
		if err != nil && active.number == m.Run && active.stopping() {
			return
		}
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
