package worker

import (
	"context"
	"errors"
	"sync"

	"foreplane/kernel"
	"foreplane/kernel/cell"
	"foreplane/kernel/display"
)

// server runs programs on the machine as the supervisor asks, one at a time.
type server struct {
	link    *link
	machine cell.Runner
	out     *output

	mu        sync.Mutex
	number    uint64 // of the present run
	stopped   uint64 // the newest run that is to stop; the word for that may overtake the program
	cancel    context.CancelFunc
	asked     uint64 // questions so far
	questions map[uint64]chan message
}

// serve obeys the supervisor until it closes the pipe.
func (s *server) serve() {
	for {
		m, err := s.link.receive()
		if err != nil {
			return
		}
		switch m.Kind {
		case kindRun:
			go s.run(s.begin(m.Run), m)
		case kindStop:
			s.stop(m.Run)
		case kindReply:
			s.answer(m)
		}
	}
}

func (s *server) begin(number uint64) context.Context {
	s.mu.Lock()
	defer s.mu.Unlock()
	ctx, cancel := context.WithCancel(context.Background())
	s.number, s.cancel = number, cancel
	if s.stopped == number {
		cancel()
	}
	return ctx
}

func (s *server) stop(number uint64) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.stopped = max(s.stopped, number)
	if s.number == number {
		s.cancel()
	}
}

func (s *server) run(ctx context.Context, m message) {
	defer s.stop(m.Run) // frees the context
	out := cellOutput{server: s, run: m.Run}
	err := s.out.begin(m.Run)
	var outcome cell.Outcome
	if err == nil {
		outcome, err = s.machine.Run(ctx, m.Program, out)
	}
	if err != nil {
		s.link.send(message{Kind: kindFault, Error: err.Error()})
		killSelf()
	}
	done := message{Kind: kindDone, Run: m.Run, Outcome: &outcome}
	if err := s.out.emit(done); err != nil { // a value that JSON cannot hold
		done.Outcome = &cell.Outcome{Rejected: outcome.Rejected, Bound: outcome.Bound, Err: &kernel.CellError{Name: "Error", Message: "the value cannot be shown: " + err.Error()}}
		s.out.emit(done)
	}
}

// ask sends a question and waits for its answer.
func (s *server) ask(ctx context.Context, m message) (string, error) {
	answer := make(chan message, 1)
	s.mu.Lock()
	s.asked++
	m.Question = s.asked
	s.questions[m.Question] = answer
	s.mu.Unlock()
	if err := s.out.emit(m); err != nil {
		return "", err
	}
	select {
	case a := <-answer:
		if a.Error != "" {
			return "", errors.New(a.Error)
		}
		return a.Text, nil
	case <-ctx.Done():
		s.answer(m) // nobody waits for it any more
		s.link.send(message{Kind: kindForget, Question: m.Question})
		return "", ctx.Err()
	}
}

func (s *server) answer(m message) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if answer, ok := s.questions[m.Question]; ok {
		answer <- m
		delete(s.questions, m.Question)
	}
}

// cellOutput is the [kernel.Output] of one program.
type cellOutput struct {
	server *server
	run    uint64
}

var _ kernel.Output = cellOutput{}

func (o cellOutput) Stream(name, text string) { o.server.out.text(o.run, name, text) }

func (o cellOutput) Show(b display.Bundle, id string) {
	o.show(message{Kind: kindShow, Run: o.run, Bundle: &b, ID: id})
}

func (o cellOutput) Update(b display.Bundle, id string) {
	o.show(message{Kind: kindUpdate, Run: o.run, Bundle: &b, ID: id})
}

func (o cellOutput) show(m message) {
	if err := o.server.out.emit(m); err != nil { // a value that JSON cannot hold
		o.Stream("stderr", "a display cannot be shown: "+err.Error()+"\n")
	}
}

func (o cellOutput) Page(b display.Bundle) {
	o.show(message{Kind: kindPage, Run: o.run, Bundle: &b})
}

func (o cellOutput) Clear(wait bool) {
	o.server.out.emit(message{Kind: kindClear, Run: o.run, Wait: wait})
}

func (o cellOutput) Input(ctx context.Context, prompt string, password bool) (string, error) {
	return o.server.ask(ctx, message{Kind: kindAsk, Run: o.run, Text: prompt, Password: password})
}
