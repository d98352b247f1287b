package cell

import (
	"context"
	"errors"
	"go/types"
	"slices"
	"strings"

	"foreplane/kernel"
)

// LostError is what [Runner.Run] returns when the machine ended, and every value of the session with it. The next Run has a fresh machine.
type LostError struct {
	// Cause is what to show: Interrupted if the user asked for the end, WorkerLost otherwise. Its message says what happened and in which cell;
	// [Engine] adds which names are lost.
	Cause kernel.CellError
	// Began is false if the machine ended before the program was given to it: nothing of the program has run.
	Began bool
}

func (e *LostError) Error() string { return e.Cause.Error() }

// lose forgets the session, whose values have gone with the runner's machine, and words that for the user.
func (e *Engine) lose(err error) *kernel.CellError {
	cause := kernel.CellError{Name: "WorkerLost", Message: err.Error()}
	if lost := (*LostError)(nil); errors.As(err, &lost) {
		cause = lost.Cause
	}
	if names := e.front.forget(); len(names) > 0 {
		cause.Message += "; lost with it: " + strings.Join(names, ", ") + e.regain()
	}
	cause.Traceback = append([]string{cause.Name + ": " + cause.Message}, cause.Traceback[min(1, len(cause.Traceback)):]...)
	return &cause
}

// regain rebuilds the session or says how to. A rebuild that loses the machine again is not tried again.
func (e *Engine) regain() string {
	if !e.Rebuild || e.rebuilding {
		return " (" + rebuildName + "() alone in a cell runs the cells again that made them)"
	}
	e.rebuilding = true
	defer func() { e.rebuilding = false }()
	r := e.rebuild(context.Background())
	if r.Err != nil {
		return "; " + r.Err.Message
	}
	return "; " + r.Value.Text()
}

// forget empties the session, keeps the cells that can rebuild it, and returns the names that cells had declared.
func (f *Front) forget() []string {
	names := f.declared()
	f.mu.Lock()
	defer f.mu.Unlock()
	lost := append(f.done, f.lost...)
	f.reset()
	f.lost = lost
	return names
}

// declared lists the names that cells have declared, without those of imports.
func (f *Front) declared() []string {
	f.mu.Lock()
	defer f.mu.Unlock()
	var names []string
	for name, o := range f.session.names {
		if _, imported := o.(*types.PkgName); !imported {
			names = append(names, name)
		}
	}
	slices.Sort(names)
	return names
}
