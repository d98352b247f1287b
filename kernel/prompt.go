package kernel

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"slices"
	"sync"

	"foreplane/kernel/wire"
)

// prompts asks clients for input, one question at a time.
type prompts struct {
	author *wire.Author
	iopub  *publisher
	turn   chan struct{} // holds a token while a question is open

	mu   sync.Mutex
	open *prompt
}

// prompt is a question that waits for its answer.
type prompt struct {
	asker
	id     string // of the input_request
	answer chan answer
}

// asker is a cell that asks.
type asker struct {
	cause     *wire.Message // its request
	cell      string        // the notebook's name for it; may be empty
	interrupt context.CancelCauseFunc
}

// Why a question is taken back, and its cell interrupted.
var (
	errRerun = errors.New("it was waiting for input when it was to run again")
	errLeft  = errors.New("it was waiting for input, and the front end that was asked has gone")
)

type answer struct {
	text string
	err  error
}

func newPrompts(author *wire.Author, iopub *publisher) *prompts {
	return &prompts{author: author, iopub: iopub, turn: make(chan struct{}, 1)}
}

// ask puts a question to the client that runs a cell, and waits for the answer until ctx ends.
func (p *prompts) ask(ctx context.Context, who asker, question fields) (string, error) {
	select {
	case p.turn <- struct{}{}:
		defer func() { <-p.turn }()
	case <-ctx.Done():
		return "", context.Cause(ctx)
	}
	m, err := p.author.Reply(who.cause, "input_request", question)
	if err != nil {
		return "", err
	}
	q := &prompt{asker: who, id: m.Header.ID, answer: make(chan answer, 1)}
	p.set(q)
	defer p.set(nil)
	if err := p.iopub.sendAfterText(wire.Stdin, m); err != nil {
		return "", err
	}
	select {
	case a := <-q.answer:
		return a.text, a.err
	case <-ctx.Done():
		return "", context.Cause(ctx)
	}
}

func (p *prompts) set(q *prompt) {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.open = q
}

// rerun takes back the open question if a cell asks it that is to run again, and returns the request that this ends.
func (p *prompts) rerun(cell string) *wire.Message {
	return p.takeBack(errRerun, func(q *prompt) bool { return cell != "" && q.cell == cell })
}

// left takes back the open question if a client was asked that has gone.
func (p *prompts) left(identity string) {
	p.takeBack(errLeft, func(q *prompt) bool { return len(q.cause.Identities) > 0 && string(q.cause.Identities[0]) == identity })
}

func (p *prompts) takeBack(why error, fits func(*prompt) bool) *wire.Message {
	p.mu.Lock()
	defer p.mu.Unlock()
	q := p.open
	if q == nil || !fits(q) {
		return nil
	}
	p.open = nil
	q.interrupt(why)
	return q.cause
}

// deliver takes a message from the stdin channel. It refuses what does not answer the open question.
func (p *prompts) deliver(m *wire.Message) error {
	if m.Header.Type != "input_reply" {
		return errors.New("not an input_reply")
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.open == nil || !p.open.answeredBy(m) {
		return errors.New("it answers no open question")
	}
	p.open.answer <- readAnswer(m.Content)
	p.open = nil
	return nil
}

// answeredBy reports whether m answers the question: it must come from the client that was asked and name the question, or the cell that asks, as its
// parent. Some clients name no parent at all; theirs is an answer to whatever is open.
func (q *prompt) answeredBy(m *wire.Message) bool {
	var parent struct {
		ID string `json:"msg_id"`
	}
	if len(m.Parent) > 0 && json.Unmarshal(m.Parent, &parent) != nil {
		return false
	}
	asked := slices.EqualFunc(m.Identities, q.cause.Identities, bytes.Equal)
	return asked && (parent.ID == q.id || parent.ID == q.cause.Header.ID || parent.ID == "")
}

func readAnswer(content json.RawMessage) answer {
	var in struct {
		Value *string `json:"value"`
	}
	if err := decode(content, &in); err != nil {
		return answer{err: err}
	}
	if in.Value == nil {
		return answer{err: missing("value")}
	}
	return answer{text: *in.Value}
}
