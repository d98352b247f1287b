package cell

import (
	"go/ast"
	"go/parser"
	"go/token"
	"go/types"
)

// builtinPath is the package path of what follows.
const builtinPath = "foreplane"

// builtinSource declares what every cell may call without import; the lowering knows them by name.
const builtinSource = `package cell

// must unwraps a value that comes with an error; if the error is not nil, the cell stops with it.
func must[T any](value T, err error) T { return value }

// uncertain is a value with its standard uncertainty, which a cell with //foreplane:derive carries on to what is computed from it.
func uncertain[T ~float64](value, plusMinus T) T { return value }

// show displays values at once.
func show(values ...any) {}

// showAs displays a value under a name; the next value under that name takes its place, wherever it is shown.
func showAs(name string, value any) {}

// prose is a text with live values: {{.V}}, {{.V | in "kt" | digits 4}}, {{.r.Alpha | in "°"}}, {{.n | bare}}. The text is written out in the call. As the last
// expression of a cell it shows as Markdown.
func prose(text string, values ...any) any { return text }

// pitfall tells, in the cell of a question, of a value that a known mistake leads to, and what to say to a student who gives it.
func pitfall(hint string, value any) {}

// page displays values in the front end's pager; where there is none, they are shown.
func page(values ...any) {}

// clearOutput empties the output of the cell: at once, or, if wait is true, when the next output comes.
func clearOutput(wait bool) {}

// ask asks the user and returns the answer.
func ask(prompt string) string { return "" }

// rerunStale runs the cells again whose results are out of date, in the order in which they depend on each other, each output under the number of its
// cell. It has to be alone in its cell.
func rerunStale() {}

// rebuild runs the cells again, unseen and in their order, that had succeeded before the process that held their values was lost. It has to be alone in
// its cell.
func rebuild() {}

// variables shows the variables of the session: type, value, unit, size, and the cell that was the last to set each. It has to be alone in its cell.
func variables() {}
`

func newBuiltins() map[string]types.Object {
	fset := token.NewFileSet()
	file, err := parser.ParseFile(fset, "builtin", builtinSource, parser.ParseComments)
	if err != nil {
		panic(err)
	}
	pkg, err := new(types.Config).Check(builtinPath, fset, []*ast.File{file}, nil)
	if err != nil {
		panic(err)
	}
	out := map[string]types.Object{}
	for _, name := range pkg.Scope().Names() {
		out[name] = pkg.Scope().Lookup(name)
	}
	return out
}
