package cell

import (
	"go/ast"
	"go/token"
	"go/types"
	"strings"
)

func (l *lowerer) block(list []ast.Stmt) {
	for _, s := range list {
		l.stmt(s)
	}
}

func (l *lowerer) stmt(s ast.Stmt) {
	l.at = l.place(s.Pos())
	l.mark(s)
	switch s := s.(type) {
	case *ast.EmptyStmt:
	case *ast.ExprStmt:
		l.emit("%s", l.expr(s.X))
	case *ast.AssignStmt:
		l.assign(s)
	case *ast.IncDecStmt:
		l.emit("%s%s", l.expr(s.X), s.Tok)
	case *ast.DeclStmt:
		l.declStmt(s.Decl.(*ast.GenDecl))
	case *ast.BlockStmt:
		l.emit("{")
		l.block(s.List)
		l.emit("}")
	case *ast.IfStmt:
		l.ifStmt(s)
	case *ast.ForStmt:
		l.forStmt(s)
	case *ast.RangeStmt:
		l.rangeStmt(s)
	case *ast.ReturnStmt:
		l.returnStmt(s)
	case *ast.BranchStmt:
		l.branch(s)
	case *ast.LabeledStmt:
		l.emit("%s_:", s.Label.Name)
		l.stmt(s.Stmt)
	default:
		l.refuse(s, "this statement cannot be run here yet")
	}
}

// mark leaves the place of a statement that can panic, for the report of a panic.
func (l *lowerer) mark(s ast.Stmt) {
	if l.fn.marked = l.fn.marked || risky(s); risky(s) {
		l.emit("%s = %d", l.fn.mark, l.at)
	}
}

// risky reports whether a statement itself, without the statements inside it, can panic.
func risky(s ast.Stmt) bool {
	found := false
	ast.Inspect(s, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.BlockStmt, *ast.FuncLit:
			return false
		case *ast.CallExpr, *ast.IndexExpr, *ast.SliceExpr, *ast.StarExpr, *ast.TypeAssertExpr, *ast.SelectorExpr, *ast.SendStmt:
			found = true
		case *ast.BinaryExpr:
			found = found || n.Op == token.QUO || n.Op == token.REM || n.Op == token.SHL || n.Op == token.SHR
		case *ast.AssignStmt:
			found = found || n.Tok == token.QUO_ASSIGN || n.Tok == token.REM_ASSIGN
		}
		return !found
	})
	return found
}

// assign lowers = and := and the assignments with an operation.
func (l *lowerer) assign(s *ast.AssignStmt) {
	if s.Tok != token.ASSIGN && s.Tok != token.DEFINE {
		l.emit("%s %s %s", l.expr(s.Lhs[0]), s.Tok, l.operand(s))
		return
	}
	var left, right, fresh []string
	for i, e := range s.Lhs {
		left = append(left, l.target(e, s.Tok, &fresh))
		if len(s.Rhs) == len(s.Lhs) {
			right = append(right, l.value(s.Rhs[i], l.targetType(e, s.Rhs[i])))
		}
	}
	if len(s.Rhs) != len(s.Lhs) {
		right = append(right, l.expr(s.Rhs[0]))
	}
	op := "="
	if len(fresh) == len(left) {
		op = ":="
	} else {
		for _, f := range fresh {
			l.emit("var %s", f)
		}
	}
	if op == ":=" && len(left) == 1 && !l.typed(s) {
		l.emit("var %s = %s", fresh[0], right[0])
		return
	}
	l.emit("%s %s %s", strings.Join(left, ", "), op, strings.Join(right, ", "))
}

// typed reports whether the type of the only value is written in its lowered text.
func (l *lowerer) typed(s *ast.AssignStmt) bool {
	return len(s.Rhs) == 1 && !l.info.Types[s.Rhs[0]].IsNil()
}

func (l *lowerer) operand(s *ast.AssignStmt) string {
	if s.Tok == token.SHL_ASSIGN || s.Tok == token.SHR_ASSIGN {
		return l.expr(s.Rhs[0])
	}
	return l.value(s.Rhs[0], l.info.Types[s.Lhs[0]].Type)
}

// target lowers the left side of an assignment; a new local variable is noted in fresh with its type.
func (l *lowerer) target(e ast.Expr, tok token.Token, fresh *[]string) string {
	id, ok := e.(*ast.Ident)
	if !ok {
		return l.expr(e)
	}
	if id.Name == "_" {
		return "_"
	}
	if o := l.info.Defs[id]; o != nil {
		if l.names[o] == "" {
			*fresh = append(*fresh, l.local(o)+" "+l.typ(o.Type()))
		}
		return l.names[o]
	}
	return l.expr(e)
}

func (l *lowerer) targetType(e, from ast.Expr) types.Type {
	if id, ok := e.(*ast.Ident); ok {
		if o := l.info.Defs[id]; o != nil {
			return o.Type()
		}
		if id.Name == "_" {
			return types.Default(l.info.Types[from].Type)
		}
	}
	return l.info.Types[e].Type
}

// declStmt lowers a declaration inside a function. Constants and types leave nothing behind.
func (l *lowerer) declStmt(d *ast.GenDecl) {
	for _, spec := range d.Specs {
		v, ok := spec.(*ast.ValueSpec)
		if !ok || d.Tok == token.CONST {
			continue
		}
		l.at = l.place(v.Pos())
		l.varSpec(v)
	}
}

func (l *lowerer) varSpec(v *ast.ValueSpec) {
	if len(v.Values) > 0 && len(v.Values) != len(v.Names) {
		var left []string
		right := l.expr(v.Values[0])
		for _, id := range v.Names {
			if o := l.info.Defs[id]; l.names[o] == "" && id.Name != "_" {
				l.emit("var %s %s", l.local(o), l.typ(o.Type()))
			}
			left = append(left, l.local(l.info.Defs[id]))
		}
		l.emit("%s = %s", strings.Join(left, ", "), right)
		return
	}
	for i, id := range v.Names {
		o := l.info.Defs[id]
		value := ""
		if len(v.Values) > 0 {
			value = " = " + l.value(v.Values[i], o.Type())
		}
		switch {
		case id.Name != "_" && l.names[o] == "":
			l.emit("var %s %s%s", l.local(o), l.typ(o.Type()), value)
		case value != "":
			l.emit("%s%s", l.local(o), value)
		case id.Name != "_":
			l.emit("%s = %s", l.names[o], l.zero(o.Type()))
		}
	}
}

// zero returns the zero value of a type.
func (l *lowerer) zero(t types.Type) string {
	switch u := t.Underlying().(type) {
	case *types.Basic:
		switch {
		case u.Info()&types.IsBoolean != 0:
			return "false"
		case u.Info()&types.IsString != 0:
			return `""`
		}
		return l.typ(t) + "(0)"
	case *types.Struct, *types.Array:
		return l.typ(t) + "{}"
	}
	return "nil"
}

func (l *lowerer) ifStmt(s *ast.IfStmt) {
	l.emit("{")
	if s.Init != nil {
		l.stmt(s.Init)
	}
	l.emit("if %s {", l.expr(s.Cond))
	l.block(s.Body.List)
	if s.Else != nil {
		l.emit("} else {")
		l.stmt(s.Else)
	}
	l.emit("}")
	l.emit("}")
}

func (l *lowerer) returnStmt(s *ast.ReturnStmt) {
	var parts []string
	for i, e := range s.Results {
		if len(s.Results) == 1 && l.fn.results.Len() > 1 {
			parts = append(parts, l.expr(e))
			continue
		}
		parts = append(parts, l.value(e, l.fn.results.At(i).Type()))
	}
	l.emit("return %s", strings.Join(parts, ", "))
}

func (l *lowerer) branch(s *ast.BranchStmt) {
	label := ""
	if s.Label != nil {
		label = " " + s.Label.Name + "_"
	}
	l.emit("%s%s", s.Tok, label)
}
