package cell

import (
	"go/ast"
	"go/types"
)

// session is what the cells so far have declared. It changes only when a cell has run.
type session struct {
	names map[string]types.Object // what each name means; imports are *types.PkgName
	slots map[types.Object]string // the interpreter's names of variables, functions and types
	// functions holds the source of every function and method that can still be called, to be lowered again when something it uses is declared anew.
	functions map[types.Object]*function
	structs   map[string]string // names of struct types by their structure
	serial    int               // for names that the interpreter has not seen
}

// function is a function or method with what its body refers to.
type function struct {
	object *types.Func
	decl   *ast.FuncDecl
	cell   int
	uses   map[types.Object]bool // session-level objects that the body mentions
}

func newSession() *session {
	return &session{map[string]types.Object{}, map[types.Object]string{}, map[types.Object]*function{}, map[string]string{}, 0}
}
