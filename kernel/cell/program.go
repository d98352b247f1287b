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
	Cell      int        `json:"cell"`      // execution count, shown in positions
	Imports   []Import   `json:"imports"`   // packages that Source refers to
	Types     []TypeDecl `json:"types"`     // struct types that Source refers to
	Source    string     `json:"source"`    // lowered Go, compiled whole before anything of it runs
	Entry     string     `json:"entry"`     // the function to call; empty if nothing is to be run
	Functions []Function `json:"functions"` // the functions of Source, for positions of panics
	Places    []Place    `json:"places"`    // positions in cells: a mark in Source is an index into them
	Binds     []Bind     `json:"binds"`     // top-level names the cell declares, in order of completion
	Show      []Shape    `json:"show"`      // static types of the last expression's values; empty shows nothing
}

// Import is a package and the interpreter's name for it.
type Import struct {
	Name string `json:"name"`
	Path string `json:"path"`
}

// Function describes a lowered function. While it runs it leaves the index of its current place in the interpreter's variable Mark.
type Function struct {
	Lowered string `json:"lowered"` // the interpreter's name
	Name    string `json:"name"`    // as the cell wrote it; empty for the statements of a cell
	Mark    string `json:"mark"`    // empty if nothing in it can panic
}

// Place is a position in a cell. A function may be compiled again with a later cell, so each place names its own.
type Place struct {
	Cell   int `json:"cell"`
	Line   int `json:"line"`
	Column int `json:"column"`
}

// Bind is one name that a cell declares, and the interpreter's name for its slot.
type Bind struct {
	Name string `json:"name"`
	Slot string `json:"slot"`
}

// Shape is a static type as data: reflection in the worker has lost the names and methods of types that cells declare.
type Shape struct {
	Type  string `json:"type"`            // as the cell would write it
	Error bool   `json:"error,omitempty"` // it is an error: nil shows nothing, another fails the cell
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
