package cell

import (
	"context"
	"errors"
	"fmt"
	"strings"

	"foreplane/kernel"
	"foreplane/kernel/display"
)

// silence is the output of cells that are run again to rebuild a session: what they print and show was seen before, and nobody is asked again.
type silence struct{}

func (silence) Stream(string, string)         {}
func (silence) Show(display.Bundle, string)   {}
func (silence) Update(display.Bundle, string) {}
func (silence) Clear(bool)                    {}
func (silence) Page(display.Bundle)           {}
func (silence) Input(context.Context, string, bool) (string, error) {
	return "", errors.New("a cell that asks cannot be run again unseen: run it yourself, then call " + rebuildName + "() again")
}

// rebuild runs the cells again that had succeeded before the session was lost, in their order, until one fails. What is left then waits for another
// rebuild.
func (e *Engine) rebuild(ctx context.Context) kernel.Result {
	before := e.front.waiting()
	for done := 0; ; done++ {
		c, ok := e.front.nextLost()
		if !ok {
			b := display.Plain(rebuiltText(done, e.front.declared()))
			return kernel.Result{Value: &b}
		}
		if r := e.run(ctx, c, silence{}); r.Err != nil {
			e.front.putBack(c)
			r.Err.Message = fmt.Sprintf("the session is rebuilt up to cell %d, which failed (%d of %d cells were run): %s", c.Number, done, before, r.Err.Message)
			return r
		}
	}
}

func rebuiltText(cells int, names []string) string {
	if cells == 0 {
		return "Nothing was lost."
	}
	return counted(cells, "cell was", "cells were") + " run again; the session has: " + strings.Join(names, ", ")
}

func (f *Front) waiting() int {
	f.mu.Lock()
	defer f.mu.Unlock()
	return len(f.lost)
}

// nextLost takes the first of the cells to run again.
func (f *Front) nextLost() (c kernel.Cell, ok bool) {
	f.mu.Lock()
	defer f.mu.Unlock()
	if len(f.lost) == 0 {
		return c, false
	}
	c, f.lost = f.lost[0], f.lost[1:]
	return c, true
}

func (f *Front) putBack(c kernel.Cell) {
	f.mu.Lock()
	defer f.mu.Unlock()
	f.lost = append([]kernel.Cell{c}, f.lost...)
}
