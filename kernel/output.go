package kernel

import (
	"context"
	"errors"
	"fmt"
	"sync"

	"foreplane/kernel/display"
	"foreplane/kernel/wire"
)

// output publishes the side effects of one cell. Goroutines of the cell may hold it long after the cell has ended.
type output struct {
	kernel  *Kernel
	cause   *wire.Message
	silent  bool            // nothing is published
	answers bool            // the client answers questions
	cell    context.Context // ends with the cell, or when it is interrupted
	asker   asker
	fold    *fold

	mu      sync.Mutex
	pages   []display.Bundle // for the pager, to travel with the reply
	unpaged bool             // nothing more travels that way: there is no pager, or the reply is made
}

// newOutput returns the output of the cell that a request runs.
func (k *Kernel) newOutput(ctx context.Context, cause *wire.Message, in *execution) *output {
	o := &output{kernel: k, cause: cause, silent: in.Silent, answers: in.AllowStdin, cell: ctx, unpaged: !k.pager}
	o.fold = &fold{folder: &k.folder, number: k.count, print: func(name, text string) { k.iopub.stream(cause, name, text) }}
	return o
}

var _ Output = (*output)(nil)

func (o *output) publish(kind string, content fields) {
	if !o.silent {
		o.kernel.iopub.publish(o.cause, kind, content)
	}
}

func (o *output) Stream(name, text string) {
	if !o.silent && text != "" {
		o.fold.take(name, text)
	}
}

func (o *output) Show(b display.Bundle, id string) { o.display("display_data", b, id) }

func (o *output) Update(b display.Bundle, id string) { o.display("update_display_data", b, id) }

func (o *output) display(kind string, b display.Bundle, id string) {
	b = presentable(b)
	transient := fields{}
	if id != "" {
		transient["display_id"] = id
	}
	o.publish(kind, fields{"data": b.Data, "metadata": b.Metadata, "transient": transient})
}

func (o *output) Clear(wait bool) { o.publish("clear_output", fields{"wait": wait}) }

func (o *output) Page(b display.Bundle) {
	o.mu.Lock()
	defer o.mu.Unlock()
	if o.unpaged {
		o.Show(b, "")
		return
	}
	o.pages = append(o.pages, b)
}

// takePages returns what the reply is to carry for the pager.
func (o *output) takePages() []display.Bundle {
	o.mu.Lock()
	defer o.mu.Unlock()
	pages := o.pages
	o.pages, o.unpaged = nil, true
	return pages
}

// payload is what the reply carries for the pager.
func (o *output) payload() []fields {
	list := []fields{}
	for _, b := range o.takePages() {
		list = append(list, fields{"source": "page", "data": presentable(b).Data, "start": 0})
	}
	return list
}

// Why a cell gets no input.
var (
	errNoAnswers = errors.New("this front end takes no input from the keyboard")
	errOver      = errors.New("no input: the cell was interrupted, or has ended")
)

func (o *output) Input(ctx context.Context, prompt string, password bool) (string, error) {
	if !o.answers {
		return "", errNoAnswers
	}
	if o.cell.Err() != nil {
		return "", errOver
	}
	ctx, cancel := context.WithCancelCause(ctx)
	defer cancel(nil)
	defer context.AfterFunc(o.cell, func() { cancel(errOver) })()
	text, err := o.kernel.prompts.ask(ctx, o.asker, fields{"prompt": prompt, "password": password})
	if err != nil {
		return "", fmt.Errorf("input %q: %w", prompt, err)
	}
	return text, nil
}
