package cell

import (
	"go/ast"
	"go/types"
	"strings"
)

// function lowers a function or method; a method's receiver is its first parameter.
func (l *lowerer) function(d *ast.FuncDecl) {
	o := l.info.Defs[d.Name].(*types.Func)
	if d.Type.TypeParams != nil || o.Signature().RecvTypeParams().Len() > 0 {
		l.refuse(d.Name, "generic functions cannot be run here yet")
		return
	}
	l.at = l.place(d.Name.Pos())
	l.begin(l.names[o], o.Name(), o.Signature())
	head := len(l.lines)
	l.emit("func %s(%s)%s {", l.names[o], l.params(d.Recv, d.Type, o.Signature()), l.resultList(d.Type, o.Signature()))
	l.block(d.Body.List)
	l.emit("}")
	l.end(head)
}

// params returns the parameter list of a function with the interpreter's names.
func (l *lowerer) params(recv *ast.FieldList, t *ast.FuncType, sig *types.Signature) string {
	var out []string
	if recv != nil {
		name := "_"
		if names := recv.List[0].Names; len(names) > 0 {
			name = l.local(l.info.Defs[names[0]])
		}
		out = append(out, name+" "+l.typ(sig.Recv().Type()))
	}
	i := 0
	for _, name := range fieldNames(t.Params) {
		lowered := "_"
		if name != nil {
			lowered = l.local(l.info.Defs[name])
		}
		out = append(out, lowered+" "+l.paramType(sig, i))
		i++
	}
	return strings.Join(out, ", ")
}

// resultList returns the results of a function, with the interpreter's names if they have names.
func (l *lowerer) resultList(t *ast.FuncType, sig *types.Signature) string {
	names := fieldNames(t.Results)
	if len(names) == 0 || names[0] == nil {
		return l.results(sig)
	}
	var out []string
	for i, name := range names {
		out = append(out, l.local(l.info.Defs[name])+" "+l.typ(sig.Results().At(i).Type()))
	}
	return " (" + strings.Join(out, ", ") + ")"
}

// fieldNames lists the names of parameters or results, nil for those without.
func fieldNames(f *ast.FieldList) []*ast.Ident {
	if f == nil {
		return nil
	}
	var out []*ast.Ident
	for _, field := range f.List {
		if len(field.Names) == 0 {
			out = append(out, nil)
		}
		out = append(out, field.Names...)
	}
	return out
}

// literal lowers a function literal.
func (l *lowerer) literal(e *ast.FuncLit) string {
	sig := l.info.Types[e].Type.(*types.Signature)
	outer := l.fn.results
	l.fn.results = sig.Results()
	body := l.capture(func() { l.block(e.Body.List) })
	l.fn.results = outer
	return "func(" + l.params(nil, e.Type, sig) + ")" + l.resultList(e.Type, sig) + " {\n" + body + "\n}"
}
