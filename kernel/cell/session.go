package cell

import (
	"go/types"

	"foreplane/kernel/cell/internal/derive"

	"golang.org/x/tools/go/types/typeutil"
)

// session is what the cells so far have declared. Names change only when a cell has run.
type session struct {
	names      map[string]types.Object       // what each name means; imports are *types.PkgName
	declared   map[string]types.Object       // what cells have declared under each name; an import does not change that
	slots      map[types.Object]string       // the interpreter's names of variables and functions
	functions  map[*types.Func]*declaredFunc // every function and method that can still be called
	instances  []*instance                   // of generic functions, and values of functions
	frozen     []*frozen                     // code that cannot be lowered again
	started    map[*types.Package]bool       // packages of the folder whose variables have their first values
	ghosts     map[*types.Func]bool          // methods that were added to types by cells that did not run
	symbols    map[string]derive.Symbol      // that comments have given to names
	registered map[int]types.Type            // the types whose methods the machine knows, by number
	spent      []string                      // names of the interpreter that no program will mention, for the next one to tell it
	lowering
}

// lowering is what the lowering remembers between cells. It may know more than has run.
type lowering struct {
	structs map[string]string // names of struct types by their structure
	shapes  *typeutil.Map     // numbers of types
	cuts    *typeutil.Map     // see isCut
	context *types.Context    // of instances of generic types
	serial  int               // for names that the interpreter has not seen
}

func newSession() *session {
	return &session{
		started: map[*types.Package]bool{}, symbols: map[string]derive.Symbol{}, names: map[string]types.Object{}, declared: map[string]types.Object{}, ghosts: map[*types.Func]bool{}, slots: map[types.Object]string{}, functions: map[*types.Func]*declaredFunc{}, registered: map[int]types.Type{},
		lowering: lowering{structs: map[string]string{}, shapes: new(typeutil.Map), cuts: new(typeutil.Map), context: types.NewContext()},
	}
}
