package notebook

import (
	"fmt"
	"maps"
	"sync"

	"foreplane/kernel"
	"foreplane/kernel/display"
)

// collector puts what cells send into the outputs of a document, as a front end would show it. Goroutines of a cell may send while others run, or later.
type collector struct {
	mu       sync.Mutex
	doc      *Document
	clear    map[int]bool       // cells whose outputs go when the next one comes
	displays map[string][]place // outputs that can be updated, by display id
	finished bool
}

// place is an output of a cell.
type place struct{ cell, output int }

func newCollector(d *Document) *collector {
	return &collector{doc: d, clear: map[int]bool{}, displays: map[string][]place{}}
}

// finish leaves the document alone from now on.
func (c *collector) finish() {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.finished = true
}

// annotate keeps the times of a cell's execution.
func (c *collector) annotate(cell int, times Object) {
	c.mu.Lock()
	defer c.mu.Unlock()
	metadata := &c.doc.Cells[cell].Metadata
	*metadata = extend(*metadata, Object{"execution": maps.Clone(times)})
}

// add takes one event of a cell.
func (c *collector) add(cell int, e kernel.Event) {
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.finished {
		return
	}
	switch e.Type {
	case "execute_input":
		c.doc.Cells[cell].Count = e.ExecutionCount
	case "stream":
		c.stream(cell, e)
	case "display_data", "execute_result":
		c.display(cell, e)
	case "update_display_data":
		c.update(e)
	case "error":
		c.output(cell, Output{Type: Failure, ErrorName: e.Err.Name, Message: e.Err.Message, Traceback: e.Err.Traceback})
	case "clear_output":
		if c.clear[cell] = e.Wait; !e.Wait {
			c.empty(cell)
		}
	}
}

// output appends an output, in place of all others if that was asked for.
func (c *collector) output(cell int, o Output) {
	if c.clear[cell] {
		c.empty(cell)
		c.clear[cell] = false
	}
	target := &c.doc.Cells[cell]
	target.Outputs = append(target.Outputs, o)
}

func (c *collector) empty(cell int) {
	c.doc.Cells[cell].Outputs = nil
	for id, places := range c.displays {
		var kept []place
		for _, p := range places {
			if p.cell != cell {
				kept = append(kept, p)
			}
		}
		c.displays[id] = kept
	}
}

// stream joins text to text of the same stream before it.
func (c *collector) stream(cell int, e kernel.Event) {
	outputs := c.doc.Cells[cell].Outputs
	if n := len(outputs); n > 0 && !c.clear[cell] && outputs[n-1].Type == Stream && outputs[n-1].Name == e.Name {
		outputs[n-1].Text += e.Text
		return
	}
	c.output(cell, Output{Type: Stream, Name: e.Name, Text: e.Text})
}

func (c *collector) display(cell int, e kernel.Event) {
	o := Output{Type: OutputType(e.Type), Count: e.ExecutionCount}
	o.Data, o.Metadata = stored(e.Bundle)
	if e.DisplayID != "" {
		c.update(e)
	}
	c.output(cell, o)
	if e.DisplayID != "" {
		c.displays[e.DisplayID] = append(c.displays[e.DisplayID], place{cell, len(c.doc.Cells[cell].Outputs) - 1})
	}
}

// update changes all outputs that carry the event's display id, in whatever cell.
func (c *collector) update(e kernel.Event) {
	for _, p := range c.displays[e.DisplayID] {
		o := &c.doc.Cells[p.cell].Outputs[p.output]
		o.Data, o.Metadata = stored(e.Bundle)
	}
}

// stored returns a bundle the way a document holds it: everything but JSON as text.
func stored(b display.Bundle) (data, metadata Object) {
	data = Object{}
	for mime, v := range b.Data {
		if !isJSON(mime) {
			s, ok := join(v)
			if !ok {
				s = fmt.Sprint(v)
			}
			v = s
		}
		data[mime] = v
	}
	return data, object(b.Metadata)
}
