package cell

import (
	"go/ast"
	"go/parser"
	"strings"
)

// The functions that the engine answers, not the machine. A call of one stands alone in its cell.
const (
	rerunName     = "rerunStale"
	variablesName = "variables"
	rebuildName   = "rebuild"
)

// asks reports whether a cell is nothing but a call of such a function.
func (f *Front) asks(code, name string) bool {
	f.mu.Lock()
	defer f.mu.Unlock()
	if f.session.names[name] != nil {
		return false
	}
	e, err := parser.ParseExpr(strings.TrimSuffix(strings.TrimSpace(code), ";"))
	call, ok := e.(*ast.CallExpr)
	if err != nil || !ok || len(call.Args) > 0 {
		return false
	}
	id, ok := call.Fun.(*ast.Ident)
	return ok && id.Name == name
}

// misplaced finds calls of such functions amid other code.
func (f *Front) misplaced(c *checked) problems {
	var found problems
	for id, o := range c.info.Uses {
		if o == f.builtins[rerunName] || o == f.builtins[variablesName] || o == f.builtins[rebuildName] {
			found = append(found, problem{place: f.files.place(id.Pos()), message: id.Name + "() has to be alone in its cell"})
		}
	}
	return found
}
