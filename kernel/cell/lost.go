package cell

import "foreplane/kernel"

// LostError is what [Runner.Run] returns when the machine ended, and every value of the session with it. The next Run has a fresh machine.
type LostError struct {
	// Cause is what to show: Interrupted if the user asked for the end, WorkerLost otherwise. Its message says what happened and in which cell;
	// which names are lost is for the holder of the session to add.
	Cause kernel.CellError
	// Began is false if the machine ended before the program was given to it: nothing of the program has run.
	Began bool
}

func (e *LostError) Error() string { return e.Cause.Error() }
