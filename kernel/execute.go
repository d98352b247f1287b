package kernel

import (
	"context"
	"encoding/json"
	"fmt"
	"maps"
	"slices"
	"strings"
	"time"

	"foreplane/kernel/display"
	"foreplane/kernel/wire"
)

// execution is the content of an execute request.
type execution struct {
	Code            *string           `json:"code"`
	Silent          bool              `json:"silent"`
	StoreHistory    bool              `json:"store_history"`
	UserExpressions map[string]string `json:"user_expressions"`
	AllowStdin      bool              `json:"allow_stdin"`
	StopOnError     bool              `json:"stop_on_error"`
}

// readExecution decodes an execute request. Absent fields have the protocol's defaults; a client that does not mention stdin is not asked.
func readExecution(r *request) (*execution, error) {
	in := &execution{StoreHistory: true, StopOnError: true}
	if err := r.decode(in); err != nil {
		return nil, err
	}
	if in.Code == nil {
		return nil, missing("code")
	}
	in.StoreHistory = in.StoreHistory && !in.Silent
	return in, nil
}

func (k *Kernel) execute(ctx context.Context, r *request) (fields, error) {
	if r.aborted {
		return fields{"status": "aborted", "execution_count": k.count}, nil
	}
	in, err := readExecution(r)
	if err != nil {
		return nil, err
	}
	if in.StoreHistory {
		k.count++
		k.history.input(k.count, *in.Code)
	}
	if !in.Silent {
		k.iopub.publish(r.cause, "execute_input", fields{"code": *in.Code, "execution_count": k.count})
	}
	ctx, interrupt := context.WithCancelCause(ctx)
	defer interrupt(nil)
	if k.limit > 0 {
		late := timeLimit{fmt.Errorf("it took longer than %v, the limit that is set by --time", k.limit)}
		defer time.AfterFunc(k.limit, func() { interrupt(late) }).Stop()
	}
	out := k.newOutput(ctx, r.cause, in)
	out.asker = asker{r.cause, cellID(r.Message), interrupt}
	result := k.run(ctx, Cell{Code: *in.Code, Number: k.count, ID: out.asker.cell}, out)
	out.fold.end()
	if result.Err != nil {
		return k.failed(in, because(context.Cause(ctx), result.Err), out), nil
	}
	k.show(in, result.Value, out)
	return fields{
		"status":           "ok",
		"execution_count":  k.count,
		"user_expressions": k.userExpressions(ctx, in, out),
		"payload":          out.payload(),
	}, nil
}

// cellID returns the notebook's cell id; front ends put it into the request's metadata.
func cellID(m *wire.Message) string {
	var metadata struct {
		CellID string `json:"cellId"`
	}
	if json.Unmarshal(m.Metadata, &metadata) != nil {
		return ""
	}
	return metadata.CellID
}

// timeLimit is why a cell was interrupted that took too long.
type timeLimit struct{ error }

// because adds to the error of an interrupted cell why that was, if the kernel did it of its own accord.
func because(why error, e *CellError) *CellError {
	_, late := why.(timeLimit)
	if e.Name != "Interrupted" || !late && why != errRerun && why != errLeft {
		return e
	}
	more := *e
	if late {
		more.Name = "TimeLimit"
	}
	more.Message += ": " + why.Error()
	more.Traceback = append(slices.Clone(e.Traceback), why.Error())
	return &more
}

// run evaluates a cell and makes an error of the engine's panic.
func (k *Kernel) run(ctx context.Context, cell Cell, out Output) (result Result) {
	defer func() {
		if p := recover(); p != nil {
			result = Result{Err: k.internal("the engine", p)}
		}
	}()
	return k.engine.Run(ctx, cell, out)
}

// failed reports a failed cell. What waits in the queue now is aborted before the client can learn of the failure, so a request sent in the knowledge
// of it always runs, and so does the one that ended it by running its cell again. A silent request is a front end's own business and stops no cells.
func (k *Kernel) failed(in *execution, e *CellError, out *output) fields {
	if in.StopOnError && !in.Silent {
		k.shell.each(func(r *request) { r.aborted = r.aborted || r.replaces != out.cause })
	}
	for _, b := range out.takePages() { // this reply carries none
		out.Show(b, "")
	}
	out.publish("error", e.fields())
	content := e.fields()
	content["status"], content["execution_count"] = "error", k.count
	return content
}

// show publishes the value of a cell.
func (k *Kernel) show(in *execution, value *display.Bundle, out *output) {
	if value == nil {
		return
	}
	b := presentable(*value)
	if in.StoreHistory {
		k.history.output(k.count, b.Text())
	}
	out.publish("execute_result", fields{"execution_count": k.count, "data": b.Data, "metadata": b.Metadata})
}

// userExpressions evaluates the expressions of an execute request, in the order of their names. They are quiet: only their values count.
func (k *Kernel) userExpressions(ctx context.Context, in *execution, out *output) fields {
	quiet := &output{kernel: k, cause: out.cause, silent: true, cell: ctx}
	values := fields{}
	for _, name := range slices.Sorted(maps.Keys(in.UserExpressions)) {
		result := k.run(ctx, Cell{Code: in.UserExpressions[name], Number: k.count, Expression: true}, quiet)
		values[name] = expressionValue(result)
	}
	return values
}

func expressionValue(result Result) fields {
	if result.Err != nil {
		content := result.Err.fields()
		content["status"] = "error"
		return content
	}
	var b display.Bundle
	if result.Value != nil {
		b = *result.Value
	}
	b = presentable(b)
	return fields{"status": "ok", "data": b.Data, "metadata": b.Metadata}
}

// presentable returns the bundle with what the protocol demands of every bundle: metadata, and text/plain, here the list of what there is instead.
func presentable(b display.Bundle) display.Bundle {
	if b.Metadata == nil {
		b.Metadata = map[string]any{}
	}
	if _, ok := b.Data[display.TypePlain]; !ok {
		kinds := make([]string, 0, len(b.Data))
		data := map[string]any{}
		for kind, value := range b.Data {
			kinds, data[kind] = append(kinds, kind), value
		}
		slices.Sort(kinds)
		data[display.TypePlain] = strings.Join(kinds, ", ")
		b.Data = data
	}
	return b
}
