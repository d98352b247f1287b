package cell

import (
	"go/ast"
	"go/types"
)

// os.Stdin, os.Stdout and os.Stderr. Where a reader or a writer is wanted, they are the streams of the cell and not files: what goes that way stays in order
// and with its cell.

// osFile returns the name of the standard stream of package os that an expression names, or nothing.
func (l *lowerer) osFile(e ast.Expr) string {
	sel, ok := ast.Unparen(e).(*ast.SelectorExpr)
	if !ok {
		return ""
	}
	o := l.info.Uses[sel.Sel]
	if _, isVar := o.(*types.Var); !isVar || o.Pkg() == nil || o.Pkg().Path() != "os" {
		return ""
	}
	switch o.Name() {
	case "Stdin", "Stdout", "Stderr":
		return o.Name()
	}
	return ""
}

// streamAs returns what stands for a standard stream as a value of an interface, or nothing if that has to be the file.
func (l *lowerer) streamAs(e ast.Expr, target types.Type) string {
	i, ok := target.Underlying().(*types.Interface)
	name := l.osFile(e)
	if !ok || name == "" {
		return ""
	}
	if name == "Stdin" {
		return runtimeName + ".Stdin()"
	}
	for m := range i.Methods() {
		if m.Name() != "Write" && m.Name() != "WriteString" {
			return ""
		}
	}
	if i.NumMethods() == 0 {
		return ""
	}
	return runtimeName + "." + name + "()"
}

// written returns the callee of a method that writes to a standard stream, or nil.
func (l *lowerer) written(sel *ast.SelectorExpr) *callee {
	name := l.osFile(sel.X)
	if name != "Stdout" && name != "Stderr" || sel.Sel.Name != "Write" && sel.Sel.Name != "WriteString" {
		return nil
	}
	return &callee{receiver: runtimeName + "." + name + "()", recvType: "*" + runtimeName + ".Stream", build: func(x string, args []string) string {
		return callText(x+"."+sel.Sel.Name, args)
	}}
}
