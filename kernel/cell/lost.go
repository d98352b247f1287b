package cell

import (
	"errors"
	"go/types"
	"maps"
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
		cause.Message += "; lost with it: " + strings.Join(names, ", ")
	}
	cause.Traceback = append([]string{cause.Name + ": " + cause.Message}, cause.Traceback[min(1, len(cause.Traceback)):]...)
	return &cause
}

// forget empties the session and returns the names that cells had declared, without those of imports.
func (f *Front) forget() []string {
	f.mu.Lock()
	defer f.mu.Unlock()
	names := f.session.names
	f.session = newSession()
	maps.DeleteFunc(names, func(_ string, o types.Object) bool {
		_, isImport := o.(*types.PkgName)
		return isImport
	})
	return slices.Sorted(maps.Keys(names))
}
