package cell

import (
	"context"
	"reflect"

	"foreplane/kernel"
	"foreplane/kernel/answer"
	"foreplane/kernel/cell/internal/derive"
	"foreplane/kernel/dimension"
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
	// Source returns the files of a package of which there is no compiled code, by name.
	Source(path string) map[string]string
	// Doc returns the documentation of a package (name empty), a name, or a member written Type.Member.
	Doc(path, name string) string
	// Quantities is the table of quantities and units that cells use.
	Quantities() dimension.Table
	// Format writes an SI value with its units: of a kind of the table or, with a kind of "", of the SI unit with the given symbol.
	Format(value float64, kind, symbol string) string
	// FormatIn writes an SI value of the unit with the given symbol in another unit, of the same dimension, with so many significant figures; a unit of "" and
	// no figures leave the choice to it.
	FormatIn(value float64, symbol, unit string, figures int) (string, error)
	// Units is what judges answers.
	answer.Units
	// Values returns the interpreter's table for a package: functions, variables by address, types as nil pointers, interface wrappers as _Name.
	Values(path string) map[string]reflect.Value
}

// Program is one checked and lowered cell as data: it crosses the pipe to the worker.
type Program struct {
	Cell      int        `json:"cell"`      // execution count, shown in positions
	Imports   []Import   `json:"imports"`   // packages that Source refers to
	Types     []TypeDecl `json:"types"`     // struct types that Source refers to
	Source    string     `json:"source"`    // lowered Go, compiled whole before anything of it runs
	Setup     string     `json:"setup"`     // a function to call first; empty if there is none
	Entry     string     `json:"entry"`     // the function to call; empty if nothing is to be run
	Private   []string   `json:"private"`   // names in Source that no other program will mention
	Spent     []string   `json:"spent"`     // names of earlier programs that no other will mention
	Functions []Function `json:"functions"` // the functions of Source, for positions of panics
	Places    []Place    `json:"places"`    // positions in cells: a mark in Source is an index into them
	Binds     []Bind     `json:"binds"`     // top-level names the cell declares, in order of completion
	Shapes    []Shape    `json:"shapes"`    // the types that Source refers to by number
	Show      []Shown    `json:"show"`      // the last expression's values; empty shows nothing

	Question *Question         `json:"question,omitempty"` // that the cell answers
	Derive   []derive.Equation `json:"derive,omitempty"`   // of a cell that is typeset: its statements as formulas
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
	Calls   []int  `json:"calls"`   // the places of its statements that call functions of cells
}

// Place is a position in a cell or in a file of a package. A function may be compiled again with a later cell, so each place names its own.
type Place struct {
	Cell   int    `json:"cell"`
	File   string `json:"file,omitempty"` // of a package, in place of the cell
	Line   int    `json:"line"`
	Column int    `json:"column"`
}

// Bind is one name that a cell declares, and the interpreter's name for its slot.
type Bind struct {
	Name     string `json:"name"`
	Slot     string `json:"slot"`
	Variable bool   `json:"variable,omitempty"`
}

// Shown is a value that the cell shows.
type Shown struct {
	Type  string `json:"type"`            // as the cell would write it
	Error bool   `json:"error,omitempty"` // it is an error: nil shows nothing, another fails the cell
}

// Shape describes a type as data: reflection in the worker has lost the names and methods of types that cells declare. Other types are referred to by
// their numbers, which hold for the whole session.
type Shape struct {
	ID       int      `json:"id"`
	Name     string   `json:"name"` // as %T prints it
	Kind     string   `json:"kind"` // the name of a predeclared type, or pointer, slice, array, chan, map, func, struct, interface, compiled or compiled interface
	Named    bool     `json:"named,omitempty"`
	Celled   bool     `json:"celled,omitempty"` // a type of a cell has a part in it: its interface values are boxes
	Cut      bool     `json:"cut,omitempty"`    // the interpreter holds its values in an empty interface
	Elem     int      `json:"elem,omitempty"`
	Key      int      `json:"key,omitempty"`
	Len      int      `json:"len,omitempty"` // of an array; the direction of a chan
	In       []int    `json:"in,omitempty"`
	Out      []int    `json:"out,omitempty"`
	Variadic bool     `json:"variadic,omitempty"`
	Fields   []Field  `json:"fields,omitempty"`
	Methods  []string `json:"methods,omitempty"` // of an interface, with their types: String() string
	Path     string   `json:"path,omitempty"`    // of a compiled type: its package, empty for error
	Symbol   string   `json:"symbol,omitempty"`  // and its name there
}

// Field is a field of a struct.
type Field struct {
	Name     string `json:"name"`
	Type     int    `json:"type"`
	Embedded bool   `json:"embedded,omitempty"`
	Exported bool   `json:"exported,omitempty"`
	Tag      string `json:"tag,omitempty"`
}

// Outcome is what became of a program.
type Outcome struct {
	Value    *display.Bundle   `json:"value,omitempty"`
	Rejected bool              `json:"rejected,omitempty"` // the program did not begin to run
	Bound    int               `json:"bound"`              // how many of Program.Binds were completed
	Err      *kernel.CellError `json:"err,omitempty"`
	Values   []Snapshot        `json:"values,omitempty"` // variables that hold something else than before
}

// Runner runs programs: the Machine itself, or a worker process that holds one.
type Runner interface {
	// Run runs a program. Cancelling ctx stops it. An error (not Outcome.Err) means the machine is lost, with all its values.
	Run(ctx context.Context, p *Program, out kernel.Output) (Outcome, error)
	Close() error
}
