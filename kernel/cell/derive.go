package cell

import (
	"go/ast"
	"go/constant"
	"go/types"
	"maps"
	"strings"

	"foreplane/kernel/cell/internal/derive"
)

// hasDirective reports whether a comment //foreplane:name stands at the top of a cell.
func hasDirective(code, name string) bool {
	for line := range strings.Lines(code) {
		line = strings.TrimSpace(line)
		if line == "//foreplane:"+name {
			return true
		}
		if line != "" && !strings.HasPrefix(line, "//") {
			return false
		}
	}
	return false
}

// derivation lowers what a cell that is typeset has to tell of each statement: the values before it, and the result behind it.
type derivation struct {
	*lowerer
	builder derive.Builder
}

// derivation returns nil for a cell that is not typeset.
func (l *lowerer) derivation(c *checked) *derivation {
	if !hasDirective(c.text, "derive") {
		return nil
	}
	d := &derivation{lowerer: l}
	d.builder = derive.Builder{Info: c.info, Text: c.source.textOf(l.front.files), Unit: d.unit, Own: l.ownName, Symbols: l.front.symbolsOf(c)}
	return d
}

// symbolsOf are the symbols that comments give to names: of the session, and of the cell.
func (f *Front) symbolsOf(c *checked) map[string]derive.Symbol {
	out := maps.Clone(f.session.symbols)
	if out == nil {
		out = map[string]derive.Symbol{}
	}
	maps.Copy(out, derive.SymbolsIn(c.text))
	return out
}

// textOf returns what gives the source of a node, which may have been made and not written.
func (s *source) textOf(files *files) func(ast.Node) string {
	return func(n ast.Node) string {
		start, end := files.offset(n.Pos()), files.offset(n.End())
		if start < 0 || end > len(s.text) || start > end {
			return ""
		}
		return s.text[start:end]
	}
}

// unit returns the symbol of a constant that is a unit of measurement.
func (d *derivation) unit(o types.Object) (string, float64, bool) {
	c, ok := o.(*types.Const)
	if !ok || c.Pkg() == nil || c.Pkg().Path() != d.front.quantities.Package {
		return "", 0, false
	}
	for _, u := range d.front.quantities.Units {
		if u.Name == c.Name() {
			si, _ := constant.Float64Val(constant.ToFloat(c.Val()))
			return u.Symbol, si, true
		}
	}
	return "", 0, false
}

// around lowers a statement between what it is computed from and what it gives.
func (d *derivation) around(s ast.Stmt, lower func(ast.Stmt)) {
	if d == nil {
		lower(s)
		return
	}
	step := d.builder.Statement(s)
	first := len(d.program.Derive)
	d.before(step, s)
	lower(s)
	d.at = d.place(s.Pos())
	for i, target := range step.Targets {
		if step.Equations[i].Result {
			d.emit("%s.After(%d, %s%s)", runtimeName, first+i, d.result(target), d.values(step, i, step.Equations[i].Opaque))
		} else {
			d.emit("%s.After(%d, nil)", runtimeName, first+i)
		}
	}
}

// last notes what the last expression is computed from; its value is the result of the cell.
func (d *derivation) last(e ast.Expr) {
	if d == nil {
		return
	}
	d.before(d.builder.Last(e), &ast.ExprStmt{X: e})
}

func (d *derivation) before(step derive.Step, s ast.Stmt) {
	if len(step.Equations) == 0 {
		return
	}
	d.at = d.place(s.Pos())
	d.mark(s)
	for i, q := range step.Equations {
		d.emit("%s.Before(%d%s)", runtimeName, len(d.program.Derive), d.values(step, i, true))
		d.program.Derive = append(d.program.Derive, q)
	}
}

// values lowers the operands of an equation.
func (d *derivation) values(step derive.Step, i int, wanted bool) string {
	text := ""
	for _, e := range step.Operands[i] {
		if wanted {
			text += ", " + d.result(e)
		}
	}
	return text
}

// result lowers a value with its units.
func (d *derivation) result(e ast.Expr) string {
	if id, ok := e.(*ast.Ident); ok {
		if o := d.info.Defs[id]; o != nil {
			v := d.known(e, 0)
			v.Quantity, _ = d.front.dims.Object(o)
			return d.measured(v, "", d.convert(d.variable(o), o.Type(), anyType))
		}
	}
	return d.measured(d.known(e, 0), "", d.value(e, anyType))
}
