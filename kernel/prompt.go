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
	id     string // of the input_request
	cause  *wire.Message
	answer chan answer
}

type answer struct {
	text string
	err  error
}

func newPrompts(author *wire.Author, iopub *publisher) *prompts {
	return &prompts{author: author, iopub: iopub, turn: make(chan struct{}, 1)}
}

// ask puts a question to the client that sent cause, and waits for the answer until ctx ends.
func (p *prompts) ask(ctx context.Context, cause *wire.Message, question fields) (string, error) {
	select {
	case p.turn <- struct{}{}:
		defer func() { <-p.turn }()
	case <-ctx.Done():
		return "", context.Cause(ctx)
	}
	m, err := p.author.Reply(cause, "input_request", question)
	if err != nil {
		return "", err
	}
	q := &prompt{id: m.Header.ID, cause: cause, answer: make(chan answer, 1)}
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
