package kernel

import (
	"context"
	"errors"
	"fmt"

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
	fold    *fold
}

// newOutput returns the output of the cell that a request runs.
func (k *Kernel) newOutput(ctx context.Context, cause *wire.Message, in *execution) *output {
	o := &output{kernel: k, cause: cause, silent: in.Silent, answers: in.AllowStdin, cell: ctx}
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
	text, err := o.kernel.prompts.ask(ctx, o.cause, fields{"prompt": prompt, "password": password})
	if err != nil {
		return "", fmt.Errorf("input %q: %w", prompt, err)
	}
	return text, nil
}
