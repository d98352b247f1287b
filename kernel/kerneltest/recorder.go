package kerneltest

import (
	"context"
	"errors"
	"strings"
	"sync"

	"foreplane/kernel"
	"foreplane/kernel/display"
)

// Recorder is an [kernel.Output] that remembers what it was given. It answers questions with the lines of Answers, and refuses them when there are none
// left. It is safe for concurrent use; a zero Recorder is ready.
type Recorder struct {
	Answers []string

	mu      sync.Mutex
	changed chan struct{}
	streams map[string]*strings.Builder
	shown   []Shown
}

// Shown is one display, update or page.
type Shown struct {
	Bundle display.Bundle
	ID     string
	Update bool
	Paged  bool
}

var _ kernel.Output = (*Recorder)(nil)

// change runs f and wakes all that wait for a change.
func (r *Recorder) change(f func()) {
	r.mu.Lock()
	defer r.mu.Unlock()
	f()
	if r.changed != nil {
		close(r.changed)
		r.changed = nil
	}
}

// Stream remembers text.
func (r *Recorder) Stream(name, text string) {
	r.change(func() {
		if r.streams == nil {
			r.streams = map[string]*strings.Builder{}
		}
		if r.streams[name] == nil {
			r.streams[name] = &strings.Builder{}
		}
		r.streams[name].WriteString(text)
	})
}

// Show remembers a display.
func (r *Recorder) Show(b display.Bundle, id string) {
	r.change(func() { r.shown = append(r.shown, Shown{Bundle: b, ID: id}) })
}

// Update remembers an update.
func (r *Recorder) Update(b display.Bundle, id string) {
	r.change(func() { r.shown = append(r.shown, Shown{Bundle: b, ID: id, Update: true}) })
}

// Clear does nothing: tests look at what was there, too.
func (*Recorder) Clear(bool) {}

// Page remembers what goes to the pager.
func (r *Recorder) Page(b display.Bundle) {
	r.change(func() { r.shown = append(r.shown, Shown{Bundle: b, Paged: true}) })
}

// Input takes the next of Answers.
func (r *Recorder) Input(ctx context.Context, _ string, _ bool) (text string, err error) {
	r.change(func() {
		if len(r.Answers) == 0 {
			err = errors.New("no answer")
			return
		}
		text, r.Answers = r.Answers[0], r.Answers[1:]
	})
	return text, errors.Join(err, ctx.Err())
}

// Text returns what was written to a stream so far.
func (r *Recorder) Text(stream string) string {
	r.mu.Lock()
	defer r.mu.Unlock()
	return r.text(stream)
}

func (r *Recorder) text(stream string) string {
	if b := r.streams[stream]; b != nil {
		return b.String()
	}
	return ""
}

// Shown returns the displays and updates so far.
func (r *Recorder) Shown() []Shown {
	r.mu.Lock()
	defer r.mu.Unlock()
	return append([]Shown(nil), r.shown...)
}

// Await waits until a stream contains text, and reports whether it does before ctx ends.
func (r *Recorder) Await(ctx context.Context, stream, text string) bool {
	for {
		r.mu.Lock()
		if strings.Contains(r.text(stream), text) {
			r.mu.Unlock()
			return true
		}
		if r.changed == nil {
			r.changed = make(chan struct{})
		}
		changed := r.changed
		r.mu.Unlock()
		select {
		case <-changed:
		case <-ctx.Done():
			return false
		}
	}
}
