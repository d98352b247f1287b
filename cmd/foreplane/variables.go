package main

import (
	"context"
	"encoding/json"
	"sync"

	"foreplane/kernel"
	"foreplane/kernel/cell"
)

// variablesTarget is the name under which a front end opens a comm to see the variables of the session. It is sent {"variables": [...]} at once, in answer
// to each message of its own, also while a cell runs, and after each cell.
const variablesTarget = "foreplane.variables"

// watched is an engine that shows its variables to whom it may concern.
type watched struct {
	*cell.Engine

	mu    sync.Mutex
	views map[*kernel.Comm]bool
}

func watch(e *cell.Engine) *watched { return &watched{Engine: e, views: map[*kernel.Comm]bool{}} }

// Run implements kernel.Engine.
func (w *watched) Run(ctx context.Context, c kernel.Cell, out kernel.Output) kernel.Result {
	r := w.Engine.Run(ctx, c, out)
	if c.Expression {
		return r
	}
	w.mu.Lock()
	defer w.mu.Unlock()
	if len(w.views) > 0 {
		d := w.data()
		for view := range w.views {
			view.Send(d)
		}
	}
	return r
}

func (w *watched) data() kernel.CommData {
	data, _ := json.Marshal(map[string]any{"variables": w.Variables()})
	return kernel.CommData{Data: data}
}

// open implements kernel.Target.
func (w *watched) open(c *kernel.Comm, opening kernel.CommData) error {
	c.Received = func(d kernel.CommData) { c.Reply(d, w.data()) }
	c.Closed = func(kernel.CommData) {
		w.mu.Lock()
		defer w.mu.Unlock()
		delete(w.views, c)
	}
	w.mu.Lock()
	w.views[c] = true
	w.mu.Unlock()
	c.Reply(opening, w.data())
	return nil
}
