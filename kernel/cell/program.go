// Package cell evaluates Go cells: split, check, lower, run, show.
//
// Its front half ([Front]) lives in the supervisor and is pure data; its back half ([Machine]) holds the interpreter and lives in the worker. Between
// them goes a [Program] down and an [Outcome] up, both plain data.
package cell

import (
	"context"
	"reflect"

	"foreplane/kernel"
	"foreplane/kernel/display"
)

// Library is what cells can import: data for the checker, documentation, and, in the worker only, values for the interpreter.
type Library interface {
	// Paths lists the import paths of all packages on offer.
	Paths() []string
	// ExportData returns the type data of a package in the format of golang.org/x/tools/go/gcexportdata.
	ExportData(path string) ([]byte, bool)
	// Has reports whether the interpreter can be given the exported name (the type data may know more, such as generic functions).
	Has(path, name string) bool
	// Doc returns the documentation of a package (name empty), a name, or a member written Type.Member.
	Doc(path, name string) string
	// Values returns the interpreter's table for a package: functions, variables by address, types as nil pointers, interface wrappers as _Name.
	Values(path string) map[string]reflect.Value
}

// Program is one checked and lowered cell as data: it crosses the pipe to the worker.
type Program struct {
	Cell   int     `json:"cell"`   // execution count, shown in positions
	Chunks []Chunk `json:"chunks"` // compiled all before any runs, then run in order
	Binds  []Bind  `json:"binds"`  // top-level names the cell declares, in order of completion
	Show   []Shape `json:"show"`   // static types of the last expression's values; empty shows nothing
}

// Chunk is lowered Go source for the interpreter with a map back to the cell.
type Chunk struct {
	Source string `json:"source"`
	Lines  []Line `json:"lines"`
}

// Line maps a position of lowered source to a position of the cell.
type Line struct {
	Line, Column     int // in the chunk's source
	Cell             int // the cell it came from: a function may be compiled again later
	ToLine, ToColumn int
}

// Bind is one name that a cell declares, and the interpreter's name for its slot.
type Bind struct {
	Name string `json:"name"`
	Slot string `json:"slot"`
}

// Shape is a static type as data: reflection in the worker has lost the names and methods of types that cells declare.
type Shape struct {
	Type string `json:"type"` // as the cell would write it
}

// Outcome is what became of a program.
type Outcome struct {
	Value *display.Bundle   `json:"value,omitempty"`
	Bound int               `json:"bound"` // how many of Program.Binds were completed
	Err   *kernel.CellError `json:"err,omitempty"`
}

// Runner runs programs: the Machine itself, or a worker process that holds one.
type Runner interface {
	// Run runs a program. Cancelling ctx stops it. An error (not Outcome.Err) means the machine is lost, with all its values.
	Run(ctx context.Context, p *Program, out kernel.Output) (Outcome, error)
	Close() error
}
