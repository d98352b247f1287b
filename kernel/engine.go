package kernel

import (
	"context"

	"foreplane/kernel/display"
)

// Engine runs cells and answers questions about them. The core calls Run for one cell at a time; the other methods may be called at any time, also
// while a cell runs, and must answer at once.
type Engine interface {
	// Run evaluates a cell. Cancelling ctx interrupts it: Run then returns a Result with an Interrupted error as soon as the cell has ended.
	// Output may be used until long after Run returned, by goroutines the cell started.
	Run(ctx context.Context, cell Cell, out Output) Result
	// Complete proposes continuations of code at byte offset cursor.
	Complete(code string, cursor int) Completion
	// Inspect documents the name at byte offset cursor; detail 1 adds source and more. Found is false for unknown names.
	Inspect(code string, cursor, detail int) (doc display.Bundle, found bool)
	// Completeness tells a console whether a cell can be run as it stands.
	Completeness(code string) Completeness
	// Close ends everything the engine started.
	Close() error
}

// Cell is one piece of source to run.
type Cell struct {
	Code       string
	Number     int    // execution count: positions are shown as "cell 3, line 2, column 4"
	ID         string // the notebook's cell id, if the client sent one
	Expression bool   // a user expression: one expression whose value is wanted, declares nothing
}

// Output is where a cell's side effects go. One belongs to each cell, so late output keeps its parent. Safe for concurrent use.
type Output interface {
	Stream(name, text string) // name is "stdout" or "stderr"
	// Show displays a bundle; a non-empty id makes it updatable. Update replaces every display that carries the id.
	Show(b display.Bundle, id string)
	Update(b display.Bundle, id string)
	Clear(wait bool)
	// Page displays a bundle in the front end's pager, if it has one, and else as Show does.
	Page(b display.Bundle)
	// Input asks the client that ran the cell. It fails at once if that client takes no questions, and when ctx ends.
	Input(ctx context.Context, prompt string, password bool) (string, error)
}

// Result is what a cell came to: the value of its last expression, if it has one, or an error.
type Result struct {
	Value *display.Bundle
	Err   *CellError
}

// CellError is a failed cell, as the protocol shows it.
type CellError struct {
	Name      string   `json:"ename"`  // Syntax, Check, Refused, Panic, Error, Interrupted, WorkerLost
	Message   string   `json:"evalue"` // one line a first-year student understands
	Traceback []string `json:"traceback"`
}

func (e *CellError) Error() string { return e.Name + ": " + e.Message }

// Completion lists what may stand between byte offsets Start and End.
type Completion struct {
	Start, End int
	Items      []Candidate
}

// Candidate is one proposed completion.
type Candidate struct {
	Text      string
	Kind      string // function, type, variable, constant, package, field, method, keyword
	Signature string
}

// Completeness is the answer to "can this be run?".
type Completeness struct {
	Status string // complete, incomplete, invalid, unknown
	Indent string // for incomplete: what the next line starts with
}
